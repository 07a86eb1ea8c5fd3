"""Edits of where the house's own things stand."""

from __future__ import annotations

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked, put_house, replaced
from rigcore.errors import UnknownThing


def move_house_unit(book: Book, house_id: str, unit_id: str, place: tuple[float, float, float]) -> Book:
    """Return the book with a unit of a house at x, y (m) and rotation (degrees clockwise) on its stage.

    Raises
    ------
    EditRefused
        If the house has no such unit, or the place is impossible.
    """
    house = book.house(house_id)
    unit = house.unit(unit_id)
    if unit is None:
        raise UnknownThing(f"house '{house.name}' has no unit '{unit_id}'", [unit_id])
    x_m, y_m, rotation = place
    moved = checked(unit, x_m=x_m, y_m=y_m, rotation_deg=rotation % 360.0)
    return put_house(book, checked(house, units=replaced(house.units, moved)))
