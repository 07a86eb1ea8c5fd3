"""Moving something of the house on the stage plan, once the house is open to changes: one edit when it is let go."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QPointF, Qt

from app.canvas.gestures.gesture import Edit, Gesture, Pointer
from app.canvas.stage_layout import Place, on_sheet, on_stage, place_note, snap
from app.canvas.stage_scene import StageScene
from app.desk import Desk
from rigcore.book.edits.house_units import move_house_unit

_STILL = 3.0


def house_edit(house_id: str, unit_id: str, place: Place) -> Edit:
    """Return the edit that puts a unit of a house somewhere."""
    words = QCoreApplication.translate("Edits", "Move what belongs to the house")
    return Edit(words, lambda book: move_house_unit(book, house_id, unit_id, place))


class MoveHouseUnit(Gesture):
    """Shifts one unit of the house with the hand; Alt lets it lie anywhere."""

    def __init__(self, desk: Desk, scene: StageScene, name: str, *, feet: bool) -> None:
        self._desk = desk
        self._scene = scene
        self._name = name
        self._feet = feet
        self._first = self._start = QPointF()
        self._to: tuple[float, float] | None = None
        self.tip = QPointF()

    def start(self, pointer: Pointer) -> None:
        self._first, self._start = pointer.at, self._scene.house_units[self._name].pos()

    def move(self, pointer: Pointer) -> None:
        by = pointer.at - self._first
        if self._to is None and by.manhattanLength() < _STILL:
            return
        at = self._start + by
        caught = snap(*on_stage(at.x(), at.y()), free=pointer.holds(Qt.KeyboardModifier.AltModifier))
        self._to, self.tip = (caught.x_m, caught.y_m), pointer.at
        self._scene.house_units[self._name].setPos(QPointF(*on_sheet(*self._to)))

    def end(self, pointer: Pointer) -> None:
        if self._to is None:
            return
        unit = self._scene.house_units[self._name].unit
        house = self._desk.book.gig(self._desk.gig_id).house
        edit = house_edit(house, self._name, (round(self._to[0], 2), round(self._to[1], 2), unit.rotation_deg))
        self._desk.edit(edit.words, edit.change)
        self._scene.refresh()

    def cancel(self) -> None:
        self._scene.refresh()

    @property
    def words(self) -> str:
        """Where it is."""
        return " · ".join(place_note(*self._to, feet=self._feet)) if self._to is not None else ""
