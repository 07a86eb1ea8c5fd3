"""A landing chosen by hand: one hand-off on one socket, by the cheapest chain with what the other landings leave.

Only computes; ``book.edits.pins`` puts it into a gig.
"""

from __future__ import annotations

from collections import Counter
from functools import partial

from msgspec import Struct

from rigcore.book.edits.rebuild import without_landings
from rigcore.book.gig import Landing
from rigcore.book.house import Socket
from rigcore.book.rig import HandOff
from rigcore.patch.build import Patch
from rigcore.patch.lengths import required_m
from rigcore.solve.chain import Chain
from rigcore.solve.chains import chains_to
from rigcore.solve.fit_chains import Find
from rigcore.solve.stockroom import Item, item_of, supply


class Pin(Struct, frozen=True):
    """A landing by hand, what it takes the place of (hand-off ids), and its chain; None where nothing leads there.

    Without a chain the landing is only intended, and the rules say what it lacks.
    """

    landing: Landing
    ousted: tuple[str, ...]
    chain: Chain | None


def takers(patch: Patch, hand_off: HandOff) -> tuple[Socket, ...]:
    """Return the sockets whose direction suits a hand-off, in the order of the house."""
    wanted = "in" if hand_off.direction == "to house" else "out"
    return tuple(one for one in patch.house.sockets if one.direction == wanted)


def pin(patch: Patch, hand_off_id: str, socket_id: str, find: Find | None = None) -> Pin:
    """Return a hand-off landed on a socket by the cheapest chain; what is to be bought only where nothing else does.

    Parameters
    ----------
    find
        How chains are found; None looks for chains of one box.
    """
    hand_off = next(one for one in patch.rig.hand_offs if one.id == hand_off_id)
    socket = next(one for one in patch.house.sockets if one.id == socket_id)
    on_it = [one.hand_off for one in patch.gig.landings if one.socket == socket_id and one.joins is None]
    ousted = tuple(one for one in on_it if one != hand_off_id)
    kept = without_landings(patch.gig.landings, {hand_off_id, *ousted})
    left = Counter(dict(supply(patch.book.stock, patch.house.stock, patch.rig)))
    for landing in kept:
        left.subtract(item_of(piece, piece.owner) for piece in landing.chain)
    stock: dict[Item, int] = {item: count for item, count in left.items() if count > 0}
    before = patch.gig.landing(hand_off_id)
    stated = before.length_m if before is not None and before.socket == socket_id else None
    far = stated if stated is not None else required_m(patch, ("rig", hand_off.unit), ("house", socket.unit))
    seek = partial(find or chains_to, patch, hand_off, socket, stock, length_m=far)
    chains = list(seek(buy=False))
    if not chains or chains[0].cost.faults:
        chains += seek(buy=True)
    chain: Chain | None = min(chains, key=lambda one: one.cost) if chains else None
    landing = Landing(
        hand_off=hand_off_id, socket=socket_id, chain=chain.pieces if chain is not None else (),
        length_m=stated, note=before.note if before is not None else "",
    )  # fmt: skip
    return Pin(landing, ousted, chain)
