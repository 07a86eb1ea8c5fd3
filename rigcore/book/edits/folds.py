"""Edits of what is folded on the Patch sheet: a rack into one card, a loom into one trunk. Only the drawing changes."""

from __future__ import annotations

from collections.abc import Mapping

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked, put_rig, replaced, the_case, the_loom
from rigcore.book.rig import Case, Fold, Loom, Rig
from rigcore.errors import EditRefused


def fold_rack(book: Book, rig_id: str, case_id: str, at: tuple[float, float]) -> Book:
    """Return the book with the units of a case drawn as one card at a place, in sheet units.

    Raises
    ------
    EditRefused
        If there is no such case, or nothing is packed in it.
    """
    rig = book.rig(rig_id)
    case = the_case(rig, case_id)
    if not any(unit.case == case_id for unit in rig.units):
        raise EditRefused(f"nothing is packed in {case.name}, so there is nothing to fold", [case_id])
    return _put_case(book, rig, checked(case, fold=_fold(at)))


def unfold_rack(book: Book, rig_id: str, case_id: str) -> Book:
    """Return the book with every unit of a case on a card of its own again, where it last lay."""
    rig = book.rig(rig_id)
    return _put_case(book, rig, checked(the_case(rig, case_id), fold=None))


def move_racks(book: Book, rig_id: str, places: Mapping[str, tuple[float, float]]) -> Book:
    """Return the book with the cards of folded cases moved, by case id; the units inside are moved by their own edit.

    Raises
    ------
    EditRefused
        If a case does not exist, is not folded, or a place lies off the sheet.
    """
    for case_id, place in places.items():
        rig = book.rig(rig_id)
        case = the_case(rig, case_id)
        if case.fold is None:
            raise EditRefused(f"{case.name} is not folded; its units are moved one by one", [case_id])
        book = _put_case(book, rig, checked(case, fold=_fold(place)))
    return book


def fold_loom(book: Book, rig_id: str, loom_id: str) -> Book:
    """Return the book with the links of a loom drawn as one trunk.

    Raises
    ------
    EditRefused
        If there is no such loom, or it has one cable only.
    """
    rig = book.rig(rig_id)
    loom = the_loom(rig, loom_id)
    if sum(link.loom == loom_id for link in rig.links) < 2:
        raise EditRefused(f"{loom.name} has one cable only, so there is nothing to fold", [loom_id])
    return _put_loom(book, rig, checked(loom, folded=True))


def unfold_loom(book: Book, rig_id: str, loom_id: str) -> Book:
    """Return the book with every link of a loom drawn as a cable of its own again."""
    rig = book.rig(rig_id)
    return _put_loom(book, rig, checked(the_loom(rig, loom_id), folded=False))


def _fold(at: tuple[float, float]) -> Fold:
    return checked(Fold(card_x=0.0, card_y=0.0), card_x=float(at[0]), card_y=float(at[1]))


def _put_case(book: Book, rig: Rig, case: Case) -> Book:
    return put_rig(book, checked(rig, cases=replaced(rig.cases, case)))


def _put_loom(book: Book, rig: Rig, loom: Loom) -> Book:
    return put_rig(book, checked(rig, looms=replaced(rig.looms, loom)))
