"""What lies still on a sheet, kept as pixels with a margin round the window.

Panning shows another part of the picture, zooming shows it larger or smaller until
it is drawn anew, and only what has changed is drawn again: in one go, or in slices
of a few milliseconds while the paper is on the move. What is in the hand is painted
over it by the sheet.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Sequence

from msgspec import Struct
from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPixmap, QRegion
from PySide6.QtWidgets import QGraphicsScene

MARGIN = 256
STEP = 16
"""Drawn pieces begin and end at whole steps, which are whole dots of the screen at every usual scale."""

PIECE = 20 * STEP
_HINTS = QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing


class Seen(Struct, frozen=True):
    """What of the paper the window shows, in dots of the zoomed paper, at which scale, how finely."""

    scale: float
    area: QRect
    ratio: float


class _Sheet(Struct):
    """Some drawn paper: its pixels, where they lie, what of them was drawn, and what is still true."""

    pixels: QPixmap
    area: QRect
    scale: float
    ratio: float
    drawn: QRegion
    fresh: QRegion


class Picture:
    """The pixels of one scene for one window."""

    def __init__(self, scene: QGraphicsScene) -> None:
        self._scene = scene
        self._now: _Sheet | None = None
        self._before: _Sheet | None = None
        self.pieces = 0
        """How many pieces have been drawn so far; for measuring."""

    def stir(self, areas: Iterable[QRectF]) -> None:
        """Note that some areas of the scene look different now."""
        sheet = self._now
        if sheet is None:
            return
        self._before = None
        for area in areas:
            dots = QRectF(area.topLeft() * sheet.scale, area.size() * sheet.scale).adjusted(-2, -2, 2, 2)
            sheet.fresh -= QRegion(_stepped(dots.toAlignedRect() & sheet.area))

    def forget(self) -> None:
        """Drop everything drawn."""
        self._now = self._before = None

    def is_fresh(self, seen: Seen) -> bool:
        """Return whether all the window shows is drawn as it looks now."""
        sheet = self._now
        return sheet is not None and _fits(sheet, seen) and (QRegion(seen.area) - sheet.fresh).isEmpty()

    def bring(self, seen: Seen, *, seconds: float | None = None, first: QPoint | None = None) -> bool:
        """Draw what the window shows and is not drawn; with ``seconds`` only so long, nearest to ``first`` first.

        Returns whether everything it shows is fresh.
        """
        sheet = self._sheet_for(seen)
        missing = QRegion(seen.area) - sheet.fresh
        if seconds is None:
            self._draw(sheet, _gathered(missing))
            return True
        return self._draw_until(sheet, missing, seconds, first or seen.area.center())

    def bring_margin(self, seen: Seen, seconds: float) -> bool:
        """Draw some of what lies round the window, for when it will be moved; return whether all is done."""
        sheet = self._sheet_for(seen)
        return self._draw_until(sheet, QRegion(sheet.area) - sheet.fresh, seconds, seen.area.center())

    def show(self, painter: QPainter, seen: Seen, ground: QColor) -> None:
        """Paint what there is; where nothing is drawn yet, what was drawn at another scale."""
        sheet = self._sheet_for(seen)
        corner = seen.area.topLeft()
        blank = QRegion(seen.area) - sheet.drawn
        if not blank.isEmpty():
            painter.fillRect(QRect(QPoint(0, 0), seen.area.size()), ground)
            if self._before is not None:
                _show_scaled(painter, self._before, seen)
        for rect in [seen.area] if blank.isEmpty() else (sheet.drawn & seen.area):
            _blit(painter, sheet, rect, rect.topLeft() - corner)

    def _sheet_for(self, seen: Seen) -> _Sheet:
        sheet = self._now
        if sheet is None or not _fits(sheet, seen):
            # Of several steps of zooming only the sheet that was drawn is worth scaling.
            if sheet is not None and (self._before is None or not sheet.drawn.isEmpty()):
                self._before = sheet
            self._now = sheet = _blank(seen)
        elif not sheet.area.contains(seen.area):
            self._now = _moved(sheet, seen)
            sheet = self._now
        return sheet

    def _draw_until(self, sheet: _Sheet, missing: QRegion, seconds: float, first: QPoint) -> bool:
        if missing.isEmpty():
            return True
        if seconds <= 0:
            return False
        end = time.perf_counter() + seconds
        for piece in sorted(_cut(missing), key=lambda one: (one.center() - first).manhattanLength()):
            self._draw(sheet, [piece])
            if time.perf_counter() >= end:
                break
        return (missing - sheet.fresh).isEmpty()

    def _draw(self, sheet: _Sheet, pieces: Sequence[QRect]) -> None:
        if not pieces:
            return
        painter = QPainter(sheet.pixels)
        painter.setRenderHints(_HINTS)
        for piece in pieces:
            self.pieces += 1
            target = QRectF(piece.translated(-sheet.area.topLeft()))
            source = QRectF(QPointF(piece.topLeft()) / sheet.scale, target.size() / sheet.scale)
            self._scene.render(painter, target, source)
            sheet.drawn += QRegion(piece)
            sheet.fresh += QRegion(piece)
        painter.end()


def _fits(sheet: _Sheet, seen: Seen) -> bool:
    return abs(sheet.scale - seen.scale) < 1e-9 and sheet.ratio == seen.ratio


def _blank(seen: Seen) -> _Sheet:
    area = _stepped(seen.area.adjusted(-MARGIN, -MARGIN, MARGIN, MARGIN))
    pixels = QPixmap(QSize(round(area.width() * seen.ratio), round(area.height() * seen.ratio)))
    pixels.setDevicePixelRatio(seen.ratio)
    return _Sheet(pixels, area, seen.scale, seen.ratio, QRegion(), QRegion())


def _moved(sheet: _Sheet, seen: Seen) -> _Sheet:
    """Return the sheet lying further along, with what it shares with the former one."""
    new = _blank(seen)
    shared = sheet.area & new.area
    if shared.isEmpty():
        return new
    painter = QPainter(new.pixels)
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Source)
    _blit(painter, sheet, shared, shared.topLeft() - new.area.topLeft())
    painter.end()
    new.drawn, new.fresh = sheet.drawn & shared, sheet.fresh & shared
    return new


def _blit(painter: QPainter, sheet: _Sheet, rect: QRect, at: QPoint) -> None:
    """Paint a part of a sheet with its corner at a place."""
    corner = rect.topLeft() - sheet.area.topLeft()
    dots = QRectF(QPointF(corner) * sheet.ratio, QRectF(rect).size() * sheet.ratio)
    painter.drawPixmap(QRectF(QPointF(at), QRectF(rect).size()), sheet.pixels, dots)


def _show_scaled(painter: QPainter, sheet: _Sheet, seen: Seen) -> None:
    """Paint a sheet of another scale at the scale of the window."""
    by = seen.scale / sheet.scale
    wanted = QRectF(QPointF(seen.area.topLeft()) / by, QRectF(seen.area).size() / by).toAlignedRect()
    for rect in sheet.drawn & wanted:
        target = QRectF(QPointF(rect.topLeft()) * by - QPointF(seen.area.topLeft()), QRectF(rect).size() * by)
        dots = QRectF(QPointF(rect.topLeft() - sheet.area.topLeft()) * sheet.ratio, QRectF(rect).size() * sheet.ratio)
        painter.drawPixmap(target, sheet.pixels, dots)


def _stepped(rect: QRect) -> QRect:
    """Return a rectangle widened to whole steps."""
    if rect.isEmpty():
        return QRect()
    left, top = rect.left() // STEP * STEP, rect.top() // STEP * STEP
    right, bottom = -(-(rect.right() + 1) // STEP) * STEP, -(-(rect.bottom() + 1) // STEP) * STEP
    return QRect(left, top, right - left, bottom - top)


def _gathered(region: QRegion) -> list[QRect]:
    """Return a region as few rectangles: one, if that is not much more than its parts."""
    parts = [_stepped(rect) for rect in region]
    whole = _stepped(region.boundingRect())
    if sum(_size(part) for part in parts) * 1.6 + 40_000 * (len(parts) - 1) >= _size(whole):
        return [whole] if parts else []
    return parts


def _size(rect: QRect) -> int:
    return rect.width() * rect.height()


def _cut(region: QRegion) -> list[QRect]:
    """Return a region in pieces of which each is drawn quickly."""
    found = {}
    for rect in region:
        whole = _stepped(rect)
        for x in range(whole.left() // PIECE * PIECE, whole.right() + 1, PIECE):
            for y in range(whole.top() // PIECE * PIECE, whole.bottom() + 1, PIECE):
                piece = QRect(x, y, PIECE, PIECE) & whole
                if not piece.isEmpty():
                    found[piece.getRect()] = piece
    return list(found.values())
