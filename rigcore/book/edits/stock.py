"""Edits of a stock, the player's own or a house's: what is owned, counted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked, sentence_of
from rigcore.book.stock import StockItem
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.record import from_row
from rigcore.errors import EditRefused


def add_to_stock(book: Book, item: StockItem) -> Book:
    """Return the book with so many more of a thing owned: counted to those of its kind, or as a new line.

    Raises
    ------
    EditRefused
        If the count grows beyond what a stock may hold.
    """
    return checked(book, stock=joined((*book.stock, item)))


def joined(items: Iterable[StockItem]) -> tuple[StockItem, ...]:
    """Return a stock in which each thing stands once: counts added, notes kept.

    Raises
    ------
    EditRefused
        If a count grows beyond what a stock may hold.

    Examples
    --------
    >>> three, two = (StockItem(kind="cable", type="xlr", length_m=5.0, count=count) for count in (3, 2))
    >>> [(one.length_m, one.count) for one in joined([three, two])]
    [(5.0, 5)]
    """
    found: dict[tuple[str, str, float | None], StockItem] = {}
    for item in items:
        key = (item.kind, item.type, item.length_m)
        old = found.get(key)
        if old is None:
            found[key] = item
            continue
        notes = dict.fromkeys(filter(None, (old.note, item.note)))
        found[key] = checked(old, count=old.count + item.count, note="; ".join(notes))
    return tuple(found.values())


def keep_stock(book: Book, stock: Iterable[StockItem], catalogue: Catalogue) -> Book:
    """Return the book with this as the player's stock.

    Raises
    ------
    EditRefused
        If a type does not exist, or a length is given for what is no cable.
    """
    kept = joined(stock)
    check_stock(kept, book.with_catalogue(catalogue))
    return checked(book, stock=kept)


def check_stock(stock: Iterable[StockItem], catalogue: Catalogue) -> None:
    """Check that what a stock counts exists, and that only cables have a length.

    Raises
    ------
    EditRefused
        If something does not hold.
    """
    for item in stock:
        if item.kind == "cable":
            catalogue.cable_type(item.type)
        elif item.length_m is not None:
            raise EditRefused(f"{catalogue.gear_type(item.type).name} has no length; only cables have", [item.type])
        else:
            catalogue.gear_type(item.type)


def stock_from_draft(rows: Iterable[Mapping[str, Any]]) -> tuple[tuple[StockItem, ...] | None, str]:
    """Return the stock some tables of plain values describe, or None with one sentence that says why not."""
    items = []
    for row in rows:
        try:
            items.append(from_row(StockItem, row))
        except ValidationError as error:
            return None, f"{row.get('type', '')}: {sentence_of(error)}"
    return tuple(items), ""
