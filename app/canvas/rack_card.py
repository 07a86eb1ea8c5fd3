"""Where things lie on the card of a folded rack: pure arithmetic, no painting.

It shows the ports through which cables leave the rack, on the same edges as on the
cards of the units. Along the upper and lower edge those of one unit lie together,
with the unit's name beside their labels; on the sides a label is the unit's name
where the unit has one port there.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import groupby
from typing import NamedTuple

from msgspec import Struct

from app.canvas.layout import (
    FACE,
    GEAR_LINE,
    LABEL_LINE,
    LEAST_WIDTH,
    PADDING,
    SIDE_PITCH,
    TAPE_HEIGHT,
    WIDEST_TAPE,
    Box,
    Card,
    Point,
    Side,
    Spot,
    label_width,
    name_width,
    pitch_of,
    side_of,
)
from app.canvas.placed import PlacedCard, rack_key
from rigcore.catalogue.connectors import Connector

GAP = 8.0
"""Room between the ports of two units."""

WIDEST_GROUP = 104.0
"""Most room one port gets for its unit's name."""

SIDE_ROOM = 84.0
WIDEST_ABOUT = 260.0


class Face(NamedTuple):
    """A port on a folded rack: what its card calls it, its unit's name, its own name, and the edge it lies on."""

    key: str
    unit: str
    port: str
    side: Side


class _Row(Struct, frozen=True):
    """The faces along the upper or the lower edge: each with its pitch, unit by unit."""

    units: tuple[tuple[str, tuple[Face, ...], float], ...]

    @property
    def width(self) -> float:
        return sum(len(faces) * pitch for _, faces, pitch in self.units) + GAP * max(0, len(self.units) - 1)


def faces_of(
    members: Sequence[PlacedCard], leaving: Collection[tuple[str, str]], connectors: Mapping[str, Connector]
) -> tuple[Face, ...]:
    """Return the faces of a folded rack, in the order in which its units lie; ``leaving`` are (card, key) of ports."""
    keys = {key for _, key in leaving}
    found = []
    for one in sorted(members, key=lambda one: one.place):
        for port in one.gear.ports:
            key = rack_key(one.unit.id, port.id)
            if key in keys:
                found.append(Face(key, one.unit.name, port.name, side_of(port, connectors.get(port.connector))))
    return tuple(found)


def rack_card(title: str, about: str, faces: Sequence[Face]) -> Card:
    """Return the card of a folded rack: ``title`` on its tape, ``about`` below it, faces in the order given."""
    top, bottom = (_row(face for face in faces if face.side == side) for side in ("top", "bottom"))
    left, right = (_column([face for face in faces if face.side == side]) for side in ("left", "right"))
    margins = [_margin(column) for column in (left, right)]
    tape = max(120.0, min(name_width(title) + 34, WIDEST_TAPE), min(len(about) * 5.8 + 8, WIDEST_ABOUT))
    width = max(LEAST_WIDTH, sum(margins) + max(tape, top.width, bottom.width) + 4)
    above = PADDING + (2 * LABEL_LINE + 2 if top.units else 0)
    below = PADDING - 2 + (2 * LABEL_LINE + 6 if bottom.units else 0)
    height = above + TAPE_HEIGHT + GEAR_LINE + below
    room = max(len(left), len(right)) * SIDE_PITCH + 16
    if room > height:
        above += (room - height) / 2
        height = room
    width, height = float(round(width)), float(round(height))
    tape_box = Box(margins[0], above, width - margins[1], above + TAPE_HEIGHT)
    about_box = Box(margins[0], tape_box.bottom + 1, width - margins[1], tape_box.bottom + 1 + GEAR_LINE)
    middle = (margins[0] + width - margins[1]) / 2
    under = FACE + 2 + LABEL_LINE
    spots, groups = _along(top, "top", (middle, 0.0), under)
    more, others = _along(bottom, "bottom", (middle, height), height - under - LABEL_LINE)
    sides = (*_down(left, 0.0, height), *_down(right, width, height))
    return Card(width, height, tape_box, about_box, (*spots, *more, *sides), (*groups, *others))


def _row(faces: Iterable[Face]) -> _Row:
    units = []
    for _, group in groupby(faces, key=_unit_id):
        ours = tuple(group)
        name = ours[0].unit
        wanted = min(label_width(name) + 4, WIDEST_GROUP)
        units.append((name, ours, max(pitch_of([face.port for face in ours]), wanted / len(ours))))
    return _Row(tuple(units))


def _along(row: _Row, side: Side, at: tuple[float, float], names_at: float) -> tuple[list[Spot], list[tuple[str, Box]]]:
    """Return the faces of a row about a place on its edge, and the units' names with their room."""
    middle, y = at
    spots, groups = [], []
    x = middle - row.width / 2
    for name, faces, pitch in row.units:
        long = len(faces) * pitch
        groups.append((name, Box(x + 1, names_at, x + long - 1, names_at + LABEL_LINE)))
        for number, face in enumerate(faces):
            spots.append(Spot(face.key, side, Point(round(x + (number + 0.5) * pitch, 1), y), pitch - 4, face.port))
        x += long + GAP
    return spots, groups


def _column(faces: Sequence[Face]) -> list[tuple[Face, str]]:
    """Return the faces of a side with their labels."""
    times = Counter(map(_unit_id, faces))
    return [(face, face.unit if times[_unit_id(face)] == 1 else face.port) for face in faces]


def _unit_id(face: Face) -> str:
    return face.key.partition("/")[0]


def _room(column: Sequence[tuple[Face, str]]) -> float:
    return min(max(label_width(words) for _, words in column), SIDE_ROOM)


def _margin(column: Sequence[tuple[Face, str]]) -> float:
    return FACE + 12 + _room(column) if column else PADDING


def _down(column: Sequence[tuple[Face, str]], x: float, height: float) -> list[Spot]:
    first = height / 2 - SIDE_PITCH * (len(column) - 1) / 2
    return [
        Spot(face.key, face.side, Point(x, round(first + number * SIDE_PITCH, 1)), _room(column), words)
        for number, (face, words) in enumerate(column)
    ]
