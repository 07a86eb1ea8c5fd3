"""Taking out what is selected: one edit for units, links and landings together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct
from PySide6.QtCore import QCoreApplication

from app.canvas.gestures.gesture import Edit
from app.canvas.layout import Point
from rigcore.book.book import Book
from rigcore.book.edits.gigs import unbind_landing
from rigcore.book.edits.links import remove_links
from rigcore.book.edits.units import move_cards, remove_units
from rigcore.rules.rule import Thing


class Gone(Struct, frozen=True):
    """What of a selection can be taken out: ids of units, links, and landed hand-offs."""

    units: tuple[str, ...]
    links: tuple[str, ...]
    landings: tuple[str, ...]

    def __bool__(self) -> bool:
        return bool(self.units or self.links or self.landings)


def what_goes(things: Iterable[Thing], book: Book, gig_id: str) -> Gone:
    """Return what a selection takes out: a selected port or house tile means the cables at it."""
    gig = book.gig(gig_id)
    rig = book.rig(gig.rig)
    things = tuple(things)
    units = {one.id for one in things if one.kind == "unit" and not one.port}
    ports = {(one.id, one.port) for one in things if one.kind == "unit" and one.port}
    links = {one.id for one in things if one.kind == "link"}
    sockets = {one.id for one in things if one.kind == "socket"}
    landings = {one.id for one in things if one.kind in ("landing", "hand-off")}
    hung = {one.id for one in rig.hand_offs if one.unit in units}
    at_port = {one.id for one in rig.hand_offs if (one.unit, one.port) in ports}
    return Gone(
        tuple(one.id for one in rig.units if one.id in units),
        tuple(
            link.id
            for link in rig.links
            if not units & {link.source.unit, link.target.unit}
            and (link.id in links or ports & {(end.unit, end.port) for end in (link.source, link.target)})
        ),
        tuple(
            one.hand_off
            for one in gig.landings
            if one.hand_off not in hung
            and (one.hand_off in landings or one.hand_off in at_port or one.socket in sockets)
        ),
    )


def delete_edit(gone: Gone, gig: tuple[str, str], unplaced: Mapping[str, Point]) -> Edit:
    """Return the edit that takes everything out at once; ``gig`` is the gig's id and its rig's."""
    gig_id, rig_id = gig
    kept = {name: place for name, place in unplaced.items() if name not in gone.units}

    def change(book: Book) -> Book:
        if kept:
            book = move_cards(book, rig_id, kept)
        for hand_off_id in gone.landings:
            book = unbind_landing(book, gig_id, hand_off_id)
        if gone.links:
            book = remove_links(book, rig_id, gone.links)
        return remove_units(book, rig_id, gone.units) if gone.units else book

    words = "Delete units" if gone.units else "Unplug"
    return Edit(QCoreApplication.translate("Edits", words), change)
