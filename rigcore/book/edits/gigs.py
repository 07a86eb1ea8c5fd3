"""Edits of gigs: bind a rig to a house, land hand-offs, set the order, place things for one night."""

from __future__ import annotations

from rigcore.book.book import Book
from rigcore.book.edits.hand_offs import hand_off_at
from rigcore.book.edits.rebuild import checked, put_gig, without_landings
from rigcore.book.gig import CablePiece, GearPiece, Gig, Landing, Placement
from rigcore.book.ids import PortRef
from rigcore.book.rig import HandOff
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import EditRefused, UnknownThing


def add_gig(book: Book, gig: Gig) -> Book:
    """Return the book with a gig added; its rig and house must exist."""
    return checked(book, gigs=(*book.gigs, gig))


def change_gig(book: Book, gig_id: str, **fields: object) -> Book:
    """Return the book with some fields of a gig replaced (name, date, contact, order …)."""
    return put_gig(book, checked(book.gig(gig_id), **fields))


def remove_gig(book: Book, gig_id: str) -> Book:
    """Return the book without a gig; rig and house stay."""
    gone = book.gig(gig_id)
    return checked(book, gigs=tuple(gig for gig in book.gigs if gig is not gone))


def bind_landing(book: Book, gig_id: str, landing: Landing, catalogue: Catalogue) -> Book:
    """Return the book with a hand-off landed on a house socket, in place of where it landed before.

    Raises
    ------
    EditRefused
        If hand-off, socket, cable type, gear type or a port of the chain does not
        exist, or the directions disagree.
    """
    gig = book.gig(gig_id)
    whole = book.with_catalogue(catalogue)
    for piece in landing.chain:
        if isinstance(piece, CablePiece):
            whole.cable_type(piece.cable)
        else:
            _check_piece(piece, whole)
    kept = tuple(one for one in gig.landings if one.hand_off != landing.hand_off)
    return put_gig(book, checked(gig, landings=(*kept, landing)))


def unbind_landing(book: Book, gig_id: str, hand_off_id: str) -> Book:
    """Return the book with a hand-off of this gig landed nowhere.

    Raises
    ------
    UnknownThing
        If it was not landed.
    """
    gig = book.gig(gig_id)
    if gig.landing(hand_off_id) is None:
        raise UnknownThing(f"hand-off '{hand_off_id}' lands nowhere at this gig", [hand_off_id])
    return put_gig(book, checked(gig, landings=without_landings(gig.landings, {hand_off_id})))


def land_port(book: Book, gig_id: str, ref: PortRef, socket_id: str, *, catalogue: Catalogue) -> Book:
    """Return the book with a port of the rig landed on a house socket, by the likeliest cable.

    Makes the port a hand-off if it is none yet. Where no cable type fits both
    ends the landing is only intended, and the rules say what is missing.

    Raises
    ------
    EditRefused
        If the socket does not exist or faces the same way as the port.
    """
    gig = book.gig(gig_id)
    house = book.house(gig.house)
    socket = house.socket(socket_id)
    if socket is None:
        raise UnknownThing(f"there is no socket '{socket_id}' at house '{house.name}'", [socket_id])
    whole = book.with_catalogue(catalogue)
    hand_off = hand_off_at(book, gig.rig, ref, catalogue)
    rig_unit, house_unit = book.rig(gig.rig).unit(ref.unit), house.unit(socket.unit)
    if rig_unit is None or house_unit is None:
        raise UnknownThing(f"socket '{socket.label}' sits at no unit of the house", [socket_id])
    ends = [whole.port(rig_unit.gear, ref.port), whole.port(house_unit.gear, socket.ports[0])]
    if (hand_off.direction == "to house") != (socket.direction == "in"):
        raise EditRefused(
            f"{hand_off.name} runs {hand_off.direction}, but {socket.label} is an {socket.direction}put",
            [hand_off.id, socket.id],
        )
    if hand_off.direction == "from house":
        ends.reverse()
    cables = whole.cables_between(*ends)
    chain: tuple[CablePiece, ...] = ()
    if cables:
        lengths = cables[0].stock_lengths_m
        usual = min((one for one in lengths if one >= 5.0), default=max(lengths))
        chain = (CablePiece(kind="cable", cable=cables[0].id, length_m=usual),)
    book = _with_hand_off(book, gig.rig, hand_off)
    return bind_landing(book, gig_id, Landing(hand_off=hand_off.id, socket=socket_id, chain=chain), catalogue)


def place_here(book: Book, gig_id: str, placement: Placement) -> Book:
    """Return the book with a unit standing somewhere else at this gig only."""
    gig = book.gig(gig_id)
    kept = tuple(one for one in gig.placements if one.unit != placement.unit)
    return put_gig(book, checked(gig, placements=(*kept, placement)))


def _with_hand_off(book: Book, rig_id: str, hand_off: HandOff) -> Book:
    rig = book.rig(rig_id)
    if rig.hand_off(hand_off.id) is not None:
        return book
    new_rig = checked(rig, hand_offs=(*rig.hand_offs, hand_off))
    return checked(book, rigs=tuple(new_rig if one is rig else one for one in book.rigs))


def _check_piece(piece: GearPiece, catalogue: Catalogue) -> None:
    for port_id in (piece.enter, *piece.leave):
        catalogue.port(piece.gear, port_id)
    for setting in piece.settings:
        catalogue.port(piece.gear, setting.port)
