"""Moving cards over the Patch sheet: one edit when they are let go."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from PySide6.QtCore import QCoreApplication, QPointF, Qt

from app.canvas.gestures.gesture import Edit, Gesture, Pointer
from app.canvas.layout import Point
from app.canvas.patch_plan import Laid, SheetPlan
from app.canvas.patch_scene import PatchScene
from app.desk import Desk
from rigcore.book.book import Book
from rigcore.book.edits.folds import move_racks
from rigcore.book.edits.units import move_cards

GRID = 8.0
_STILL = 3.0


def snapped(by: QPointF, first: Point, *, free: bool) -> QPointF:
    """Return a shift that lays the first card on the grid, or the shift itself if free."""
    if free:
        return by
    x = round((first.x + by.x()) / GRID) * GRID - first.x
    y = round((first.y + by.y()) / GRID) * GRID - first.y
    return QPointF(x, y)


def lay_edit(rig_id: str, unplaced: Mapping[str, Point], laid: Laid, words: str) -> Edit:
    """Return the edit that lays cards, folded racks with all inside, and keeps those nobody has laid where they lie."""
    new = {**unplaced, **laid.units}

    def change(book: Book) -> Book:
        return move_racks(move_cards(book, rig_id, new), rig_id, laid.racks)

    return Edit(words, change)


def move_edit(rig_id: str, plan: SheetPlan, names: Collection[str], by: tuple[float, float]) -> Edit:
    """Return the edit that moves some cards of a sheet by so much."""
    places = {name: plan.cards[name].place for name in names}
    laid = plan.laid({name: Point(at.x + by[0], at.y + by[1]) for name, at in places.items()})
    words = "Move units" if len(laid.units) > 1 else "Move unit"
    if len(names) == 1 and laid.racks:
        words = "Move rack"
    return lay_edit(rig_id, plan.unplaced, laid, QCoreApplication.translate("Edits", words))


class MoveCards(Gesture):
    """Shifts the selected cards with the hand; Alt lets them lie off the grid."""

    is_swift = True

    def __init__(self, desk: Desk, scene: PatchScene, names: Sequence[str], held: str) -> None:
        self._desk = desk
        self._scene = scene
        self._names = tuple(names)
        self._held = held
        self._first = QPointF()
        self._by = QPointF()
        self.has_moved = False

    def start(self, pointer: Pointer) -> None:
        self._first = pointer.at

    def move(self, pointer: Pointer) -> None:
        by = pointer.at - self._first
        if not self.has_moved and by.manhattanLength() < _STILL:
            return
        self.has_moved = True
        held = self._scene.plan.cards[self._held].place
        self._by = snapped(by, held, free=pointer.holds(Qt.KeyboardModifier.AltModifier))
        self._scene.shift_cards(self._names, self._by)

    def end(self, pointer: Pointer) -> None:
        if not self.has_moved:
            return
        edit = move_edit(self._desk.rig_id, self._scene.plan, self._names, (self._by.x(), self._by.y()))
        before = self._desk.book
        self._desk.edit(edit.words, edit.change)
        if self._desk.book is before:
            self._scene.refresh()

    def cancel(self) -> None:
        self._scene.refresh()
