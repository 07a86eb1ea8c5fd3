"""More lines than the house takes."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.channels import is_audio
from rigcore.rules import basis
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding if the rig's lines to the house outnumber the house's inputs."""
    lines = [one for one in patch.rig.hand_offs if one.direction == "to house" and is_audio(patch, one)]
    inputs = [one for one in patch.house.sockets if one.direction == "in"]
    if len(lines) > len(inputs):
        over = len(lines) - len(inputs)
        yield Finding(
            RULE.id,
            "fault",
            f"{len(lines)} lines for {len(inputs)} inputs at {patch.house.name}: {over} too many.",
            (Thing("gig", patch.gig.id),),
            (f"{len(lines)} − {len(inputs)} = {over}",),
        )


RULE = Rule(
    id="channels.too-many",
    severity="fault",
    sentence="The rig has no more lines than the house has inputs.",
    why="What does not fit is decided on stage, in the dark, by whoever is nearest.",
    basis=(basis.COMMON,),
    working="hand-offs to the house − inputs of the house",
    judge=judge,
)
