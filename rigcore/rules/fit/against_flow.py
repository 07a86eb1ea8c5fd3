"""A link written from an input to an output."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each link that lies the wrong way round."""
    for hop in patch.misplaced:
        if hop.facing != "against":
            continue
        offered = (remedies.turn_round(patch, hop.link),) if hop.link is not None else ()
        yield Finding(
            RULE.id,
            "fault",
            f"{words.from_to(hop)} lies against the flow: it starts at an input.",
            words.place(hop),
            (f"{hop.source.words} is an input, {hop.target.words} an output",),
            offered,
        )


RULE = Rule(
    id="fit.against-flow",
    severity="fault",
    sentence="A connection is drawn from the output to the input.",
    why="Drawn the wrong way round, cable ends, levels and channels are all counted from the wrong side.",
    basis=(basis.AES14, basis.COMMON),
    working="direction of the ports at both ends",
    judge=judge,
)
