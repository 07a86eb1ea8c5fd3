"""What every gesture is: started, moved, ended or cancelled. It changes nothing before its end."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QPainter

from rigcore.book.book import Book


class Pointer(Struct, frozen=True):
    """Where the hand is: on the sheet, in the window, and with which keys held."""

    at: QPointF
    seen: QPoint
    keys: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier

    def holds(self, key: Qt.KeyboardModifier) -> bool:
        """Return whether a modifier key is held."""
        return bool(self.keys & key)


class Edit(Struct, frozen=True):
    """What a gesture decides: the words of the step, and the pure edit."""

    words: str
    change: Callable[[Book], Book]


class Gesture:
    """The base: does nothing.

    ``is_swift`` asks for every frame in time, the paper beneath drawn when there is time left.
    """

    is_swift = False

    def start(self, pointer: Pointer) -> None:
        """Take hold."""

    def move(self, pointer: Pointer) -> None:
        """Follow the hand."""

    def end(self, pointer: Pointer) -> None:
        """Let go, and do what was meant."""

    def cancel(self) -> None:
        """Let go, and leave everything as it was."""

    def paint(self, painter: QPainter) -> None:
        """Draw what is in the hand, in sheet coordinates."""
