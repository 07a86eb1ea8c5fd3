"""A second plug for an input that has one already."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each input of the rig that more than one cable wants."""
    for end in patch.crowded:
        if end.port.direction == "out" or end.node.place == "house":
            continue
        wanting = [
            hop
            for hop in patch.hops_at[end.node]
            if hop.facing == "along" and (hop.target.node == end.node or end.port.direction == "both")
        ]
        if len(wanting) > 1:
            yield Finding(
                RULE.id,
                "fault",
                f"{end.words} is taken: {len(wanting)} cables want the same socket.",
                (words.unit_of(end), *(thing for hop in wanting for thing in words.place(hop))),
                tuple(f"{number}. {words.from_to(hop)}" for number, hop in enumerate(wanting, start=1)),
                remedies.take_out(patch, wanting[1]) if len(wanting) == 2 else (),
            )


RULE = Rule(
    id="fit.occupied",
    severity="fault",
    sentence="One input takes one plug.",
    why="Two outputs are never joined to make a sum: they need a mixer or a proper resistive sum.",
    basis=(basis.COMMON,),
    working="connections that arrive at one input port",
    judge=judge,
)
