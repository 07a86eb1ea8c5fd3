"""The Levels sheet: what arrives at every input with a gain, how much head-room is left, and what to dial."""

from __future__ import annotations

from collections.abc import Sequence

from app.tables.model import Column
from app.tables.table_sheet import TableSheet
from rigcore.lists.gain_list import GainRow, gain_list, signed
from rigcore.rules.rule import Thing
from rigcore.rules.words import level


def _dbu(level_dbu: float | None) -> str:
    return "–" if level_dbu is None else level(level_dbu)


def _gain(gain_db: float | None) -> str:
    return "–" if gain_db is None else signed(gain_db)


class LevelsSheet(TableSheet):
    """The gain list; the ladder of the chosen row stands in the details."""

    title = "Levels"
    sentence = (
        "Computed through the whole chain, loads and pads included. The ladder of the chosen row stands in the "
        "details; the gain to dial brings the line to the reference of its input."
    )
    empty = "No input with a gain is plugged yet. Patch a source into a mixer, or down to the house line."
    columns = (
        Column("Line", "What arrives", 26, lambda row: row.name, is_strong=True),
        Column("At", "The input it arrives at", 26, lambda row: row.input),
        Column("House", "The house's number of the line", 8, lambda row: str(row.number or "–"), is_centred=True),
        Column("Nominal", "The level the line is meant to work at", 12, lambda row: _dbu(row.nominal_dbu)),
        Column("Peak", "The most it can give", 12, lambda row: _dbu(row.peak_dbu)),
        Column("Head-room", "From the peak up to where the input clips", 12, lambda row: _gain(row.head_room_db)),
        Column("Dial", "The gain that brings it to the reference", 12, lambda row: row.gain_words, is_strong=True),
        Column("Dialled", "The gain kept in the book", 10, lambda row: _gain(row.dialled_db)),
        Column("Remark", "What makes it impossible, if anything", 99, lambda row: row.problem),
    )

    def rows(self) -> Sequence[GainRow]:
        """Our own inputs first, then the house's."""
        return gain_list(self.desk.latest().patch)

    def thing_of(self, row: GainRow) -> Thing:
        """The input."""
        kind = "unit" if row.owner == "rig" else "house unit"
        return Thing(kind, row.node.unit, row.node.port)
