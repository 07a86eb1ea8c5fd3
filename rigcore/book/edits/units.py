"""Edits of a rig's units: bring in, take out, rename, move, equip."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked, put_rig, the_unit, without_hand_offs
from rigcore.book.ids import PortRef, new_id
from rigcore.book.rig import PortSetting, Unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import EditRefused, UnknownThing


def add_unit(book: Book, rig_id: str, unit: Unit, catalogue: Catalogue) -> Book:
    """Return the book with a unit added at the end of the rig.

    Raises
    ------
    EditRefused
        If its gear type is unknown or its id is taken.
    """
    gear = book.with_catalogue(catalogue).gear_type(unit.gear)
    _check_settings(unit, {port.id for port in gear.ports})
    rig = book.rig(rig_id)
    return put_rig(book, checked(rig, units=(*rig.units, unit)))


def unit_of(book: Book, rig_id: str, gear_id: str, catalogue: Catalogue) -> Unit:
    """Return a fresh unit of a gear type, named and numbered after it, not yet in the book."""
    gear = book.with_catalogue(catalogue).gear_type(gear_id)
    rig = book.rig(rig_id)
    names = {unit.name for unit in rig.units}
    name, number = gear.name, 1
    while name in names:
        number += 1
        name = f"{gear.name} {number}"
    return Unit(id=new_id(name, {unit.id for unit in rig.units}), name=name, gear=gear_id)


def remove_units(book: Book, rig_id: str, unit_ids: Collection[str]) -> Book:
    """Return the book without these units, nor anything that hung on them.

    Links, hand-offs, landings, placements and settings go with them, and looms
    left without a link.

    Raises
    ------
    UnknownThing
        If one of them does not exist.
    """
    rig = book.rig(rig_id)
    for unit_id in unit_ids:
        the_unit(rig, unit_id)
    gone = set(unit_ids)
    links = tuple(
        link for link in rig.links if link.source.unit not in gone and link.target.unit not in gone
    )
    lost = [one.id for one in rig.hand_offs if one.unit in gone]
    used = {link.loom for link in links}
    rig = checked(
        rig,
        units=tuple(unit for unit in rig.units if unit.id not in gone),
        links=links,
        looms=tuple(loom for loom in rig.looms if loom.id in used),
        hand_offs=tuple(
            checked(one, falls_back_to=None) if one.falls_back_to in lost else one
            for one in rig.hand_offs
            if one.id not in lost
        ),
    )
    return without_hand_offs(book, rig, lost)


def change_unit(book: Book, rig_id: str, unit_id: str, **fields: object) -> Book:
    """Return the book with some fields of a unit replaced (name, stand, owner, note, family …).

    Raises
    ------
    EditRefused
        If the unit does not exist or the new values do not hold.
    """
    rig = book.rig(rig_id)
    unit = the_unit(rig, unit_id)
    if "id" in fields or "gear" in fields:
        raise EditRefused("a unit keeps its id and its gear type; add another unit instead", [unit_id])
    new = checked(unit, **fields)
    return put_rig(book, checked(rig, units=tuple(new if one is unit else one for one in rig.units)))


def rename_unit(book: Book, rig_id: str, unit_id: str, name: str) -> Book:
    """Return the book with a unit renamed; its id stays."""
    return change_unit(book, rig_id, unit_id, name=name.strip())


def move_cards(book: Book, rig_id: str, places: Mapping[str, tuple[float, float]]) -> Book:
    """Return the book with cards moved on the Patch sheet, in sheet units.

    Raises
    ------
    EditRefused
        If a unit does not exist or a place lies off the sheet.
    """
    rig = book.rig(rig_id)
    for unit_id in places:
        the_unit(rig, unit_id)
    units = tuple(
        checked(unit, card_x=float(places[unit.id][0]), card_y=float(places[unit.id][1]))
        if unit.id in places
        else unit
        for unit in rig.units
    )
    return put_rig(book, checked(rig, units=units))


def move_on_stage(
    book: Book, rig_id: str, unit_id: str, place: tuple[float, float, float]
) -> Book:
    """Return the book with a unit at x, y (m) and rotation (degrees clockwise) on the stage plan."""
    x_m, y_m, rotation = place
    return change_unit(book, rig_id, unit_id, x_m=x_m, y_m=y_m, rotation_deg=rotation % 360.0)


def set_port(
    book: Book, rig_id: str, unit_id: str, setting: PortSetting, *, catalogue: Catalogue
) -> Book:
    """Return the book with the setting of one port of one unit replaced.

    Raises
    ------
    EditRefused
        If unit or port do not exist.
    """
    unit = the_unit(book.rig(rig_id), unit_id)
    book.with_catalogue(catalogue).port(unit.gear, setting.port)
    kept = tuple(one for one in unit.settings if one.port != setting.port)
    neutral = setting == PortSetting(port=setting.port)
    return change_unit(book, rig_id, unit_id, settings=kept if neutral else (*kept, setting))


def set_gain(book: Book, rig_id: str, at: PortRef, gain_db: float | None, *, catalogue: Catalogue) -> Book:
    """Return the book with the gain dialled at one port, in dB; None leaves it open."""
    unit = the_unit(book.rig(rig_id), at.unit)
    setting = checked(unit.setting(at.port), gain_db=gain_db)
    return set_port(book, rig_id, at.unit, setting, catalogue=catalogue)


def _check_settings(unit: Unit, ports: set[str]) -> None:
    for setting in unit.settings:
        if setting.port not in ports:
            raise UnknownThing(f"unit '{unit.name}' has no port '{setting.port}' to set", [unit.id])
