"""Edits that put one end of a cable somewhere else: the other end, the cable and what is written on it stay."""

from __future__ import annotations

from rigcore.book.book import Book
from rigcore.book.edits.gigs import bind_landing, land_port
from rigcore.book.edits.links import plug, remove_links
from rigcore.book.edits.rebuild import checked, put_rig
from rigcore.book.ids import PortRef
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import UnknownThing


def move_link_end(
    book: Book, rig_id: str, link_id: str, ends: tuple[PortRef, PortRef], *, catalogue: Catalogue
) -> Book:
    """Return the book with a link lying between two other ports.

    It keeps its id, label, loom and owner, and its cable where that fits both ports; else the likeliest is taken.

    Parameters
    ----------
    ends
        The port that stays, and the one the loose end goes to.

    Raises
    ------
    EditRefused
        As :func:`rigcore.book.edits.links.add_link`, or if there is no such link.
    """
    before = book.rig(rig_id).link(link_id)
    if before is None:
        raise UnknownThing(f"there is no link '{link_id}' in this rig", [link_id])
    place = book.rig(rig_id).links.index(before)
    looms = book.rig(rig_id).looms
    plugged = plug(remove_links(book, rig_id, [link_id]), rig_id, ends, catalogue)
    rig = plugged.rig(rig_id)
    fresh = rig.links[-1]
    whole = book.with_catalogue(catalogue)
    ports = []
    for end in (fresh.source, fresh.target):
        unit = rig.unit(end.unit)
        assert unit is not None  # plugging has found it
        ports.append(whole.port(unit.gear, end.port))
    fits = before.cable is not None and before.cable in {one.id for one in whole.cables_between(*ports)}
    kept = {"cable": before.cable, "length_m": before.length_m} if fits else {}
    link = checked(fresh, id=link_id, label=before.label, loom=before.loom, owner=before.owner, **kept)
    links = (*rig.links[:place], link, *rig.links[place:-1])
    return put_rig(plugged, checked(rig, links=links, looms=looms))


def move_landing(book: Book, gig_id: str, hand_off_id: str, socket_id: str, *, catalogue: Catalogue) -> Book:
    """Return the book with a hand-off landed on another socket, by the chain it has.

    Raises
    ------
    EditRefused
        If it has not landed, or the socket does not exist or faces the other way.
    """
    gig = book.gig(gig_id)
    landing, hand_off = gig.landing(hand_off_id), book.rig(gig.rig).hand_off(hand_off_id)
    if landing is None or hand_off is None:
        raise UnknownThing(f"'{hand_off_id}' has not landed at this gig", [hand_off_id])
    ref = PortRef(unit=hand_off.unit, port=hand_off.port)
    landed = land_port(book, gig_id, ref, socket_id, catalogue=catalogue)
    return bind_landing(landed, gig_id, checked(landing, socket=socket_id), catalogue)
