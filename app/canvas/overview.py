"""The overview: the whole sheet small in a corner of the window, with a frame round what the window shows."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.canvas.layout import Box
from app.canvas.painting import steady
from app.canvas.unit_item import rect_of
from app.theme import Theme

_WIDE, _HIGH, _MARGIN = 190, 120, 10


class Overview(QWidget):
    """Shows boxes for cards and the house line; pressing or dragging moves the window there."""

    def __init__(self, view: object, theme: Theme) -> None:
        super().__init__(view.viewport())  # type: ignore[attr-defined]
        self._view = view
        self._theme = theme
        self._content = QRectF()
        self._boxes: tuple[Box, ...] = ()
        self._chosen: frozenset[Box] = frozenset()
        self._strip = Box(0, 0, 0, 0)
        self.setObjectName("overview")
        self.setAccessibleName(self.tr("Overview of the sheet"))
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def show_sheet(self, content: QRectF, boxes: Mapping[str, Box], strip: Box, chosen: frozenset[str]) -> None:
        """Show another state of the sheet."""
        self._content, self._boxes, self._strip = content, tuple(boxes.values()), strip
        self._chosen = frozenset(boxes[name] for name in chosen if name in boxes)
        self.place()
        self.update()

    def set_theme(self, theme: Theme) -> None:
        """Change colours."""
        self._theme = theme
        self.update()

    def place(self) -> None:
        """Lie in the upper right corner, in the shape of the sheet, small beside it."""
        parent = self.parentWidget()
        if self._content.isEmpty():
            return
        scale = min(_WIDE / self._content.width(), _HIGH / self._content.height())
        wide, high = round(self._content.width() * scale), round(self._content.height() * scale)
        self.setGeometry(parent.width() - wide - _MARGIN, _MARGIN, wide, high)

    @property
    def _scale(self) -> float:
        return self.width() / max(self._content.width(), 1.0)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        try:
            self._paint(painter)
        finally:
            painter.end()

    @steady
    def _paint(self, painter: QPainter) -> None:
        theme = self._theme
        painter.fillRect(self.rect(), QColor(theme.pane))
        painter.scale(self._scale, self._scale)
        painter.translate(-self._content.topLeft())
        painter.fillRect(rect_of(self._strip), QColor(theme.house_line))
        for box in self._boxes:
            painter.fillRect(rect_of(box), QColor(theme.focus if box in self._chosen else theme.text_soft))
        painter.resetTransform()
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(theme.focus), 1.6))
        painter.drawRect(self.frame().intersected(QRectF(self.rect())).adjusted(0.8, 0.8, -0.8, -0.8))
        painter.setPen(QPen(QColor(theme.house_edge), 1.0))
        painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))

    def frame(self) -> QRectF:
        """Return what the window shows, in the overview's own places."""
        view = self._view
        shown = view.mapToScene(view.viewport().rect()).boundingRect()  # type: ignore[attr-defined]
        corner = (shown.topLeft() - self._content.topLeft()) * self._scale
        return QRectF(corner, shown.size() * self._scale)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._go(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._go(event)
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def wheelEvent(self, event: QEvent) -> None:
        event.ignore()

    def _go(self, event: QMouseEvent) -> None:
        at = self._content.topLeft() + QPointF(event.position()) / self._scale
        self._view.hurry()  # type: ignore[attr-defined]
        self._view.centerOn(at)  # type: ignore[attr-defined]
        self.update()
        event.accept()
