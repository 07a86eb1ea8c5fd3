"""A group of house lines without a spare."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.book.house import Socket
from rigcore.patch.build import Patch
from rigcore.rules import basis
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note for each block of two or more inputs that the rig fills to the last."""
    blocks: dict[str, list[Socket]] = {}
    for socket in patch.house.sockets:
        if socket.direction == "in" and socket.block:
            blocks.setdefault(socket.block, []).append(socket)
    taken = {landing.socket for landing in patch.gig.landings}
    for block, sockets in blocks.items():
        if len(sockets) > 1 and all(socket.id in taken for socket in sockets):
            yield Finding(
                RULE.id,
                "note",
                f"All {len(sockets)} lines of {block} are used ({sockets[0].label} to {sockets[-1].label}): no spare.",
                tuple(Thing("socket", socket.id) for socket in sockets),
                (f"{len(sockets)} used of {len(sockets)}",),
            )


RULE = Rule(
    id="channels.block-full",
    severity="note",
    sentence="A drop that is filled to the last line has no spare.",
    why="One broken line and something has to be left out.",
    basis=(basis.COMMON,),
    working="used inputs of a block against all its inputs",
    judge=judge,
)
