"""Accepting a risk, and taking the acceptance back."""

from __future__ import annotations

from rigcore.book.book import AcceptedRisk, Book
from rigcore.book.edits.rebuild import checked


def accept_risk(book: Book, risk: AcceptedRisk) -> Book:
    """Return the book with a risk accepted; an earlier acceptance of the same finding goes."""
    return checked(book, accepted=(*_others(book, risk), risk))


def take_back(book: Book, risk: AcceptedRisk) -> Book:
    """Return the book without an acceptance."""
    return checked(book, accepted=_others(book, risk))


def _others(book: Book, risk: AcceptedRisk) -> tuple[AcceptedRisk, ...]:
    key = (risk.gig, risk.rule, risk.things)
    return tuple(one for one in book.accepted if (one.gig, one.rule, one.things) != key)
