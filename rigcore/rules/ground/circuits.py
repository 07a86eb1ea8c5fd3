"""Two earthed units on different circuits with no isolation between them."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.grounds import Family, families, is_unbalanced
from rigcore.rules import basis, loops, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each two circuits that screens join: a risk if unbalanced, else a note."""
    for family in families(patch):
        if family.kind == "circuits":
            unbalanced = any(is_unbalanced(patch, loop) for loop in family.loops)
            lines = [*loops.lines(patch, family), *(end.name for end in loops.lifts(patch, family))]
            yield Finding(
                RULE.id,
                "risk" if unbalanced else "note",
                f"{loops.names(patch, family, 0)} and {loops.names(patch, family, 1)} are earthed on different "
                f"circuits and joined without isolation by {words.joined(lines)}: "
                f"{'isolate it, or' if unbalanced else 'balanced, usually silent; if it hums, isolate it or'} "
                "take the mains of both from one circuit.",
                loops.things(patch, family),
                (*_drops(patch, family), *loops.working(patch, family)),
                loops.remedies(patch, family),
                loops.assumed(patch),
            )


def _drops(patch: Patch, family: Family) -> tuple[str, ...]:
    ids = {point.unit for point in family.points}
    return tuple(
        f"outlet {drop.name}: circuit {drop.circuit or 'not known'}"
        for drop in patch.house.stage.power
        if drop.id in ids
    )


RULE = Rule(
    id="ground.circuits",
    severity="risk",
    sentence="Earthed units on different circuits are isolated from each other, or share one circuit.",
    why="Between two circuits the earths differ by more, and the loop through the building's wiring is large.",
    basis=(basis.SAME_PHASE, basis.LOOP, basis.NEVER_LIFT),
    working="loop through two power drops whose circuits are not known to be one",
    judge=judge,
)
