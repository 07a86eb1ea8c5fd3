"""The shape of the house's TOML file, table by table; every key that is not known is refused by name."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Annotated, Any, Literal, TypeVar

from pydantic import Field, ValidationError

from rigcore.book.gig import ClockTime, TimeZone
from rigcore.book.house import Fact
from rigcore.book.sheets.table import Problems, read_toml
from rigcore.book.stock import StockItem
from rigcore.catalogue.record import Id, Length, Metres, Name, Record, Text


class HouseTable(Record):
    """``[house]``."""

    name: Name = "A house"
    place: Text = ""
    kind: Literal["bar", "club", "church", "corporate", "festival"] = "club"
    mains_v: Annotated[float, Field(ge=90, le=260)] = 230.0
    contact: Text = ""
    crew: Text = ""
    changeover_min: Annotated[int, Field(ge=1, le=1440)] | None = None
    notes: Text = ""


class StageTable(Record):
    """``[stage]``, sizes in m."""

    width_m: Length = 6.0
    depth_m: Length = 4.0
    height_m: Annotated[float, Field(ge=0, le=10)] = 0.0


class RiserTable(Record):
    """``[[riser]]``, centre and size in m."""

    name: Name
    x_m: Metres
    y_m: Metres
    width_m: Length
    depth_m: Length
    height_m: Annotated[float, Field(ge=0, le=10)] = 0.4


class PowerTable(Record):
    """``[[power]]``: a place where mains is to be had."""

    name: Name
    x_m: Metres
    y_m: Metres
    outlets: Annotated[int, Field(ge=0, le=200)] = 1
    connector: Id | None = None
    circuit: Text = ""
    circuit_a: Annotated[float, Field(gt=0, le=400)] | None = None
    rcd_ma: Annotated[float, Field(gt=0, le=1000)] | None = None
    limiter: bool | None = None
    shared_with: Text = ""


class SocketTable(Record):
    """``[[socket]]``: one line of the house; ``unit`` by name, ``ports`` by id or name."""

    unit: Name
    ports: tuple[Name, ...] = Field(min_length=1, max_length=2)
    number: Annotated[int, Field(ge=0, le=9999)]
    direction: Literal["in", "out"] | None = None
    label: Name | None = None
    block: Text = ""


class RigTable(Record):
    """``[rig]``."""

    name: Name = "My rig"
    about: Text = ""
    notes: Text = ""


class GigTable(Record):
    """``[gig]``; ``order`` lists channel names as the player wants them numbered, times are written as 18:30:00."""

    name: Name = "First gig"
    act: Text = ""
    about: Text = ""
    contact: Text = ""
    date: dt.date | None = None
    on_stage: Text = ""
    valid_until: dt.date | None = None
    order: tuple[Name, ...] = ()
    notes: Text = ""
    load_in: ClockTime | None = None
    line_check: ClockTime | None = None
    set_start: ClockTime | None = None
    set_end: ClockTime | None = None
    timezone: TimeZone = ""


class BookTable(Record):
    """``[book]``."""

    title: Text = ""
    owner: Text = ""
    contact: Text = ""


class HouseSheet(Record):
    """The whole file."""

    house: HouseTable = Field(default_factory=HouseTable)
    stage: StageTable = Field(default_factory=StageTable)
    riser: tuple[RiserTable, ...] = ()
    power: tuple[PowerTable, ...] = ()
    socket: tuple[SocketTable, ...] = ()
    fact: tuple[Fact, ...] = ()
    stock: tuple[StockItem, ...] = ()
    rig: RigTable = Field(default_factory=RigTable)
    gig: GigTable = Field(default_factory=GigTable)
    book: BookTable = Field(default_factory=BookTable)


AnyRecord = TypeVar("AnyRecord", bound=Record)


def read_house(path: Path | None, problems: Problems) -> HouseSheet:
    """Return the house file; the default one where there is none or it does not hold."""
    table = read_toml(path, problems) if path is not None else None
    if path is None or table is None:
        return HouseSheet()
    sheet = checked_table(HouseSheet, table, path.name, problems)
    return sheet if sheet is not None else HouseSheet()


def checked_table(kind: type[AnyRecord], table: object, file: str, problems: Problems) -> AnyRecord | None:
    """Return a TOML table as a record, or None with every key that does not hold noted."""
    try:
        return kind.model_validate(_frozen(table))
    except ValidationError as error:
        for fault in error.errors():
            where = ", ".join(_step(part) for part in fault["loc"])
            if fault["type"] == "extra_forbidden":
                known = _known_at(kind, fault["loc"])
                near = problems.nearest(str(fault["loc"][-1]), known)
                problems.add(f"{file}, {where}", f"this key is not known{near}")
            else:
                problems.add(f"{file}, {where}", str(fault["msg"]).removeprefix("Value error, "))
    except RecursionError:
        problems.add(file, "is nested too deeply")
    return None


def _frozen(value: Any) -> Any:
    """Return a value with every list made a tuple."""
    if isinstance(value, dict):
        return {key: _frozen(part) for key, part in value.items()}
    return tuple(_frozen(part) for part in value) if isinstance(value, list) else value


def _step(part: int | str) -> str:
    return f"number {part + 1}" if isinstance(part, int) else part


def _known_at(kind: type[Record], place: tuple[int | str, ...]) -> list[str]:
    """Return the keys known beside the last step of a place; those of the whole file if it is not nested."""
    fields = kind.model_fields
    for part in place[:-1]:
        if isinstance(part, str) and part in fields:
            kinds = [fields[part].annotation, *getattr(fields[part].annotation, "__args__", ())]
            inner = [one for one in kinds if isinstance(one, type) and issubclass(one, Record)]
            fields = inner[0].model_fields if inner else fields
    return list(fields)
