"""What lies in each case: its units, what it weighs, and how many U are taken."""

from __future__ import annotations

from msgspec import Struct

from rigcore.book.rig import Case, Unit
from rigcore.patch.build import Patch
from rigcore.patch.once import once_a_patch


class Packed(Struct, frozen=True):
    """One case with what is in it; ``mass_kg`` is case and contents together."""

    case: Case
    units: tuple[Unit, ...]
    mass_kg: float
    taken_u: float


@once_a_patch
def packed(patch: Patch) -> tuple[Packed, ...]:
    """Return the cases of the rig in its order. Cables and adapters are not assigned to cases and not weighed."""
    found = []
    for case in patch.rig.cases:
        units = tuple(unit for unit in patch.rig.units if unit.case == case.id)
        gear = [patch.catalogue.gear_type(unit.gear) for unit in units]
        mass_kg = round(case.mass_kg + sum(one.mass_kg for one in gear), 3)
        found.append(Packed(case, units, mass_kg, sum(one.rack_u for one in gear)))
    return tuple(found)
