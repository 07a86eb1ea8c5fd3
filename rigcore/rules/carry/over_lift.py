"""A case heavier than one person lifts."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.packing import packed
from rigcore.quantities.lifting import CAUTION, ONE_PERSON_KG, people_for
from rigcore.rules import basis
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one risk for each case over the one-person limit, with what it weighs."""
    for one in packed(patch):
        if one.mass_kg <= ONE_PERSON_KG or not one.units:
            continue
        people = people_for(one.mass_kg)
        inside = " + ".join(
            f"{patch.catalogue.gear_type(unit.gear).mass_kg:g} kg {unit.name}" for unit in one.units
        )
        how = f"a lift for {people}" if people else "wheels or a trolley"
        yield Finding(
            RULE.id,
            "risk",
            f"{one.case.name} with {', '.join(unit.name for unit in one.units)} weighs {one.mass_kg:g} kg, over the "
            f"{ONE_PERSON_KG:g} kg one person lifts: {how}.",
            tuple(Thing("unit", unit.id) for unit in one.units),
            (f"{one.case.mass_kg:g} kg case + {inside} = {one.mass_kg:g} kg", CAUTION),
        )


RULE = Rule(
    id="carry.over-lift",
    severity="risk",
    sentence="No case weighs more than one person lifts.",
    why="A back goes on the stairs of the first house, and the rest of the tour is played sitting down.",
    basis=(basis.LIFT, basis.LIFT_GUIDE),
    working=f"mass of the case and of the units in it, against {ONE_PERSON_KG:g} kg; cables are not weighed",
    judge=judge,
)
