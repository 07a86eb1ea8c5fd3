"""The board of the Fit sheet: hand-offs on the left, sockets on the right, chosen and landed by hand or by keys.

Decides nothing about the trade: it asks for a landing, or for one to be taken away, and shows what it is given.
"""

from __future__ import annotations

from html import escape

from PySide6.QtCore import QEvent, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QFont,
    QFontMetricsF,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QApplication, QToolTip, QWidget

from app.canvas.painting import steady
from app.fit_sheet.board_paint import BoardPainter, Held
from app.fit_sheet.board_plan import Plan, Sizes, lay
from app.fit_sheet.board_rows import Board, HandOffRow
from app.fit_sheet.speaking import SpokenBoard, announce
from app.theme import CONDENSED, Theme


class FitBoard(QWidget):
    """The board.

    ``chosen(hand_off)`` when another row is chosen; ``wanted(hand_off, socket)`` asks for a landing,
    ``unwanted(hand_off)`` for one to go; ``reached(rect)`` wants a place in view;
    ``laid()`` when everything has a new place.
    """

    chosen = Signal(str)
    wanted = Signal(str, str)
    unwanted = Signal(str)
    reached = Signal(QRect)
    laid = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("Landings"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.rows = Board()
        self.plan = Plan()
        self.theme = theme
        self._chosen: str | None = None
        self._aimed: str | None = None
        self._is_moving = False
        self._pressed: QPointF | None = None
        self._pointer: QPointF | None = None
        self.voice = SpokenBoard(self)

    @property
    def row(self) -> HandOffRow | None:
        """The chosen hand-off."""
        return next((one for one in self.rows.hand_offs if one.id == self._chosen), None)

    @property
    def aimed(self) -> str | None:
        """The socket aimed at while a hand-off is being moved."""
        return self._aimed if self._is_moving else None

    def show_rows(self, rows: Board) -> None:
        """Show other rows; what is chosen stays chosen as long as it is there."""
        self.rows = rows
        if self.row is None:
            self._chosen = None
        if self._taker(self._aimed) is None and self._pointer is None:
            self._leave()
        self._lay()
        announce(self)

    def set_theme(self, theme: Theme) -> None:
        """Wear a theme."""
        self.theme = theme
        self._lay()

    def choose(self, name: str | None, *, tell: bool = True) -> None:
        """Choose a hand-off and bring it into view."""
        if name == self._chosen:
            return
        self._leave()
        self._chosen = name
        if name in self.plan.hand_offs:
            self.reached.emit(self.plan.hand_offs[name].toRect())
        announce(self)
        self.update()
        if tell and name is not None:
            self.chosen.emit(name)

    def reach_socket(self, name: str) -> None:
        """Bring a socket into view."""
        if name in self.plan.sockets:
            self.reached.emit(self.plan.sockets[name].toRect())

    # -- layout and paint --------------------------------------------------------------------

    def fonts(self) -> tuple[QFont, QFont]:
        """The strong and the small face of the board."""
        strong, small = QFont(self.font()), QFont(self.font())
        strong.setWeight(QFont.Weight.DemiBold)
        small.setFamily(CONDENSED)
        return strong, small

    def _lay(self) -> None:
        strong, small = (QFontMetricsF(font) for font in self.fonts())
        self.plan = lay(self.rows, float(self.width()), Sizes(strong.height(), small.height(), small.horizontalAdvance))
        self.setMinimumHeight(round(self.plan.height))
        self.update()
        self.laid.emit()

    def sizeHint(self) -> QSize:
        """As tall as the longer column."""
        return QSize(700, max(200, round(self.plan.height)))

    def minimumSizeHint(self) -> QSize:
        """Room for both columns and a piece between."""
        return QSize(36 * self.fontMetrics().averageCharWidth(), 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay anew."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._lay()

    def changeEvent(self, event: QEvent) -> None:
        """Lay anew for other type."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._lay()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the board."""
        painter = QPainter(self)
        self._paint(painter)
        painter.end()

    @steady
    def _paint(self, painter: QPainter) -> None:
        held = Held(self._chosen, self._aimed, self._is_moving, self._pointer, self.hasFocus())
        BoardPainter(painter, self.theme, self.fonts(), held).paint(self.rows, self.plan)

    # -- by hand -----------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose a hand-off, and be ready to drag it."""
        if event.button() != Qt.MouseButton.LeftButton:
            return
        at = event.position()
        name = self.plan.hand_off_at(at)
        socket = self.plan.socket_at(at)
        if self._is_moving and socket is not None:
            self._aim(socket)
            self._land()
            return
        if name is None and socket is not None:
            name = next((one.id for one in self.rows.hand_offs for band in one.bands if band.socket == socket), None)
            self.choose(name or self._chosen)
            return
        if name is not None:
            self.choose(name)
            self._pressed = at

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the hand-off towards a socket."""
        at = event.position()
        if self._pressed is None:
            over = self.plan.hand_off_at(at) is not None
            self.setCursor(Qt.CursorShape.OpenHandCursor if over else Qt.CursorShape.ArrowCursor)
            return
        if self._pointer is None and (at - self._pressed).manhattanLength() < QApplication.startDragDistance():
            return
        self._pointer = at
        self._is_moving = True
        self._aimed = self._taker(self.plan.socket_at(at, near=True))
        self.reached.emit(QRect(round(at.x()), round(at.y()) - 20, 1, 40))
        self.update()

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """Land on the socket under the pointer, if it takes the hand-off."""
        was_dragged, self._pressed = self._pointer is not None, None
        if was_dragged:
            self._land()

    def event(self, event: QEvent) -> bool:
        """Show the reasons of what the pointer is at, as they are and never as markup."""
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            text = self.told_at(QPointF(event.pos()))
            if text:
                QToolTip.showText(event.globalPos(), f"<div>{'<br>'.join(map(escape, text))}</div>", self)
            else:
                QToolTip.hideText()
            return True
        return super().event(event)

    def told_at(self, at: QPointF) -> tuple[str, ...]:
        """Return what there is to say of a place: the reasons of a hand-off, or who lands on a socket."""
        name = self.plan.hand_off_at(at)
        row = next((one for one in self.rows.hand_offs if one.id == name), None)
        if row is not None:
            return tuple(text for text in (f"{row.name} · {row.about}", row.more, row.short, *row.reasons) if text)
        socket = self.rows.socket(self.plan.socket_at(at) or "")
        if socket is None:
            return ()
        return tuple(text for text in (f"{socket.number} {socket.label}", socket.about, socket.proposed) if text)

    # -- by keys -----------------------------------------------------------------------------

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Choose the first row where none is."""
        super().focusInEvent(event)
        if self._chosen is None and self.rows.hand_offs and event.reason() != Qt.FocusReason.MouseFocusReason:
            self.choose(self.rows.hand_offs[0].id)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show that keys go elsewhere."""
        super().focusOutEvent(event)
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows choose, Enter takes up and lands, Esc leaves, Delete takes the landing away."""
        key = Qt.Key(event.key())
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_Home: -9999, Qt.Key.Key_End: 9999}.get(key, 0)
        if step:
            self._step(step)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.row is not None:
            if self._is_moving:
                self._land()
            else:
                self._take_up()
        elif key == Qt.Key.Key_Escape and self._is_moving:
            self._leave()
            announce(self)
        elif key == Qt.Key.Key_Delete and self._chosen is not None and not self._is_moving:
            self.unwanted.emit(self._chosen)
        else:
            super().keyPressEvent(event)

    def _step(self, step: int) -> None:
        row = self.row
        if self._is_moving and row is not None:
            names = list(row.takers)
            self._aim(names[_next(names, self._aimed, step)])
            return
        names = [one.id for one in self.rows.hand_offs]
        if names:
            self.choose(names[_next(names, self._chosen, step)])

    def _take_up(self) -> None:
        row = self.row
        if row is None or not row.takers:
            return
        self._is_moving = True
        self._aim(next((band.socket for band in row.bands), row.takers[0]))

    def _aim(self, socket: str) -> None:
        self._aimed = self._taker(socket)
        self.reach_socket(socket)
        announce(self)
        self.update()

    def _taker(self, socket: str | None) -> str | None:
        row = self.row
        return socket if row is not None and socket in row.takers else None

    def _land(self) -> None:
        name, socket = self._chosen, self._aimed
        self._leave()
        if name is not None and socket is not None:
            self.wanted.emit(name, socket)

    def _leave(self) -> None:
        self._is_moving, self._aimed, self._pointer, self._pressed = False, None, None, None
        self.update()


class BoardHead(QWidget):
    """What stands above the columns of a board, and stays when the board is scrolled."""

    def __init__(self, board: FitBoard, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._board = board
        self._words = ("", "", "")
        board.laid.connect(self._follow)

    def say(self, left: str, middle: str, right: str) -> None:
        """Show words above the hand-offs, the lanes and the sockets."""
        self._words = (left, middle, right)
        self.setAccessibleName(" – ".join(self._words))
        self.update()

    def _follow(self) -> None:
        self.setFixedHeight(round(QFontMetricsF(self._board.fonts()[1]).height()) + 6)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the words."""
        painter = QPainter(self)
        self._paint(painter)
        painter.end()

    @steady
    def _paint(self, painter: QPainter) -> None:
        fonts = self._board.fonts()
        BoardPainter(painter, self._board.theme, fonts, Held()).heads(self._board.plan, self._words, self.height())


def _next(names: list[str], now: str | None, step: int) -> int:
    if now not in names:
        return 0 if step > 0 else len(names) - 1
    return min(max(names.index(now) + step, 0), len(names) - 1)
