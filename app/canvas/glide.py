"""Cards gliding to their new places after the sheet was tidied: a short show over the finished sheet, soon over."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import QEasingCurve, QObject, QPointF, QRectF, QVariantAnimation
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QApplication, QStyle, QStyleOptionGraphicsItem

from app.canvas.layout import Point
from app.canvas.painting import kept
from app.canvas.unit_item import UnitItem
from app.theme import Theme

LONGEST_MS = 240
MOST_CARDS = 80


def wants_motion() -> bool:
    """Return whether the platform has not asked for stillness."""
    return QApplication.style().styleHint(QStyle.StyleHint.SH_Widget_Animation_Duration) > 0


class Glide(QObject):
    """Shows cards on their way from where they lay; ``step`` is called for every frame and at the end."""

    def __init__(
        self, parent: QObject, cards: Mapping[str, UnitItem], before: Mapping[str, Point], step: Callable[[], None]
    ) -> None:
        super().__init__(parent)
        self._cards = [(item, QPointF(*before[name])) for name, item in cards.items() if name in before]
        self._run = QVariantAnimation(self)
        self._run.setStartValue(0.0)
        self._run.setEndValue(1.0)
        self._run.setDuration(LONGEST_MS)
        self._run.setEasingCurve(QEasingCurve.Type.InOutCubic)
        self._run.valueChanged.connect(lambda _share: step())
        self._run.finished.connect(step)

    def start(self) -> None:
        """Begin."""
        self._run.start()

    def stop(self) -> None:
        """Be at the end, now."""
        self._run.stop()

    @property
    def is_over(self) -> bool:
        """Whether everything lies where it belongs."""
        return self._run.state() != QVariantAnimation.State.Running

    def paint(self, painter: QPainter, ground: QRectF, theme: Theme) -> None:
        """Paint the cards on their way over an empty piece of sheet."""
        painter.fillRect(ground, QColor(theme.sheet))
        share, option = float(self._run.currentValue() or 0.0), QStyleOptionGraphicsItem()
        for item, start in self._cards:
            at = start + (item.pos() - start) * share
            if item.boundingRect().translated(at).intersects(ground):
                with kept(painter):
                    painter.translate(at)
                    item.paint(painter, option)
