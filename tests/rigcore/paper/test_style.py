"""Text on paper: cleaned, split by what fonts hold, fitted, never read as mark-up."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigcore.paper.style import BODY, NAME, SMALLEST_PT, clean, fitted, runs, unprintable, width_pt, wrapped

EVERY_SCRIPT = st.text(st.characters(codec="utf-8"), max_size=150)


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("Zoe\u0308", "Zoë"),
        ("a\x00b\x07c\x7f\x9f", "abc"),
        ("left\u202eright\u200b", "leftright"),
        ("two\nlines\tand\u00a0more", "two lines and more"),
        ("<b>bold & <img src='x'>", "<b>bold & <img src='x'>"),
        ("", ""),
    ],
)
def test_clean(typed: str, printed: str) -> None:
    assert clean(typed) == printed


def test_runs_mark_what_no_font_has() -> None:
    assert runs("Lead 歌手 L", "regular") == (("FiraSans-Regular", "Lead "), ("", "歌手"), ("FiraSans-Regular", " L"))
    assert unprintable("Ευρυδίκη Ёлка Żółć") == ""
    assert unprintable("שלום ✓") == "שלום✓"


@settings(deadline=None, max_examples=25)
@given(EVERY_SCRIPT, st.floats(12, 300))
def test_fitted_text_never_exceeds_its_room(text: str, room: float) -> None:
    words, lettering = fitted(text, NAME, room)
    assert width_pt(words, lettering) <= room + 0.01
    assert lettering.size >= SMALLEST_PT


def test_a_number_is_not_parted_from_its_unit_while_there_is_room() -> None:
    room = width_pt("Passive DI box, XLR cable 5", BODY) + 1
    assert wrapped("Passive DI box, XLR cable 5 m", BODY, room) == ("Passive DI box, XLR cable", "5 m")
    assert wrapped("Passive DI box, XLR cable 5 m", BODY, room, 1)[0].endswith("…")
    assert wrapped("on 5 m of cable", BODY, width_pt("on 5", BODY) + 6, 3) == ("on 5", "m of", "cable"), "not cut"
    assert wrapped("5 m", BODY, width_pt("5 ", BODY)) == ("5", "m")


@settings(deadline=None, max_examples=25)
@given(EVERY_SCRIPT, st.floats(20, 300), st.integers(1, 4))
def test_wrapped_text_never_exceeds_its_room_nor_its_lines(text: str, room: float, most: int) -> None:
    lines = wrapped(text, BODY, room, most)
    assert len(lines) <= most
    assert all(width_pt(line, BODY) <= room + 0.01 for line in lines)
    if not lines or not lines[-1].endswith("…"):
        assert "".join(lines).replace(" ", "") == clean(text).replace(" ", "")
