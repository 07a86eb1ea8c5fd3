"""Two hand-offs on one house socket."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.book.gig import Landing
from rigcore.book.house import Socket
from rigcore.patch.build import Node, Patch
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each socket that more than one hand-off wants."""
    for socket in patch.house.sockets:
        wanting = [one for one in patch.gig.landings if one.socket == socket.id and one.joins is None]
        if len(wanting) < 2:
            continue
        names = [patch.hand_off(one).name for one in wanting]
        offered = tuple(_remedies(patch, wanting[-1], names[-1]))
        yield Finding(
            RULE.id,
            "fault",
            f"{words.joined(names)} are on the same line of the house, {socket.label}.",
            (Thing("socket", socket.id), *(Thing("landing", one.hand_off) for one in wanting)),
            tuple(f"{name} lands on {socket.label}" for name in names),
            offered if len(wanting) == 2 else (),
        )


def _remedies(patch: Patch, landing: Landing, name: str) -> Iterator[Remedy]:
    """Yield the move to the next free line of the same kind; where there is none, giving the landing up."""
    here = patch.socket(landing)
    taken = {one.socket for one in patch.gig.landings}
    kind = _kind(patch, here)
    for socket in patch.house.sockets:
        if socket.id not in taken and socket.direction == here.direction and _kind(patch, socket) == kind:
            yield remedies.land_on(patch, landing, socket, f"Land {name} on {socket.label}")
            return
    yield remedies.land_nowhere(patch, landing.hand_off, f"Land {name} nowhere for now")


def _kind(patch: Patch, socket: Socket) -> tuple[str, ...]:
    return tuple(patch.end(Node("house", socket.unit, port)).port.connector for port in socket.ports)


RULE = Rule(
    id="channels.two-on-one",
    severity="fault",
    sentence="A line of the house takes one hand-off.",
    why="One of them stays in somebody's hand.",
    basis=(basis.COMMON,),
    working="landings with the same socket",
    judge=judge,
)
