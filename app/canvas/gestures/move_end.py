"""Taking one end of a cable that is plugged in and putting it somewhere else: one edit when it is let go."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QCoreApplication

from app.canvas.gestures.draw_cable import DrawCable, End, cable_edit
from app.canvas.gestures.gesture import Edit
from app.canvas.hits import Hit
from app.canvas.layout import Point
from app.canvas.patch_cables import Cable
from app.canvas.patch_scene import PatchScene
from app.desk import Desk
from app.theme import Theme
from rigcore.book.book import Book
from rigcore.book.edits.gigs import unbind_landing
from rigcore.book.edits.links import remove_links
from rigcore.book.edits.replug import move_landing, move_link_end
from rigcore.book.edits.units import move_cards
from rigcore.book.ids import PortRef
from rigcore.catalogue.catalogue import Catalogue

REACH = 34.0
"""How far from its plug a cable is taken by its end, in sheet units."""


def end_taken(cable: Cable, way: tuple[Point, ...], x: float, y: float) -> End | None:
    """Return the end of a cable a hand takes at a place: the nearer one, if within reach."""
    if len(way) < 2:
        return None
    far = {end: (x - at.x) ** 2 + (y - at.y) ** 2 for end, at in ((cable.start, way[0]), (cable.end, way[-1]))}
    nearest = min(far, key=lambda end: far[end])
    return nearest if far[nearest] <= REACH**2 else None


def hit_of(end: End) -> Hit:
    """Return an end as something hit."""
    return Hit("tile", end) if isinstance(end, str) else Hit("port", end.unit, end.port)


def move_end_edit(
    cable: Cable, ends: tuple[End, End], gig: tuple[str, str], catalogue: Catalogue, *, unplaced: Mapping[str, Point]
) -> Edit | None:
    """Return the edit that leaves one end of a cable and puts the other elsewhere; None where it is there already.

    ``ends`` are the end that stays and the one the loose end goes to; ``gig`` is the gig's id and its rig's.
    """
    gig_id, rig_id = gig
    stays, new = ends
    if {stays, new} == {cable.start, cable.end}:
        return None
    thing = cable.thing
    words = QCoreApplication.translate("Edits", "Move the end of a cable")

    def settled(book: Book) -> Book:
        return move_cards(book, rig_id, unplaced) if unplaced else book

    if thing.kind == "link" and isinstance(stays, PortRef) and isinstance(new, PortRef):
        pair = (stays, new)
        return Edit(words, lambda book: move_link_end(settled(book), rig_id, thing.id, pair, catalogue=catalogue))
    if thing.kind == "landing" and isinstance(new, str) and stays == cable.start:
        return Edit(words, lambda book: move_landing(settled(book), gig_id, thing.id, new, catalogue=catalogue))
    drawn = cable_edit((stays, new), gig, catalogue, unplaced)
    if drawn is None:
        return None

    def change(book: Book) -> Book:
        loose = (
            remove_links(book, rig_id, [thing.id]) if thing.kind == "link" else unbind_landing(book, gig_id, thing.id)
        )
        return drawn.change(settled(loose))

    return Edit(words, change)


class MoveEnd(DrawCable):
    """A cable's loose end in the hand; the other end stays plugged."""

    def __init__(self, desk: Desk, scene: PatchScene, taken: tuple[Cable, End], theme: Theme) -> None:
        cable, end = taken
        self._stays = cable.start if end == cable.end else cable.end
        super().__init__(desk, scene, hit_of(self._stays), theme)
        self.cable = cable

    def edit_to(self, target: End) -> Edit | None:
        """Return the edit that plugs the loose end in at a target."""
        gig = (self._desk.gig_id, self._desk.rig_id)
        unplaced = self._scene.plan.unplaced
        return move_end_edit(self.cable, (self._stays, target), gig, self._desk.shipped, unplaced=unplaced)
