"""Edits of the player's stock: what is owned, counted."""

from __future__ import annotations

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked
from rigcore.book.stock import StockItem


def add_to_stock(book: Book, item: StockItem) -> Book:
    """Return the book with so many more of a thing owned: counted to those of its kind, or as a new line.

    Raises
    ------
    EditRefused
        If the count grows beyond what a stock may hold.
    """
    for one in book.stock:
        if (one.kind, one.type, one.length_m) == (item.kind, item.type, item.length_m):
            more = checked(one, count=one.count + item.count)
            return checked(book, stock=tuple(more if other is one else other for other in book.stock))
    return checked(book, stock=(*book.stock, item))
