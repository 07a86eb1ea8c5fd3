"""Texts somebody may type or send that mean something to another program, and a gig full of them."""

from __future__ import annotations

import datetime as dt
from functools import lru_cache

from hypothesis import strategies as st

from rigcore.analysis import Analysis
from rigcore.book.book import Book
from rigcore.book.edits.gigs import change_gig
from rigcore.book.edits.houses import change_house
from rigcore.book.edits.rebuild import checked, put_rig
from rigcore.catalogue.loader import shipped
from tests.rigcore.paper.conftest import analysis_of, ferry_book

PIECES = (
    "=1+1", "=cmd|' /C calc'!A0", '=HYPERLINK("http://x.example")', "+1", "-2", "@SUM(A1)", "\t=1", "; =1", ";-1",
    "＝1", "'", '"', '""', ",", "\n", "\nBcc: x@x.example", "\\", "\\n", "\\N", "<b>", "</text><script>x</script>",
    "&amp;", "]]>", "%0D%0A", "..", "/", "鍵盤", "é", "e\u0301", "\u202e", "\u2028", "\x7f", "\ufffe", "\U0001f3b9",
    "http://x.example", "_x0041_", "END:VCALENDAR", "=?utf-8?q?=0A?=", "Keys L",
)  # fmt: skip

ISSUED = dt.date(2026, 7, 31)

_any = st.text(st.characters(min_codepoint=32, exclude_categories=["Cs"]), max_size=12)
texts = st.lists(st.sampled_from(PIECES) | _any, max_size=6).map(lambda parts: " ".join(parts)[:110])


@lru_cache(maxsize=1)
def _plain() -> Book:
    return ferry_book(shipped())


def hostile(text: str) -> Analysis:
    """Return a gig in which everything that is typed is this text."""
    name = text.strip() or "x"
    book = checked(_plain(), owner=text, title=text, contact=text)
    rig = book.rig("ferry")
    units = tuple(checked(one, name=name, note=text) for one in rig.units)
    hand_offs = tuple(checked(one, name=name, note=text) for one in rig.hand_offs)
    links = tuple(checked(one, label=text) for one in rig.links)
    book = put_rig(book, checked(rig, name=name, about=text, units=units, hand_offs=hand_offs, links=links))
    sockets = tuple(checked(one, label=name, block=text) for one in book.house("green").sockets)
    book = change_house(book, "green", name=name, place=text, contact=text, sockets=sockets)
    return analysis_of(change_gig(book, "gig", act=text, about=text, contact=text, on_stage=text, notes=text))
