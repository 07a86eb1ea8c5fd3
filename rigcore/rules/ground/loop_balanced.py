"""A loop of two earths over balanced lines: usually silent."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.grounds import Family, families
from rigcore.rules import basis, loops, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note for all balanced loops between the same two places."""
    for family in families(patch):
        if family.kind == "balanced":
            what = _what(patch, family)
            yield Finding(
                RULE.id,
                "note",
                f"{words.joined(what)} {'join' if len(what) > 1 else 'joins'} "
                f"the earth of {loops.names(patch, family, 0)} to that of {loops.names(patch, family, 1)}: "
                f"balanced, usually silent; {_cure(family)}.",
                loops.things(patch, family),
                loops.working(patch, family),
                loops.remedies(patch, family),
                loops.assumed(patch),
            )


def _what(patch: Patch, family: Family) -> list[str]:
    return [*(end.name for end in loops.lifts(patch, family)), *loops.lines(patch, family)]


def _cure(family: Family) -> str:
    means = {bond.opens for bond in family.closing}
    if "lift" in means:
        return "if it hums, open the ground lift"
    if means == {"open screen"}:
        return "if it hums, open pin 1 at the receiving end, and carry the adapters as spares"
    return "if it hums, put a transformer into the line" if None not in means else "leave pin 1 joined, 48 V needs it"


RULE = Rule(
    id="ground.loop-balanced",
    severity="note",
    sentence="A balanced line may join two earths; a way to open its screen at one end is at hand.",
    why="In sound equipment the screen's current stays out of the signal; where it does not, there is hum to be cured.",
    basis=(basis.AES48, basis.BREAKS, basis.NEVER_LIFT),
    working="loops = bonds − potentials + parts; each spelled out, all its audio connections balanced",
    judge=judge,
)
