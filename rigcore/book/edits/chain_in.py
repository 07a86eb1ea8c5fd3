"""Edits that join two ports by several pieces: inside a rig as units and links, to the house as a chain."""

from __future__ import annotations

from collections.abc import Sequence

from rigcore.book.book import Book
from rigcore.book.edits.gigs import bind_landing, land_port
from rigcore.book.edits.links import add_link
from rigcore.book.edits.rebuild import checked
from rigcore.book.edits.units import add_unit, unit_of
from rigcore.book.gig import CablePiece, Piece
from rigcore.book.ids import PortRef, new_id
from rigcore.book.rig import Link
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import EditRefused


def plug_by_chain(
    book: Book, rig_id: str, ends: tuple[PortRef, PortRef], pieces: Sequence[Piece], *, catalogue: Catalogue
) -> Book:
    """Return the book with two ports of a rig joined by pieces: boxes become units, cables the links between.

    Parameters
    ----------
    ends
        The output and the input, in the direction of the signal.
    pieces
        In the order the signal takes them; two cables never follow one another.

    Raises
    ------
    EditRefused
        If a piece, unit or port does not exist, or two cables follow one another.
    """
    here, target = ends
    lead: CablePiece | None = None
    for piece in pieces:
        if isinstance(piece, CablePiece):
            if lead is not None:
                raise EditRefused("two cables follow one another in this chain; a box must lie between")
            lead = piece
            continue
        unit = unit_of(book, rig_id, piece.gear, catalogue)
        unit = checked(unit, owner=piece.owner, settings=piece.settings)
        book = add_unit(book, rig_id, unit, catalogue)
        book = _joined(book, rig_id, (here, PortRef(unit=unit.id, port=piece.enter)), lead, catalogue=catalogue)
        here, lead = PortRef(unit=unit.id, port=piece.leave[0]), None
    return _joined(book, rig_id, (here, target), lead, catalogue=catalogue)


def _joined(
    book: Book, rig_id: str, ends: tuple[PortRef, PortRef], lead: CablePiece | None, *, catalogue: Catalogue
) -> Book:
    source, target = ends
    taken = {link.id for link in book.rig(rig_id).links}
    link = Link(id=new_id(f"{source.unit}-{source.port}-to-{target.unit}", taken), source=source, target=target)
    if lead is not None:
        link = checked(link, cable=lead.cable, length_m=lead.length_m, owner=lead.owner)
    return add_link(book, rig_id, link, catalogue)


def land_by_chain(
    book: Book, gig_id: str, ends: tuple[PortRef, str], pieces: Sequence[Piece], *, catalogue: Catalogue
) -> Book:
    """Return the book with a port of the rig landed on a house socket by a chain of pieces.

    Raises
    ------
    EditRefused
        As :func:`rigcore.book.edits.gigs.land_port`.
    """
    ref, socket_id = ends
    landed = land_port(book, gig_id, ref, socket_id, catalogue=catalogue)
    gig = landed.gig(gig_id)
    rig = landed.rig(gig.rig)
    hand_off = next(one for one in rig.hand_offs if (one.unit, one.port) == (ref.unit, ref.port))
    landing = gig.landing(hand_off.id)
    assert landing is not None  # it has just been made
    return bind_landing(landed, gig_id, checked(landing, chain=tuple(pieces)), catalogue)
