"""Putting a changed part back into its book, checked, with a plain sentence if it does not hold."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from pydantic import ValidationError

from rigcore.book.book import Book
from rigcore.book.gig import Gig, Landing
from rigcore.book.house import House
from rigcore.book.rig import Case, Loom, Rig, Unit
from rigcore.catalogue.record import Record, changed
from rigcore.errors import EditRefused, UnknownThing

AnyRecord = TypeVar("AnyRecord", bound=Record)


def checked(record: AnyRecord, **fields: object) -> AnyRecord:
    """Return the record with fields replaced.

    Raises
    ------
    EditRefused
        If the new record would not hold.
    """
    try:
        return changed(record, **fields)
    except ValidationError as error:
        raise EditRefused(sentence_of(error)) from None


def sentence_of(error: ValidationError) -> str:
    """Return the first fault of a validation as one sentence without jargon."""
    fault = error.errors()[0]
    message = str(fault["msg"]).removeprefix("Value error, ")
    where = ".".join(str(part) for part in fault["loc"])
    return f"{where}: {message}" if where else message


def replaced(records: tuple[AnyRecord, ...], new: AnyRecord) -> tuple[AnyRecord, ...]:
    """Return the records with the one of the same id exchanged."""
    new_id = getattr(new, "id")  # noqa: B009
    return tuple(new if getattr(one, "id") == new_id else one for one in records)  # noqa: B009


def put_rig(book: Book, rig: Rig) -> Book:
    """Return the book with this rig in the place of its former self."""
    return checked(book, rigs=replaced(book.rigs, rig))


def put_house(book: Book, house: House) -> Book:
    """Return the book with this house in the place of its former self."""
    return checked(book, houses=replaced(book.houses, house))


def put_gig(book: Book, gig: Gig) -> Book:
    """Return the book with this gig in the place of its former self."""
    return checked(book, gigs=replaced(book.gigs, gig))


def the_unit(rig: Rig, unit_id: str) -> Unit:
    """Return a unit of a rig.

    Raises
    ------
    UnknownThing
        If there is none of that id.
    """
    unit = rig.unit(unit_id)
    if unit is None:
        raise UnknownThing(f"there is no unit '{unit_id}' in rig '{rig.name}'", [unit_id])
    return unit


def the_case(rig: Rig, case_id: str) -> Case:
    """Return a case of a rig.

    Raises
    ------
    UnknownThing
        If there is none of that id.
    """
    case = next((one for one in rig.cases if one.id == case_id), None)
    if case is None:
        raise UnknownThing(f"there is no case '{case_id}' in rig '{rig.name}'", [case_id])
    return case


def the_loom(rig: Rig, loom_id: str) -> Loom:
    """Return a loom of a rig.

    Raises
    ------
    UnknownThing
        If there is none of that id.
    """
    loom = next((one for one in rig.looms if one.id == loom_id), None)
    if loom is None:
        raise UnknownThing(f"there is no loom '{loom_id}' in rig '{rig.name}'", [loom_id])
    return loom


def without_landings(landings: Iterable[Landing], lost: set[str]) -> tuple[Landing, ...]:
    """Return the landings without those of some hand-offs, and without what joined their chains."""
    return tuple(
        one for one in landings
        if one.hand_off not in lost and (one.joins is None or one.joins.hand_off not in lost)
    )  # fmt: skip


def without_hand_offs(book: Book, rig: Rig, gone: Iterable[str]) -> Book:
    """Return the book with ``rig`` put in, and no gig or fall-back naming the hand-offs that went.

    ``rig`` must already be without them; gigs of that rig are cleaned in the same step.
    """
    lost = set(gone)
    units = {unit.id for unit in rig.units}
    rig = checked(
        rig,
        hand_offs=tuple(
            checked(one, falls_back_to=None) if one.falls_back_to in lost else one for one in rig.hand_offs
        ),
    )
    gigs = tuple(
        gig
        if gig.rig != rig.id
        else checked(
            gig,
            landings=without_landings(gig.landings, lost),
            order=tuple(name for name in gig.order if name not in lost),
            placements=tuple(one for one in gig.placements if one.unit in units),
            settings=tuple(one for one in gig.settings if one.unit in units),
        )
        for gig in book.gigs
    )
    return checked(book, rigs=replaced(book.rigs, rig), gigs=gigs)
