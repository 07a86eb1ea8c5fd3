"""CSV read back by a strict reader after RFC 4180, the workbook by another library; nothing is ever computed."""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
import zipfile

import openpyxl
import pytest
from hypothesis import given, settings

from rigcore.analysis import Analysis
from rigcore.book.sheets.table import cleaned
from rigcore.lists.carry_list import carry_list
from rigcore.paper.spreadsheet import SHEETS, Sheet, csv_bytes, input_sheet, not_computed, workbook_bytes
from rigcore.paper.style import clean
from tests.rigcore.paper.hostile import ISSUED, hostile, texts

COMPUTED = ("=", "+", "-", "@", "\t", "\r", "\0", "＝", "＋", "－", "＠")
"""First characters a spreadsheet may compute: OWASP ASVS 5.0, 1.2.10, and the wide forms its CSV page names."""


def rows_of(data: bytes) -> list[list[str]]:
    """Read CSV as strictly as Python can."""
    return list(csv.reader(io.StringIO(data.decode("utf-8"), newline=""), strict=True))


def test_records_end_with_crlf_and_have_one_width(ferry: Analysis) -> None:
    """RFC 4180 sections 2.1 to 2.4."""
    for make in SHEETS.values():
        data = csv_bytes(make(ferry))
        assert data.endswith(b"\r\n")
        assert data.count(b"\n") == data.count(b"\r\n") == data.count(b"\r")
        assert len({len(row) for row in rows_of(data)}) == 1


def test_the_input_list_says_what_the_list_says(ferry: Analysis) -> None:
    head, *rows = rows_of(csv_bytes(input_sheet(ferry)))
    assert [(int(row[head.index("ours")]), int(row[head.index("yours")])) for row in rows] == [
        (one.act, one.house) for one in ferry.inputs
    ]
    assert [row[head.index("name")] for row in rows] == [one.name for one in ferry.inputs]
    assert [row[head.index("48 V")] == "yes" for row in rows] == [one.phantom for one in ferry.inputs]


def test_the_carry_sheet_counts_as_the_carry_list_does(ferry: Analysis) -> None:
    head, *rows = rows_of(csv_bytes(SHEETS["carry"](ferry)))
    listed = carry_list(ferry.patch)
    counted = {row[1]: int(row[head.index("needed")]) for row in rows if row[0] in ("cable", "box")}
    assert counted == {one.what: one.needed for one in (*listed.cables, *listed.boxes)}
    assert [row[1] for row in rows if row[0] == "unit"] == [unit for case in listed.cases for unit in case.units]
    assert [row[1] for row in rows if row[0] == "spare"] == [one.what for one in listed.spares]


def test_numbers_stay_numbers_and_texts_stand_in_quotation_marks() -> None:
    data = csv_bytes(Sheet("s", ("a", "b", "c"), ((-1.5, "-1.5", None),)))
    assert data == b'"a","b","c"\r\n-1.5,"\'-1.5",""\r\n'


def test_a_byte_order_mark_is_a_choice(ferry: Analysis) -> None:
    plain, marked = csv_bytes(input_sheet(ferry)), csv_bytes(input_sheet(ferry), bom=True)
    assert marked == b"\xef\xbb\xbf" + plain


@given(texts)
def test_no_text_is_computed_and_each_can_be_read(text: str) -> None:
    sheet = Sheet("s", ("a", "b"), ((text, 1), ("x", text)))
    rows = rows_of(csv_bytes(sheet))
    assert len(rows) == 3
    for cell in (rows[1][0], rows[2][1]):
        assert not cell.startswith(COMPUTED)
        assert cell.lstrip()[:1] not in COMPUTED
        for taken_apart in cell.split(";"):
            assert not taken_apart.lstrip().startswith(COMPUTED)
        assert not re.search(r"[\x00-\x1f\x7f]", cell)
        assert re.sub("'", "", cell) == re.sub("'", "", clean(text))


def test_our_own_reader_takes_the_apostrophe_off_again() -> None:
    for text in ("=1+1", "-10 dBV", "a; -b", "＠x", "plain", "it's"):
        assert cleaned(not_computed(text)) == text


def test_the_workbook_has_a_sheet_for_each_list(ferry: Analysis) -> None:
    sheets = [make(ferry) for make in SHEETS.values()]
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(sheets, ISSUED)))
    assert book.sheetnames == [sheet.name for sheet in sheets]
    for sheet in sheets:
        read = [tuple(row) for row in book[sheet.name].iter_rows(values_only=True)]
        wanted = [tuple(None if cell == "" else cell for cell in row) for row in (sheet.heads, *sheet.rows)]
        assert read == wanted


def test_the_same_book_and_date_give_the_same_bytes(ferry: Analysis) -> None:
    sheets = [make(ferry) for make in SHEETS.values()]
    first, again, later = (workbook_bytes(sheets, day) for day in (ISSUED, ISSUED, ISSUED + dt.timedelta(days=1)))
    assert first == again != later


@settings(max_examples=25, deadline=None)
@given(texts)
def test_a_workbook_holds_texts_never_formulas_nor_links(text: str) -> None:
    data = workbook_bytes([make(hostile(text)) for make in SHEETS.values()], ISSUED)
    book = openpyxl.load_workbook(io.BytesIO(data))
    for page in book:
        for row in page.iter_rows():
            for cell in row:
                assert cell.data_type in ("s", "n")
                assert cell.hyperlink is None
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        assert parts.testzip() is None
        for name in parts.namelist():
            assert b"<f>" not in parts.read(name)
            assert "externalLink" not in name


@pytest.mark.parametrize("name", list(SHEETS))
def test_an_empty_list_is_its_headings(name: str) -> None:
    sheet = Sheet(name, ("a",), ())
    assert rows_of(csv_bytes(sheet)) == [["a"]]
    assert workbook_bytes([sheet], ISSUED)[:2] == b"PK"
