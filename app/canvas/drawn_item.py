"""What the items of the sheets have in common that paint in one go: a theme, bounds they keep, a height."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QGraphicsItem

from app.theme import Theme


class DrawnItem(QGraphicsItem):
    """An item that keeps its bounds; who changes them calls ``prepareGeometryChange`` before."""

    def __init__(self, theme: Theme, height: float) -> None:
        super().__init__()
        self._theme = theme
        self._bounds = QRectF()
        self.setZValue(height)

    def set_theme(self, theme: Theme) -> None:
        """Change colours."""
        self._theme = theme
        self.update()

    def boundingRect(self) -> QRectF:
        return self._bounds
