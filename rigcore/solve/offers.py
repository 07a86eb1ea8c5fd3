"""What to offer where a cable is dropped on a port that does not take it: the cheapest chains, in words."""

from __future__ import annotations

from msgspec import Struct

from rigcore.book.gig import Piece
from rigcore.book.ids import PortRef
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import Port
from rigcore.patch.build import Node, Patch
from rigcore.solve.chain import Chain
from rigcore.solve.chains import UNKNOWN_M, chains_between
from rigcore.solve.stockroom import Supply, supply

MOST = 5
BESIDE_M = 1.0
"""Distance taken between two units of a rig whose places nobody knows."""


class Offer(Struct, frozen=True):
    """One chain as offered: its pieces in the order of the signal, what it is, and what of it must be bought."""

    pieces: tuple[Piece, ...]
    words: str
    to_buy: tuple[str, ...]
    why: tuple[str, ...]


def offers(patch: Patch, ends: tuple[PortRef | str, PortRef | str]) -> tuple[Offer, ...]:
    """Return the cheapest chains that have a box in them between two ports, or a port and a house socket.

    Parameters
    ----------
    ends
        A port of the rig, or the id of a house socket; in any order.
    """
    ports = [_port(patch, end) for end in ends]
    if ports[0] is None or ports[1] is None:
        return ()
    source, target = ports[0], ports[1]
    if source.direction == "in" or target.direction == "out":
        source, target = target, source
    at_house = any(isinstance(end, str) for end in ends)
    found = chains_between(
        patch.catalogue, source, target, _stock(patch), length_m=UNKNOWN_M if at_house else BESIDE_M
    )
    with_box = [chain for chain in found if any(piece.kind == "gear" for piece in chain.pieces)]
    return tuple(_offer(chain, patch.catalogue) for chain in with_box[:MOST])


def is_from(patch: Patch, ends: tuple[PortRef, PortRef]) -> bool:
    """Return whether the signal runs from the first of two rig ports to the second."""
    one, other = _port(patch, ends[0]), _port(patch, ends[1])
    return not (one is not None and other is not None and (one.direction == "in" or other.direction == "out"))


def _port(patch: Patch, end: PortRef | str) -> Port | None:
    if isinstance(end, PortRef):
        unit = patch.units.get(end.unit)
        return patch.catalogue.port(unit.gear, end.port) if unit is not None else None
    socket = next((one for one in patch.house.sockets if one.id == end), None)
    return patch.end(Node("house", socket.unit, socket.ports[0])).port if socket is not None else None


def _stock(patch: Patch) -> Supply:
    return supply(patch.book.stock, patch.house.stock, patch.rig)


def _offer(chain: Chain, catalogue: Catalogue) -> Offer:
    names = [
        catalogue.cable_type(item.type).name if item.kind == "cable" else catalogue.gear_type(item.type).name
        for item in chain.items
    ]
    bought = tuple(name for name, item in zip(names, chain.items, strict=True) if item.comes_from == "buy")
    return Offer(chain.pieces, " → ".join(names), bought, chain.why)
