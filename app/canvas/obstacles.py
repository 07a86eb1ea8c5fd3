"""Boxes a cable keeps out of, found by four binary searches whatever their number. No painting, no Qt.

Each box is one bit. For each edge the boxes are sorted once, and the bits of all up
to a place are kept as one whole number; the boxes a rectangle meets are then three
``and`` operations.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import accumulate, pairwise
from operator import or_

from app.canvas.layout import Box, Point

CLEAR = 9.0
"""Distance kept from a card."""

_TOUCH = 0.01

Segments = dict[tuple[Point, Point], int]
"""How many boxes each stretch meets, as far as it has been asked."""


class Obstacles:
    """Some boxes, each known by its bit."""

    def __init__(self, boxes: Sequence[Box]) -> None:
        self.boxes = tuple(boxes)
        self.all = (1 << len(self.boxes)) - 1
        self._lefts, self._left_of = _up_to([box.left for box in self.boxes])
        self._tops, self._above = _up_to([box.top for box in self.boxes])
        self._rights, ended = _up_to([box.right for box in self.boxes])
        self._right_of = [self.all & ~bits for bits in ended]
        self._bottoms, ended = _up_to([box.bottom for box in self.boxes])
        self._below = [self.all & ~bits for bits in ended]

    def meeting(self, left: float, top: float, right: float, bottom: float) -> int:
        """Return the bits of the boxes a rectangle overlaps; it may be a line."""
        return (
            self._left_of[bisect_left(self._lefts, right)]
            & self._right_of[bisect_right(self._rights, left)]
            & self._above[bisect_left(self._tops, bottom)]
            & self._below[bisect_right(self._bottoms, top)]
        )

    def named(self, bits: int) -> list[Box]:
        """Return the boxes of some bits, in their order."""
        found = []
        while bits:
            low = bits & -bits
            found.append(self.boxes[low.bit_length() - 1])
            bits ^= low
        return found

    def hits(self, way: Sequence[Point], among: int, known: Segments, enough: int = 10_000) -> int:
        """Return how many times a way runs through a box of ``among``, counting no further than about ``enough``.

        Its two ends lie at cards and are free. ``known`` remembers inner stretches from way to way.
        """
        count, last = 0, len(way) - 2
        for number, (a, b) in enumerate(pairwise(way)):
            if 0 < number < last:
                met = known.get((a, b))
                if met is None:
                    met = known[a, b] = (self._on_stretch(a, b) & among).bit_count()
                count += met
            else:
                count += (self._on_stretch(*_trimmed(a, b, number == 0, number == last)) & among).bit_count()
            if count >= enough:
                return count
        return count

    def _on_stretch(self, a: Point, b: Point) -> int:
        left, right = (a.x, b.x) if a.x <= b.x else (b.x, a.x)
        top, bottom = (a.y, b.y) if a.y <= b.y else (b.y, a.y)
        return self.meeting(left, top, right + _TOUCH, bottom + _TOUCH)


def _up_to(edges: Sequence[float]) -> tuple[list[float], list[int]]:
    """Return edges in order, and for each count of them the bits of the boxes they belong to."""
    order = sorted(range(len(edges)), key=edges.__getitem__)
    return [edges[n] for n in order], [0, *accumulate((1 << n for n in order), or_)]


def _trimmed(a: Point, b: Point, first: bool, last: bool) -> tuple[Point, Point]:
    """Return a segment without the stub at a port."""
    length = abs(a.x - b.x) + abs(a.y - b.y)
    if length < 0.01:
        return a, b
    ux, uy = (b.x - a.x) / length, (b.y - a.y) / length
    cut = min(CLEAR + 1, length / 2 - 0.1 if first and last else length - 0.1)
    start = Point(a.x + ux * cut, a.y + uy * cut) if first else a
    end = Point(b.x - ux * cut, b.y - uy * cut) if last else b
    return start, end
