"""Where things lie on a card: pure arithmetic, no painting.

Lengths are sheet units (1 unit is 1 px at 100 %), y downwards. Inputs lie on the
top edge of a card, outputs on the bottom edge, two-way ports on the right edge;
power comes in on the left edge and goes out, where it does, on the right one.
Text widths are estimates; who paints elides.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal, NamedTuple

from msgspec import Struct

from rigcore.catalogue.connectors import Connector
from rigcore.catalogue.gear import GearType, Port

Side = Literal["top", "bottom", "left", "right"]

FACE = 9.0
"""Radius of a port's face."""

TAPE_HEIGHT = 24.0
GEAR_LINE = 16.0
LABEL_LINE = 14.0
PADDING = 11.0
LEAST_WIDTH = 136.0
WIDEST_TAPE = 520.0
LABEL_CHAR = 5.5
SIDE_PITCH = 24.0
_WIDTHS = dict.fromkeys("iljI.,:;'|!· ", 4.4) | dict.fromkeys("ftr()[]-/", 6.0) | dict.fromkeys("mwMW@%—", 13.2)
_TWO_WAY = frozenset({"midi", "usb", "network"})
_POWER_GROUPS = frozenset({"mains", "dc"})


class Point(NamedTuple):
    """A place on the sheet."""

    x: float
    y: float


class Box(NamedTuple):
    """A rectangle on the sheet: left, top, right, bottom."""

    left: float
    top: float
    right: float
    bottom: float

    def grown(self, margin: float) -> Box:
        """Return the rectangle with a margin on every side."""
        return Box(self.left - margin, self.top - margin, self.right + margin, self.bottom + margin)

    def meets(self, other: Box) -> bool:
        """Return whether two rectangles overlap."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )

    def holds(self, point: tuple[float, float]) -> bool:
        """Return whether a point lies inside."""
        return self.left <= point[0] <= self.right and self.top <= point[1] <= self.bottom


class Spot(Struct, frozen=True):
    """A port on a card: what the card calls it, its side, the place of its face, the room for its label (width).

    ``words`` is the label where it is not the port's own name.
    """

    port: str
    side: Side
    at: Point
    room: float
    words: str = ""


class Card(Struct, frozen=True):
    """The measures of one card, relative to its top left corner.

    ``groups`` are names that stand for several ports, each with its room.
    """

    width: float
    height: float
    tape: Box
    gear_line: Box
    spots: tuple[Spot, ...]
    groups: tuple[tuple[str, Box], ...] = ()

    def spot(self, port_id: str) -> Spot | None:
        """Return where a port lies, or None."""
        return next((one for one in self.spots if one.port == port_id), None)

    def box_at(self, place: tuple[float, float]) -> Box:
        """Return the card's rectangle on the sheet."""
        return Box(place[0], place[1], place[0] + self.width, place[1] + self.height)

    def port_at(self, x: float, y: float, reach: float = FACE + 4) -> str | None:
        """Return the port nearest to a place on the card, if within reach."""
        best = min(self.spots, key=lambda one: _far(one.at, x, y), default=None)
        return best.port if best is not None and _far(best.at, x, y) <= reach**2 else None


def _far(at: Point, x: float, y: float) -> float:
    return (at.x - x) ** 2 + (at.y - y) ** 2


def side_of(port: Port, connector: Connector | None) -> Side:
    """Return the edge a port lies on."""
    if connector is not None and connector.group in _POWER_GROUPS:
        return "right" if port.direction == "out" else "left"
    if port.direction == "both" or port.carrier.medium in _TWO_WAY:
        return "right"
    return "top" if port.direction == "in" else "bottom"


def label_width(text: str) -> float:
    """Return about how wide a port's label is."""
    return len(text) * LABEL_CHAR + 4


def name_width(text: str) -> float:
    """Return how wide a name on a tape strip is at most."""
    return sum(_WIDTHS.get(char, 9.8 if char.isupper() else 8.7 if ord(char) < 0x2000 else 14.5) for char in text)


def label_box(card: Card, spot: Spot, words: str) -> Box:
    """Return the box of a port's label on its card."""
    width, gap = min(spot.room, label_width(words)), FACE + 3
    if spot.side in ("top", "bottom"):
        top = gap - 1 if spot.side == "top" else card.height - gap - 13
        return Box(spot.at.x - width / 2, top, spot.at.x + width / 2, top + LABEL_LINE)
    left = gap + 1 if spot.side == "left" else card.width - gap - 1 - width
    return Box(left, spot.at.y - LABEL_LINE / 2, left + width, spot.at.y + LABEL_LINE / 2)


def pitch_of(names: Sequence[str]) -> float:
    """Return the distance between the faces of ports of these names."""
    widest = max((label_width(name) for name in names), default=0.0)
    return max(30.0, min(widest + 4, 66.0 if len(names) <= 8 else 44.0))


def card_of(gear: GearType, connectors: Mapping[str, Connector], name: str) -> Card:
    """Return the card of a unit of a gear type bearing a name."""
    by_side: dict[Side, list[Port]] = {"top": [], "bottom": [], "left": [], "right": []}
    for port in gear.ports:
        by_side[side_of(port, connectors.get(port.connector))].append(port)
    left, right = _margin(by_side["left"]), _margin(by_side["right"])
    tape = max(100.0, min(name_width(name) + 16, WIDEST_TAPE), min(len(gear.name) * 5.8 + 8, 230.0))
    width = max(LEAST_WIDTH, left + tape + right)
    for side in ("top", "bottom"):
        names = [port.name for port in by_side[side]]
        width = max(width, left + right + 4.0 + len(names) * pitch_of(names))
    top = PADDING + (LABEL_LINE if by_side["top"] else 0)
    bottom = PADDING - 2 + (LABEL_LINE + 4 if by_side["bottom"] else 0)
    height = top + TAPE_HEIGHT + GEAR_LINE + bottom
    deepest = max(len(by_side["left"]), len(by_side["right"]))
    room = deepest * SIDE_PITCH + 16
    if room > height:
        top += (room - height) / 2
        height = room
    width, height = float(round(width)), float(round(height))
    tape_box = Box(left, top, width - right, top + TAPE_HEIGHT)
    gear_box = Box(left, tape_box.bottom + 1, width - right, tape_box.bottom + 1 + GEAR_LINE)
    spots = (
        *_along(by_side["top"], "top", (left + width - right) / 2, 0.0),
        *_along(by_side["bottom"], "bottom", (left + width - right) / 2, height),
        *_down(by_side["left"], "left", 0.0, height),
        *_down(by_side["right"], "right", width, height),
    )
    return Card(width, height, tape_box, gear_box, spots)


def _margin(ports: list[Port]) -> float:
    """Return the room a side column of faces and labels needs inside the card."""
    if not ports:
        return PADDING
    return FACE + 12 + _side_room(ports)


def _side_room(ports: list[Port]) -> float:
    return min(max(label_width(port.name) for port in ports), 62.0)


def _along(ports: list[Port], side: Side, middle: float, y: float) -> list[Spot]:
    pitch = pitch_of([port.name for port in ports])
    first = middle - pitch * (len(ports) - 1) / 2
    return [Spot(port.id, side, Point(round(first + n * pitch, 1), y), pitch - 4) for n, port in enumerate(ports)]


def _down(ports: list[Port], side: Side, x: float, height: float) -> list[Spot]:
    if not ports:
        return []
    first = height / 2 - SIDE_PITCH * (len(ports) - 1) / 2
    room = _side_room(ports)
    return [Spot(port.id, side, Point(x, round(first + n * SIDE_PITCH, 1)), room) for n, port in enumerate(ports)]
