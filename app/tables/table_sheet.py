"""The frame of a sheet that is a table: title, a sentence, the table, a sum, and what stands there when it is empty."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QItemSelection, QItemSelectionModel, QLocale, QModelIndex, Qt
from PySide6.QtGui import QFont, QFontMetrics, QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QStyledItemDelegate, QTableView, QVBoxLayout, QWidget

from app.desk import Desk
from app.panes.forms.fields import plain
from app.tables.model import Column, TableModel
from rigcore.rules.rule import Thing
from rigcore.rules.words import tied

MARGINS = 60
AIR = 8
LEAST_LAST = 22
"""Characters the last column keeps, which takes what the others leave: fewer would break its words."""


def fitting(widths: Sequence[int], room: int) -> list[int]:
    """Return widths that fit into a room, the widest cut first and all alike.

    >>> fitting([200, 150, 40], 300)
    [130, 130, 40]
    """
    left, cut = room, list(widths)
    for done, place in enumerate(sorted(range(len(cut)), key=lambda one: cut[one])):
        cut[place] = min(cut[place], max(left, 0) // (len(cut) - done))
        left -= cut[place]
    return cut


class TableSheet(QWidget):
    """A table that follows the desk. Below are the few things each sheet says for itself."""

    title = ""
    sentence = ""
    empty = ""
    columns: tuple[Column, ...] = ()
    can_move = False

    def rows(self) -> Sequence[Any]:
        """Return the rows of the gig in view."""
        raise NotImplementedError

    def sum_words(self) -> str:
        """Return the line below the table."""
        return ""

    def thing_of(self, _row: Any) -> Thing | None:
        """Return what to select when a row is chosen."""
        return None

    def about(self, row: Any) -> tuple[Thing, ...]:
        """Return the things that mark a row while one of them is selected."""
        thing = self.thing_of(row)
        return (thing,) if thing is not None else ()

    def write(self, row: Any, column: Column, text: str) -> None:
        """Take what the user wrote into a cell."""

    def move(self, row: int, to: int) -> None:
        """Take a row to another place."""

    # -- the same for all --------------------------------------------------------------------

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "pane")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.desk = desk
        self.model = TableModel(self.columns, can_move=self.can_move)
        self.model.setParent(self)
        self.model.written.connect(self._write)
        self.model.moved.connect(self.move)
        self.table = RowTable(self)
        self._sum = plain("", "soft")
        self._empty = plain(self.tr(self.empty), "soft")
        self.setFocusProxy(self.table)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(18, 14, 18, 12)
        self.column.setSpacing(6)
        self.column.addWidget(plain(self.tr(self.title), "title"))
        self.column.addWidget(plain(self.tr(self.sentence), "soft"))
        self.column.addWidget(self._empty)
        self.column.addWidget(self.table, 1)
        self.column.addWidget(self._sum)
        self.column.addStretch(0)
        self._is_stale = True
        self._is_following = False
        desk.analysed.connect(lambda _analysis: self._grow_stale())
        desk.selected.connect(lambda _things: self._follow())
        self.table.selectionModel().currentRowChanged.connect(self._choose)
        # Also the row the table was left at, after something else was selected elsewhere.
        self.table.clicked.connect(self._choose)

    def showEvent(self, event: QShowEvent) -> None:
        """Take the list before it is seen."""
        if self._is_stale:
            self.refresh()
        super().showEvent(event)
        self._follow()

    def _grow_stale(self) -> None:
        self._is_stale = True
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Take the list of the gig in view; the chosen row stays chosen."""
        self._is_stale = False
        chosen = self.table.currentIndex()
        row, column = chosen.row(), chosen.column()
        thing = self.thing_of(self.model.rows[row]) if chosen.isValid() else None
        rows = self.rows()
        self._is_following = True
        self.model.take(rows)
        self._empty.setVisible(not rows)
        self.table.setVisible(bool(rows))
        self._share_width()
        if thing is not None and not self.table.currentIndex().isValid():
            again = next((at for at, one in enumerate(rows) if self.thing_of(one) == thing), None)
            if again is not None:
                self.table.setCurrentIndex(self.model.index(again, column))
        self._is_following = False
        self._follow()
        self._sum.setText(self.sum_words() if rows else "")
        self._sum.setVisible(bool(self._sum.text()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the new width."""
        super().resizeEvent(event)
        self._share_width()

    def _share_width(self) -> None:
        """Give every column what it needs, or no more than its share where the room is short."""
        wide, room = self.fontMetrics().averageCharWidth(), self.width() - MARGINS
        widths = [self._needed(place) for place in range(len(self.columns))]
        if sum(widths) > room:
            last = min(widths[-1], LEAST_LAST * wide)
            most = [column.widest * wide for column in self.columns[:-1]]
            widths = fitting([min(pair) for pair in zip(widths[:-1], most, strict=True)], room - last)
        for place in range(len(self.columns) - 1):
            self.table.setColumnWidth(place, widths[place])
        self.table.resizeRowsToContents()

    def _needed(self, place: int) -> int:
        """Return the width at which no text of a column wraps."""
        bold = QFont(self.font())
        bold.setWeight(QFont.Weight.DemiBold)
        metrics = QFontMetrics(bold)
        widest = max((metrics.horizontalAdvance(self.columns[place].text(row)) for row in self.model.rows), default=0)
        return max(widest + 18, self.table.horizontalHeader().sectionSizeHint(place))

    def _write(self, row: int, column: int, text: str) -> None:
        self.write(self.model.rows[row], self.columns[column], text)

    def _choose(self, now: QModelIndex, _before: QModelIndex | None = None) -> None:
        thing = self.thing_of(self.model.rows[now.row()]) if now.isValid() else None
        if thing is not None and not self._is_following:
            self.desk.select((thing,))

    def _follow(self) -> None:
        """Mark the rows about what is selected on the other sheets: the very port first, else its unit."""
        things = self.desk.selection
        about = [self.about(row) for row in self.model.rows]
        if not self.isVisible() or not any(about):
            return
        rows = [at for at, row in enumerate(self.model.rows) if self.thing_of(row) in things]
        if not rows:
            ids = {(one.kind, one.id) for one in things}
            rows = [at for at, own in enumerate(about) if any((one.kind, one.id) in ids for one in own)]
        marked, last = QItemSelection(), self.model.columnCount() - 1
        for at in rows:
            marked.select(self.model.index(at, 0), self.model.index(at, last))
        chooser, flags = self.table.selectionModel(), QItemSelectionModel.SelectionFlag
        self._is_following = True
        if rows and self.table.currentIndex().row() not in rows:
            now = self.model.index(rows[0], max(self.table.currentIndex().column(), 0))
            chooser.setCurrentIndex(now, flags.NoUpdate)
            self.table.scrollTo(now)
        chooser.select(marked, flags.ClearAndSelect)
        self._is_following = False


class Cells(QStyledItemDelegate):
    """Cells whose text wraps, no number apart from its unit."""

    def displayText(self, value: object, _locale: QLocale) -> str:
        """Return the text as it is shown."""
        return tied(str(value))


class RowTable(QTableView):
    """The table itself: rows are chosen whole, and moved by dragging or with Alt and the arrows."""

    def __init__(self, sheet: TableSheet) -> None:
        super().__init__(sheet)
        self._sheet = sheet
        self.setModel(sheet.model)
        self.setItemDelegate(Cells(self))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(triggers.DoubleClicked | triggers.EditKeyPressed)
        self.setAlternatingRowColors(True)
        self.setShowGrid(False)
        self.setWordWrap(True)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.verticalHeader().setMinimumSectionSize(sheet.fontMetrics().height() + 14)
        header = self.horizontalHeader()
        header.setSectionResizeMode(len(sheet.columns) - 1, QHeaderView.ResizeMode.Stretch)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setHighlightSections(False)
        self.setAccessibleName(sheet.tr(sheet.title))
        if sheet.can_move:
            self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
            self.setDragDropOverwriteMode(False)
            self.setDropIndicatorShown(True)

    def sizeHintForRow(self, row: int) -> int:
        """Leave air above and below a text of several lines."""
        return super().sizeHintForRow(row) + AIR

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Alt with an arrow moves the row."""
        step = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}.get(Qt.Key(event.key()), 0)
        if step and self._sheet.can_move and event.modifiers() == Qt.KeyboardModifier.AltModifier:
            row = self.currentIndex().row()
            if row >= 0 and 0 <= row + step < self.model().rowCount():
                self._sheet.move(row, row + step)
            return
        super().keyPressEvent(event)
