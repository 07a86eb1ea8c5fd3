"""Two outputs plugged into each other."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each connection of two outputs."""
    for hop in patch.misplaced:
        if hop.facing == "output to output":
            yield Finding(
                RULE.id,
                "fault",
                f"{words.from_to(hop)}: two outputs drive each other, and nothing hears them.",
                words.place(hop),
                (f"{hop.source.words} is an output", f"{hop.target.words} is an output"),
                remedies.take_out(patch, hop),
            )


RULE = Rule(
    id="fit.output-to-output",
    severity="fault",
    sentence="An output goes to an input, never to another output.",
    why="Two outputs tied together load each other, may be damaged, and give no sound.",
    basis=(basis.COMMON,),
    working="direction of the ports at both ends",
    judge=judge,
)
