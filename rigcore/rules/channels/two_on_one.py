"""Two hand-offs on one house socket."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each socket that more than one hand-off wants."""
    for socket in patch.house.sockets:
        wanting = [one for one in patch.gig.landings if one.socket == socket.id]
        if len(wanting) < 2:
            continue
        names = [patch.hand_off(one).name for one in wanting]
        offered = (remedies.land_nowhere(patch, wanting[-1].hand_off, f"Land {names[-1]} nowhere for now"),)
        yield Finding(
            RULE.id,
            "fault",
            f"{words.joined(names)} are on the same line of the house, {socket.label}.",
            (Thing("socket", socket.id), *(Thing("landing", one.hand_off) for one in wanting)),
            tuple(f"{name} lands on {socket.label}" for name in names),
            offered if len(wanting) == 2 else (),
        )


RULE = Rule(
    id="channels.two-on-one",
    severity="fault",
    sentence="A line of the house takes one hand-off.",
    why="One of them stays in somebody's hand.",
    basis=(basis.COMMON,),
    working="landings with the same socket",
    judge=judge,
)
