"""The sheet a house fills in and sends back: open questions, its lines, its mains, as one CSV file.

The same columns are read again by :mod:`rigcore.book.sheets.reply`; a sheet sent back as it was says nothing new.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rigcore.book.sheets.reply_tables import LINES, POWER, QUESTIONS, Lines
from rigcore.book.sheets.table import Columns, Problems
from rigcore.lists.advance import questions
from rigcore.paper.spreadsheet import Cell, Sheet, csv_bytes

if TYPE_CHECKING:
    from rigcore.analysis import Analysis

SPARE_PLACES = 2
"""Empty rows for mains the book does not know."""


def answer_sheet(analysis: Analysis, *, bom: bool = False) -> bytes:
    """Return the sheet as CSV, its tables one below the other with an empty row between."""
    tables = ((QUESTIONS, _questions(analysis)), (LINES, _lines(analysis)), (POWER, _power(analysis)))
    made: list[tuple[Cell, ...]] = []
    for columns, rows in tables:
        if rows:
            made += [*([()] if made else []), _heads(columns), *rows]
    width = max((len(row) for row in made), default=0)
    padded = [(*row, *([None] * (width - len(row)))) for row in made]
    return csv_bytes(Sheet("Answers", tuple(str(cell or "") for cell in padded[0]), tuple(padded[1:])), bom=bom)


def _heads(columns: Columns) -> tuple[str, ...]:
    return tuple(columns.words)


def _questions(analysis: Analysis) -> list[tuple[Cell, ...]]:
    return [(one.key, one.words, None, one.assumed) for one in questions(analysis.patch)]


def _lines(analysis: Analysis) -> list[tuple[Cell, ...]]:
    house = analysis.patch.house
    lines = Lines(house, analysis.patch.catalogue, Problems())
    return [
        (one.id, one.direction, one.number, one.label, lines.connector(one), None, one.block) for one in house.sockets
    ]


def _power(analysis: Analysis) -> list[tuple[Cell, ...]]:
    connectors = analysis.patch.catalogue.connectors
    known: list[tuple[Cell, ...]] = [
        (
            drop.id, drop.name, drop.outlets, connectors[drop.connector].name if drop.connector else "", drop.circuit,
            drop.circuit_a, drop.rcd_ma, None if drop.limiter is None else "yes" if drop.limiter else "no",
            drop.shared_with,
        )
        for drop in analysis.patch.house.stage.power
    ]  # fmt: skip
    return known + [(None,) * len(POWER.words)] * SPARE_PLACES
