"""Edits of the chain between a hand-off and its socket, piece by piece, in the order the signal takes them.

Other hand-offs may join a box of the chain: they follow their box, and what they need cannot be taken out.
"""

from __future__ import annotations

from collections.abc import Sequence

from rigcore.book.book import Book
from rigcore.book.edits.gigs import bind_landing
from rigcore.book.edits.links import usual_length
from rigcore.book.edits.rebuild import checked, put_gig
from rigcore.book.gig import CablePiece, GearPiece, Gig, Landing, Piece
from rigcore.book.ids import PortRef
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import Category, GearType, Port
from rigcore.errors import EditRefused, UnknownThing

BETWEEN: tuple[Category, ...] = (
    "di", "splitter", "isolator", "pad", "adapter", "processor", "equaliser", "in-ear", "multicore", "power",
)
"""What may lie between a hand-off and its socket, in the order it is offered."""

Place = tuple[int | None, Piece]
"""A piece with the place it had before, None for a new one."""


def lay_chain(book: Book, gig_id: str, hand_off_id: str, places: Sequence[Place], *, catalogue: Catalogue) -> Book:
    """Return the book with the pieces of a landing's chain in this order.

    Raises
    ------
    EditRefused
        If the hand-off has not landed, a piece does not exist, or another hand-off joins a piece that is gone.
    """
    gig = book.gig(gig_id)
    landing = the_landing(gig, hand_off_id)
    now_at = {old + 1: place for place, (old, _) in enumerate(places, start=1) if old is not None}
    others = []
    for one in gig.landings:
        if one.joins is not None and one.joins.hand_off == hand_off_id:
            if one.joins.piece not in now_at:
                rig = book.rig(gig.rig)
                who = rig.hand_off(one.hand_off)
                name = who.name if who else one.hand_off
                raise EditRefused(f"{name} joins this box on its way; land it elsewhere first", [one.hand_off])
            one = checked(one, joins=checked(one.joins, piece=now_at[one.joins.piece]))
            piece = places[one.joins.piece - 1][1] if one.joins is not None else None
            if one.joins is not None and isinstance(piece, GearPiece):
                book.with_catalogue(catalogue).port(piece.gear, one.joins.port)
        others.append(checked(one, chain=tuple(piece for _, piece in places)) if one is landing else one)
    laid = put_gig(book, checked(gig, landings=tuple(others)))
    return bind_landing(laid, gig_id, the_landing(laid.gig(gig_id), hand_off_id), catalogue)


def put_piece(
    book: Book, gig_id: str, hand_off_id: str, place: tuple[int, Piece], *, catalogue: Catalogue
) -> Book:
    """Return the book with the piece at a place (from 0) exchanged; at the end of the chain, added."""
    at, piece = place
    places = _places(book, gig_id, hand_off_id)
    places[at:at + 1] = [(at if at < len(places) else None, piece)]
    return lay_chain(book, gig_id, hand_off_id, places, catalogue=catalogue)


def take_piece_out(book: Book, gig_id: str, hand_off_id: str, at: int, *, catalogue: Catalogue) -> Book:
    """Return the book without the piece at a place (from 0)."""
    places = _places(book, gig_id, hand_off_id)
    del places[at]
    return lay_chain(book, gig_id, hand_off_id, places, catalogue=catalogue)


def move_piece(
    book: Book, gig_id: str, hand_off_id: str, step: tuple[int, int], *, catalogue: Catalogue
) -> Book:
    """Return the book with a piece moved from one place of the chain to another (from 0)."""
    start, end = step
    places = _places(book, gig_id, hand_off_id)
    if not (0 <= start < len(places) and 0 <= end < len(places)):
        raise EditRefused("a piece cannot leave its chain; land the hand-off on another socket", [hand_off_id])
    places.insert(end, places.pop(start))
    return lay_chain(book, gig_id, hand_off_id, places, catalogue=catalogue)


def land_elsewhere(book: Book, gig_id: str, hand_off_id: str, socket_id: str, *, catalogue: Catalogue) -> Book:
    """Return the book with a landing at another socket by the same chain; what joins it comes along.

    A landing that joined another chain ends at the socket by itself from then on.

    Raises
    ------
    EditRefused
        If it has not landed, or the socket does not exist or faces the other way.
    """
    gig = book.gig(gig_id)
    landing = the_landing(gig, hand_off_id)
    moved = tuple(
        checked(one, socket=socket_id, joins=None) if one is landing
        else checked(one, socket=socket_id) if one.joins is not None and one.joins.hand_off == hand_off_id
        else one
        for one in gig.landings
    )  # fmt: skip
    return bind_landing(
        put_gig(book, checked(gig, landings=moved)), gig_id,
        next(one for one in moved if one.hand_off == hand_off_id), catalogue,
    )  # fmt: skip


