"""A hand-off that lands nowhere."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.rules import basis
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each hand-off without a landing, unless what it falls back to has landed."""
    for hand_off in patch.rig.hand_offs:
        if patch.gig.landing(hand_off.id) is not None:
            continue
        if hand_off.falls_back_to is not None and patch.gig.landing(hand_off.falls_back_to) is not None:
            continue
        yield Finding(
            RULE.id,
            "fault" if hand_off.importance == "must" else "note",
            f"{hand_off.name} lands nowhere at {patch.house.name}.",
            (Thing("hand-off", hand_off.id),),
            (f"{hand_off.importance}, {hand_off.direction}",),
        )


RULE = Rule(
    id="channels.unbound",
    severity="fault",
    sentence="Every hand-off that must land has a landing.",
    why="A line nobody planned is a line nobody patches.",
    basis=(basis.COMMON,),
    working="hand-offs of the rig without a landing, nor one for what they fall back to",
    judge=judge,
)
