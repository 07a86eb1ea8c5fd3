"""One output with several plugs in it."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each output that feeds more than one cable by itself."""
    for end in patch.crowded:
        if end.port.direction != "out" or end.node.place == "house":
            continue
        fed = [hop for hop in patch.hops_at[end.node] if hop.source.node == end.node and hop.facing == "along"]
        if len(fed) > 1:
            yield Finding(
                RULE.id,
                "fault",
                f"{end.words} has {len(fed)} plugs in one socket; it takes a splitter or a Y-lead.",
                (words.unit_of(end), *(thing for hop in fed for thing in words.place(hop))),
                tuple(f"{number}. {words.from_to(hop)}" for number, hop in enumerate(fed, start=1)),
                remedies.take_out(patch, fed[1]) if len(fed) == 2 else (),
            )


RULE = Rule(
    id="fit.one-to-many",
    severity="fault",
    sentence="One output takes one plug; for more there must be a splitter.",
    why="The second cable has nowhere to go, and a forgotten splitter is not to be had at the house.",
    basis=(basis.COMMON,),
    working="connections that leave one output port",
    judge=judge,
)
