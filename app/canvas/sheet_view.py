"""What the two sheets share: zoom about the cursor, panning, gestures, drops, tips, pulsing.

A sheet owns no truth. It shows the desk's book and asks the desk for edits.
"""

from __future__ import annotations

import html
from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QFontMetricsF,
    QHelpEvent,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QToolTip, QWidget

from app.canvas.fonts import font
from app.canvas.gestures.drop_gear import gear_in
from app.canvas.gestures.gesture import Gesture, Pointer
from app.canvas.gestures.pan import Pan
from app.canvas.painting import kept, steady
from app.canvas.paper_view import PaperView
from app.desk import Desk
from app.theme import PAPER, Theme
from rigcore.rules.rule import Thing

LEAST_ZOOM, MOST_ZOOM = 0.08, 4.0
_WHEEL_STEP = 1.0015
_STEP = 1.25
_PULSE_MS = 1100
_USUAL_POINTS = 10.0
_EDGE, _EDGE_STEP = 14, 18


class SheetView(PaperView):
    """A sheet of paper under a window."""

    zoomed = Signal(object)
    most_fit = 1.0
    """Largest zoom at which the whole sheet is shown."""

    def __init__(self, desk: Desk, theme: Theme = PAPER, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self.desk = desk
        self.gesture: Gesture | None = None
        self._space_held = False
        # Whether the whole sheet is being shown; a resize then keeps it so. The first touch ends it.
        self._is_fitted = False
        self._dropping: QPointF | None = None
        self._pulse = QTimer(self)
        self._pulse.setSingleShot(True)
        self._pulse.setInterval(_PULSE_MS)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAcceptDrops(True)
        self.setMouseTracking(True)
        self.viewport().setMouseTracking(True)

    # -- what a sheet fills in ------------------------------------------------------------

    def gesture_for(self, event: QMouseEvent, pointer: Pointer) -> Gesture | None:
        """Return the gesture a press of the left button begins."""
        return None

    def hover(self, pointer: Pointer) -> None:
        """Note what lies under a mouse no gesture holds."""

    def drop_gear(self, gear_id: str, at: QPointF) -> None:
        """Take gear from the shelf."""

    def tip_at(self, at: QPointF) -> Sequence[str]:
        """Return the lines of the tip at a place."""
        return ()

    def hint(self) -> str:
        """Return the sentence of the empty state, or nothing."""
        return ""

    def content(self) -> QRectF:
        """Return what fitting the sheet should show."""
        return self.sceneRect()

    def head_room(self) -> float:
        """Return the height of the window that fitting the sheet leaves free at the top."""
        return 0.0

    def paint_in_hand(self, painter: QPainter) -> None:
        """Draw what the sheet shows over everything, in window coordinates."""

    # -- zoom ------------------------------------------------------------------------------

    @property
    def base_scale(self) -> float:
        """How large 100 % is: grows with the system's text size."""
        return max(1.0, self.font().pointSizeF() / _USUAL_POINTS)

    @property
    def zoom(self) -> float:
        """The present zoom; 1 is 100 %."""
        return self.transform().m11() / self.base_scale

    def set_zoom(self, zoom: float, about: QPoint | None = None) -> None:
        """Zoom so that the place under ``about`` (a place of the window) stays where it is."""
        self._is_fitted = False
        about = about if about is not None else self.viewport().rect().center()
        kept = self.mapToScene(about)
        scale = min(max(zoom, LEAST_ZOOM), MOST_ZOOM) * self.base_scale
        self.widen_sheet(scale)
        self.resetTransform()
        self.scale(scale, scale)
        moved = self.mapFromScene(kept) - about
        self.horizontalScrollBar().setValue(self.horizontalScrollBar().value() + moved.x())
        self.verticalScrollBar().setValue(self.verticalScrollBar().value() + moved.y())
        self.zoomed.emit(self.zoom)

    def widen_sheet(self, scale: float) -> None:
        """Give the window room to move beyond the sheet's edges at a scale."""
        rect = self.content()
        room_x, room_y = self.viewport().width() / scale * 0.5, self.viewport().height() / scale * 0.5
        self.setSceneRect(rect.adjusted(-room_x, -room_y, room_x, room_y))

    def zoom_in(self) -> None:
        """Show things larger."""
        self.set_zoom(self.zoom * _STEP)

    def zoom_out(self) -> None:
        """Show more."""
        self.set_zoom(self.zoom / _STEP)

    def zoom_to_fit(self) -> None:
        """Show the whole sheet, as large as it goes and may go."""
        rect, head = self.content(), self.head_room()
        if rect.isEmpty() or self.viewport().width() < 10:
            return
        fit = min(self.viewport().width() / rect.width(), (self.viewport().height() - head) / rect.height())
        self.set_zoom(min(self.most_fit, fit / self.base_scale))
        self.centerOn(rect.center() - QPointF(0, head / 2 / self.transform().m22()))
        self._is_fitted = True

    def wheelEvent(self, event: QWheelEvent) -> None:
        keys = event.modifiers()
        self._is_fitted = False
        if keys & Qt.KeyboardModifier.ShiftModifier:
            self.hurry()
            bar = self.horizontalScrollBar()
            bar.setValue(bar.value() - (event.angleDelta().y() or event.angleDelta().x()))
        else:
            self.hurry(zooming=True, at=event.position().toPoint())
            self.set_zoom(self.zoom * _WHEEL_STEP ** event.angleDelta().y(), event.position().toPoint())
        event.accept()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self._is_fitted:
            self.zoom_to_fit()
        else:
            self.widen_sheet(self.transform().m11())

    # -- gestures --------------------------------------------------------------------------

    def pointer(self, event: QMouseEvent) -> Pointer:
        """Return where the mouse is."""
        seen = event.position().toPoint()
        return Pointer(self.mapToScene(seen), seen, event.modifiers())

    def begin(self, gesture: Gesture, pointer: Pointer) -> None:
        """Start a gesture, in place of any other."""
        self._is_fitted = False
        self.cancel_gesture()
        self.gesture = gesture
        gesture.start(pointer)
        self.viewport().update()

    def cancel_gesture(self) -> None:
        """Take the gesture back."""
        gesture, self.gesture = self.gesture, None
        if gesture is not None:
            gesture.cancel()
            self.viewport().update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        pointer = self.pointer(event)
        left = event.button() == Qt.MouseButton.LeftButton
        if event.button() == Qt.MouseButton.MiddleButton or (left and self._space_held):
            self.begin(Pan(self), pointer)
        elif left:
            gesture = self.gesture_for(event, pointer)
            if gesture is not None:
                self.begin(gesture, pointer)
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        pointer = self.pointer(event)
        if self.gesture is None:
            self.hover(pointer)
        else:
            if self.gesture.is_swift:
                self.hurry(at=pointer.seen)
            if not isinstance(self.gesture, Pan) and self._scroll_at_edge(pointer.seen):
                pointer = self.pointer(event)
            self.gesture.move(pointer)
            self.viewport().update()
        event.accept()

    def _scroll_at_edge(self, seen: QPoint) -> bool:
        """Move the paper on while a hand with something in it is at the window's edge."""
        area = self.viewport().rect().adjusted(_EDGE, _EDGE, -_EDGE, -_EDGE)
        if area.contains(seen) or not self.viewport().rect().contains(seen):
            return False
        for bar, here, low, high in (
            (self.horizontalScrollBar(), seen.x(), area.left(), area.right()),
            (self.verticalScrollBar(), seen.y(), area.top(), area.bottom()),
        ):
            bar.setValue(bar.value() + (_EDGE_STEP if here > high else -_EDGE_STEP if here < low else 0))
        return True

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        gesture, self.gesture = self.gesture, None
        if gesture is not None:
            pointer = self.pointer(event)
            gesture.move(pointer)
            gesture.end(pointer)
            self.finish()
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space_held = True
            self.viewport().setCursor(Qt.CursorShape.OpenHandCursor)
        elif event.key() == Qt.Key.Key_Escape and self.gesture is not None:
            self.cancel_gesture()
        elif event.matches(QKeySequence.StandardKey.ZoomIn):
            self.zoom_in()
        elif event.matches(QKeySequence.StandardKey.ZoomOut):
            self.zoom_out()
        elif event.key() == Qt.Key.Key_0 and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom_to_fit()
        else:
            event.ignore()
            return
        event.accept()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space_held = False
            self.viewport().unsetCursor()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        event.ignore()

    # -- drops -----------------------------------------------------------------------------

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        self._drag_over(event)

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        self._drag_over(event)

    def _drag_over(self, event: QDragMoveEvent) -> None:
        if not gear_in(event.mimeData()):
            event.ignore()
            return
        self._dropping = event.position()
        event.acceptProposedAction()
        self.viewport().update()

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        self._dropping = None
        self.viewport().update()

    def dropEvent(self, event: QDropEvent) -> None:
        self._dropping = None
        gear_id = gear_in(event.mimeData())
        if not gear_id:
            event.ignore()
            return
        event.acceptProposedAction()
        self.drop_gear(gear_id, self.mapToScene(event.position().toPoint()))
        self.viewport().update()

    # -- tips and light ----------------------------------------------------------------------

    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            lines = [html.escape(line) for line in self.tip_at(self.mapToScene(event.pos())) if line]
            if lines:
                QToolTip.showText(event.globalPos(), "<qt>" + "<br>".join(lines) + "</qt>", self.viewport())
            else:
                QToolTip.hideText()
            return True
        return super().viewportEvent(event)

    def bring_into_view(self, areas: Sequence[QRectF], covered: QRect | None = None) -> None:
        """Centre on some areas if they do not all show already, beside or below what ``covered`` hides of the window.

        Where neither has room for them they are not moved because of it.
        """
        whole = QRectF()
        for area in areas:
            whole = whole.united(area)
        if whole.isEmpty():
            return
        place, window = self.mapFromScene(whole).boundingRect(), self.viewport().rect()
        free = self._free_for(place, covered) if covered is not None else None
        hidden = free is not None and covered is not None and covered.intersects(place)
        if hidden or not self.mapToScene(window).boundingRect().contains(whole):
            self._is_fitted = False
            by = QPointF((free or window).center() - window.center()) / self.transform().m11()
            self.centerOn(whole.center() - by)

    def _free_for(self, place: QRect, covered: QRect) -> QRect | None:
        """Return the part of the window beside or below what is covered that has room for a place."""
        window, near = self.viewport().rect(), self.mapFromScene(self.content().center())
        left, right, below = QRect(window), QRect(window), QRect(window)
        left.setRight(covered.left())
        right.setLeft(covered.right())
        below.setTop(covered.bottom())
        sides = (left, right) if place.center().x() < near.x() else (right, left)
        return next((one for one in (*sides, below) if _has_room(one, place)), None)

    def pulse(self, things: Sequence[Thing]) -> None:
        """Let some things glow for a moment."""
        self.light(things)
        self._pulse.start()

    def light(self, things: Sequence[Thing]) -> None:
        """Let exactly these things glow."""

    # -- over everything ---------------------------------------------------------------------

    @steady
    def drawForeground(self, painter: QPainter, rect: QRectF | QRect) -> None:
        if self.gesture is not None:
            with kept(painter):
                self.gesture.paint(painter)
        with kept(painter):
            painter.resetTransform()
            self.paint_in_hand(painter)
            if self.hint():
                self._paint_hint(painter)

    def hint_ground(self) -> tuple[QRectF, str]:
        """Return where in the window the sentence of the empty state may stand, and the colour that lies there."""
        area = QRectF(self.viewport().rect())
        return area.adjusted(60, 40, -60, -area.height() * 0.3), self.theme.sheet

    def hint_plate(self) -> QRectF:
        """Return the room of the sentence of the empty state, in the window."""
        area, _ = self.hint_ground()
        flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
        return QFontMetricsF(font("hint", self.base_scale)).boundingRect(area, flags, self.hint())

    def _paint_hint(self, painter: QPainter) -> None:
        """Write the sentence of the empty state on a plate of its own: lines of the sheet run under it."""
        room = self.hint_plate()
        painter.setFont(font("hint", self.base_scale))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self.hint_ground()[1]))
        painter.drawRoundedRect(room.adjusted(-14, -8, 14, 8), 6, 6)
        painter.setPen(QColor(self.theme.text_soft))
        flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap | Qt.TextFlag.TextDontClip
        painter.drawText(room, flags, self.hint())

    def paint_note(self, painter: QPainter, at: QPointF, words: str, *, good: bool) -> None:
        """Write a short note beside a place of the window, kept inside it."""
        if not words:
            return
        kind = font("gear", self.base_scale)
        width = min(QFontMetricsF(kind).horizontalAdvance(words) + 18, self.viewport().width() - 12.0)
        words = QFontMetricsF(kind).elidedText(words, Qt.TextElideMode.ElideRight, width - 16)
        height = 24.0 * self.base_scale
        left = min(max(6.0, at.x() + 16), self.viewport().width() - width - 6)
        top = at.y() + 18 if at.y() + 18 + height < self.viewport().height() else at.y() - 18 - height
        box = QRectF(left, top, width, height)
        painter.setPen(QPen(QColor(self.theme.taker if good else self.theme.risk), 1.4))
        painter.setBrush(QColor(self.theme.card))
        painter.drawRoundedRect(box, 5, 5)
        painter.setPen(QColor(self.theme.text))
        painter.setFont(kind)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)


def _has_room(free: QRect, place: QRect) -> bool:
    return free.width() >= place.width() + 2 * _EDGE and free.height() >= place.height() + 2 * _EDGE
