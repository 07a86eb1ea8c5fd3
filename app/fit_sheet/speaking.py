"""The board for those who do not see it: every hand-off and socket as a named child of the board, in its order."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QRect
from PySide6.QtGui import QAccessible, QAccessibleEvent, QAccessibleInterface, QWindow
from PySide6.QtWidgets import QAccessibleWidget

from app.fit_sheet.board_rows import words

if TYPE_CHECKING:
    from app.fit_sheet.board import FitBoard

Stop = tuple[str, str]
"""A child of the board: what it is, and its id."""


def stops(board: FitBoard) -> list[Stop]:
    """Return the children of a board: hand-offs, then sockets."""
    rows = board.rows
    return [*(("hand-off", one.id) for one in rows.hand_offs), *(("socket", one.id) for one in rows.sockets)]


def here(board: FitBoard) -> Stop | None:
    """Return what the keys are at."""
    if board.aimed is not None:
        return "socket", board.aimed
    return ("hand-off", board.row.id) if board.row is not None else None


def spoken(board: FitBoard, stop: Stop) -> tuple[str, str]:
    """Return the name of a child, and what else there is to say of it."""
    kind, name = stop
    if kind == "socket":
        socket = board.rows.socket(name)
        if socket is None:
            return "", ""
        about = ", ".join(text for text in (socket.about, socket.proposed) if text)
        return words("house {} {}").format(socket.number, socket.label), about
    row = next((one for one in board.rows.hand_offs if one.id == name), None)
    if row is None:
        return "", ""
    return row.name, ". ".join(text for text in (row.about, row.more, row.short, *row.reasons) if text)


def announce(board: FitBoard) -> None:
    """Let assistive tools say what the keys have come to."""
    at = here(board)
    said = ": ".join(text for text in spoken(board, at) if text) if at else words("Arrows choose a hand-off")
    if at is not None and board.aimed is not None and board.row is not None:
        said = words("Move {} to {}").format(board.row.name, said)
    if said == board.accessibleDescription():
        return
    board.setAccessibleDescription(said)
    if not QAccessible.isActive():
        return
    QAccessible.updateAccessibility(QAccessibleEvent(board, QAccessible.Event.DescriptionChanged))
    if at in stops(board):
        event = QAccessibleEvent(board, QAccessible.Event.Focus)
        event.setChild(stops(board).index(at))
        QAccessible.updateAccessibility(event)


class SpokenBoard(QAccessibleWidget):
    """The board as a list of its hand-offs and sockets."""

    def __init__(self, board: FitBoard) -> None:
        super().__init__(board, QAccessible.Role.List, board.accessibleName())
        self.board = board
        self._children: dict[Stop, SpokenRow] = {}

    def childCount(self) -> int:
        return len(stops(self.board))

    def child(self, index: int) -> QAccessibleInterface | None:
        known = stops(self.board)
        if not 0 <= index < len(known):
            return None
        return self._children.setdefault(known[index], SpokenRow(self, known[index]))

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        known = stops(self.board)
        return known.index(child.stop) if isinstance(child, SpokenRow) and child.stop in known else -1

    def focusChild(self) -> QAccessibleInterface | None:
        at, known = here(self.board), stops(self.board)
        return self.child(known.index(at)) if at in known else None


class SpokenRow(QAccessibleInterface):
    """One hand-off or socket of the board."""

    def __init__(self, within: SpokenBoard, stop: Stop) -> None:
        super().__init__()
        self._within = within
        self.stop = stop

    def isValid(self) -> bool:
        return self.stop in stops(self._within.board)

    def object(self) -> QObject | None:
        return None

    def window(self) -> QWindow | None:
        return self._within.board.window().windowHandle()

    def parent(self) -> QAccessibleInterface:
        return self._within

    def child(self, index: int) -> QAccessibleInterface | None:
        return None

    def childAt(self, x: int, y: int) -> QAccessibleInterface | None:
        return None

    def childCount(self) -> int:
        return 0

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        return -1

    def text(self, kind: QAccessible.Text) -> str:
        name, about = spoken(self._within.board, self.stop)
        return {QAccessible.Text.Name: name, QAccessible.Text.Description: about}.get(kind, "")

    def setText(self, kind: QAccessible.Text, text: str) -> None:
        """Names are changed elsewhere, not through assistive tools."""

    def rect(self) -> QRect:
        kind, name = self.stop
        board = self._within.board
        boxes = board.plan.sockets if kind == "socket" else board.plan.hand_offs
        box = boxes[name].toRect() if name in boxes else QRect()
        return QRect(board.mapToGlobal(box.topLeft()), box.size())

    def role(self) -> QAccessible.Role:
        return QAccessible.Role.ListItem

    def state(self) -> QAccessible.State:
        state = QAccessible.State()
        state.focusable = state.selectable = True
        state.selected = here(self._within.board) == self.stop
        state.focused = state.selected and self._within.board.hasFocus()
        return state


def give_voice(board: FitBoard) -> SpokenBoard:
    """Return what speaks for a board; who calls it keeps it, the toolkit does not."""
    _install()
    return SpokenBoard(board)


@cache
def _install() -> None:
    QAccessible.installFactory(_made_for)


def _made_for(_key: str, thing: QObject) -> QAccessibleInterface | None:
    return getattr(thing, "voice", None)
