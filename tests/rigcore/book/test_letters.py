"""Letters: raised by another content alone, kept in the book, and old books load as before."""

from __future__ import annotations

import datetime as dt

import pytest

from rigcore.book.book import Book
from rigcore.book.edits.gigs import change_gig
from rigcore.book.edits.letters import letter_after, send_packet
from rigcore.book.file import from_bytes, load, to_bytes
from rigcore.book.gig import Letter, Sent, SentRow
from rigcore.catalogue.loader import shipped
from rigcore.errors import EditRefused, UnknownThing
from rigcore.resources import samples

DAY = dt.date(2027, 8, 1)
ONE = Sent(rows=(SentRow(hand_off="lead", name="Lead", act=1, house=1, socket="A1"),))
TWO = Sent(rows=(SentRow(hand_off="lead", name="Lead", act=1, house=2, socket="A2"),))


@pytest.fixture
def book() -> Book:
    return load(samples() / "ferry.loom", shipped())[0]


def _send(book: Book, content: Sent, to: str = "", day: dt.date = DAY) -> tuple[Book, Letter]:
    return send_packet(book, book.gigs[0].id, content, day=day, to=to)


def test_another_content_takes_the_next_letter_and_the_same_does_not(book: Book) -> None:
    book, first = _send(book, ONE, "Ann")
    book, again = _send(book, ONE, "Bo", DAY + dt.timedelta(days=3))
    book, same = _send(book, ONE, "Ann")
    assert (first.letter, again.letter, same.letter) == ("A", "A", "A")
    assert same.to == "Ann; Bo"
    assert same.sent == DAY, "the day the house first got it"
    book, second = _send(book, TWO)
    book, back = _send(book, ONE)
    assert (second.letter, back.letter) == ("B", "C"), "what was true once is news again"
    assert [letter.letter for letter in book.gigs[0].letters] == ["A", "B", "C"]


def test_letters_survive_the_file(book: Book) -> None:
    sent, _ = _send(book, ONE, "Ann")
    again = from_bytes(to_bytes(sent), "x.loom", shipped())
    assert again == sent
    assert again.gigs[0].letters[0].content == ONE
    assert again.gigs[0].letters[0].digest == ONE.digest


def test_old_books_load_and_a_letter_without_content_is_written_as_it_was(book: Book) -> None:
    old = Letter(letter="A", sent=DAY, to="Ann", digest="0" * 64)
    plain = to_bytes(change_gig(book, book.gigs[0].id, letters=(old,)))
    assert b"content" not in plain
    assert to_bytes(from_bytes(plain, "x.loom", shipped())) == plain
    _, letter = _send(from_bytes(plain, "x.loom", shipped()), ONE)
    assert letter.letter == "B"


def test_letters_go_on_after_z() -> None:
    names = [None, "A", "Y", "Z", "AA", "AZ", "YZ"]
    assert [letter_after(name) for name in names] == ["A", "B", "Z", "AA", "AB", "BA", "ZA"]


def test_refusals(book: Book) -> None:
    with pytest.raises(EditRefused, match="control character"):
        _send(book, ONE, "a\x07b")
    with pytest.raises(UnknownThing):
        send_packet(book, "nowhere", ONE, day=DAY)
