"""Power: what is plugged in where, in W and A, and how many outlets that takes."""

from __future__ import annotations

from dataclasses import dataclass

from rigcore.book.rig import Unit
from rigcore.patch.build import Patch
from rigcore.patch.power import drop_of, powered_units, watts
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
    groups: dict[str, list[Unit]] = {}
    for unit in powered_units(patch):
        drop = drop_of(patch, unit)
        groups.setdefault(drop.name if drop else "stage", []).append(unit)
    order = {drop.name: number for number, drop in enumerate(patch.house.stage.power)}
    rows = []
    for place in sorted(groups, key=lambda name: order.get(name, -1)):
        units = groups[place]
        load_w = sum(watts(patch, unit) for unit in units)
        volts = patch.house.mains_v
        rows.append(
            PowerRow(
                place, len(units), load_w, amperes(load_w, volts),
                amperes(load_w, volts, CAUTIOUS_POWER_FACTOR), tuple(unit.name for unit in units),
            )
        )
    return tuple(rows)
