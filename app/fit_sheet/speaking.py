"""The board for those who do not see it: every hand-off and socket as a named child of the board, in its order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect

from app.fit_sheet.board_rows import words
from app.spoken import SpokenLeaf, SpokenList, tell

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
    tell(board, said, stops(board), at)


class SpokenBoard(SpokenList):
    """The board as a list of its hand-offs and sockets."""

    drawn: FitBoard

    def stops(self) -> Sequence[Stop]:
        return stops(self.drawn)

    def here(self) -> Stop | None:
        return here(self.drawn)

    def leaf(self, stop: Stop) -> SpokenRow:
        return SpokenRow(self, stop)


class SpokenRow(SpokenLeaf):
    """One hand-off or socket of the board."""

    within: SpokenBoard
    stop: Stop

    def spoken(self) -> tuple[str, str]:
        return spoken(self.within.drawn, self.stop)

    def is_selected(self) -> bool:
        return here(self.within.drawn) == self.stop

    def rect(self) -> QRect:
        kind, name = self.stop
        board = self.within.drawn
        boxes = board.plan.sockets if kind == "socket" else board.plan.hand_offs
        box = boxes[name].toRect() if name in boxes else QRect()
        return QRect(board.mapToGlobal(box.topLeft()), box.size())
