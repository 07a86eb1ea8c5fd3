"""The tour kit as a table: each thing, how many of those owned, why, and what each gig takes of it."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QFontMetrics
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from app.fit_sheet.board_rows import words
from app.fit_sheet.solving import Tour
from app.tables.model import Column, TableModel
from app.tables.table_sheet import AIR, Cells

WIDEST_GIG = 15
"""Characters of a gig's name before it is broken."""
ASIDE = 6


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
        letter = self.fontMetrics().averageCharWidth()
        strong = QFont(self.font())
        strong.setWeight(QFont.Weight.DemiBold)
        metrics, room = QFontMetrics(strong), WIDEST_GIG * letter - 2 * ASIDE
        names = [(name, in_lines(name, metrics, room)) for name, _ in tour.gigs]
        model = TableModel(_columns(names))
        model.setParent(self)
        model.take(_rows(tour))
        old = self.model()
        self.setModel(model)
        if old is not None:
            old.deleteLater()
        self.resizeColumnsToContents()
        for place, column in enumerate(model.columns[:-1]):
            self.setColumnWidth(place, min(self.columnWidth(place) + letter, column.widest * letter))
        self.setColumnWidth(len(model.columns) - 1, 20 * letter)
        self.horizontalHeader().setStretchLastSection(True)
        self.resizeRowsToContents()


def in_lines(text: str, metrics: QFontMetrics, room_px: int) -> str:
    """Return a heading broken at its blanks into lines that fit; a word that is too long by itself is elided."""
    lines: list[str] = []
    for word in text.split():
        if lines and metrics.horizontalAdvance(f"{lines[-1]} {word}") <= room_px:
            lines[-1] = f"{lines[-1]} {word}"
        else:
            lines.append(metrics.elidedText(word, Qt.TextElideMode.ElideRight, room_px))
    return "\n".join(lines)


def _columns(gigs: Sequence[tuple[str, str]]) -> tuple[Column, ...]:
    """Return the columns; of each gig there is its name, and that as a heading."""
    take = [
        Column(heading, words("How many {} takes").format(name), WIDEST_GIG,
               lambda row, place=place: row.takes[place], is_centred=True)
        for place, (name, heading) in enumerate(gigs)
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
