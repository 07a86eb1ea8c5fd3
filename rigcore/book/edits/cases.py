"""Edits of the cases a rig travels in: make one, pack a unit, change it, throw it away."""

from __future__ import annotations

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked, put_rig, replaced, the_case, the_unit
from rigcore.book.ids import new_id
from rigcore.book.rig import Case


def pack(book: Book, rig_id: str, unit_id: str, case_id: str | None) -> Book:
    """Return the book with a unit packed in a case, or loose."""
    rig = book.rig(rig_id)
    unit = checked(the_unit(rig, unit_id), case=case_id)
    return put_rig(book, checked(rig, units=replaced(rig.units, unit)))


def pack_in_new_case(book: Book, rig_id: str, unit_id: str, name: str) -> Book:
    """Return the book with a new case, numbered if the name is taken, and a unit in it."""
    rig = book.rig(rig_id)
    names = {one.name for one in rig.cases}
    whole, number = name, 1
    while whole in names:
        number += 1
        whole = f"{name} {number}"
    case = Case(id=new_id(whole, {one.id for one in rig.cases}), name=whole)
    return pack(put_rig(book, checked(rig, cases=(*rig.cases, case))), rig_id, unit_id, case.id)


def change_case(book: Book, rig_id: str, case_id: str, **fields: object) -> Book:
    """Return the book with some fields of a case replaced: name, mass in kg, height in rack units."""
    rig = book.rig(rig_id)
    return put_rig(book, checked(rig, cases=replaced(rig.cases, checked(the_case(rig, case_id), **fields))))


def remove_case(book: Book, rig_id: str, case_id: str) -> Book:
    """Return the book without a case; what was in it is loose."""
    rig = book.rig(rig_id)
    gone = the_case(rig, case_id)
    units = tuple(checked(unit, case=None) if unit.case == case_id else unit for unit in rig.units)
    return put_rig(book, checked(rig, units=units, cases=tuple(one for one in rig.cases if one is not gone)))
