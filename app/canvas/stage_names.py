"""The names on the stage plan: where each is written so that none hides another. And their painting."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.fonts import elided, font, metrics
from app.canvas.layout import Box, Point
from app.canvas.painting import steady
from app.canvas.unit_item import rect_of
from app.theme import Theme

HEIGHT = 17.0
WIDEST = 190.0
_GAP = 3.0


@dataclass(frozen=True)
class Named:
    """Something with a name: its bounds, and the room on it where the name may stand (None where it may not)."""

    words: str
    bounds: Box
    room: Box | None
    soft: bool = False


@dataclass(frozen=True)
class Name:
    """A name with its place; ``inside`` says that it stands on its own footprint."""

    words: str
    box: Box
    inside: bool
    soft: bool


def place_names(things: Sequence[Named], walls: Sequence[Box] = (), scale: float = 1.0) -> list[Name]:
    """Return where each name is written: on its thing where it fits, else on the freest side of it.

    ``walls`` are lines no name should lie on, ``scale`` the size of the letters.
    """
    bodies = [*(thing.bounds for thing in things), *walls]
    placed: list[Name] = []
    for thing in sorted(things, key=lambda one: not _fits(one, scale)):
        if thing.room is not None and _fits(thing, scale):
            placed.append(Name(thing.words, thing.room, True, thing.soft))
            continue
        others = [body for body in bodies if body is not thing.bounds]
        taken = [name.box for name in placed]
        box = min(_sides(thing, scale), key=lambda one: sum(_shared(one, other) for other in (*others, *taken, *taken)))
        placed.append(Name(thing.words, box, False, thing.soft))
    return placed


def _size(words: str, scale: float) -> tuple[float, float]:
    return min(metrics("glyph", scale).horizontalAdvance(words), WIDEST * scale) + 8, HEIGHT * scale


def _fits(thing: Named, scale: float) -> bool:
    room = thing.room
    width, height = _size(thing.words, scale)
    return room is not None and room.right - room.left >= width - 2 and room.bottom - room.top >= height


def _sides(thing: Named, scale: float) -> list[Box]:
    """Return the boxes a name could have outside its thing, the favourite first."""
    (width, height), box = _size(thing.words, scale), thing.bounds
    middle = Point((box.left + box.right) / 2, (box.top + box.bottom) / 2)
    x, y = middle.x - width / 2, middle.y - height / 2
    corners = [
        (x, box.bottom + _GAP),
        (x, box.top - _GAP - height),
        (box.right + _GAP, y),
        (box.left - _GAP - width, y),
        (x, box.bottom + _GAP + height),
        (x, box.top - _GAP - 2 * height),
    ]
    return [Box(left, top, left + width, top + height) for left, top in corners]


def _shared(one: Box, other: Box) -> float:
    """Return the area two boxes share."""
    wide = min(one.right, other.right) - max(one.left, other.left)
    high = min(one.bottom, other.bottom) - max(one.top, other.top)
    return wide * high if wide > 0 and high > 0 else 0.0


class NamesItem(QGraphicsItem):
    """Paints all names over all footprints."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.names: list[Name] = []
        self._theme = theme
        self._bounds = QRectF()
        self._scale = 1.0
        self.setZValue(20)

    def show_names(self, things: Sequence[Named], walls: Sequence[Box], scale: float) -> None:
        """Write the names of these things, the letters larger by a factor."""
        self.prepareGeometryChange()
        self._scale = scale
        self.names = place_names(things, walls, scale)
        self._bounds = QRectF()
        for name in self.names:
            self._bounds = self._bounds.united(rect_of(name.box))
        self.update()

    def set_theme(self, theme: Theme) -> None:
        """Change colours."""
        self._theme = theme
        self.update()

    def boundingRect(self) -> QRectF:
        return self._bounds

    @steady
    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        painter.setFont(font("glyph", self._scale))
        for name in self.names:
            box = rect_of(name.box)
            if not name.inside:
                plate = QColor(self._theme.tile)
                plate.setAlpha(200)
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(plate)
                painter.drawRoundedRect(box, 3, 3)
            painter.setPen(QColor(self._theme.text_soft if name.soft else self._theme.text))
            words = elided("glyph", name.words, box.width() - 4, self._scale)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)
