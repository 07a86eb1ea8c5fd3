"""Rows of cells from whatever a house sends back: a CSV file, cells copied from a spreadsheet, a mail.

A row is a line whose cells lie between tabs, bars, two blanks or more, or a colon; or a record of
a CSV file. What the cells mean is not known here.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable

from msgspec import Struct

from rigcore.book.sheets.table import MOST_ROWS, cleaned

DELIMITERS = (",", ";", "\t")

IsHead = Callable[[tuple[str, ...]], bool]


class TextRow(Struct, frozen=True):
    """One row: its number in the text, its cells, and whether a mail program quoted it.

    One without cells ends a table; empty rows within a file of records do not.
    """

    number: int
    cells: tuple[str, ...]
    quoted: bool = False


def text_rows(text: str, is_head: IsHead) -> tuple[TextRow, ...]:
    """Return the rows of a text, at most as many as a table may have.

    Parameters
    ----------
    is_head
        Whether some cells name the columns of a table: by such a row a file of records is known.
    """
    for delimiter in DELIMITERS:
        rows = tuple(row for row in _records(text, delimiter) if row.cells)
        if rows and is_head(rows[0].cells):
            return rows
    return tuple(_lines(text.splitlines()[:MOST_ROWS], is_head))


def _records(text: str, delimiter: str) -> tuple[TextRow, ...]:
    """Return the records of a CSV file; none where its quotation marks do not match."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True, skipinitialspace=True)
    try:
        return tuple(
            TextRow(number, _trimmed(cells))
            for number, cells in zip(range(1, MOST_ROWS + 1), reader, strict=False)
            if number > 1 or not re.fullmatch(r"sep=.?", "".join(cells).strip())
        )
    except csv.Error:
        return ()


def _lines(lines: Iterable[str], is_head: IsHead) -> Iterable[TextRow]:
    """Yield the lines of a mail: below a row of headings by its delimiter, else as each looks."""
    delimiter = ""
    for number, line in enumerate(lines, start=1):
        plain = re.sub(r"^(\s*>)+ ?", "", line)
        if plain.strip() and re.fullmatch(r"[\s|:+=-]*", plain):
            continue  # a rule drawn with signs between headings and rows
        heads = [one for one in DELIMITERS if is_head(_split(plain, one))]
        delimiter = heads[0] if heads else delimiter if plain.strip() else ""
        cells = _split(plain, delimiter) if delimiter else _cells(plain)
        if cells or not plain.strip():
            yield TextRow(number, cells, plain != line)


def _split(line: str, delimiter: str) -> tuple[str, ...]:
    return next((row.cells for row in _records(line, delimiter)), ())


def _cells(line: str) -> tuple[str, ...]:
    if "|" in line:
        return _trimmed(line.strip().strip("|").split("|"))
    return _trimmed(line.split("\t") if "\t" in line.strip() else re.split(r"\s{2,}", line.strip()))


def _trimmed(cells: Iterable[str]) -> tuple[str, ...]:
    """Return the cells without blanks around them, and without empty ones at the end."""
    found = [cleaned(cell) for cell in cells]
    while found and not found[-1]:
        found.pop()
    return tuple(found)
