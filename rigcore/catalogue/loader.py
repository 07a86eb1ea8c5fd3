"""Reads the catalogue's TOML tables and checks every row at the door.

All faults are reported together, each with file, row and field. Two shorthands
keep the tables short: a carrier may be the name of a preset (or ``like`` a
preset with differences), and a port or path with ``repeat`` stands for a series
numbered where its texts say ``#``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar

import rtoml
from pydantic import ValidationError

from rigcore import resources
from rigcore.catalogue.cables import CableType
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.connectors import Connector, Mating, MatingTable
from rigcore.catalogue.gear import GearType
from rigcore.catalogue.record import Record, from_row
from rigcore.errors import CatalogueDamaged

Row = dict[str, Any]
LONGEST_SERIES = 256
AnyRecord = TypeVar("AnyRecord", bound=Record)


@lru_cache(maxsize=1)
def shipped() -> Catalogue:
    """Return the catalogue that comes with the program.

    Raises
    ------
    CatalogueDamaged
        If a table does not hold.
    """
    return load_catalogue(resources.assets() / "catalogue")


def load_catalogue(folder: Path) -> Catalogue:
    """Read and check a folder of tables.

    Raises
    ------
    CatalogueDamaged
        With one sentence for each fault, naming file, row and field.
    """
    problems: list[str] = []
    connectors = _records(folder / "connectors.toml", "connector", Connector, problems)
    mating = _records(folder / "mating.toml", "mating", Mating, problems)
    cables = _records(folder / "cables.toml", "cable", CableType, problems)
    known = _presets(folder / "carriers.toml", problems)
    gear: list[tuple[str, GearType]] = []
    for path in sorted((folder / "gear").glob("*.toml")):
        rows = _rows(path, "gear", problems)
        gear += [(path.name, g) for g in gear_from_rows(rows, known, path.name, problems)]
    _check_together((connectors, mating, cables), gear, problems)
    if problems:
        raise CatalogueDamaged("The catalogue does not hold", problems)
    return Catalogue(connectors, MatingTable(tuple(mating)), cables, [g for _, g in gear])


def own_gear(path: Path, catalogue: Catalogue) -> tuple[GearType, ...]:
    """Read a player's own gear types from a TOML file of ``[[gear]]`` tables.

    Raises
    ------
    CatalogueDamaged
        With one sentence for each fault, naming file, row and field.
    """
    problems: list[str] = []
    types = gear_from_rows(_rows(path, "gear", problems), presets(), path.name, problems)
    problems += [f"{path.name}: id '{name}' appears twice" for name in _twice([gear.id for gear in types])]
    for gear in types:
        _check_ports(path.name, gear, catalogue.connectors, problems)
    if problems:
        raise CatalogueDamaged("The gear file does not hold", problems)
    return tuple(types)


def gear_from_draft(row: Row, catalogue: Catalogue) -> tuple[GearType | None, tuple[str, ...]]:
    """Return the gear type a half-written row makes, or None and one sentence for each thing that does not hold."""
    problems: list[str] = []
    types = gear_from_rows([row], presets(), "", problems)
    if types:
        _check_ports("", types[0], catalogue.connectors, problems)
    return (None if problems else types[0]), tuple(one.split("field ", 1)[-1] for one in problems)


@lru_cache(maxsize=1)
def presets() -> dict[str, Row]:
    """Return what commonly travels over a port, by name, as the fields of its carrier.

    Raises
    ------
    CatalogueDamaged
        If the table does not hold.
    """
    problems: list[str] = []
    found = _presets(resources.assets() / "catalogue" / "carriers.toml", problems)
    if problems:
        raise CatalogueDamaged("The table of carriers does not hold", problems)
    return found


def gear_from_rows(
    rows: Iterable[Row], known: dict[str, Row], file: str, problems: list[str]
) -> list[GearType]:
    """Return the gear types of some rows; what does not hold goes to ``problems``."""
    types = []
    for number, row in enumerate(rows, start=1):
        where = f"{file}, gear {number} ({row.get('id', 'no id')})"
        try:
            plain = _expand(row, known)
        except _Unfit as unfit:
            problems.append(f"{where}, field {unfit}")
            continue
        record = _checked(GearType, plain, where, problems)
        if record is not None:
            types.append(record)
    return types


class _Unfit(Exception):
    """A shorthand that cannot be written out; the text opens with the field."""


def _expand(row: Row, presets: dict[str, Row]) -> Row:
    plain = dict(row)
    plain["ports"] = []
    for number, port in enumerate(_series(row, "ports"), start=1):
        for field in ("carrier", "jack_carrier"):
            if field in port:
                port[field] = _carrier(port[field], presets, f"ports.{number}.{field}")
        plain["ports"].append(port)
    plain["paths"] = list(_series(row, "paths"))
    return plain


def _carrier(value: Any, presets: dict[str, Row], where: str) -> Any:
    if isinstance(value, str):
        value = {"like": value}
    if not isinstance(value, dict) or "like" not in value:
        return value
    name = value["like"]
    if not isinstance(name, str) or name not in presets:
        raise _Unfit(f"{where}: there is no preset '{name}'")
    return {**presets[name], **{key: part for key, part in value.items() if key != "like"}}


def _series(row: Row, field: str) -> Iterable[Row]:
    parts = row.get(field, [])
    if not isinstance(parts, list) or not all(isinstance(part, dict) for part in parts):
        raise _Unfit(f"{field}: must be a list of tables")
    for place, part in enumerate(parts, start=1):
        count = part.get("repeat")
        if count is None:
            yield dict(part)
            continue
        if type(count) is not int or not 1 <= count <= LONGEST_SERIES:
            raise _Unfit(f"{field}.{place}.repeat: must be a number from 1 to {LONGEST_SERIES}")
        plain = {key: value for key, value in part.items() if key != "repeat"}
        numbered = [(key, value) for key, value in plain.items() if isinstance(value, str) and "#" in value]
        for number in range(1, count + 1):
            yield {**plain, **{key: value.replace("#", str(number)) for key, value in numbered}}


def _presets(path: Path, problems: list[str]) -> dict[str, Row]:
    presets = {}
    for number, row in enumerate(_rows(path, "carrier", problems), start=1):
        row = dict(row)
        name = row.pop("id", None)
        if not isinstance(name, str):
            problems.append(f"{path.name}, carrier {number}, field id: is missing")
            continue
        presets[name] = row
    return presets


def _rows(path: Path, key: str, problems: list[str]) -> list[Row]:
    try:
        table = rtoml.loads(path.read_bytes().decode("utf-8-sig"))
    except OSError as error:
        problems.append(f"{path.name}: cannot be read ({error.strerror})")
        return []
    except (rtoml.TomlParsingError, UnicodeDecodeError) as error:
        problems.append(f"{path.name}: is not TOML ({error})")
        return []
    rows = table.get(key, [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        problems.append(f"{path.name}: [[{key}]] must be a list of tables")
        return []
    return rows


def _records(path: Path, key: str, kind: type[AnyRecord], problems: list[str]) -> list[AnyRecord]:
    records = []
    for number, row in enumerate(_rows(path, key, problems), start=1):
        name = row.get("id") or f"{row.get('plug', '?')} into {row.get('socket', '?')}"
        record = _checked(kind, row, f"{path.name}, {key} {number} ({name})", problems)
        if record is not None:
            records.append(record)
    return records


def _checked(kind: type[AnyRecord], row: Row, where: str, problems: list[str]) -> AnyRecord | None:
    try:
        return from_row(kind, row)
    except ValidationError as error:
        problems += [
            f"{where}, field {_field(fault['loc'])}: {_MESSAGES.get(fault['type'], fault['msg'])}"
            for fault in error.errors()
        ]
    except (TypeError, ValueError) as error:
        problems.append(f"{where}: {error}")
    return None


_MESSAGES = {
    "missing": "is missing",
    "string_pattern_mismatch": "must be lower-case letters, figures, dots, plus signs or hyphens",
    "string_too_short": "must not be empty",
    "string_type": "must be a text",
    "greater_than": "must be above nought",
}
"""What the checker says in its own language, in ours."""


def _field(location: tuple[int | str, ...]) -> str:
    parts = [str(part + 1) if isinstance(part, int) else part for part in location]
    return ".".join(parts) or "whole row"


def _check_together(
    tables: tuple[list[Connector], list[Mating], list[CableType]],
    gear: list[tuple[str, GearType]],
    problems: list[str],
) -> None:
    connectors, mating, cables = tables
    known = {row.id: row for row in connectors}
    for label, ids in (
        ("connectors.toml", [row.id for row in connectors]),
        ("cables.toml", [row.id for row in cables]),
        ("gear tables", [row.id for _, row in gear]),
    ):
        problems += [f"{label}: id '{name}' appears twice" for name in _twice(ids)]
    for pair in mating:
        where = f"mating.toml, {pair.plug} into {pair.socket}"
        problems += [
            f"{where}: there is no connector '{name}'" for name in (pair.plug, pair.socket) if name not in known
        ]
        if pair.plug in known and pair.socket in known and known[pair.plug].side == known[pair.socket].side:
            problems.append(f"{where}: both are {known[pair.plug].side}")
    for cable in cables:
        problems += [
            f"cables.toml, {cable.id}: there is no connector '{end}'"
            for end in (cable.end_a, cable.end_b)
            if end not in known
        ]
    for file, gear_type in gear:
        _check_ports(file, gear_type, known, problems)


def _check_ports(file: str, gear: GearType, known: dict[str, Connector], problems: list[str]) -> None:
    problems += [
        f"{file}, {gear.id}, port {port.id}, field connector: there is no connector '{port.connector}'"
        for port in gear.ports
        if port.connector not in known
    ]


def _twice(ids: list[str]) -> list[str]:
    return sorted(name for name, count in Counter(ids).items() if count > 1)
