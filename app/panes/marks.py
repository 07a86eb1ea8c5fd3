"""Small painted marks the panes share: the badge of a finding and the chooser's arrow."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QWheelEvent
from PySide6.QtWidgets import QApplication, QComboBox, QWidget

from app.canvas.badges import draw_badge
from app.theme import BLACKOUT, PAPER, Theme
from rigcore.rules.rule import Severity


def worn_theme() -> Theme:
    """Return the theme the application is dressed in, told by its palette."""
    return BLACKOUT if QApplication.palette().window().color().lightness() < 128 else PAPER


class Badge(QWidget):
    """The badge of a finding, with its severity as accessible name."""

    def __init__(self, severity: Severity, parent: QWidget | None = None, *, side: int = 24) -> None:
        super().__init__(parent)
        self.severity = severity
        self._side = side
        self.setFixedSize(side, side)
        self.setAccessibleName(self.tr(severity))
        self.setToolTip(self.tr(severity))

    def sizeHint(self) -> QSize:
        """A square."""
        return QSize(self._side, self._side)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the badge."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw_badge(painter, QRectF(self.rect()).center(), self.severity, worn_theme(), scale=self._side / 24)


class Chooser(QComboBox):
    """A combo box that elides, draws its own arrow, and leaves the wheel to the pane unless it has the focus."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(8)
        self.on_bar = False

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Turn only with the focus."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the box, then the arrow."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme = worn_theme()
        painter.setPen(QPen(QColor(theme.bar_text if self.on_bar else theme.text_soft), 1.6))
        x, y = self.width() - 13.0, self.height() / 2 - 1.0
        painter.drawPolyline([QPointF(x - 4, y - 2), QPointF(x, y + 2), QPointF(x + 4, y - 2)])
