"""What is laid over the stage plan: lines with words, and numbers at units, none covering another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.drawn_item import DrawnItem
from app.canvas.fonts import font
from app.canvas.overlay_plates import Plate
from app.canvas.painting import steady
from app.canvas.stage_layout import on_sheet
from app.canvas.unit_item import rect_of
from app.theme import Theme
from rigcore.lists.overlays import Overlay

_DASHES: tuple[Sequence[float], ...] = ((), (6, 3), (1.5, 2.5), (8, 3, 2, 3))
_COLOURS = ("mic", "loudspeaker", "line", "control")
_DOT = 2.5


class OverlayItem(DrawnItem):
    """Paints one overlay."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, 15)
        self.shown = Overlay()
        self.plates: list[Plate] = []
        self._letters = 1.0

    def show_overlay(self, shown: Overlay, written: Iterable[Plate], letters: float) -> None:
        """Show another overlay, its words at their places."""
        self.prepareGeometryChange()
        self.shown, self.plates, self._letters = shown, list(written), letters
        self._bounds = QRectF()
        for plate in self.plates:
            self._bounds = self._bounds.united(rect_of(plate.box.grown(2)))
            for end in plate.leader or ():
                self._bounds = self._bounds.united(QRectF(end.x - 4, end.y - 4, 8, 8))
        for stroke in shown.strokes:
            line = QPolygonF([QPointF(*on_sheet(*point)) for point in stroke.points])
            self._bounds = self._bounds.united(line.boundingRect().adjusted(-4, -4, 4, 4))
        self.update()

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
        self._paint_leaders(painter)
        painter.setFont(font("label", self._letters))
        for plate in self.plates:
            box = rect_of(plate.box)
            painter.setPen(QPen(QColor(theme.fault if plate.bad else theme.focus), 1.6 if plate.bad else 1.0))
            painter.setBrush(QColor(theme.card))
            painter.drawRoundedRect(box, 4, 4)
            painter.setPen(QColor(theme.fault if plate.bad else theme.text))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, plate.words)

    def _paint_leaders(self, painter: QPainter) -> None:
        """Draw a thin line with a dot at its end from what is written aside to what it is about."""
        for plate in self.plates:
            if plate.leader is not None:
                start, end = (QPointF(*point) for point in plate.leader)
                colour = QColor(self._theme.fault if plate.bad else self._theme.focus)
                painter.setPen(QPen(colour, 1.0))
                painter.setBrush(colour)
                painter.drawLine(start, end)
                painter.drawEllipse(start, _DOT, _DOT)
