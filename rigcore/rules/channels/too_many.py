"""More lines than the house takes."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.book.rig import HandOff
from rigcore.patch.build import Patch
from rigcore.patch.channels import fallen_back_to, house_inputs, is_audio, is_settled
from rigcore.rules import basis
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding if the rig's lines to the house outnumber the house's inputs."""
    lines = [one for one in patch.rig.hand_offs if _wants_a_line(patch, one)]
    inputs = house_inputs(patch)
    if len(lines) > len(inputs):
        over = len(lines) - len(inputs)
        yield Finding(
            RULE.id,
            "fault",
            f"{len(lines)} lines for {len(inputs)} inputs at {patch.house.name}: {over} too many.",
            (Thing("gig", patch.gig.id),),
            (f"{len(lines)} − {len(inputs)} = {over}",),
        )


def _wants_a_line(patch: Patch, hand_off: HandOff) -> bool:
    """Return whether a hand-off has a line of the house or must still get one."""
    if hand_off.direction != "to house" or not is_audio(patch, hand_off):
        return False
    landing = patch.gig.landing(hand_off.id)
    if landing is not None:
        return landing.joins is None
    settled = hand_off.id in fallen_back_to(patch) or is_settled(patch, hand_off)
    return hand_off.importance == "must" and not settled


RULE = Rule(
    id="channels.too-many",
    severity="fault",
    sentence="The rig has no more lines than the house has inputs.",
    why="What does not fit is decided on stage, in the dark, by whoever is nearest.",
    basis=(basis.COMMON,),
    working="hand-offs to the house that have landed or must − inputs of the house",
    judge=judge,
)
