"""Rows of a list as a table for the toolkit: what each column says, and which cells are the user's own to write."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from typing import Any

from msgspec import Struct
from PySide6.QtCore import QAbstractTableModel, QMimeData, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFont

AnyIndex = QModelIndex | QPersistentModelIndex
ROW_MIME = "application/x-loomwright-row"


class Column(Struct, frozen=True):
    """One column: heading, tooltip of the heading, most characters before a text wraps, and the text itself.

    ``own`` returns the part of the cell that is the user's, to be edited in place; None where all is computed.
    """

    heading: str
    tip: str
    widest: int
    text: Callable[[Any], str]
    own: Callable[[Any], str] | None = None
    is_centred: bool = False
    is_strong: bool = False


class TableModel(QAbstractTableModel):
    """The rows of one list. ``written(row, column, text)`` when a cell was edited, ``moved(row, to)`` after a drag."""

    written = Signal(int, int, str)
    moved = Signal(int, int)

    def __init__(self, columns: Sequence[Column], *, can_move: bool = False) -> None:
        super().__init__()
        self.columns = tuple(columns)
        self.rows: tuple[Any, ...] = ()
        self._can_move = can_move

    def take(self, rows: Sequence[Any]) -> None:
        """Show other rows; equal ones are left alone."""
        if tuple(rows) != self.rows:
            self.beginResetModel()
            self.rows = tuple(rows)
            self.endResetModel()

    def rowCount(self, parent: AnyIndex = QModelIndex()) -> int:  # noqa: B008
        """One row for each of the list."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: AnyIndex = QModelIndex()) -> int:  # noqa: B008
        """As many as the table above."""
        return 0 if parent.isValid() else len(self.columns)

    def flags(self, index: AnyIndex) -> Qt.ItemFlag:
        """Which cells can be written, and that rows can be dragged."""
        flags = super().flags(index)
        if not index.isValid():
            return flags | Qt.ItemFlag.ItemIsDropEnabled if self._can_move else flags
        if self.columns[index.column()].own is not None:
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags | Qt.ItemFlag.ItemIsDragEnabled if self._can_move else flags

    def data(self, index: AnyIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """The text of a cell, always plain; what is the user's own while it is edited."""
        column, row = self.columns[index.column()], self.rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.text(row)
        if role == Qt.ItemDataRole.EditRole:
            return column.own(row) if column.own is not None else column.text(row)
        if role == Qt.ItemDataRole.ToolTipRole:
            how = self.tr("computed") if column.own is None else self.tr("yours: double-click or F2 to change it")
            words = column.text(row)
            return escape(f"{words} – {how}" if words else how)
        if role == Qt.ItemDataRole.TextAlignmentRole and column.is_centred:
            return Qt.AlignmentFlag.AlignCenter
        if role == Qt.ItemDataRole.FontRole and column.is_strong:
            font = QFont()
            font.setWeight(QFont.Weight.DemiBold)
            return font
        return None

    def setData(self, index: AnyIndex, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Hand an edited cell on; the rows change once the book has."""
        column = self.columns[index.column()]
        if role != Qt.ItemDataRole.EditRole or column.own is None:
            return False
        text = " ".join(str(value).split())
        if text != column.own(self.rows[index.row()]):
            self.written.emit(index.row(), index.column(), text)
        return True

    def headerData(self, section: int, way: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """The headings."""
        if way == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self.tr(self.columns[section].heading)
        if role == Qt.ItemDataRole.TextAlignmentRole and self.columns[section].is_centred:
            return Qt.AlignmentFlag.AlignCenter
        if way == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.ToolTipRole:
            return self.tr(self.columns[section].tip)
        return None

    # -- dragging rows -----------------------------------------------------------------------

    def supportedDropActions(self) -> Qt.DropAction:
        """Rows move; they are never copied."""
        return Qt.DropAction.MoveAction

    def mimeTypes(self) -> list[str]:
        """A row of this table."""
        return [ROW_MIME]

    def mimeData(self, indexes: Sequence[AnyIndex]) -> QMimeData:
        """The number of the dragged row."""
        data = QMimeData()
        data.setData(ROW_MIME, str(indexes[0].row()).encode())
        return data

    def dropMimeData(self, data: QMimeData, _action: Qt.DropAction, row: int, *place: Any) -> bool:
        """Hand a move on; False, because the rows change once the book has."""
        if not self._can_move or not data.hasFormat(ROW_MIME):
            return False
        dragged = int(bytes(data.data(ROW_MIME).data()).decode())
        _column, parent = place
        target = row if row >= 0 else parent.row() if parent.isValid() else len(self.rows)
        target -= target > dragged
        if target != dragged:
            self.moved.emit(dragged, target)
        return False
