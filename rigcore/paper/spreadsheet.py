"""The lists as spreadsheets: CSV after RFC 4180, and a workbook with one sheet for each list.

A text that a spreadsheet would compute is kept from it: in CSV by the apostrophe the
OWASP asks for, in a workbook by being stored as text. Numbers stay numbers. The same
lists and the same date give the same bytes. What the lists say is made elsewhere.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from rigcore.lists.carry_list import carry_list
from rigcore.lists.input_list import OWNER_WORDS
from rigcore.paper.style import clean

if TYPE_CHECKING:
    from rigcore.analysis import Analysis

Cell = str | int | float | None
"""A text, a number, or nothing."""

_COMPUTED = re.compile(r"(^|;)(\s*)(?=[=+\-@＝＋－＠])")
"""Where a spreadsheet would begin to compute; after a semicolon too, which some take for the delimiter."""

WIDEST_CHARS = 48


class Sheet(Struct, frozen=True):
    """One list: its name, its headings, its rows."""

    name: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def input_sheet(analysis: Analysis) -> Sheet:
    """Return the input list, in channel order."""
    heads = (
        "ours", "yours", "socket", "block", "name", "source", "from", "48 V", "stand", "stand owner", "pair with",
        "notes",
    )  # fmt: skip
    return Sheet("Inputs", heads, tuple(
        (
            row.act, row.house, row.socket, row.block, row.name, row.source, row.via, "yes" if row.phantom else "no",
            row.stand.kind if row.stand else "", OWNER_WORDS[row.stand.owner] if row.stand else "", row.mate,
            ", ".join(note for note in row.notes if note != f"pair with {row.mate}"),
        )
        for row in analysis.inputs
    ))  # fmt: skip


def output_sheet(analysis: Analysis) -> Sheet:
    """Return what the house sends to the stage, mix by mix."""
    heads = ("mix", "socket", "name", "goes to", "kind", "layout", "side", "supplied by", "wanted in it")
    return Sheet("Outputs", heads, tuple(
        (
            row.mix, row.socket, row.name, row.goes_to, row.kind, row.layout, row.side, OWNER_WORDS[row.supplier],
            row.note,
        )
        for row in analysis.outputs
    ))  # fmt: skip


def power_sheet(analysis: Analysis) -> Sheet:
    """Return what each place has to feed: W, and A at the house's voltage."""
    heads = ("place", "wall outlets", "plugs", "W", "A", "A at power factor 0.7", "units")
    return Sheet("Power", heads, tuple(
        (
            row.place, row.wall_outlets, row.outlets, round(row.watts, 1), round(row.amps, 3),
            round(row.cautious_amps, 3), ", ".join(row.units),
        )
        for row in analysis.counts.power
    ))  # fmt: skip


def carry_sheet(analysis: Analysis) -> Sheet:
    """Return what to pack for this gig: cases (kg without cables), units, stands, cables, boxes, spares."""
    listed = carry_list(analysis.patch)
    rows: list[tuple[Cell, ...]] = []
    for case in listed.cases:
        if case.number:
            rows.append(("case", case.name, "", None, None, None, round(case.mass_kg, 2), case.caution))
        for unit in case.units:
            alone = case.number == 0
            mass_kg = round(case.mass_kg, 2) if alone else None
            rows.append(("unit", unit, case.name, 1, None, None, mass_kg, case.caution if alone else ""))
    rows += [("stand", words, "", None, None, None, None, "") for words in listed.stands]
    for kind, counted in (("cable", listed.cables), ("box", listed.boxes)):
        rows += [(kind, one.what, "", one.needed, one.owned, one.short, None, "") for one in counted]
    rows += [("lacking", one.line, "", None, None, None, None, ", ".join(gear.name for gear in one.adapters))
             for one in listed.wanted]
    packed = {"yes": "packed", "no": "not packed", "?": "packed?"}
    rows += [("spare", one.what, "", None, None, None, None, f"{packed[one.packed]}; {one.because}")
             for one in listed.spares]
    return Sheet("Carry", ("kind", "thing", "case", "needed", "owned", "short", "kg", "notes"), tuple(rows))


SHEETS: dict[str, Callable[[Analysis], Sheet]] = {
    "inputs": input_sheet, "outputs": output_sheet, "power": power_sheet, "carry": carry_sheet,
}  # fmt: skip
"""Every list that can be had as a sheet, in the order of the workbook."""


def csv_bytes(sheet: Sheet, *, bom: bool = False) -> bytes:
    """Return a list as CSV: UTF-8, comma, CRLF, every text in quotation marks, the first row the headings.

    Parameters
    ----------
    bom
        Put a byte order mark before it, by which some spreadsheets know UTF-8.

    Source
    ------
    RFC 4180 sections 2.1 to 2.7; OWASP ASVS 5.0, requirement 1.2.10, on formula injection.
    """
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, quoting=csv.QUOTE_NONNUMERIC, lineterminator="\r\n")
    for row in (sheet.heads, *sheet.rows):
        writer.writerow([_plain(cell) for cell in row])
    return (b"\xef\xbb\xbf" if bom else b"") + stream.getvalue().encode("utf-8")


def _plain(cell: Cell) -> Cell:
    return not_computed(cell) if isinstance(cell, str) else "" if cell is None else cell


def not_computed(text: str) -> str:
    """Return a text on one line that no spreadsheet computes.

    >>> not_computed("=1+1"), not_computed("Keys = L"), not_computed("a; -b")
    ("'=1+1", 'Keys = L', "a; '-b")
    """
    return _COMPUTED.sub(r"\1\2'", clean(text))


def workbook_bytes(sheets: Sequence[Sheet], issued: dt.date) -> bytes:
    """Return lists as an Office Open XML workbook, a sheet each; texts are never formulas nor links.

    Parameters
    ----------
    issued
        Stands as the date the workbook was made.
    """
    import xlsxwriter

    stream = io.BytesIO()
    kept = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    with xlsxwriter.Workbook(stream, kept) as book:
        book.set_properties({"created": dt.datetime.combine(issued, dt.time(12)), "author": "", "comments": ""})
        strong = book.add_format({"bold": True, "bottom": 1, "valign": "top"})
        plain = book.add_format({"text_wrap": True, "valign": "top"})
        for sheet in sheets:
            page = book.add_worksheet(sheet.name)
            page.freeze_panes(1, 0)
            page.set_landscape()
            page.set_paper(9)
            page.fit_to_pages(1, 0)
            page.repeat_rows(0)
            for column, head in enumerate(sheet.heads):
                page.write_string(0, column, head, strong)
                page.set_column(column, column, _width(sheet, column))
            for number, row in enumerate(sheet.rows, start=1):
                for column, cell in enumerate(row):
                    if isinstance(cell, int | float):
                        page.write_number(number, column, cell, plain)
                    elif cell:
                        page.write_string(number, column, clean(cell), plain)
    return stream.getvalue()


def _width(sheet: Sheet, column: int) -> float:
    cells = [sheet.heads[column], *(str(row[column]) for row in sheet.rows if row[column] is not None)]
    return min(WIDEST_CHARS, max(map(len, cells)) + 2)
