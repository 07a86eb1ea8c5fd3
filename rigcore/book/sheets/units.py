"""Reads the table of units: what there is, who supplies it, and where it stands."""

from __future__ import annotations

from collections.abc import Set
from typing import get_args

from msgspec import Struct
from pydantic import ValidationError

from rigcore.book.ids import new_id
from rigcore.book.rig import Owner, Stand, StandKind, Unit
from rigcore.book.sheets.cells import OWNERS, Cells, Names, folded, literal_words
from rigcore.book.sheets.table import Columns, Problems, Table
from rigcore.catalogue.gear import GearType, SourceFamily

UNIT_COLUMNS = Columns(
    words={
        "name": ("unit", "unit name", "what", "item", "thing"),
        "gear": ("gear type", "type", "gear id", "kind", "description"),
        "owner": ("who", "supplier", "supplied by", "belongs to", "whose"),
        "x": ("x m", "x metres", "x meters", "across", "stage x"),
        "y": ("y m", "y metres", "y meters", "upstage", "stage y"),
        "rotation": ("rotation deg", "rotation degrees", "turn", "turned", "angle"),
        "stand": ("stand kind", "mic stand"),
        "stand owner": ("stand by", "stand from", "whose stand", "stand supplied by"),
        "family": ("source family", "plays", "group"),
        "note": ("notes", "remark", "remarks", "comment", "comments"),
        "card x": ("sheet x", "patch x"),
        "card y": ("sheet y", "patch y"),
    },
    required=("name", "gear"),
)

HOUSE_CATEGORIES = ("stage box", "desk", "power")
"""House units of these categories stay in the house; what else it supplies is asked for by the rig."""

STANDS: dict[str, StandKind | None] = {
    **literal_words(get_args(StandKind)),
    **dict.fromkeys(("no", "none", "-", "–"), None),
    "tall": "tall boom",
    "short": "short boom",
    "low boom": "short boom",
}
FAMILIES: dict[str, SourceFamily | None] = {
    **literal_words(get_args(SourceFamily)),
    **{family.removesuffix("s"): family for family in get_args(SourceFamily)},
    "vox": "vocals",
    "voice": "vocals",
    "tracks": "playback",
}
FIELDS = {
    "name": "name",
    "gear": "gear",
    "x_m": "x",
    "y_m": "y",
    "card_x": "card x",
    "card_y": "card y",
    "note": "note",
}


class Placed(Struct, frozen=True):
    """A unit as read, with its gear type and whether it stays in the house."""

    unit: Unit
    gear: GearType
    in_house: bool


class Units(Struct, frozen=True):
    """The units by folded name; None for one whose row does not hold, so that nobody asks for it twice."""

    by_name: dict[str, Placed | None]
    names: tuple[str, ...]

    def units(self, *, in_house: bool) -> tuple[Unit, ...]:
        """Return the units of the house, or those of the rig, in the order of the table."""
        return tuple(one.unit for one in self.by_name.values() if one and one.in_house is in_house)


def read_units(table: Table, names: Names, with_sockets: Set[str], problems: Problems) -> Units:
    """Return the units of a table; what does not hold goes to ``problems``.

    Parameters
    ----------
    with_sockets
        Folded names of the units the house numbers sockets at: they stay in the house too.
    """
    found: dict[str, Placed | None] = {}
    first_row: dict[str, int] = {}
    shown: list[str] = []
    taken: set[str] = set()
    for row in table.rows:
        cells = Cells(table, row, problems)
        name = cells.line("name")
        if not any(row.cells.values()):
            continue
        if not name:
            cells.note("name", "the name is missing")
            continue
        key = folded(name)
        if key in found:
            cells.note("name", f"'{name[:60]}' stands in row {first_row[key]} already; give each unit its own name")
            continue
        first_row[key] = row.number
        shown.append(name)
        found[key] = _placed(cells, names, taken, key in with_sockets)
    return Units(found, tuple(shown))


def _placed(cells: Cells, names: Names, taken: set[str], with_sockets: bool) -> Placed | None:
    gear = names.gear(cells.line("gear"))
    if not cells.text("gear"):
        cells.note("gear", "the gear type is missing")
    elif gear is None:
        cells.note("gear", names.no_gear(cells.line("gear")))
    owner: Owner = cells.choice("owner", OWNERS, "rig")
    unit = _unit(cells, gear.id if gear else "unknown", owner, new_id(cells.line("name"), taken))
    if gear is None or unit is None:
        return None
    taken.add(unit.id)
    return Placed(unit, gear, owner == "house" and (with_sockets or gear.category in HOUSE_CATEGORIES))


def _unit(cells: Cells, gear_id: str, owner: Owner, unit_id: str) -> Unit | None:
    kind = cells.choice("stand", STANDS, None)
    stand_owner: Owner = cells.choice("stand owner", OWNERS, owner)
    family = cells.choice("family", FAMILIES, None)
    try:
        return Unit(
            id=unit_id,
            name=cells.line("name"),
            gear=gear_id,
            owner=owner,
            x_m=cells.metres("x"),
            y_m=cells.metres("y"),
            rotation_deg=(cells.number("rotation") or 0.0) % 360.0,
            card_x=cells.number("card x"),
            card_y=cells.number("card y"),
            stand=Stand(kind=kind, owner=stand_owner) if kind else None,
            family=family,
            note=cells.text("note"),
        )
    except ValidationError as error:
        cells.refused(error, FIELDS)
        return None
