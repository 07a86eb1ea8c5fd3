"""Takes in a plan kept in spreadsheets: units, patch, own gear, house, as one book or not at all.

Two CSV tables say what there is and what is plugged into what; two TOML files,
both optional, hold the player's own gear types and what is known of the house.
The parts are read by the neighbours of this module; here they are put together.
Every problem of every file is reported at once, each with file, row and column.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pydantic import ValidationError

from rigcore.book.book import FORMAT, VERSION, Book
from rigcore.book.edits.rebuild import sentence_of
from rigcore.book.file import check_gear
from rigcore.book.gig import Gig
from rigcore.book.house import House
from rigcore.book.ids import new_id
from rigcore.book.rig import Rig, Unit
from rigcore.book.sheets.cells import Names, folded
from rigcore.book.sheets.house import check_stock, make_house
from rigcore.book.sheets.house_file import HouseSheet, checked_table, read_house
from rigcore.book.sheets.patch import PATCH_COLUMNS, Connections, read_patch
from rigcore.book.sheets.table import Columns, Problems, Table, read_bytes, read_table, read_toml
from rigcore.book.sheets.units import UNIT_COLUMNS, Units, read_units
from rigcore.book.stock import StockItem
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType
from rigcore.catalogue.loader import own_gear
from rigcore.catalogue.record import changed
from rigcore.errors import CatalogueDamaged, ImportRefused, UnknownThing

HEADING = "The sheets cannot be taken in"


def import_plan(
    units: Path, patch: Path, gear: Path | None, house: Path | None, *, catalogue: Catalogue
) -> Book:
    """Return the book some sheets come to: one rig, one house and their gig.

    Parameters
    ----------
    units
        CSV of units: name, gear, owner, x, y (m), rotation (degrees), stand,
        stand owner, family, note, card x, card y. Only name and gear must be there.
    patch
        CSV of connections: from, from port, to, to port, cable, length (m or ft),
        owner, channel, role, ears only, importance, note, loom. Only from and to
        must be there; a port may be left out where the unit has but one.
    gear
        TOML of own gear types (``[[gear]]``, as in the catalogue) and stock (``[[stock]]``).
    house
        TOML of the house, its sockets and facts, and of the gig; without it a house
        is made of which nothing is known.

    Returns
    -------
    Book
        House units that are stage boxes, desks or power units, or that have
        sockets in the house file, stay in the house; what else the house
        supplies is in the rig with owner "house".

    Raises
    ------
    ImportRefused
        With one sentence for each problem, naming file, row and column.
    """
    problems = Problems()
    own, stock = _gear_file(gear, catalogue, problems)
    names = Names(catalogue.with_gear(own), problems)
    check_stock(stock, names, (gear.name if gear else "", problems))
    sheet = read_house(house, problems)
    house_file = house.name if house else "house"
    unit_table = _table(units, UNIT_COLUMNS, problems)
    patch_table = _table(patch, PATCH_COLUMNS, problems)
    if unit_table is None:
        raise ImportRefused(HEADING, problems.sentences)
    placed = read_units(unit_table, names, {folded(one.unit) for one in sheet.socket}, problems)
    made = make_house(sheet, placed, names, (house_file, problems))
    if made is None or patch_table is None:
        raise ImportRefused(HEADING, problems.sentences)
    found = read_patch(patch_table, placed, made.sockets, names, problems=problems)
    order = _order(sheet, found, house_file, problems)
    if problems.sentences:
        raise ImportRefused(HEADING, problems.sentences)
    book = _book(sheet, made, (placed, found), {"gear": own, "stock": stock, "order": order})
    try:
        check_gear(book, catalogue)
    except UnknownThing as missing:
        raise ImportRefused(HEADING, [missing.sentence]) from None
    return book


def _table(path: Path, columns: Columns, problems: Problems) -> Table | None:
    data = read_bytes(path, problems)
    return None if data is None else read_table(data, path.name, columns, problems)


def _gear_file(
    path: Path | None, catalogue: Catalogue, problems: Problems
) -> tuple[tuple[GearType, ...], tuple[StockItem, ...]]:
    """Return own gear types and stock of a TOML file."""
    table = read_toml(path, problems) if path is not None else None
    if path is None or table is None:
        return (), ()
    for key in table:
        if key not in ("gear", "stock"):
            near = problems.nearest(key, ("gear", "stock"))
            problems.add(f"{path.name}, {key}", f"this key is not known{near}")
    stock = []
    rows = table.get("stock", [])
    if not isinstance(rows, list):
        problems.add(f"{path.name}, stock", "[[stock]] must be a list of tables")
        rows = []
    for number, row in enumerate(rows, start=1):
        item = checked_table(StockItem, row, f"{path.name}, stock, number {number}", problems)
        if item is not None:
            stock.append(item)
    if not _well_shaped(table.get("gear", []), path.name, problems):
        return (), tuple(stock)
    try:
        return own_gear(path, catalogue), tuple(stock)
    except CatalogueDamaged as damaged:
        problems.sentences += damaged.problems
        return (), tuple(stock)


def _well_shaped(rows: Any, file: str, problems: Problems) -> bool:
    """Return whether gear rows have the shape the loader expects; what is wrong with it is noted."""
    before = len(problems.sentences)
    if not isinstance(rows, list):
        problems.add(f"{file}, gear", "[[gear]] must be a list of tables")
        return False
    for number, row in enumerate(rows, start=1):
        for key in ("ports", "paths"):
            parts = row.get(key, []) if isinstance(row, dict) else None
            if not isinstance(parts, list) or not all(isinstance(part, dict) for part in parts):
                problems.add(f"{file}, gear, number {number}", f"'{key}' must be a list of tables")
                continue
            for part in parts:
                for like in (part.get("carrier"), part.get("jack_carrier")):
                    if isinstance(like, dict) and not isinstance(like.get("like", ""), str):
                        problems.add(f"{file}, gear, number {number}", "'like' must name a preset")
    return len(problems.sentences) == before


def _order(sheet: HouseSheet, found: Connections, file: str, problems: Problems) -> tuple[str, ...]:
    """Return the hand-offs to the house as the gig wants them numbered."""
    ids = {folded(one.name): one.id for one in found.hand_offs if one.direction == "to house"}
    names = [one.name for one in found.hand_offs if one.direction == "to house"]
    order = []
    for name in sheet.gig.order:
        if folded(name) not in ids:
            problems.add(f"{file}, gig, order", f"there is no channel '{name}'{problems.nearest(name, names)}")
        elif ids[folded(name)] in order:
            problems.add(f"{file}, gig, order", f"'{name}' stands there twice")
        else:
            order.append(ids[folded(name)])
    return tuple(order)


def _book(
    sheet: HouseSheet, house: House, read: tuple[Units, Connections], more: dict[str, Any]
) -> Book:
    placed, found = read
    try:
        rig = Rig(
            id=new_id(sheet.rig.name, ()),
            **dict(sheet.rig),
            units=tuple(_set(unit, found) for unit in placed.units(in_house=False)),
            links=tuple(found.links),
            looms=tuple(found.looms.values()),
            hand_offs=tuple(found.hand_offs),
        )
        house = changed(house, units=tuple(_set(unit, found) for unit in house.units))
        told = {**dict(sheet.gig), "order": more["order"]}
        gig = Gig(
            id=new_id(sheet.gig.name, ()), rig=rig.id, house=house.id, landings=tuple(found.landings), **told
        )
        return Book(
            format=FORMAT, version=VERSION, **dict(sheet.book), gear=more["gear"], stock=more["stock"],
            rigs=(rig,), houses=(house,), gigs=(gig,),
        )
    except ValidationError as error:
        raise ImportRefused(HEADING, [sentence_of(error)]) from None


def _set(unit: Unit, found: Connections) -> Unit:
    """Return a unit with the settings the patch gives its ports."""
    settings = tuple(found.settings.get(unit.id, {}).values())
    return changed(unit, settings=settings) if settings else unit
