"""The output list: what the house sends back to the stage, mix by mix."""

from __future__ import annotations

from msgspec import Struct

from rigcore.book.rig import Owner
from rigcore.patch.build import Patch
from rigcore.patch.channels import own_lines
from rigcore.patch.once import once_a_patch


class OutputRow(Struct, frozen=True):
    """One line from the house: its mix number, where it goes, and how."""

    mix: int
    socket: str
    name: str
    goes_to: str
    kind: str
    layout: str
    side: str
    supplier: Owner
    group: str | None
    note: str
    hand_off: str


@once_a_patch
def output_list(patch: Patch) -> tuple[OutputRow, ...]:
    """Return the lines from the house in the order of their mix numbers."""
    rows = []
    for hand_off, landing in own_lines(patch):
        if hand_off.direction != "from house":
            continue
        socket = patch.socket(landing)
        unit = patch.units[hand_off.unit]
        gear = patch.catalogue.gear_type(unit.gear)
        kind = {"monitor": "wedge", "loudspeaker": "wedge", "in-ear": "in-ear"}.get(gear.category, "line")
        rows.append(
            OutputRow(
                mix=socket.number,
                socket=socket.label,
                name=hand_off.name,
                goes_to=unit.name,
                kind=kind,
                layout="stereo" if hand_off.side and hand_off.group else "mono",
                side=hand_off.side,
                supplier=unit.owner,
                group=hand_off.group if hand_off.side else None,
                note=hand_off.note,
                hand_off=hand_off.id,
            )
        )
    return tuple(sorted(rows, key=lambda row: (row.mix, row.socket)))
