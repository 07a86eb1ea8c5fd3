"""The input list as a table: columns that suit their contents, generous rows, a head on every page.

What stands in a row is computed by the lists.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct, field

from rigcore.lists.input_list import InputRow
from rigcore.paper.style import (
    BLACK,
    BODY,
    CELL,
    CELL_STRONG,
    DARK,
    NAME,
    PALE,
    SMALL_DARK,
    STRONG,
    Lettering,
    Pen,
    clean,
    fitted,
    width_pt,
    wrapped,
)

HEAD_PT = 18.0
LINE_PT = 11.5
PAD_PT = 5.0
BRACKET_PT = 8.0
MOST_LINES = 3
ROW_HEIGHTS_PT = (24.0, 22.0, 20.5, 19.0, 17.5)
"""Heights of a row of one line, the most generous first."""

PLATE = Lettering("condensed-bold", 9.5, 1.0)


class Column(Struct, frozen=True):
    """A column: its head, where it starts and how wide it is, in points."""

    head: str
    x: float
    width: float


class Cell(Struct, frozen=True):
    """Lines of one cell in one lettering."""

    lines: tuple[str, ...]
    lettering: Lettering


class Row(Struct, frozen=True):
    """One row laid out: a cell for each column, its source row, whether the next row is its stereo partner."""

    source: InputRow
    cells: tuple[Cell, ...]
    pairs_on: bool
    lines: int = field(default=1)
    tag: str = ""

    def cut_words(self) -> str:
        """Return name and notes in full where the table had to cut one of them short, else nothing."""
        whole = (self.source.name, ", ".join(one for one in (self.tag, *self.source.notes) if one))
        cells = (self.cells[4], self.cells[7])
        short = any(
            cell.lines and cell.lines[-1].endswith("…") and not clean(words).endswith("…")
            for cell, words in zip(cells, whole, strict=True)
        )
        return ": ".join(words for words in whole if words) if short else ""


class Table(Struct, frozen=True):
    """The input list laid out for a width; heights follow from ``row_pt``."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    row_pt: float

    def height(self, row: Row) -> float:
        """Return the height of a row in points."""
        return self.row_pt + (row.lines - 1) * LINE_PT

    def total(self) -> float:
        """Return the height of the whole table with one head, in points."""
        return HEAD_PT + sum(self.height(row) for row in self.rows)

    def pages(self, first_pt: float, next_pt: float) -> tuple[tuple[Row, ...], ...]:
        """Return the rows by page, given the room on the first and on further pages; pairs stay together."""
        made: list[list[Row]] = [[]]
        left = first_pt - HEAD_PT
        for place, row in enumerate(self.rows):
            need = self.height(row)
            wanted = need + (self.height(self.rows[place + 1]) if row.pairs_on else 0.0)
            if wanted > left and made[-1]:
                made.append([])
                left = next_pt - HEAD_PT
            made[-1].append(row)
            left -= need
        return tuple(tuple(page) for page in made)


def lay_out(rows: Sequence[InputRow], left: float, width: float, tags: Mapping[str, str] | None = None) -> Table:
    """Return the input list laid out between a left edge and a width, in points.

    ``tags`` say by hand-off what changed in a row; such rows are framed.
    """
    tags = tags or {}
    columns = _columns(rows, left, width, tags)
    made = []
    for place, row in enumerate(rows):
        after = rows[place + 1] if place + 1 < len(rows) else None
        before = rows[place - 1] if place else None
        pairs_on = after is not None and row.mate == after.act and after.mate == row.act
        joined = pairs_on or (before is not None and row.mate == before.act and before.mate == row.act)
        tag = tags.get(row.hand_off, "")
        cells = _cells(row, columns, joined, tag)
        made.append(Row(row, cells, pairs_on, max(1, *(len(cell.lines) for cell in cells)), tag))
    return Table(columns, tuple(made), ROW_HEIGHTS_PT[0])


def draw_head(pen: Pen, table: Table, top: float) -> float:
    """Draw the head of the table and return where the rows begin, in points."""
    for column in table.columns:
        pen.text((column.x + 2, top - 12), column.head, SMALL_DARK, room_pt=column.width - 2)
    left, right = table.columns[0].x, table.columns[-1].x + table.columns[-1].width
    pen.line((left, top - HEAD_PT + 1), (right, top - HEAD_PT + 1), weight=1.1)
    return top - HEAD_PT


def draw_rows(pen: Pen, table: Table, rows: Sequence[Row], top: float) -> float:
    """Draw some rows from a height downwards and return where they end, in points."""
    left, right = table.columns[0].x, table.columns[-1].x + table.columns[-1].width
    y = top
    middles = []
    framed = []
    for row in rows:
        high = table.height(row)
        if row.tag:
            framed.append((left, y - high, right - left, high))
        if row.source.act % 2:
            pen.frame((left, y - high, right - left, high), weight=0, fill=PALE)
        for column, cell in zip(table.columns, row.cells, strict=True):
            _cell(pen, column, cell, (y, high))
        middles.append(y - high / 2)
        y -= high
    for place, row in enumerate(rows[:-1]):
        if row.pairs_on:
            _bracket(pen, table, middles[place], middles[place + 1])
    pen.line((left, y), (right, y), weight=0.5, grey=DARK)
    for box in framed:
        pen.frame((box[0] - 2, box[1] + 0.6, box[2] + 4, box[3] - 1.2), weight=1.2)
    return y


