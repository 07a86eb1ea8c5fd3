"""What changed since the letter the house holds, in words, and which rows it marks."""

from __future__ import annotations

import datetime as dt

import pytest

from rigcore.book.book import Book
from rigcore.book.edits.gigs import change_gig, place_here
from rigcore.book.edits.letters import send_packet
from rigcore.book.edits.rebuild import checked, put_rig
from rigcore.book.gig import Letter, Placement
from rigcore.catalogue.loader import shipped
from rigcore.lists.edition import Edition, edition
from rigcore.patch.build import build_patch
from rigcore.patch.edition import content
from tests.rigcore.paper.conftest import ferry_book


@pytest.fixture
def book() -> Book:
    return ferry_book(shipped())


def _send(book: Book) -> Book:
    said = content(build_patch(book, "gig", shipped()))
    return send_packet(book, "gig", said, day=dt.date(2026, 7, 31), to="House engineer")[0]


def _edition(book: Book) -> Edition:
    return edition(build_patch(book, "gig", shipped()))


def _words(book: Book) -> list[str]:
    return [change.words for change in _edition(book).changes]


def _rename(book: Book, hand_off: str, name: str) -> Book:
    rig = book.rig("ferry")
    return put_rig(book, checked(rig, hand_offs=tuple(
        checked(one, name=name) if one.id == hand_off else one for one in rig.hand_offs
    )))  # fmt: skip


def _land(book: Book, hand_off: str, socket: str) -> Book:
    gig = book.gig("gig")
    return change_gig(book, "gig", landings=tuple(
        checked(one, socket=socket) if one.hand_off == hand_off else one for one in gig.landings
    ))  # fmt: skip


def test_a_draft_becomes_a_letter_and_a_draft_again(book: Book) -> None:
    assert _edition(book) == Edition("", None, "", ())
    assert _edition(book).mark == "DRAFT"
    sent = _send(book)
    assert (_edition(sent).mark, _edition(sent).changes) == ("LETTER A", ())
    later = _land(sent, "back", "c7")
    assert _edition(later).mark == "DRAFT after A"
    second = _edition(_send(later))
    assert (second.mark, second.since) == ("LETTER B", "A")
    assert second.changes == _edition(later).changes, "the letter says what the draft said"


def test_notes_and_days_of_issue_raise_no_letter(book: Book) -> None:
    sent = _send(book)
    assert _edition(change_gig(sent, "gig", notes="bring a coat")).mark == "LETTER A"
    assert len(_send(sent).gig("gig").letters) == 1


@pytest.mark.parametrize(
    ("change", "words", "tag"),
    [
        (lambda book: _land(book, "back", "c7"), "19 Backing vox moves from C6 (your 18) to C7", "moved since A"),
        (lambda book: _rename(book, "k1l", "Piano L"), "21 Piano L was called Keys 1 L", "renamed since A"),
    ],
)
def test_one_change_of_a_row(book: Book, change, words: str, tag: str) -> None:  # type: ignore[no-untyped-def]
    after = change(_send(book))
    assert words in _words(after)
    assert list(_edition(after).tags().values()) == [tag]


def test_a_line_that_goes_shifts_our_numbers(book: Book) -> None:
    sent = _send(book)
    gig = sent.gig("gig")
    after = change_gig(sent, "gig", landings=tuple(one for one in gig.landings if one.hand_off != "bass"))
    words = _words(after)
    assert words[0] == "Bass (your 13, C1) is gone"
    assert "our own numbers 1–8 were 2–9" in words
    assert _edition(after).tags() == {}, "the house's own numbers stay, so no row is marked"
    back = change_gig(_send(after), "gig", landings=gig.landings)
    assert "13 Bass is new, on C1" in _words(back)
    assert _edition(back).tags() == {"bass": "new since B"}


def test_48_v_and_the_box_it_comes_from(book: Book) -> None:
    sent = _send(book)
    rig = sent.rig("ferry")
    units = tuple(checked(one, gear="condenser-handheld") if one.id == "back" else one for one in rig.units)
    after = put_rig(sent, checked(rig, units=units))
    words = _words(after)
    assert "18 Backing vox needs 48 V now" in words
    assert "18 Backing vox now comes by condenser mic, yours" in words
    assert _edition(after).tags() == {"back": "48 V, changed since A"}
    assert "what the house supplies changed" in words


def test_places_move_by_how_far_and_where_to(book: Book) -> None:
    sent = _send(book)
    moved = place_here(sent, "gig", Placement(unit="wedge", x_m=-2.5, y_m=1.5, rotation_deg=180.0))
    assert _words(moved) == ["Wedge moves 1 m, now downstage right"]
    turned = place_here(sent, "gig", Placement(unit="wedge", x_m=-2.5, y_m=0.5, rotation_deg=150.0))
    assert _words(turned) == ["Wedge is turned by 30°"]


def test_the_rest_is_named(book: Book) -> None:
    assert _words(change_gig(_send(book), "gig", contact="Somebody else")) == ["title and contact changed"]


def test_a_letter_of_an_older_program_says_so(book: Book) -> None:
    old = Letter(letter="A", sent=dt.date(2026, 7, 1), digest="0" * 64)
    [only] = _words(change_gig(book, "gig", letters=(old,)))
    assert "everything may differ" in only