def boxes_for(catalogue: Catalogue, medium: str) -> tuple[GearType, ...]:
    """Return the gear types that may lie in a chain of a medium, in the order they are offered."""
    rank = {category: place for place, category in enumerate(BETWEEN)}
    may = [gear for gear in catalogue.gear.values() if gear.category in rank and _way(gear, medium) is not None]
    return tuple(sorted(may, key=lambda gear: rank[gear.category]))


def box_piece(gear: GearType, medium: str, old: Piece | None = None) -> GearPiece:
    """Return a gear type as a piece of a chain: through the ports of the old piece where it has them.

    Raises
    ------
    EditRefused
        If no way through it carries the medium.
    """
    owner = old.owner if old is not None else "rig"
    if isinstance(old, GearPiece) and all(gear.port(one) is not None for one in (old.enter, *old.leave)):
        return GearPiece(kind="gear", gear=gear.id, enter=old.enter, leave=old.leave, owner=owner)
    way = _way(gear, medium)
    if way is None:
        raise EditRefused(f"no way through {gear.name} carries this signal; take another box", [gear.id])
    return GearPiece(kind="gear", gear=gear.id, enter=way[0], leave=(way[1],), owner=owner)


def likeliest_cable(book: Book, gig_id: str, hand_off_id: str, at: int, *, catalogue: Catalogue) -> CablePiece:
    """Return the cable one would lay at a place of a chain (from 0), by the ports on its two sides."""
    whole = book.with_catalogue(catalogue)
    before, after = _sides(book, gig_id, hand_off_id, at, catalogue=whole)
    cables = whole.cables_between(before, after) if before is not None and after is not None else ()
    one_side = before or after
    if not cables and one_side is not None:
        cables = tuple(
            cable for cable in whole.cable_order
            if cable.carries(one_side.carrier.medium)
            and any(whole.mating.fits(one_side.connector, end) for end in (cable.end_a, cable.end_b))
        )  # fmt: skip
    cable = (cables or whole.cable_order)[0]
    return CablePiece(kind="cable", cable=cable.id, length_m=usual_length(cable.stock_lengths_m))


def the_landing(gig: Gig, hand_off_id: str) -> Landing:
    """Return the landing of a hand-off.

    Raises
    ------
    UnknownThing
        If it lands nowhere.
    """
    landing = gig.landing(hand_off_id)
    if landing is None:
        raise UnknownThing(f"hand-off '{hand_off_id}' lands nowhere at this gig", [hand_off_id])
    return landing


def _places(book: Book, gig_id: str, hand_off_id: str) -> list[Place]:
    return list(enumerate(the_landing(book.gig(gig_id), hand_off_id).chain))


def _way(gear: GearType, medium: str) -> tuple[str, str] | None:
    """Return the ports of the best way through a gear type that carries a medium.

    One that isolates comes before others, and all before one that only hands the signal through.
    """
    ways = [
        path for path in gear.paths
        if all((port := gear.port(end)) is not None and port.carrier.medium == medium
               for end in (path.source, path.target))
    ]  # fmt: skip
    best = min(ways, key=lambda path: (not path.isolates, _is_thru(gear.port(path.target))), default=None)
    return (best.source, best.target) if best is not None else None


def _is_thru(port: Port | None) -> bool:
    return port is not None and port.role == "thru"


def _sides(
    book: Book, gig_id: str, hand_off_id: str, at: int, *, catalogue: Catalogue
) -> tuple[Port | None, Port | None]:
    """Return the ports before and after a place of a chain; None where a cable or an end in another chain is."""
    gig = book.gig(gig_id)
    landing = the_landing(gig, hand_off_id)
    rig, house = book.rig(gig.rig), book.house(gig.house)
    hand_off, socket = rig.hand_off(hand_off_id), house.socket(landing.socket)
    ends: list[Port | None] = [None, None]
    if hand_off is not None:
        ends[0] = _port_of(catalogue, rig.unit(hand_off.unit), PortRef(unit=hand_off.unit, port=hand_off.port))
    if socket is not None:
        ends[1] = _port_of(catalogue, house.unit(socket.unit), PortRef(unit=socket.unit, port=socket.ports[0]))
    if hand_off is not None and hand_off.direction == "from house":
        ends.reverse()
    chain = landing.chain
    before, after = ends
    if at > 0:
        piece = chain[at - 1]
        before = catalogue.port(piece.gear, piece.leave[0]) if isinstance(piece, GearPiece) else None
    if at < len(chain):
        following = chain[at]
        after = catalogue.port(following.gear, following.enter) if isinstance(following, GearPiece) else None
    elif landing.joins is not None:
        after = None
    return before, after


def _port_of(catalogue: Catalogue, unit: object, ref: PortRef) -> Port | None:
    gear_id = getattr(unit, "gear", None)
    return catalogue.port(gear_id, ref.port) if gear_id is not None else None
