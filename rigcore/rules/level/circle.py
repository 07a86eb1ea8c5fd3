"""Signals that run in a circle."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.stages import levels
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each group of ports whose signal comes back to itself."""
    for circle in levels(patch).circles:
        names = list(dict.fromkeys(patch.end(node).name for node in circle))
        yield Finding(
            RULE.id,
            "risk",
            f"The signal runs in a circle through {words.joined(names)}: it howls unless the send is muted.",
            tuple(dict.fromkeys(words.unit_of(patch.end(node)) for node in circle)),
            ("these ports reach each other: " + ", ".join(patch.end(node).words for node in circle),),
        )


RULE = Rule(
    id="level.circle",
    severity="risk",
    sentence="A signal does not come back to where it started.",
    why="An output that reaches its own input is an oscillator with a fader.",
    basis=(basis.COMMON,),
    working="strongly connected parts of the audio graph",
    judge=judge,
)
