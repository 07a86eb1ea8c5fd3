"""Edits of the rig's boundary: name a hand-off, change it, give it up."""

from __future__ import annotations

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked, put_rig, replaced, the_unit, without_hand_offs
from rigcore.book.ids import PortRef, new_id
from rigcore.book.rig import HandOff, Rig
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import EditRefused, UnknownThing


def add_hand_off(book: Book, rig_id: str, hand_off: HandOff, catalogue: Catalogue) -> Book:
    """Return the book with a hand-off added.

    Raises
    ------
    EditRefused
        If its unit or port does not exist, or the port is a hand-off already.
    """
    rig = book.rig(rig_id)
    book.with_catalogue(catalogue).port(the_unit(rig, hand_off.unit).gear, hand_off.port)
    for one in rig.hand_offs:
        if (one.unit, one.port) == (hand_off.unit, hand_off.port):
            raise EditRefused(f"this port is already the hand-off '{one.name}'", [one.id])
    return put_rig(book, checked(rig, hand_offs=(*rig.hand_offs, hand_off)))


def hand_off_at(book: Book, rig_id: str, ref: PortRef, catalogue: Catalogue) -> HandOff:
    """Return the hand-off of a port: the one that exists, or a fresh one named after unit and port."""
    rig = book.rig(rig_id)
    for one in rig.hand_offs:
        if (one.unit, one.port) == (ref.unit, ref.port):
            return one
    unit = the_unit(rig, ref.unit)
    gear = book.with_catalogue(catalogue).gear_type(unit.gear)
    port = book.with_catalogue(catalogue).port(unit.gear, ref.port)
    name = unit.setting(ref.port).label or unit.name
    outs = [one for one in gear.ports if one.direction == port.direction and one.carrier.medium == "audio"]
    if not unit.setting(ref.port).label and len(outs) > 1:
        name = f"{unit.name} {port.side or port.name}"
    return HandOff(
        id=new_id(name, {one.id for one in rig.hand_offs}),
        name=name,
        unit=ref.unit,
        port=ref.port,
        direction="from house" if port.direction == "in" else "to house",
        group=f"{unit.id}-{port.pair}"[:80] if port.pair else None,
        side=port.side,
        order=len(rig.hand_offs) + 1,
    )


def change_hand_off(book: Book, rig_id: str, hand_off_id: str, **fields: object) -> Book:
    """Return the book with some fields of a hand-off replaced.

    Raises
    ------
    EditRefused
        If it does not exist, would change its direction while landed, or the values do not hold.
    """
    rig = book.rig(rig_id)
    new = checked(_the_hand_off(rig, hand_off_id), **fields)
    return put_rig(book, checked(rig, hand_offs=replaced(rig.hand_offs, new)))


def remove_hand_off(book: Book, rig_id: str, hand_off_id: str) -> Book:
    """Return the book without a hand-off, its landings and its places in any order."""
    rig = book.rig(rig_id)
    _the_hand_off(rig, hand_off_id)
    kept = tuple(
        checked(one, falls_back_to=None) if one.falls_back_to == hand_off_id else one
        for one in rig.hand_offs
        if one.id != hand_off_id
    )
    return without_hand_offs(book, checked(rig, hand_offs=kept), [hand_off_id])


def _the_hand_off(rig: Rig, hand_off_id: str) -> HandOff:
    hand_off = rig.hand_off(hand_off_id)
    if hand_off is None:
        raise UnknownThing(f"there is no hand-off '{hand_off_id}' in rig '{rig.name}'", [hand_off_id])
    return hand_off
