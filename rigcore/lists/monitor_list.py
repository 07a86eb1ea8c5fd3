"""The monitor and output list: each mix or line from the house, where it goes, how, and what is wanted in it.

A stereo pair is one row with both of its numbers; the position stands beside the number, because houses
number their mixes each in their own way.
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from rigcore.book.rig import Owner
from rigcore.lists.output_list import OutputRow, output_list
from rigcore.lists.plot import place_words
from rigcore.patch.build import Patch

KINDS = {"wedge": "wedge", "in-ear": "ears", "line": "line"}


class MonitorRow(Struct, frozen=True):
    """One mix: its numbers and sockets at the house, where it goes and stands, what is wanted in it, by whom it is."""

    numbers: tuple[int, ...]
    sockets: tuple[str, ...]
    goes_to: str
    place: str
    kind: str
    layout: Literal["mono", "stereo"]
    supplier: Owner
    wanted: str


def monitor_list(patch: Patch) -> tuple[MonitorRow, ...]:
    """Return the mixes of a gig in the order of the house's numbers; a stereo pair is one row."""
    groups: dict[str, list[OutputRow]] = {}
    for place, row in enumerate(output_list(patch)):
        groups.setdefault(row.group or f"/{place}", []).append(row)
    return tuple(_row(patch, rows) for rows in groups.values())


def _row(patch: Patch, rows: list[OutputRow]) -> MonitorRow:
    first = rows[0]
    hand_off = patch.rig.hand_off(first.hand_off)
    unit = patch.units[hand_off.unit] if hand_off is not None else None
    notes = dict.fromkeys(row.note for row in rows if row.note)
    return MonitorRow(
        numbers=tuple(row.mix for row in rows),
        sockets=tuple(row.socket for row in rows),
        goes_to=first.goes_to,
        place=place_words((unit.x_m, unit.y_m), patch.house.stage) if unit is not None else "",
        kind=KINDS[first.kind],
        layout="stereo" if len(rows) > 1 else "mono",
        supplier=first.supplier,
        wanted="; ".join(notes) or first.name,
    )
