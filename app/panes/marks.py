"""Small painted marks the panes share: the badge of a finding and the chooser's arrow."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QHelpEvent, QPainter, QPaintEvent, QPen, QWheelEvent
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QStyle,
    QStyleOptionComboBox,
    QStylePainter,
    QToolTip,
    QWidget,
)

from app.canvas.badges import draw_badge
from app.theme import BLACKOUT, PAPER, Theme
from rigcore.rules.rule import Severity


def worn_theme() -> Theme:
    """Return the theme the application is dressed in, told by its palette."""
    return BLACKOUT if QApplication.palette().window().color().lightness() < 128 else PAPER


def tell_whole(widget: QWidget, event: QHelpEvent, text: str, *, room_px: int) -> None:
    """Show a text as the widget's tooltip, as it is and never as markup, if it does not fit a width."""
    if text and widget.fontMetrics().horizontalAdvance(text) > room_px:
        QToolTip.showText(event.globalPos(), f"<span>{escape(text)}</span>", widget)
    else:
        QToolTip.hideText()
        event.ignore()


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

    def event(self, event: QEvent) -> bool:
        """Tell the whole choice where it is cut and nothing else is to be told."""
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent) and self._is_cut():
            tell_whole(self, event, self.currentText(), room_px=0)
            return True
        return super().event(event)

    def _room(self, option: QStyleOptionComboBox) -> int:
        part = QStyle.SubControl.SC_ComboBoxEditField
        return self.style().subControlRect(QStyle.ComplexControl.CC_ComboBox, option, part, self).width() - 4

    def _is_cut(self) -> bool:
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        return self.fontMetrics().horizontalAdvance(self.currentText()) > self._room(option)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the box with its text elided, then the arrow."""
        painter = QStylePainter(self)
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        elide = Qt.TextElideMode.ElideRight
        option.currentText = self.fontMetrics().elidedText(self.currentText(), elide, self._room(option))
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme = worn_theme()
        painter.setPen(QPen(QColor(theme.bar_text if self.on_bar else theme.text_soft), 1.6))
        x, y = self.width() - 13.0, self.height() / 2 - 1.0
        painter.drawPolyline([QPointF(x - 4, y - 2), QPointF(x, y + 2), QPointF(x + 4, y - 2)])
