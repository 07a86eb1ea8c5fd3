"""Two inputs plugged into each other."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each connection of two inputs."""
    for hop in patch.misplaced:
        if hop.facing == "input to input":
            yield Finding(
                RULE.id,
                "fault",
                f"{words.from_to(hop)}: two inputs wait for each other, and nothing sounds.",
                words.place(hop),
                (f"{hop.source.words} is an input", f"{hop.target.words} is an input"),
                remedies.take_out(patch, hop),
            )


RULE = Rule(
    id="fit.input-to-input",
    severity="fault",
    sentence="An input is fed by an output, never by another input.",
    why="Nothing drives the line: it is silent, and hums.",
    basis=(basis.COMMON,),
    working="direction of the ports at both ends",
    judge=judge,
)
