"""Moving units over the stage plan, onto it from the tray, and back: one edit when they are let go."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from PySide6.QtCore import QCoreApplication, QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.canvas.gestures.gesture import Edit, Gesture, Pointer
from app.canvas.layout import Point
from app.canvas.stage_layout import Caught, Place, mirrors_of, on_sheet, on_stage, place_note, snap, stage_box
from app.canvas.stage_scene import StageScene
from app.desk import Desk
from app.theme import Theme
from rigcore.book.book import Book
from rigcore.book.edits.gigs import change_gig, place_here
from rigcore.book.edits.units import change_unit, move_on_stage
from rigcore.book.gig import Placement

_STILL = 3.0


def stage_edit(gig: tuple[str, str], places: Mapping[str, Place], here: Collection[str], words: str) -> Edit:
    """Return the edit that stands units at places; those placed for this gig only stay so.

    ``gig`` is the gig's id and its rig's, ``here`` the units with a place of their own at this gig.
    """
    gig_id, rig_id = gig

    def change(book: Book) -> Book:
        for name, (x_m, y_m, turn) in places.items():
            if name in here:
                spot = Placement(unit=name, x_m=x_m, y_m=y_m, rotation_deg=turn % 360.0)
                book = place_here(book, gig_id, spot)
            else:
                book = move_on_stage(book, rig_id, name, (x_m, y_m, turn))
        return book

    return Edit(words, change)


def take_off_edit(gig: tuple[str, str], names: Sequence[str]) -> Edit:
    """Return the edit that puts units back into the tray."""
    gig_id, rig_id = gig

    def change(book: Book) -> Book:
        kept = tuple(one for one in book.gig(gig_id).placements if one.unit not in names)
        if kept != book.gig(gig_id).placements:
            book = change_gig(book, gig_id, placements=kept)
        for name in names:
            book = change_unit(book, rig_id, name, x_m=None, y_m=None)
        return book

    return Edit(QCoreApplication.translate("Edits", "Take off the stage"), change)


def placed_here(book: Book, gig_id: str) -> frozenset[str]:
    """Return the units that have a place of their own at this gig."""
    return frozenset(one.unit for one in book.gig(gig_id).placements)


class MoveFootprints(Gesture):
    """Shifts the selected units with the hand; Alt lets them lie anywhere."""

    def __init__(self, desk: Desk, scene: StageScene, names: Sequence[str], held: str) -> None:
        self._desk = desk
        self._scene = scene
        self._held = held
        self._names = tuple(name for name in names if name == held or not scene.footprints[name].waiting)
        self._first = QPointF()
        self._start: dict[str, Point] = {}
        self._caught: Caught | None = None
        self._last = QPointF()
        self.theme: Theme | None = None
        self.feet = False
        self.has_moved = False

    def start(self, pointer: Pointer) -> None:
        self._first = pointer.at
        held = self._scene.footprints[self._held]
        for name in self._names:
            at = self._scene.footprints[name].pos()
            self._start[name] = Point(at.x(), at.y())
        if held.waiting:
            self._start[self._held] = Point(pointer.at.x(), pointer.at.y())

    def move(self, pointer: Pointer) -> None:
        by = pointer.at - self._first
        if not self.has_moved and by.manhattanLength() < _STILL:
            return
        self.has_moved = True
        self._last = pointer.at
        start = self._start[self._held]
        x_m, y_m = on_stage(start.x + by.x(), start.y + by.y())
        free = pointer.holds(Qt.KeyboardModifier.AltModifier)
        mirrors = mirrors_of(self._scene.units[self._held], self._scene.units)
        self._caught = snap(x_m, y_m, mirrors, free=free)
        at = on_sheet(self._caught.x_m, self._caught.y_m)
        for name in self._names:
            first = self._start[name]
            self._scene.footprints[name].lift(Point(first.x + at.x - start.x, first.y + at.y - start.y))
        self._scene.write_names(self._names)

    def end(self, pointer: Pointer) -> None:
        if not self.has_moved:
            return
        gig = (self._desk.gig_id, self._desk.rig_id)
        if self._scene.is_in_tray(Point(pointer.at.x(), pointer.at.y())):
            edit = take_off_edit(gig, self._names)
        else:
            words = QCoreApplication.translate("Edits", "Move on stage")
            edit = stage_edit(gig, self._places(), placed_here(self._desk.book, gig[0]), words)
        self._desk.edit(edit.words, edit.change)
        self._scene.refresh()

    def _places(self) -> dict[str, Place]:
        places = {}
        for name in self._names:
            item = self._scene.footprints[name]
            x_m, y_m = on_stage(item.pos().x(), item.pos().y())
            places[name] = (round(x_m, 2), round(y_m, 2), self._scene.units[name].rotation_deg)
        return places

    def cancel(self) -> None:
        self._scene.refresh()

    @property
    def words(self) -> str:
        """Where the unit in the hand is, and what holds it there."""
        if self._caught is None:
            return ""
        parts = [*place_note(self._caught.x_m, self._caught.y_m, feet=self.feet)]
        if self._caught.by == "symmetric":
            parts.append(QCoreApplication.translate("StageSheet", "symmetric"))
        return " · ".join(parts)

    @property
    def tip(self) -> QPointF:
        """Where the hand is on the sheet."""
        return self._last

    def paint(self, painter: QPainter) -> None:
        """Draw the line that holds the unit."""
        if self._caught is None or not self._caught.by or self.theme is None:
            return
        floor = stage_box(self._scene.floor.stage)
        painter.setPen(QPen(QColor(self.theme.focus), 1.4, Qt.PenStyle.DashLine))
        lines = {0.0} if self._caught.by == "centre line" else {self._caught.x_m, -self._caught.x_m}
        for x_m in lines:
            x = on_sheet(x_m, 0).x
            painter.drawLine(QPointF(x, floor.top), QPointF(x, floor.bottom))
