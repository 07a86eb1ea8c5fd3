"""Power: what is plugged in where, in W and A, and how many outlets that takes."""

from __future__ import annotations

from dataclasses import dataclass

from rigcore.book.house import PowerDrop
from rigcore.book.rig import Unit
from rigcore.patch.build import Patch
from rigcore.quantities.electrical import amperes

CAUTIOUS_POWER_FACTOR = 0.7
"""Small supplies without correction draw more current than their W suggest (typical 0.5 to 0.7)."""

CAUTION = (
    "Figures are the makers' maxima. Local codes and the house's licensed electrician decide; "
    "a protective earth is never lifted."
)


@dataclass(frozen=True)
class PowerRow:
    """What one power drop has to feed: outlets, W, and A at power factor 1 and at 0.7."""

    place: str
    outlets: int
    watts: float
    amps: float
    cautious_amps: float
    units: tuple[str, ...]


def power_list(patch: Patch) -> tuple[PowerRow, ...]:
    """Return the power list: each unit of the rig counts at the drop nearest to it.

    A house without drops has one nameless place.
    """
    drops = patch.house.stage.power
    groups: dict[str, list[Unit]] = {}
    for unit in patch.units.values():
        if unit.owner != "rig" or not _needs_outlet(patch, unit):
            continue
        groups.setdefault(_nearest(unit, drops), []).append(unit)
    order = {drop.name: number for number, drop in enumerate(drops)}
    rows = []
    for place in sorted(groups, key=lambda name: order.get(name, -1)):
        units = groups[place]
        watts = sum(patch.catalogue.gear_type(unit.gear).watts() for unit in units)
        volts = patch.house.mains_v
        rows.append(
            PowerRow(
                place, len(units), watts, amperes(watts, volts),
                amperes(watts, volts, CAUTIOUS_POWER_FACTOR), tuple(unit.name for unit in units),
            )
        )
    return tuple(rows)


def _needs_outlet(patch: Patch, unit: Unit) -> bool:
    return patch.catalogue.gear_type(unit.gear).watts() > 0


def _nearest(unit: Unit, drops: tuple[PowerDrop, ...]) -> str:
    if not drops:
        return "stage"
    if unit.x_m is None or unit.y_m is None:
        return drops[0].name
    x, y = unit.x_m, unit.y_m
    return min(drops, key=lambda drop: (drop.x_m - x) ** 2 + (drop.y_m - y) ** 2).name
