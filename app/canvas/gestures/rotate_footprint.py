"""Turning a unit on the stage plan by its handle: one edit when it is let go."""

from __future__ import annotations

import math

from PySide6.QtCore import QCoreApplication, QPointF, Qt

from app.canvas.gestures.gesture import Gesture, Pointer
from app.canvas.gestures.move_footprints import placed_here, stage_edit
from app.canvas.stage_layout import turned
from app.canvas.stage_scene import StageScene
from app.desk import Desk

_STILL = 3.0


def bearing(centre: QPointF, at: QPointF) -> float:
    """Return the rotation in degrees at which a handle upstage of the centre lies at a place."""
    return math.degrees(math.atan2(at.x() - centre.x(), centre.y() - at.y())) % 360.0


class RotateFootprint(Gesture):
    """Turns one unit about its centre, in steps of 15 degrees; Alt turns it freely."""

    def __init__(self, desk: Desk, scene: StageScene, name: str) -> None:
        self._desk = desk
        self._scene = scene
        self._name = name
        self._turn: float | None = None
        self._first = QPointF()
        self.tip = QPointF()

    def start(self, pointer: Pointer) -> None:
        self._first = pointer.at

    def move(self, pointer: Pointer) -> None:
        if self._turn is None and (pointer.at - self._first).manhattanLength() < _STILL:
            return
        item = self._scene.footprints[self._name]
        angle = bearing(item.pos(), pointer.at)
        free = pointer.holds(Qt.KeyboardModifier.AltModifier)
        self._turn = round(angle) % 360.0 if free else turned(angle, 0)
        self.tip = pointer.at
        item.setRotation(self._turn)
        self._scene.write_names((self._name,))

    def end(self, pointer: Pointer) -> None:
        unit = self._scene.units[self._name]
        if self._turn is None or unit.x_m is None or unit.y_m is None:
            return
        gig = (self._desk.gig_id, self._desk.rig_id)
        here = placed_here(self._desk.book, gig[0])
        words = QCoreApplication.translate("Edits", "Turn on stage")
        edit = stage_edit(gig, {self._name: (unit.x_m, unit.y_m, self._turn)}, here, words)
        self._desk.edit(edit.words, edit.change)
        self._scene.refresh()

    def cancel(self) -> None:
        self._scene.refresh()

    @property
    def words(self) -> str:
        """The rotation in the hand."""
        return "" if self._turn is None else f"{self._turn:g}°"
