"""The times of a gig's day: in order, over midnight at most once, and nothing in the file where there are none."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest
from pydantic import ValidationError

from rigcore.book.edits.gigs import change_gig
from rigcore.book.file import from_bytes, to_bytes
from rigcore.book.gig import Gig
from rigcore.book.sheets.house_file import read_house
from rigcore.book.sheets.table import Problems
from rigcore.catalogue.loader import shipped
from rigcore.errors import EditRefused
from tests.rigcore.book.plans import keys_and_voice


def gig(**fields: object) -> Gig:
    """Return a gig with some times."""
    return Gig.model_validate({"id": "g", "name": "G", "rig": "r", "house": "h", **fields})


def test_times_count_on_past_midnight() -> None:
    made = gig(load_in=dt.time(17), set_start=dt.time(23, 30), set_end=dt.time(1))
    assert made.call() == (("load_in", 1020), ("set_start", 1410), ("set_end", 1500))
    assert gig().call() == ()


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"load_in": dt.time(19), "line_check": dt.time(18, 30)}, "load in 19:00, line check 18:30"),
        ({"set_start": dt.time(21), "set_end": dt.time(20)}, "do not follow each other"),
        ({"set_end": dt.time(20)}, "no start"),
        ({"load_in": dt.time(18, 0, 1)}, "hours and minutes"),
        ({"load_in": dt.time(18, tzinfo=dt.UTC)}, "without a zone"),
        ({"timezone": "../etc"}, "match"),
        ({"timezone": "A;X=1"}, "match"),
    ],
)
def test_times_that_cannot_be_are_refused(fields: dict[str, object], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        gig(**fields)


def test_an_edit_refuses_in_a_sentence() -> None:
    with pytest.raises(EditRefused, match="put them in order"):
        change_gig(keys_and_voice(), "gig", load_in=dt.time(19), line_check=dt.time(18))


def test_the_house_file_may_hold_them(tmp_path: Path) -> None:
    path, problems = tmp_path / "house.toml", Problems()
    path.write_text('[gig]\nload_in = 18:30:00\ntimezone = "Europe/Lisbon"\n', encoding="utf-8")
    sheet = read_house(path, problems)
    assert problems.sentences == []
    assert (sheet.gig.load_in, sheet.gig.timezone) == (dt.time(18, 30), "Europe/Lisbon")
    path.write_text("[gig]\nload_in = 18:30:20\n", encoding="utf-8")
    read_house(path, problems)
    assert any("house.toml, gig, load_in: write a time as hours and minutes" in one for one in problems.sentences)


def test_a_book_without_times_does_not_mention_them_and_one_with_them_comes_back() -> None:
    book = keys_and_voice()
    plain = json.loads(to_bytes(book))["gigs"][0]
    assert not plain.keys() & {"load_in", "line_check", "set_start", "set_end", "timezone"}
    timed = change_gig(book, "gig", load_in=dt.time(18, 30), timezone="Europe/Lisbon")
    assert from_bytes(to_bytes(timed), "x.loom", shipped()) == timed
