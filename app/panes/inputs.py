"""The Inputs sheet: the input list as it will be printed, computed from the patch. Nothing is typed here."""

from __future__ import annotations

from collections.abc import Callable
from html import escape

from PySide6.QtCore import QAbstractTableModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QVBoxLayout, QWidget

from app.desk import Desk
from app.panes.forms.fields import plain
from rigcore.lists.input_list import InputRow
from rigcore.rules.rule import Thing

COLUMNS: tuple[tuple[str, str, int, Callable[[InputRow], str]], ...] = (
    ("Ch", "The act's own number", 6, lambda row: str(row.act)),
    ("House", "The house's number of the line", 10, lambda row: str(row.house)),
    ("Name", "What to write on the tape", 20, lambda row: row.name),
    ("Source", "Where the sound begins", 18, lambda row: row.source),
    ("By", "Microphone, DI or direct, and who supplies it", 24, lambda row: row.via),
    ("48 V", "Whether the line requires it", 8, lambda row: "48 V" if row.phantom else "–"),
    ("Stand", "The stand and who supplies it", 14, lambda row: row.stand_words),
    ("Socket", "Where it lands", 14, lambda row: row.socket),
    ("Notes", "What the engineer should know", 99, lambda row: "; ".join(row.notes)),
)
"""Heading, tooltip, most characters before the text wraps, and the text itself."""

NOTES = len(COLUMNS) - 1
MARGINS = 60
CENTRED = (0, 1, 5)


class InputModel(QAbstractTableModel):
    """The rows of an input list."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows: tuple[InputRow, ...] = ()

    def take(self, rows: tuple[InputRow, ...]) -> None:
        """Show other rows; equal ones are left alone."""
        if rows != self.rows:
            self.beginResetModel()
            self.rows = rows
            self.endResetModel()

    def rowCount(self, parent: QModelIndex = QModelIndex()) -> int:  # noqa: B008
        """One row for each channel."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: QModelIndex = QModelIndex()) -> int:  # noqa: B008
        """As many as the table above."""
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """The text of a cell, always plain."""
        if role == Qt.ItemDataRole.DisplayRole:
            return COLUMNS[index.column()][3](self.rows[index.row()])
        if role == Qt.ItemDataRole.ToolTipRole:
            row = self.rows[index.row()]
            return escape(row.block if COLUMNS[index.column()][0] == "Socket" else COLUMNS[index.column()][3](row))
        if role == Qt.ItemDataRole.TextAlignmentRole and index.column() in CENTRED:
            return Qt.AlignmentFlag.AlignCenter
        if role == Qt.ItemDataRole.FontRole and index.column() == 2:
            font = QFont()
            font.setWeight(QFont.Weight.DemiBold)
            return font
        return None

    def headerData(self, section: int, way: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """The headings."""
        if way == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self.tr(COLUMNS[section][0])
        if role == Qt.ItemDataRole.TextAlignmentRole and section in CENTRED:
            return Qt.AlignmentFlag.AlignCenter
        if way == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.ToolTipRole:
            return self.tr(COLUMNS[section][1])
        return None


class InputsSheet(QWidget):
    """The table with a line that says where it comes from."""

    chosen = Signal(object)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "pane")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._desk = desk
        self.model = InputModel(self)
        self.table = QTableView()
        self.table.setModel(self.model)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setAlternatingRowColors(True)
        self.table.setShowGrid(False)
        self.table.setWordWrap(True)
        self.table.setTabKeyNavigation(False)
        self.table.verticalHeader().hide()
        self.table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.table.verticalHeader().setMinimumSectionSize(self.fontMetrics().height() + 14)
        header = self.table.horizontalHeader()
        header.setSectionResizeMode(NOTES, QHeaderView.ResizeMode.Stretch)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setHighlightSections(False)
        self.table.setAccessibleName(self.tr("Input list, computed"))
        self._sum = plain("", "soft")
        self._empty = plain(
            self.tr("No line reaches the house yet. On the Patch sheet, drag from an output down to the house line."),
            "soft",
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(18, 14, 18, 12)
        column.setSpacing(6)
        column.addWidget(plain(self.tr("Input list"), "title"))
        column.addWidget(
            plain(self.tr("Computed from the patch, never typed: change the patch and the list follows."), "soft")
        )
        column.addWidget(self._empty)
        column.addWidget(self.table, 1)
        column.addWidget(self._sum)
        self._is_stale = True
        desk.analysed.connect(lambda _analysis: self._grow_stale())
        self.table.selectionModel().currentRowChanged.connect(self._choose)

    def showEvent(self, event: QShowEvent) -> None:
        """Take the list before it is seen."""
        if self._is_stale:
            self.refresh()
        super().showEvent(event)

    def _grow_stale(self) -> None:
        self._is_stale = True
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Take the list of the gig in view."""
        self._is_stale = False
        analysis = self._desk.analysis()
        self.model.take(analysis.inputs)
        self._empty.setVisible(not analysis.inputs)
        self.table.setVisible(bool(analysis.inputs))
        self._share_width()
        counts = analysis.counts
        self._sum.setText(
            self.tr("{} channels, of them {} with 48 V").format(counts.channels, counts.phantom)
            if analysis.inputs else ""
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the new width."""
        super().resizeEvent(event)
        self._share_width()

    def _share_width(self) -> None:
        """Give every column what it needs, or no more than its share where the room is short."""
        needed = [self._needed(column) for column in range(len(COLUMNS))]
        short = sum(needed) > self.width() - MARGINS
        for column in range(NOTES):
            most = COLUMNS[column][2] * self.fontMetrics().averageCharWidth()
            self.table.setColumnWidth(column, min(needed[column], most) if short else needed[column])
        self.table.resizeRowsToContents()

    def _needed(self, column: int) -> int:
        """Return the width at which no text of a column wraps."""
        texts = [COLUMNS[column][3](row) for row in self.model.rows]
        bold = QFont(self.font())
        bold.setWeight(QFont.Weight.DemiBold)
        widest = max((QFontMetrics(bold).horizontalAdvance(text) for text in texts), default=0)
        return max(widest + 18, self.table.horizontalHeader().sectionSizeHint(column))

    def _choose(self, now: QModelIndex, _before: QModelIndex) -> None:
        if now.isValid():
            self._desk.select((Thing("landing", self.model.rows[now.row()].hand_off),))
