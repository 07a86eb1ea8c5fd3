"""Makes the house from its TOML file and its units: stage, numbered sockets, stock, what it has said.

Without the file a house is made of which nothing is known, with a socket for
every line of its boxes and desks.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, TypeVar

from pydantic import ValidationError

from rigcore.book.house import House, PowerDrop, Riser, Socket, Stage
from rigcore.book.ids import new_id
from rigcore.book.sheets.cells import Names, folded
from rigcore.book.sheets.house_file import HouseSheet, PowerTable, RiserTable, SocketTable
from rigcore.book.sheets.table import Problems
from rigcore.book.sheets.units import Placed, Units
from rigcore.book.stock import StockItem
from rigcore.catalogue.gear import Port

Named = TypeVar("Named", RiserTable, PowerTable)


def make_house(sheet: HouseSheet, units: Units, names: Names, where: tuple[str, Problems]) -> House | None:
    """Return the house with its units, sockets and facts, or None with what does not hold noted.

    Parameters
    ----------
    where
        Name of the file, for the words, and where problems go.
    """
    file, problems = where
    sockets = _sockets(sheet, units, names, where) if sheet.socket else all_sockets(units)
    for number, drop in enumerate(sheet.power, start=1):
        if drop.connector is not None and drop.connector not in names.catalogue.connectors:
            near = problems.nearest(drop.connector, names.catalogue.connectors)
            problems.add(f"{file}, power, number {number}, connector", f"there is no '{drop.connector}'{near}")
    check_stock(sheet.stock, names, where)
    try:
        stage = Stage(
            **dict(sheet.stage),
            risers=tuple(Riser(id=name, **dict(one)) for name, one in _with_ids(sheet.riser)),
            power=tuple(PowerDrop(id=name, **dict(one)) for name, one in _with_ids(sheet.power)),
        )
        return House(
            id=new_id(sheet.house.name, ()),
            **dict(sheet.house),
            stage=stage,
            units=units.units(in_house=True),
            sockets=sockets,
            stock=sheet.stock,
            facts=sheet.fact,
        )
    except ValidationError as error:
        problems.add(file, str(error.errors()[0]["msg"]).removeprefix("Value error, "))
        return None


def check_stock(stock: Iterable[StockItem], names: Names, where: tuple[str, Problems]) -> None:
    """Note every row of a stock that names an unknown cable or gear type, or a cable without a length."""
    file, problems = where
    for number, item in enumerate(stock, start=1):
        place = f"{file}, stock, number {number}"
        if item.kind == "cable" and item.type not in names.catalogue.cables:
            problems.add(f"{place}, type", names.no_cable(item.type))
        elif item.kind == "cable" and item.length_m is None:
            problems.add(f"{place}, length_m", "a cable needs its length")
        elif item.kind == "gear" and item.type not in names.catalogue.gear:
            problems.add(f"{place}, type", names.no_gear(item.type))


def _with_ids(tables: Iterable[Named]) -> list[tuple[str, Named]]:
    found: dict[str, Named] = {}
    for table in tables:
        found[new_id(table.name, found)] = table
    return list(found.items())


def _sockets(
    sheet: HouseSheet, units: Units, names: Names, where: tuple[str, Problems]
) -> tuple[Socket, ...]:
    file, problems = where
    found: list[Socket] = []
    taken: set[str] = set()
    for number, row in enumerate(sheet.socket, start=1):
        place = f"{file}, socket, number {number}"
        key = folded(row.unit)
        placed = units.by_name.get(key)
        if key not in units.by_name or (placed is not None and not placed.in_house):
            here = [one.unit.name for one in units.by_name.values() if one and one.unit.owner == "house"]
            problems.add(f"{place}, unit", f"the house has no unit '{row.unit}'{problems.nearest(row.unit, here)}")
        if placed is None or not placed.in_house:
            continue
        ports = _ports(row, placed, names, (place, problems))
        if ports is None:
            continue
        way = row.direction or ("out" if ports[0].direction == "out" else "in")
        if any(port.direction not in (way, "both") for port in ports):
            problems.add(f"{place}, direction", f"{placed.unit.name} {ports[0].name} is no {way}put")
            continue
        label = row.label or f"{placed.unit.name} {ports[0].name}"
        found.append(
            Socket(
                id=new_id(label, taken), unit=placed.unit.id, ports=tuple(port.id for port in ports),
                direction=way, number=row.number, label=label, block=row.block,
            )
        )
        taken.add(found[-1].id)
    return tuple(found)


def _ports(
    row: SocketTable, placed: Placed, names: Names, where: tuple[str, Problems]
) -> list[Port] | None:
    place, problems = where
    found = []
    for text in row.ports:
        port = names.port(placed.gear, text, row.direction or "in")
        if isinstance(port, str):
            problems.add(f"{place}, ports", port)
        else:
            found.append(port)
    return found if len(found) == len(row.ports) else None


def all_sockets(units: Units) -> tuple[Socket, ...]:
    """Return a socket for every audio line of the house's boxes and desks and every outlet of its power units.

    Numbered in order, inputs, outputs and outlets each from 1.
    """
    found: list[Socket] = []
    taken: set[str] = set()
    counts: dict[str, int] = {}
    for placed in units.by_name.values():
        if placed is None or not placed.in_house:
            continue
        for port in placed.gear.ports:
            kind = _kind_of_line(placed, port)
            if kind is None:
                continue
            counts[kind] = counts.get(kind, 0) + 1
            label = {"in": f"{counts[kind]}", "out": f"Mix {counts[kind]}"}.get(kind, f"Outlet {counts[kind]}")
            found.append(
                Socket(
                    id=new_id(f"{placed.unit.id}-{port.id}", taken), unit=placed.unit.id, ports=(port.id,),
                    direction="in" if kind == "in" else "out", number=counts[kind], label=label,
                )
            )
            taken.add(found[-1].id)
    return tuple(found)


def _kind_of_line(placed: Placed, port: Port) -> Literal["in", "out", "outlet"] | None:
    if port.carrier.medium == "audio" and port.direction != "both" and "multipin" not in port.connector:
        return port.direction
    outlet = placed.gear.category == "power" and port.carrier.medium == "mains" and port.direction == "out"
    return "outlet" if outlet else None
