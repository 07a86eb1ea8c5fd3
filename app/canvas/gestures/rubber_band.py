"""Selecting by a rectangle drawn on the empty sheet."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QGraphicsView

from app.canvas.gestures.gesture import Gesture, Pointer
from app.desk import Desk
from rigcore.rules.rule import Thing


def chosen(before: Sequence[Thing], inside: Iterable[Thing], *, add: bool) -> tuple[Thing, ...]:
    """Return the selection after a rubber band: what lies inside, beside what was selected if asked."""
    return tuple(dict.fromkeys([*(before if add else ()), *inside]))


class RubberBand(Gesture):
    """Selects what a rectangle touches; with Ctrl or Shift beside what is selected."""

    def __init__(self, view: QGraphicsView, desk: Desk, things_in: Callable[[QRectF], Iterable[Thing]]) -> None:
        self._view = view
        self._desk = desk
        self._things_in = things_in
        self._first = QPointF()
        self._area = QRectF()
        self._before: tuple[Thing, ...] = ()
        self._add = False

    def start(self, pointer: Pointer) -> None:
        self._first = pointer.at
        self._before = self._desk.selection
        self._add = pointer.holds(Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
        if not self._add:
            self._desk.select(())

    def move(self, pointer: Pointer) -> None:
        self._area = QRectF(self._first, pointer.at).normalized()
        self._desk.select(chosen(self._before, self._things_in(self._area), add=self._add))
        self._view.viewport().update()

    def end(self, pointer: Pointer) -> None:
        self._area = QRectF()
        self._view.viewport().update()

    def cancel(self) -> None:
        self._area = QRectF()
        self._desk.select(self._before)
        self._view.viewport().update()

    def paint(self, painter: QPainter) -> None:
        if self._area.isEmpty():
            return
        colour = QColor(self._view.palette().highlight().color())
        pen = QPen(colour, 1.2, Qt.PenStyle.DashLine)
        pen.setCosmetic(True)
        painter.setPen(pen)
        colour.setAlpha(28)
        painter.setBrush(colour)
        painter.drawRect(self._area)
