"""Moving the paper under the window: middle button, or space and drag."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QGraphicsView

from app.canvas.gestures.gesture import Gesture, Pointer


class Pan(Gesture):
    """Scrolls the view with the hand."""

    is_swift = True

    def __init__(self, view: QGraphicsView) -> None:
        self._view = view
        self._last = QPoint()

    def start(self, pointer: Pointer) -> None:
        self._last = pointer.seen
        self._view.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)

    def move(self, pointer: Pointer) -> None:
        way = pointer.seen - self._last
        self._last = pointer.seen
        for bar, step in ((self._view.horizontalScrollBar(), way.x()), (self._view.verticalScrollBar(), way.y())):
            bar.setValue(bar.value() - step)

    def end(self, pointer: Pointer) -> None:
        self.cancel()

    def cancel(self) -> None:
        self._view.viewport().unsetCursor()
