"""What is laid over the stage plan: lines with words, and numbers at units, none covering another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.badge_places import Wanted, spread
from app.canvas.fonts import font, metrics
from app.canvas.ground import Ground, around
from app.canvas.layout import Box, Point
from app.canvas.painting import steady
from app.canvas.stage_layout import on_sheet
from app.canvas.unit_item import rect_of
from app.theme import Theme
from rigcore.lists.overlays import Mark, Overlay, Stroke
from rigcore.values import dataclass

_HIGH, _CLEAR = 17.0, 20.0
_STEPS = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)
_DASHES: tuple[Sequence[float], ...] = ((), (6, 3), (1.5, 2.5), (8, 3, 2, 3))
_COLOURS = ("mic", "loudspeaker", "line", "control")


@dataclass(frozen=True)
class Plate:
    """Words on a plate, and whether they tell of something that falls short."""

    words: str
    box: Box
    bad: bool = False


def plates(shown: Overlay, taken: Ground, letters: float) -> list[Plate]:
    """Return the words of an overlay at places where they cover nothing taken, nor each other."""
    wanted, told = [], []
    for mark in shown.marks:
        wanted.append(_at_mark(mark, letters))
        told.append((mark.words, False))
    for stroke in (one for one in shown.strokes if one.words):
        wanted.append(_along(stroke, letters))
        told.append((stroke.words, stroke.falls_short))
    places = spread(wanted, taken)
    return [
        Plate(words, around(place.at, *want.size), bad)
        for (words, bad), want, place in zip(told, wanted, places, strict=True)
    ]


def _size(words: str, letters: float) -> tuple[float, float]:
    return metrics("label", letters).horizontalAdvance(words) + 10 * letters, _HIGH * letters


def _at_mark(mark: Mark, letters: float) -> Wanted:
    at, size = on_sheet(*mark.at), _size(mark.words, letters)
    if mark.beside:
        spots = [Point(at.x, at.y + y) for y in (-_CLEAR - size[1] / 2, _CLEAR + size[1] * 1.5)]
        spots += [Point(at.x + x, at.y) for x in (_CLEAR + size[0] / 2, -_CLEAR - size[0] / 2)]
        return Wanted(size, tuple(spots), at)
    shifts = ((0, 0), (0, -1.1), (0, 1.1), (1.1, 0), (-1.1, 0))
    return Wanted(size, tuple(Point(at.x + x * size[0], at.y + y * size[1]) for x, y in shifts), at)


def _along(stroke: Stroke, letters: float) -> Wanted:
    size = _size(stroke.words, letters)
    pairs = [(on_sheet(*a), on_sheet(*b)) for a, b in pairwise(stroke.points)]
    pairs.sort(key=lambda pair: -abs(pair[0].x - pair[1].x) - abs(pair[0].y - pair[1].y))
    spots = [Point(a.x + (b.x - a.x) * part, a.y + (b.y - a.y) * part) for a, b in pairs for part in _STEPS]
    return Wanted(size, tuple(spots), spots[0])


class OverlayItem(QGraphicsItem):
    """Paints one overlay."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.shown = Overlay()
        self.plates: list[Plate] = []
        self._theme = theme
        self._letters = 1.0
        self._bounds = QRectF()
        self.setZValue(15)

    def show_overlay(self, shown: Overlay, written: Iterable[Plate], letters: float) -> None:
        """Show another overlay, its words at their places."""
        self.prepareGeometryChange()
        self.shown, self.plates, self._letters = shown, list(written), letters
        self._bounds = QRectF()
        for plate in self.plates:
            self._bounds = self._bounds.united(rect_of(plate.box.grown(2)))
        for stroke in shown.strokes:
            line = QPolygonF([QPointF(*on_sheet(*point)) for point in stroke.points])
            self._bounds = self._bounds.united(line.boundingRect().adjusted(-4, -4, 4, 4))
        self.update()

    def set_theme(self, theme: Theme) -> None:
        """Change colours."""
        self._theme = theme
        self.update()

    def boundingRect(self) -> QRectF:
        return self._bounds

    @steady
    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        theme = self._theme
        for stroke in self.shown.strokes:
            line = QPolygonF([QPointF(*on_sheet(*point)) for point in stroke.points])
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(theme.sheet), 5.0))
            painter.drawPolyline(line)
            colour = theme.fault if stroke.falls_short else getattr(theme, _COLOURS[stroke.group % len(_COLOURS)])
            pen = QPen(QColor(colour), 3.0 if stroke.falls_short else 2.0)
            if dashes := _DASHES[stroke.group % len(_DASHES)]:
                pen.setDashPattern(list(dashes))
            painter.setPen(pen)
            painter.drawPolyline(line)
        painter.setFont(font("label", self._letters))
        for plate in self.plates:
            box = rect_of(plate.box)
            painter.setPen(QPen(QColor(theme.fault if plate.bad else theme.focus), 1.6 if plate.bad else 1.0))
            painter.setBrush(QColor(theme.card))
            painter.drawRoundedRect(box, 4, 4)
            painter.setPen(QColor(theme.fault if plate.bad else theme.text))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, plate.words)
