"""Laying the cables again after a change: only those the change touches, so that nothing else jumps.

A book just opened is laid as ``routes.lay`` lays it; after that every cable keeps
its way until one of its ends, or a card near its way, is moved.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from itertools import pairwise
from typing import Any

from msgspec import Struct, field

from app.canvas.layout import Box
from app.canvas.obstacles import CLEAR, Obstacles
from app.canvas.routes import LANE, Lanes, Name, Way, Wire, beside, best, order, tidy

ALONG = 4 * LANE
"""How near a cable lies to a card for whose sake it may have gone out of its way."""


class _Laid(Struct, frozen=True):
    """A wire with its way to the last port, the way with its tail, and the room the first takes."""

    wire: Wire[Any]
    way: Way
    whole: Way
    room: Box


def _laid(wire: Wire[Any], way: Way) -> _Laid:
    xs, ys = [point.x for point in way], [point.y for point in way]
    return _Laid(wire, way, tidy((*way, *wire.tail)), Box(min(xs), min(ys), max(xs), max(ys)))


class Dresser(Struct):
    """Remembers how the cables lay last time."""

    _laid: dict[Hashable, _Laid] = field(default_factory=dict)
    _boxes: frozenset[Box] = frozenset()

    def lay(self, wires: Sequence[Wire[Name]], cards: Iterable[Box]) -> dict[Name, Way]:
        """Return a way for every wire; those that have one and are not touched keep it."""
        boxes = tuple(cards)
        now = frozenset(boxes)
        come, gone = (Obstacles([box.grown(CLEAR) for box in some]) for some in (now - self._boxes, self._boxes - now))
        self._boxes = now
        laid: dict[Hashable, _Laid] = {}
        lanes = Lanes()
        for wire in wires:
            before = self._laid.get(wire.id)
            same = before is not None and before.wire == wire
            if before is not None and same and not _passes(before, come, 0.0) and not _passes(before, gone, ALONG):
                laid[wire.id] = before
                lanes.take(before.way)
        if len(laid) < len(wires):
            self._lay_others([wire for wire in wires if wire.id not in laid], boxes, lanes, laid)
        self._laid = laid
        return {wire.id: laid[wire.id].whole for wire in wires}

    def _lay_others(
        self, wires: Sequence[Wire[Any]], boxes: Sequence[Box], lanes: Lanes, laid: dict[Hashable, _Laid]
    ) -> None:
        obstacles = Obstacles([box.grown(CLEAR) for box in boxes])
        for wire in sorted(wires, key=order):
            way = beside(best(wire, obstacles), obstacles, lanes, wire.late)
            lanes.take(way)
            laid[wire.id] = _laid(wire, way)


def _passes(laid: _Laid, boxes: Obstacles, within: float) -> bool:
    """Return whether a cable passes a box within a distance."""
    far = within + 0.01
    left, top, right, bottom = laid.room
    if not boxes.meeting(left - within, top - within, right + far, bottom + far):
        return False
    return any(
        boxes.meeting(min(a.x, b.x) - within, min(a.y, b.y) - within, max(a.x, b.x) + far, max(a.y, b.y) + far)
        for a, b in pairwise(laid.way)
    )
