"""Edits of the book's own gear types: make or change one, and remove one nobody uses."""

from __future__ import annotations

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked, put_rig, replaced, the_unit
from rigcore.book.file import check_gear
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType
from rigcore.errors import EditRefused, UnknownThing


def put_gear(book: Book, gear: GearType, catalogue: Catalogue) -> Book:
    """Return the book with a gear type of its own, in place of one of the same id.

    Raises
    ------
    EditRefused
        If a unit, cable or landing uses a port the changed type no longer has.
    """
    others = tuple(one for one in book.gear if one.id != gear.id)
    return _held(checked(book, gear=(*others, gear)), catalogue)


def exchange_gear(book: Book, rig_id: str, unit_id: str, gear_id: str, *, catalogue: Catalogue) -> Book:
    """Return the book with another gear type in the place of a unit's: cables and hand-offs stay where they were.

    Raises
    ------
    EditRefused
        If the unit uses a port the other type does not have.
    """
    rig = book.rig(rig_id)
    unit = checked(the_unit(rig, unit_id), gear=gear_id)
    return _held(put_rig(book, checked(rig, units=replaced(rig.units, unit))), catalogue)


def remove_gear(book: Book, gear_id: str, catalogue: Catalogue) -> Book:
    """Return the book without one of its own gear types.

    Where the shipped catalogue has a type of that id, that one is used from now on.

    Raises
    ------
    EditRefused
        If there is none of that id, or something in the book is of that type.
    """
    kept = tuple(one for one in book.gear if one.id != gear_id)
    if len(kept) == len(book.gear):
        raise EditRefused(f"this book has no gear type '{gear_id}' of its own", [gear_id])
    return _held(checked(book, gear=kept), catalogue)


def users(book: Book, gear_id: str) -> tuple[str, ...]:
    """Return the names of the units and stock that are of a gear type."""
    rigs = [unit.name for rig in book.rigs for unit in rig.units if unit.gear == gear_id]
    houses = [unit.name for house in book.houses for unit in house.units if unit.gear == gear_id]
    stock = ["the stock"] if any((one.kind, one.type) == ("gear", gear_id) for one in book.stock) else []
    return (*rigs, *houses, *stock)


def _held(book: Book, catalogue: Catalogue) -> Book:
    try:
        check_gear(book, catalogue)
    except UnknownThing as missing:
        raise EditRefused(f"something in the book still needs it: {missing.sentence}") from None
    return book
