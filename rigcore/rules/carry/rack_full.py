"""More units of height in a rack than it has."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.packing import packed
from rigcore.rules import basis
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one fault for each rack with more U in it than it has; a case without U is no rack."""
    for one in packed(patch):
        if not 0 < one.case.rack_u < one.taken_u:
            continue
        inside = [(unit, patch.catalogue.gear_type(unit.gear).rack_u) for unit in one.units]
        yield Finding(
            RULE.id,
            "fault",
            f"{one.case.name} has {one.case.rack_u:g} U and {one.taken_u:g} U are to go in: "
            f"{', '.join(unit.name for unit, rack_u in inside if rack_u)}.",
            tuple(Thing("unit", unit.id) for unit, rack_u in inside if rack_u),
            (" + ".join(f"{rack_u:g} U {unit.name}" for unit, rack_u in inside if rack_u) + f" = {one.taken_u:g} U",),
        )


RULE = Rule(
    id="carry.rack-full",
    severity="fault",
    sentence="What is packed in a rack takes no more units of height than the rack has.",
    why="The last unit travels loose on the back seat, and its lead stays at home.",
    basis=(basis.RACK,),
    working="sum of the U of the units in a case against the U of the case (1 U = 44.45 mm)",
    judge=judge,
)
