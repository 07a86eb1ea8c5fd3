"""A view that shows a scene through a picture kept of it: what lies still is not painted twice.

Only painting is here; what mouse and keys do is the sheet's.
"""

from __future__ import annotations

import time
from collections.abc import Sequence

from PySide6.QtCore import QPoint, QRect, QRectF, QTimer
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QGraphicsScene, QGraphicsView, QWidget

from app.canvas.painting import kept, steady
from app.canvas.picture import Picture, Seen
from app.theme import PAPER, Theme
from app.viewport import own_viewport

SLICE_S = 0.006
"""How long one frame draws at most while the paper is on the move."""

STILL_S = 0.12
"""How long after the last step of zooming the paper is drawn at its new scale."""


class PaperView(QGraphicsView):
    """Paints the picture of its scene, and over it what is in the hand."""

    def __init__(self, theme: Theme = PAPER, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self.picture: Picture | None = None
        self._hurried = False
        self._zoomed_at = 0.0
        self._pointer = QPoint()
        self._slices = QTimer(self)
        self._slices.setSingleShot(True)
        self._slices.timeout.connect(self._draw_on)
        self.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
        own_viewport(self)
        self.setFrameShape(QGraphicsView.Shape.NoFrame)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        # A repaint is one blit of the picture, so there is nothing to save by repainting less.
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.FullViewportUpdate)

    def keep(self, scene: QGraphicsScene) -> None:
        """Show a scene and own it: the toolkit would let it vanish."""
        scene.setParent(self)
        self.setScene(scene)
        self.picture = Picture(scene)
        scene.changed.connect(self._stirred)

    def hurry(self, *, zooming: bool = False, at: QPoint | None = None) -> None:
        """Note that the paper is on the move: frames come before finish until it lies still."""
        self._hurried = True
        if zooming:
            self._zoomed_at = time.perf_counter()
        if at is not None:
            self._pointer = at

    def finish(self) -> None:
        """Draw all the window shows, now."""
        self._hurried = False
        self._zoomed_at = 0.0
        self.viewport().update()

    def redraw(self) -> None:
        """Forget what was drawn: everything looks different now."""
        if self.picture is not None:
            self.picture.forget()
        self.finish()

    def paint_live(self, painter: QPainter) -> None:
        """Paint what is in the hand, in sheet coordinates."""

    def seen(self) -> Seen:
        """Return what of the paper the window shows."""
        way = self.viewportTransform()
        corner = QPoint(-round(way.dx()), -round(way.dy()))
        return Seen(way.m11(), QRect(corner, self.viewport().size()), self.devicePixelRatioF())

    def paintEvent(self, event: QPaintEvent) -> None:
        if self.picture is None:
            super().paintEvent(event)
            return
        painter = QPainter(self.viewport())
        try:
            self._paint(painter, self.picture, self.seen())
        finally:
            painter.end()

    @steady
    def _paint(self, painter: QPainter, picture: Picture, seen: Seen) -> None:
        if self._hurried:
            zooming = time.perf_counter() - self._zoomed_at < STILL_S
            first = seen.area.topLeft() + self._pointer
            self._hurried = not picture.bring(seen, seconds=0.0 if zooming else SLICE_S, first=first)
            self._slices.start(int(STILL_S * 1000) if zooming else 0)
        else:
            picture.bring(seen)
            self._slices.start(int(STILL_S * 1000))
        picture.show(painter, seen, QColor(self.theme.sheet))
        with kept(painter):
            painter.setRenderHints(self.renderHints())
            painter.setWorldTransform(self.viewportTransform())
            self.paint_live(painter)
            self.drawForeground(painter, self.mapToScene(self.viewport().rect()).boundingRect())

    def _draw_on(self) -> None:
        """Draw some more of what the window shows or, if that is done, of the margin."""
        if self.picture is None or not self.isVisible():
            return
        if self._hurried:
            self.viewport().update()
        elif not self.picture.bring_margin(self.seen(), SLICE_S):
            self._slices.start(15)

    def _stirred(self, areas: Sequence[QRectF]) -> None:
        if self.picture is not None:
            self.picture.stir(areas)
        self.viewport().update()
