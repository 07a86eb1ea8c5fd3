"""The edit that puts a fit into a gig: every landing at once, so that undo takes them all back."""

from __future__ import annotations

from collections.abc import Iterable

from rigcore.book.book import Book
from rigcore.book.edits.gigs import bind_landing
from rigcore.book.edits.rebuild import checked, put_gig
from rigcore.book.gig import Landing
from rigcore.catalogue.catalogue import Catalogue


def apply_fit(book: Book, gig_id: str, landings: Iterable[Landing], catalogue: Catalogue) -> Book:
    """Return the book with exactly these landings at a gig, in place of all it had.

    Raises
    ------
    EditRefused
        If a hand-off, socket, cable type, gear type or port does not exist, or the directions disagree.
    """
    book = put_gig(book, checked(book.gig(gig_id), landings=()))
    for landing in landings:
        book = bind_landing(book, gig_id, landing, catalogue)
    return book
