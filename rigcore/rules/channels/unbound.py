"""A hand-off that lands nowhere."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.channels import fallen_back_to, house_inputs, is_audio, is_settled
from rigcore.rules import basis
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each hand-off without a landing: a note where the house has no line left for it.

    What stands in for others is looked at with them.
    """
    taken = {landing.socket for landing in patch.gig.landings}
    inputs = house_inputs(patch)
    free = [socket for socket in inputs if socket.id not in taken]
    stand_ins = fallen_back_to(patch)
    for hand_off in patch.rig.hand_offs:
        if hand_off.id in stand_ins or is_settled(patch, hand_off):
            continue
        crowded = hand_off.direction == "to house" and is_audio(patch, hand_off) and not free
        yield Finding(
            RULE.id,
            "fault" if hand_off.importance == "must" and not crowded else "note",
            f"{hand_off.name} lands nowhere at {patch.house.name}{': every line is taken' if crowded else ''}.",
            (Thing("hand-off", hand_off.id),),
            (f"{hand_off.importance}, {hand_off.direction}", f"house inputs free: {len(free)} of {len(inputs)}"),
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
