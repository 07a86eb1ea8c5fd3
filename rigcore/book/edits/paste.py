"""Some units with the links between them, taken out of one rig to be put into another, or beside themselves.

A scrap is a record of its own, written as plain JSON. Hand-offs, landings and
places on the stage stay behind: they belong to the rig and the gig they were made for.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Literal

from pydantic import ValidationError

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked, put_rig, sentence_of
from rigcore.book.file import check_gear
from rigcore.book.ids import PortRef, new_id
from rigcore.book.rig import Case, Link, Loom, Rig, Unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType
from rigcore.catalogue.record import Record
from rigcore.errors import EditRefused

LARGEST_CHARS = 4_000_000
"""A longer text is not read: a thousand units are under a quarter of it."""


class Scrap(Record):
    """Units, the links between them, their looms, folded racks that go whole, and gear only their book knows."""

    format: Literal["loomwright units"]
    version: Literal[1] = 1
    units: tuple[Unit, ...]
    links: tuple[Link, ...] = ()
    looms: tuple[Loom, ...] = ()
    cases: tuple[Case, ...] = ()
    gear: tuple[GearType, ...] = ()


def cut_out(book: Book, rig_id: str, unit_ids: Collection[str], places: Mapping[str, tuple[float, float]]) -> Scrap:
    """Return some units of a rig as a scrap.

    Parameters
    ----------
    book, rig_id
        Where the units are.
    unit_ids
        Which units.
    places
        Where their cards lie on the Patch sheet, in sheet units; units without a place keep what the book says.
    """
    rig = book.rig(rig_id)
    units = tuple(_laid(unit, places.get(unit.id)) for unit in rig.units if unit.id in unit_ids)
    links = tuple(link for link in rig.links if link.source.unit in unit_ids and link.target.unit in unit_ids)
    used = {link.loom for link in links}
    kinds = {unit.gear for unit in units}
    return Scrap(
        format="loomwright units",
        units=units,
        links=links,
        looms=tuple(loom for loom in rig.looms if loom.id in used),
        cases=tuple(case for case in rig.cases if case.fold and _is_whole(rig, case, unit_ids)),
        gear=tuple(gear for gear in book.gear if gear.id in kinds),
    )


def _is_whole(rig: Rig, case: Case, unit_ids: Collection[str]) -> bool:
    """Return whether all that is packed in a case is among some units."""
    inside = {unit.id for unit in rig.units if unit.case == case.id}
    return bool(inside) and inside <= set(unit_ids)


def _laid(unit: Unit, place: tuple[float, float] | None) -> Unit:
    loose = checked(unit, x_m=None, y_m=None, rotation_deg=0.0)
    return loose if place is None else checked(loose, card_x=float(place[0]), card_y=float(place[1]))


def scrap_text(scrap: Scrap) -> str:
    """Return a scrap as plain JSON."""
    return scrap.model_dump_json(indent=1, exclude_defaults=True)


def scrap_in(text: str) -> Scrap:
    """Return the scrap written in a text.

    Raises
    ------
    EditRefused
        If it is none, is damaged, or a newer Loomwright wrote it.
    """
    if len(text) > LARGEST_CHARS:
        raise EditRefused("what is on the clipboard is too large to be units of a rig; copy fewer at a time")
    try:
        scrap = Scrap.model_validate_json(text)
    except ValidationError as error:
        raise EditRefused(
            f"what is on the clipboard are no units of a rig ({sentence_of(error)}); copy them again"
        ) from None
    known = {unit.id for unit in scrap.units}
    ends = {end.unit for link in scrap.links for end in (link.source, link.target)}
    if not scrap.units or len(known) < len(scrap.units) or not ends <= known:
        raise EditRefused("the units on the clipboard do not hang together; copy them again")
    return scrap


def renewed(book: Book, rig_id: str, scrap: Scrap, by: tuple[float, float] = (0.0, 0.0)) -> Scrap:
    """Return a scrap with ids and names that are free in a rig, its cards shifted by so many sheet units.

    A folded rack that goes whole comes in as a rack of its own; a unit out of one comes in loose, where it is seen.
    """
    rig = book.rig(rig_id)
    names, ids = {unit.name for unit in rig.units}, {unit.id for unit in rig.units}
    packed: dict[str | None, str] = {case.id: case.id for case in rig.cases if case.fold is None}
    cases = _renewed_cases(rig, scrap, by)
    packed |= {old: case.id for old, case in cases.items()}
    now: dict[str, str] = {}
    units = []
    for unit in scrap.units:
        name = _free_name(unit.name, names)
        now[unit.id] = new_id(name, ids)
        names.add(name)
        ids.add(now[unit.id])
        shifted = {} if unit.card_x is None or unit.card_y is None else _shifted(unit.card_x, unit.card_y, by)
        units.append(checked(unit, id=now[unit.id], name=name, case=packed.get(unit.case), **shifted))
    looms = _renewed_looms(rig, scrap)
    taken = {link.id for link in rig.links}
    links = []
    for link in scrap.links:
        ends = [PortRef(unit=now[end.unit], port=end.port) for end in (link.source, link.target)]
        link_id = new_id(f"{ends[0].unit}-{ends[0].port}-to-{ends[1].unit}", taken)
        taken.add(link_id)
        loom = looms[link.loom].id if link.loom in looms else None
        links.append(checked(link, id=link_id, source=ends[0], target=ends[1], loom=loom))
    return checked(
        scrap, units=tuple(units), links=tuple(links), looms=tuple(looms.values()), cases=tuple(cases.values())
    )


def _shifted(x: float, y: float, by: tuple[float, float]) -> dict[str, float]:
    return {"card_x": x + by[0], "card_y": y + by[1]}


def _free_name(name: str, taken: Collection[str]) -> str:
    """Return a name nothing else has: the same, or with the next number behind it.

    >>> _free_name("Keys", {"Keys", "Keys 2"}), _free_name("DI 3", {"DI 3"}), _free_name("Bass", set())
    ('Keys 3', 'DI 4', 'Bass')
    """
    if name not in taken:
        return name
    stem, _, last = name.rpartition(" ")
    stem, number = (stem, int(last)) if stem and last.isdecimal() and len(last) < 4 else (name, 1)
    while (found := f"{stem[:110]} {number + 1}") in taken:
        number += 1
    return found


def _renewed_looms(rig: Rig, scrap: Scrap) -> dict[str | None, Loom]:
    ids, names = {loom.id for loom in rig.looms}, {loom.name for loom in rig.looms}
    looms: dict[str | None, Loom] = {}
    for loom in scrap.looms:
        name = _free_name(loom.name, names)
        looms[loom.id] = checked(loom, id=new_id(name, ids), name=name)
        ids.add(looms[loom.id].id)
        names.add(name)
    return looms


def _renewed_cases(rig: Rig, scrap: Scrap, by: tuple[float, float]) -> dict[str | None, Case]:
    ids, names = {case.id for case in rig.cases}, {case.name for case in rig.cases}
    cases: dict[str | None, Case] = {}
    for case in scrap.cases:
        name = _free_name(case.name, names)
        fold = checked(case.fold, **_shifted(case.fold.card_x, case.fold.card_y, by)) if case.fold else None
        cases[case.id] = checked(case, id=new_id(name, ids), name=name, fold=fold)
        ids.add(cases[case.id].id)
        names.add(name)
    return cases


def paste(book: Book, rig_id: str, scrap: Scrap, catalogue: Catalogue) -> Book:
    """Return the book with a scrap put into a rig; its ids must be free there (:func:`renewed`).

    Gear types the book does not know are taken along; where it knows one of that id, its own stands.

    Raises
    ------
    EditRefused
        If a gear type, port, connector or cable is unknown here, or an id is taken.
    """
    rig = book.rig(rig_id)
    known = book.with_catalogue(catalogue).gear
    new = tuple(gear for gear in scrap.gear if gear.id not in known)
    grown = checked(
        rig,
        units=(*rig.units, *scrap.units),
        links=(*rig.links, *scrap.links),
        looms=(*rig.looms, *scrap.looms),
        cases=(*rig.cases, *scrap.cases),
    )
    whole = put_rig(checked(book, gear=(*book.gear, *new)) if new else book, grown)
    try:
        check_gear(whole, catalogue)
    except EditRefused as missing:
        raise EditRefused(
            f"these units cannot be put in here: {missing.sentence}", [unit.id for unit in scrap.units]
        ) from None
    return whole
