"""The Inputs sheet: the input list as it will be printed. Names, notes and order are the user's, the rest computed."""

from __future__ import annotations

from collections.abc import Sequence

from app.tables.model import Column
from app.tables.table_sheet import TableSheet
from rigcore.book.edits.gigs import change_gig
from rigcore.book.edits.hand_offs import change_hand_off
from rigcore.lists.input_list import InputRow
from rigcore.rules.rule import Thing

NAME, NOTES = "Name", "Notes"


class InputsSheet(TableSheet):
    """The input list."""

    title = "Input list"
    sentence = (
        "Computed from the patch: change the patch and the list follows. Names and notes are yours to write; "
        "drag a row, or press Alt with an arrow, for another order."
    )
    empty = "No line reaches the house yet. On the Patch sheet, drag from an output down to the house line."
    columns = (
        Column("Ch", "The act's own number", 6, lambda row: str(row.act), is_centred=True),
        Column("House", "The house's number of the line", 10, lambda row: str(row.house), is_centred=True),
        Column(NAME, "What to write on the tape", 20, lambda row: row.name, own=lambda row: row.name, is_strong=True),
        Column("Source", "Where the sound begins", 18, lambda row: row.source),
        Column("By", "Microphone, DI or direct, and who supplies it", 24, lambda row: row.via),
        Column("48 V", "Whether the line requires it", 8, lambda row: "48 V" if row.phantom else "–", is_centred=True),
        Column("Stand", "The stand and who supplies it", 14, lambda row: row.stand_words),
        Column("Socket", "Where it lands", 14, lambda row: row.socket),
        Column(NOTES, "What the engineer should know; yours comes after what is computed", 99,
               lambda row: "; ".join(row.notes), own=lambda row: row.note),
    )
    can_move = True

    def rows(self) -> Sequence[InputRow]:
        """The channels in order."""
        return self.desk.latest().inputs

    def sum_words(self) -> str:
        """Channels and 48 V."""
        counts = self.desk.latest().counts
        return self.tr("Channels: {}, of them with 48 V: {}").format(counts.channels, counts.phantom)

    def thing_of(self, row: InputRow) -> Thing:
        """The landing."""
        return Thing("landing", row.hand_off)

    def about(self, row: InputRow) -> tuple[Thing, ...]:
        """The line, and the units it runs through."""
        ends = Thing("landing", row.hand_off), Thing("hand-off", row.hand_off)
        return (*ends, *(Thing("unit", one) for one in row.units))

    def write(self, row: InputRow, column: Column, text: str) -> None:
        """Rename a line, or change its note."""
        rig_id = self.desk.rig_id
        field = "name" if column.heading == NAME else "note"
        words = self.tr("Rename {} to {}") if field == "name" else self.tr("Note on {}: {}")
        change = {field: text}
        self.desk.edit(
            words.format(row.name, text), lambda book: change_hand_off(book, rig_id, row.hand_off, **change)
        )

    def move(self, row: int, to: int) -> None:
        """Give a channel another number; all others keep their order."""
        order = [one.hand_off for one in self.model.rows]
        order.insert(to, order.pop(row))
        gig_id, name = self.desk.gig_id, self.model.rows[row].name
        words = self.tr("Move {} to channel {}").format(name, to + 1)
        if self.desk.edit(words, lambda book: change_gig(book, gig_id, order=tuple(order))):
            self.refresh()
            self.table.selectRow(to)
