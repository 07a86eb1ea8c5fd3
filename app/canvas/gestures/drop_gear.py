"""Gear dragged from the shelf onto a sheet: what is carried, and the edit a drop asks for."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QCoreApplication, QMimeData

from app.canvas.gestures.gesture import Edit
from app.canvas.layout import Point
from rigcore.book.book import Book
from rigcore.book.edits.units import add_unit, move_cards, unit_of
from rigcore.book.rig import Unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.record import changed

GEAR_MIME = "application/x-loomwright-gear"
"""Mime type of what the shelf hands out: a gear type's id in UTF-8."""


def gear_in(data: QMimeData) -> str:
    """Return the id of the gear type carried, or nothing."""
    if not data.hasFormat(GEAR_MIME):
        return ""
    return bytes(data.data(GEAR_MIME).data()).decode("utf-8", errors="replace")


def drop_on_patch(unit: Unit, rig_id: str, catalogue: Catalogue, *, at: Point, unplaced: Mapping[str, Point]) -> Edit:
    """Return the edit that lays a new unit's card at a place, every other card staying where it lies."""
    placed = changed(unit, card_x=float(at.x), card_y=float(at.y))

    def change(book: Book) -> Book:
        settled = move_cards(book, rig_id, unplaced) if unplaced else book
        return add_unit(settled, rig_id, placed, catalogue)

    return Edit(QCoreApplication.translate("Edits", "Add {}").format(unit.name), change)


def drop_on_stage(unit: Unit, rig_id: str, catalogue: Catalogue, *, x_m: float, y_m: float) -> Edit:
    """Return the edit that stands a new unit on the stage plan."""
    placed = changed(unit, x_m=x_m, y_m=y_m)
    return Edit(
        QCoreApplication.translate("Edits", "Add {}").format(unit.name),
        lambda book: add_unit(book, rig_id, placed, catalogue),
    )


def fresh_unit(book: Book, rig_id: str, gear_id: str, catalogue: Catalogue) -> Unit:
    """Return a fresh unit of the gear type carried.

    Raises
    ------
    UnknownThing
        If there is no such gear type.
    """
    return unit_of(book, rig_id, gear_id, catalogue)
