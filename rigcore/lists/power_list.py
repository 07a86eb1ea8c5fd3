"""Power: what is plugged in where, in W and A, how many outlets that takes, and where the rig can travel."""

from __future__ import annotations

from msgspec import Struct

from rigcore.catalogue.carriers import Mains
from rigcore.catalogue.regions import Region, regions
from rigcore.patch.build import Patch
from rigcore.patch.once import once_a_patch
from rigcore.patch.power import places, powered_units, watts
from rigcore.quantities.electrical import amperes

CAUTIOUS_POWER_FACTOR = 0.7
"""Small supplies without correction draw more current than their W suggest (typical 0.5 to 0.7)."""

CAUTION = (
    "Figures are the makers' maxima. Local codes and the house's licensed electrician decide; "
    "a protective earth is never lifted."
)


class PowerRow(Struct, frozen=True):
    """What one power drop has to feed: outlets, W, and A at power factor 1 and at 0.7.

    ``outlets`` counts the plugs of what draws power, strips left out; ``wall_outlets`` what is left to
    the wall where strips stand: those of the strips, and of what no strip has room for.
    """

    place: str
    outlets: int
    watts: float
    amps: float
    cautious_amps: float
    units: tuple[str, ...]
    wall_outlets: int

    @property
    def need(self) -> str:
        """How many wall outlets that takes, in words; the plugs on own strips named beside."""
        if self.wall_outlets == self.outlets:
            return str(self.outlets)
        return f"{self.wall_outlets}, {self.outlets} on our strip"


class TravelRow(Struct, frozen=True):
    """Whether the rig runs on the mains of one region, and what of it does not."""

    region: Region
    stays: tuple[str, ...]

    @property
    def travels(self) -> bool:
        """Whether everything runs there."""
        return not self.stays


@once_a_patch
def power_list(patch: Patch) -> tuple[PowerRow, ...]:
    """Return the power list: each unit of the rig counts at the drop it is fed from, or else nearest to.

    A house without drops has one nameless place.
    """
    ours = {unit.id for unit in powered_units(patch)}
    volts = patch.house.mains_v
    rows = []
    for place in places(patch):
        here = {plug.key[1] for plug in place.loads if plug.key[0] == "rig"} & ours
        units = [unit for unit in powered_units(patch) if unit.id in here]
        if not units:
            continue
        load_w = sum(watts(patch, unit) for unit in units)
        rows.append(
            PowerRow(
                place.name, len(units), load_w, amperes(load_w, volts),
                amperes(load_w, volts, CAUTIOUS_POWER_FACTOR), tuple(unit.name for unit in units),
                len(place.in_wall),
            )
        )
    return tuple(rows)


def travel_list(patch: Patch) -> tuple[TravelRow, ...]:
    """Return every region with the units of the rig, strips among them, that do not take its voltage.

    Wide-range supplies travel; plugs and leads are another matter.

    Source
    ------
    Nominal voltages of IEC 60038; Japan from memory.
    """
    inlets = [
        (unit.name, port.carrier)
        for unit in patch.units.values()
        if unit.owner == "rig"
        for port in patch.catalogue.gear_type(unit.gear).mains_inlets()
    ]
    return tuple(
        TravelRow(
            area,
            tuple(
                name
                for name, carrier in inlets
                if isinstance(carrier, Mains) and not carrier.low_v <= area.nominal_v <= carrier.high_v
            ),
        )
        for area in regions()
    )
