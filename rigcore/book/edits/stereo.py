"""Edits that make two hand-offs the halves of a stereo pair, or part them."""

from __future__ import annotations

from typing import Literal

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked, put_rig
from rigcore.book.ids import new_id
from rigcore.book.rig import HandOff, Rig
from rigcore.errors import EditRefused, UnknownThing

Side = Literal["L", "R"]


def partner_of(rig: Rig, hand_off: HandOff) -> HandOff | None:
    """Return the other half of a stereo pair, or None."""
    if hand_off.group is None or not hand_off.side:
        return None
    return next(
        (one for one in rig.hand_offs if one.group == hand_off.group and one.side and one.id != hand_off.id), None
    )


def pair(book: Book, rig_id: str, halves: tuple[str, str]) -> Book:
    """Return the book with two hand-offs as left and right of one pair; a pair either was in is parted.

    Raises
    ------
    EditRefused
        If one does not exist, both are the same, or they run in different directions.
    """
    rig = book.rig(rig_id)
    left, right = (_the(rig, one) for one in halves)
    if left.id == right.id:
        raise EditRefused("a pair needs two different hand-offs", [left.id])
    if left.direction != right.direction:
        raise EditRefused(f"{left.name} and {right.name} run in different directions; they are no pair", [*halves])
    rig = _parted(_parted(rig, left), right)
    group = new_id(left.name, {one.group for one in rig.hand_offs if one.group})
    sides: dict[str, Side] = {left.id: "L", right.id: "R"}
    return put_rig(book, _with(rig, group=group, sides=sides))


def unpair(book: Book, rig_id: str, hand_off_id: str) -> Book:
    """Return the book with a hand-off, and the half it leaves behind, as lines of their own."""
    rig = book.rig(rig_id)
    return put_rig(book, _parted(rig, _the(rig, hand_off_id)))


def _parted(rig: Rig, hand_off: HandOff) -> Rig:
    gone = {hand_off.id}
    other = partner_of(rig, hand_off)
    if other is not None:
        gone.add(other.id)
    return checked(rig, hand_offs=tuple(
        checked(one, group=None, side="") if one.id in gone else one for one in rig.hand_offs
    ))  # fmt: skip


def _with(rig: Rig, *, group: str, sides: dict[str, Side]) -> Rig:
    return checked(rig, hand_offs=tuple(
        checked(one, group=group, side=sides[one.id]) if one.id in sides else one for one in rig.hand_offs
    ))  # fmt: skip


def _the(rig: Rig, hand_off_id: str) -> HandOff:
    hand_off = rig.hand_off(hand_off_id)
    if hand_off is None:
        raise UnknownThing(f"there is no hand-off '{hand_off_id}' in rig '{rig.name}'", [hand_off_id])
    return hand_off
