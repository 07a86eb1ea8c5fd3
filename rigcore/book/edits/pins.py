"""The edit that lands one hand-off by hand, in place of whatever lay on its socket and whatever joined its chain."""

from __future__ import annotations

from rigcore.book.book import Book
from rigcore.book.edits.gigs import bind_landing
from rigcore.book.edits.rebuild import checked, put_gig, without_landings
from rigcore.book.gig import Landing
from rigcore.catalogue.catalogue import Catalogue


def pin_landing(book: Book, gig_id: str, landing: Landing, catalogue: Catalogue) -> Book:
    """Return the book with a landing at a gig; other hand-offs on its socket lose theirs.

    Raises
    ------
    EditRefused
        If hand-off, socket, cable type, gear type or a port of the chain does not exist, or the directions disagree.
    """
    gig = book.gig(gig_id)
    lost = {landing.hand_off, *(one.hand_off for one in gig.landings if one.socket == landing.socket)}
    book = put_gig(book, checked(gig, landings=without_landings(gig.landings, lost)))
    return bind_landing(book, gig_id, landing, catalogue)
