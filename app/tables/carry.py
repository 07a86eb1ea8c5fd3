"""The Carry sheet: what to pack for the gig in view, or for the whole tour, and what is short."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QWidget

from app.desk import Desk
from app.panes.marks import Chooser
from app.tables.model import Column
from app.tables.table_sheet import TableSheet
from rigcore.lists.cable_plan import cable_plan
from rigcore.lists.carry_list import CarryList, carry_list, tour_list
from rigcore.lists.carry_rows import CarryRow, carry_rows, run_rows
from rigcore.rules.rule import Thing


class CarrySheet(TableSheet):
    """The carry list."""

    title = "Carry"
    sentence = (
        "Computed from the patch and the landings. A tour takes of each thing the most that any of its gigs needs; "
        "what no stock counts, look yourself."
    )
    empty = "Nothing to carry yet: put gear on the Patch sheet."
    columns = (
        Column("Part", "Where it belongs on the list", 20, lambda row: row.part),
        Column("What", "The thing", 44, lambda row: row.what, is_strong=True),
        Column("Needed", "How many are to be packed", 10, lambda row: row.needed, is_centred=True),
        Column("Owned", "How many the stock counts", 12, lambda row: row.owned, is_centred=True),
        Column("Short", "How many are missing", 8, lambda row: row.short, is_centred=True, is_strong=True),
        Column("Mass", "What one weighs", 9, lambda row: row.mass, is_centred=True),
        Column("Remark", "What is inside, who lends one, how to lift it", 99, lambda row: row.remark),
    )

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.whose = Chooser()
        self.whose.setAccessibleName(self.tr("For which gigs"))
        self.whose.addItems([self.tr("For this gig"), self.tr("For the whole tour")])
        self.whose.activated.connect(lambda _index: self.refresh())
        self.whose.setMaximumWidth(220)
        self.column.insertWidget(1, self.whose)

    @property
    def listed(self) -> CarryList:
        """The list in view."""
        if self.whose.currentIndex() == 1:
            return tour_list(self.desk.book, self.desk.shipped)
        return carry_list(self.desk.analysis().patch)

    def rows(self) -> Sequence[CarryRow]:
        """Cases, stands, cables, boxes, spares, what the house is asked for; for one gig which cable lies where."""
        rows = carry_rows(self.listed)
        if self.whose.currentIndex() == 1:
            return rows
        return (*rows, *run_rows(cable_plan(self.desk.analysis().patch)))

    def sum_words(self) -> str:
        """What is short, and the caution on lifting."""
        short = sum(int(row.short) for row in self.model.rows if row.short)
        if short:
            words = self.tr("Short: {}.").format(short)
        elif any(row.owned.isdigit() for row in self.model.rows):
            words = self.tr("Nothing is short.")
        else:
            words = self.tr("What you own is not counted yet: say so under Gig, Stock.")
        return f"{words} {self.listed.caution}"

    def thing_of(self, _row: CarryRow) -> Thing | None:
        """Many rows stand for several things, so none is chosen on the sheets."""
        return None
