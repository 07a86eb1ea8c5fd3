"""A folded loom as painted: its tails in the colours of their cables, the trunk, and the plate with its name."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.cable_item import CableItem, far_to, longest_middle, stroke_path, way_path
from app.canvas.far_names import LEAST_PX
from app.canvas.fonts import advance, elided, font, letters_of
from app.canvas.ground import around
from app.canvas.layout import Box, Point
from app.canvas.painting import steady
from app.canvas.routes import Way
from app.canvas.trunks import Drawn, Fan, Trunk
from app.canvas.unit_item import rect_of

_HIGH, _WIDEST, _SPARE = 20.0, 240.0, 18.0
_BAR = 5.0
MOST = 1.75
"""By how much a plate grows at most so that it can be read; from yet further off it is not shown."""


def plate_words(trunk: Trunk) -> str:
    """Return what stands on a trunk's plate: the loom's name and how many cables it is."""
    return QCoreApplication.translate("PatchSheet", "{} · {} cables").format(trunk.words, len(trunk.cables))


def plate_box(trunk: Trunk, way: Way, scale: float = 1.0) -> Box:
    """Return the room of a trunk's plate, or of one larger by a factor."""
    width = min(advance("gear", plate_words(trunk)) + _SPARE, _WIDEST)
    return around(longest_middle(way)[0], width * scale, _HIGH * scale)


class TrunkItem(CableItem):
    """Paints one folded loom."""

    cable: Trunk
    fan: Fan

    def show_way(self, cable: Drawn, way: Way, fan: Fan | None = None) -> None:
        """Show the trunk and its tails lying otherwise."""
        super().show_way(cable, way)
        self.prepareGeometryChange()
        self.fan = fan or Fan((), ())
        self._tails = QPainterPath()
        for _, tail in self.fan.tails:
            self._tails.addPath(way_path(tail))
        self._bounds = self._path.boundingRect().united(self._tails.boundingRect()).adjusted(-12, -12, 12, 12)
        if len(way) > 1:
            self._bounds = self._bounds.united(rect_of(plate_box(self.cable, way, MOST).grown(4)))

    def points(self) -> tuple[Point, ...]:
        """Return the corners of its way and of its tails."""
        return (*self.way, *(point for _, way in self.fan.tails for point in way))

    def distance_to(self, x: float, y: float) -> float:
        return min(far_to(way, x, y) for way in (self.way, *(way for _, way in self.fan.tails)))

    @steady
    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        if len(self.way) < 2:
            return
        detail = option.levelOfDetailFromTransform(painter.worldTransform())
        state, theme = self.state, self._theme
        if state.dimmed:
            painter.setOpacity(0.35)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if state.selected or state.pulsing:
            self._paint_glow(painter)
        for look, way in self.fan.tails:
            stroke_path(painter, way_path(way), look, theme)
        colour = QColor(theme.loom)
        wide = self.cable.look.width + (0.8 if state.hovered else 0.0)
        for path, width in (*((way_path(bar), _BAR) for bar in self.fan.bars), (self._path, wide)):
            painter.setPen(QPen(colour, width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
            painter.drawPath(path)
        letters = letters_of("gear", LEAST_PX / detail)
        if letters <= MOST:
            self._paint_plate(painter, letters)

    def _paint_glow(self, painter: QPainter) -> None:
        glow = QColor(self._theme.focus)
        glow.setAlpha(110 if self.state.selected else 70)
        more = 7 if self.state.selected else 12
        painter.setPen(QPen(glow, self.cable.look.width + more))
        painter.drawPath(self._path)
        painter.setPen(QPen(glow, 2 + more))
        painter.drawPath(self._tails)

    def _paint_plate(self, painter: QPainter, scale: float) -> None:
        theme, plate = self._theme, rect_of(plate_box(self.cable, self.way, scale))
        painter.setPen(QPen(QColor(theme.loom), 1.4))
        painter.setBrush(QColor(theme.tape))
        painter.drawRoundedRect(plate, 4, 4)
        painter.setPen(QColor(theme.text))
        painter.setFont(font("gear", scale))
        words = elided("gear", plate_words(self.cable), plate.width() - 8, scale)
        painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, words)
