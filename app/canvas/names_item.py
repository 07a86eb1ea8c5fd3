"""The names on the stage plan, painted over all footprints, with the lines that lead to them."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.drawn_item import DrawnItem
from app.canvas.fonts import elided, font
from app.canvas.painting import steady
from app.canvas.stage_names import Name
from app.canvas.unit_item import rect_of
from app.theme import Theme


class NamesItem(DrawnItem):
    """Paints all names of the plan."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, 20)
        self.names: list[Name] = []
        self._scale = 1.0
        self._is_haloed = False

    def show_names(self, names: Sequence[Name], scale: float) -> None:
        """Show names at their places, the letters larger by a factor."""
        self.prepareGeometryChange()
        self.names, self._scale = list(names), scale
        self._bounds = QRectF()
        for name in self.names:
            self._bounds = self._bounds.united(rect_of(name.box))
            for end in name.leader or ():
                self._bounds = self._bounds.united(QRectF(end.x - 2, end.y - 2, 4, 4))
        self.update()

    def stand_out(self, on: bool) -> None:
        """Keep the names legible where lines run under them, or write them plainly."""
        if on != self._is_haloed:
            self._is_haloed = on
            self.update()

    @steady
    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        theme = self._theme
        line = QPen(QColor(theme.text_soft), 0.9 * self._scale)
        painter.setBrush(QColor(theme.text_soft))
        for name in self.names:
            if name.leader is not None:
                start, end = (QPointF(*one) for one in name.leader)
                painter.setPen(line)
                painter.drawLine(start, end)
                painter.setPen(Qt.PenStyle.NoPen)
                painter.drawEllipse(start, 1.8 * self._scale, 1.8 * self._scale)
        for name in self.names:
            box = rect_of(name.box)
            words = elided(name.face, name.words, box.width() - 4, self._scale)
            painter.setFont(font(name.face, self._scale))
            if self._is_haloed:
                self._halo(painter, box, words)
            painter.setPen(QColor(theme.text_soft if name.soft else theme.text))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)

    def _halo(self, painter: QPainter, box: QRectF, words: str) -> None:
        """Draw the ground's colour around where words will be written."""
        metrics = painter.fontMetrics()
        start = QPointF(
            box.center().x() - metrics.horizontalAdvance(words) / 2,
            box.center().y() + (metrics.ascent() - metrics.descent()) / 2,
        )
        outline = QPainterPath()
        outline.addText(start, painter.font(), words)
        pen = QPen(QColor(self._theme.floor), 4.0 * self._scale)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.strokePath(outline, pen)
