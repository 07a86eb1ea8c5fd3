"""Edits of letters: which edition of its packet a house holds."""

from __future__ import annotations

import datetime as dt

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked, put_gig
from rigcore.book.gig import Letter, Sent
from rigcore.errors import EditRefused

MOST_LETTERS = 26 + 26 * 26


def send_packet(book: Book, gig_id: str, content: Sent, *, day: dt.date, to: str = "") -> tuple[Book, Letter]:
    """Return the book with a packet noted as sent, and the letter it carries.

    The same content again keeps its letter: only a new receiver is noted. Whatever
    differs takes the next letter: A, B … Z, AA, AB …

    Parameters
    ----------
    content
        What the packet says, as :func:`rigcore.patch.edition.content` returns it.
    day
        Day of sending.
    to
        Who gets it, as typed.

    Raises
    ------
    EditRefused
        If the receiver's name does not hold, or the letters are used up.
    UnknownThing
        If there is no such gig.

    Examples
    --------
    >>> letter_after(None), letter_after("B"), letter_after("Z"), letter_after("AZ")
    ('A', 'C', 'AA', 'BA')
    """
    gig = book.gig(gig_id)
    last = gig.letters[-1] if gig.letters else None
    if last is not None and last.digest == content.digest:
        letter = checked(last, to=_joined(last.to, to), content=content)
        return put_gig(book, checked(gig, letters=(*gig.letters[:-1], letter))), letter
    if len(gig.letters) >= MOST_LETTERS:
        raise EditRefused(f"gig '{gig.name}' has used up its letters: take the oldest away", [gig.id])
    name = letter_after(last.letter if last is not None else None)
    letter = checked(Letter(letter=name, sent=day, digest=content.digest, content=content), to=to)
    return put_gig(book, checked(gig, letters=(*gig.letters, letter))), letter


def letter_after(letter: str | None) -> str:
    """Return the letter that follows another one; A comes first."""
    if letter is None:
        return "A"
    head, tail = letter[:-1], letter[-1]
    if tail != "Z":
        return head + chr(ord(tail) + 1)
    return (letter_after(head) if head else "A") + "A"


def _joined(known: str, new: str) -> str:
    """Return the receivers with one more, none twice."""
    names = [name for name in known.split("; ") if name]
    return "; ".join(names if not new or new in names else [*names, new])
