"""The tour kit as a table: each thing, how many of those owned, why, and what each gig takes of it."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from app.fit_sheet.board_rows import words
from app.fit_sheet.solving import Tour
from app.tables.model import Column, TableModel
from app.tables.table_sheet import AIR, Cells


class _Row(Struct, frozen=True):
    thing: str
    kit: str
    takes: tuple[str, ...]
    needed: str


class TourTable(QTableView):
    """The table; its columns follow the gigs of the book."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("Tour kit"))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setItemDelegate(Cells(self))
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setAlternatingRowColors(True)
        self.setShowGrid(False)
        self.setWordWrap(True)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)

    def sizeHintForRow(self, row: int) -> int:
        """Leave air above and below a text of several lines."""
        return super().sizeHintForRow(row) + AIR

    def show_tour(self, tour: Tour) -> None:
        """Show a kit."""
        model = TableModel(_columns([name for name, _ in tour.gigs]))
        model.setParent(self)
        model.take(_rows(tour))
        old = self.model()
        self.setModel(model)
        if old is not None:
            old.deleteLater()
        self.horizontalHeader().setTextElideMode(Qt.TextElideMode.ElideRight)
        self.resizeColumnsToContents()
        letter = self.fontMetrics().averageCharWidth()
        for place, column in enumerate(model.columns[:-1]):
            self.setColumnWidth(place, min(self.columnWidth(place) + letter, column.widest * letter))
        self.setColumnWidth(len(model.columns) - 1, 20 * letter)
        self.horizontalHeader().setStretchLastSection(True)
        self.resizeRowsToContents()


def _columns(gigs: Sequence[str]) -> tuple[Column, ...]:
    take = [
        Column(name, words("How many {} takes").format(name), 15,
               lambda row, place=place: row.takes[place], is_centred=True)
        for place, name in enumerate(gigs)
    ]
    return (
        Column(words("Thing"), words("What to bring"), 28, lambda row: row.thing, is_strong=True),
        Column(words("Kit"), words("How many do, of how many are owned"), 10, lambda row: row.kit, is_centred=True),
        *take,
        Column(words("Without one of them"), words("Which gig gets worse, and in what"), 99, lambda row: row.needed),
    )


def _rows(tour: Tour) -> list[_Row]:
    taken = [{one.thing: one.count for one in rows} for _, rows in tour.gigs]
    return [
        _Row(
            row.thing, words("{} of {}").format(row.count, row.owned),
            tuple(str(one[row.thing]) if row.thing in one else "–" for one in taken), "; ".join(row.needed),
        )
        for row in tour.kit
    ]  # fmt: skip