def _bracket(pen: Pen, table: Table, high: float, low: float) -> None:
    x = table.columns[4].x - BRACKET_PT + 1.5
    for y in (high, low):
        pen.line((x, y), (x + BRACKET_PT - 2.5, y), weight=1.0)
    pen.line((x, high), (x, low), weight=1.0)


def _cell(pen: Pen, column: Column, cell: Cell, place: tuple[float, float]) -> None:
    top, high = place
    lines = cell.lines
    y = top - high / 2 + (len(lines) - 1) * LINE_PT / 2 - cell.lettering.size * 0.35
    if cell.lettering is PLATE and lines:
        wide = width_pt(lines[0], PLATE) + 7
        pen.frame((column.x + 1, y - 3.2, wide, 13), weight=0, fill=BLACK, radius=2)
        pen.text((column.x + 4.5, y), lines[0], PLATE)
        return
    for line in lines:
        pen.text((column.x + 2, y), line, cell.lettering)
        y -= LINE_PT


def _columns(
    rows: Sequence[InputRow], left: float, width: float, tags: Mapping[str, str]
) -> tuple[Column, ...]:
    """Share the width: numbers first, then what the contents ask for, the rest to the notes."""
    def natural(words: list[str], lettering: Lettering, least: float, most: float) -> float:
        widest = max((width_pt(one, lettering) for one in words), default=0.0)
        return max(least, min(most, widest + PAD_PT + 4))

    widths = [
        natural([str(row.act) for row in rows], BODY, 27.0, 40.0),
        natural([str(row.house) for row in rows], NAME, 31.0, 44.0),
        36.0,
        natural([row.socket for row in rows], CELL_STRONG, 38.0, 78.0),
        natural([row.name for row in rows], NAME, 84.0, 150.0),
        natural([from_words(row) for row in rows], CELL_STRONG, 70.0, 170.0),
        natural([row.stand_words for row in rows], CELL_STRONG, 40.0, 100.0),
    ]
    left_over = width - sum(widths) - BRACKET_PT
    notes = [", ".join((*([tags[row.hand_off]] if row.hand_off in tags else []), *row.notes)) for row in rows]
    wanted = natural(notes, CELL_STRONG, 40.0, 110.0)
    for place, least in ((4, 96.0), (5, 92.0), (6, 60.0), (3, 44.0)):
        if left_over < wanted:
            give = min(wanted - left_over, max(0.0, widths[place] - least))
            widths[place] -= give
            left_over += give
    columns, x = [], left
    heads = ("ours", "yours", "48 V", "socket", "source", "from", "stand", "note")
    for head, wide in zip(heads, [*widths, left_over], strict=True):
        x += BRACKET_PT if head == "source" else 0.0
        columns.append(Column(head, x, wide))
        x += wide
    return tuple(columns)


def from_words(row: InputRow) -> str:
    """Return where a line comes from: the instrument, unless its name says so, and the box or microphone."""
    name, source = row.name.casefold(), row.source.casefold()
    plain = source in name or name in source or "mic" in row.via.partition(",")[0].split()
    return row.via if plain else f"{row.source}, {row.via}"


def _cells(row: InputRow, columns: Sequence[Column], joined: bool, tag: str) -> tuple[Cell, ...]:
    notes = [tag] if tag else []
    notes += [note for note in row.notes if not (joined and note == f"pair with {row.mate}")]
    loud = bool(tag) or any(note.startswith("EARS ONLY") for note in notes)
    stand_strong = row.stand is not None and row.stand.owner == "house"
    wanted = (
        (str(row.act), BODY, 1),
        (str(row.house), NAME, 1),
        ("48 V" if row.phantom else "–", PLATE if row.phantom else BODY, 1),
        (row.socket, STRONG, 2),
        (row.name, NAME, 2),
        (from_words(row), CELL_STRONG if row.supplier == "house" else CELL, 2),
        (row.stand_words, CELL_STRONG if stand_strong else CELL, 2),
        (", ".join(notes), CELL_STRONG if loud else CELL, MOST_LINES),
    )
    return tuple(
        _cell_of(words, lettering, column.width - PAD_PT, most)
        for (words, lettering, most), column in zip(wanted, columns, strict=True)
    )


def _cell_of(words: str, lettering: Lettering, room: float, most: int) -> Cell:
    """Return words in one line if they fit, else condensed, else broken, else elided."""
    for one in (lettering, lettering.narrower()):
        if width_pt(words, one) <= room:
            return Cell((words,), one)
    if most == 1:
        line, one = fitted(words, lettering, room)
        return Cell((line,), one)
    narrow = lettering.narrower()
    narrow = narrow if narrow.size <= 10 else narrow.at(10)
    return Cell(wrapped(words, narrow, room, most), narrow)
