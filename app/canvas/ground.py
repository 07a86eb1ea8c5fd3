"""What is taken on a sheet: boxes found by where they lie, and lines that pass through boxes. No painting, no Qt."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import ceil, hypot

from app.canvas.layout import Box, Point

Line = tuple[Point, Point]

CELL = 64.0
"""Usual side of a cell; larger where boxes are."""


class Ground:
    """Boxes that are taken, each with an owner, kept by the cells they touch."""

    def __init__(self, boxes: Iterable[tuple[Box, str]] = (), cell: float = CELL) -> None:
        self._cell = cell
        self._cells: dict[tuple[int, int], list[tuple[Box, str]]] = {}
        for box, owner in boxes:
            self.take(box, owner)

    def take(self, box: Box, owner: str = "") -> None:
        """Note a box as taken."""
        for cell in self._cells_of(box):
            self._cells.setdefault(cell, []).append((box, owner))

    def free(self, box: Box, owner: str = "") -> None:
        """Give back what an owner has taken where a box lies."""
        for cell in self._cells_of(box):
            self._cells[cell] = [one for one in self._cells.get(cell, ()) if one != (box, owner)]

    def is_taken(self, box: Box, but: str | None = None) -> bool:
        """Return whether a box meets any that is taken; those of one owner may be left out."""
        for cell in self._cells_of(box):
            for other, owner in self._cells.get(cell, ()):
                if (but is None or owner != but) and box.meets(other):
                    return True
        return False

    def _cells_of(self, box: Box) -> Iterator[tuple[int, int]]:
        size = self._cell
        for column in range(int(box.left // size), int(box.right // size) + 1):
            for row in range(int(box.top // size), int(box.bottom // size) + 1):
                yield column, row


def around(at: tuple[float, float], width: float, height: float) -> Box:
    """Return the box of a size about a point."""
    return Box(at[0] - width / 2, at[1] - height / 2, at[0] + width / 2, at[1] + height / 2)


def middle(box: Box) -> Point:
    """Return the middle of a box."""
    return Point((box.left + box.right) / 2, (box.top + box.bottom) / 2)


def moved(box: Box, by: tuple[float, float]) -> Box:
    """Return the box elsewhere."""
    return Box(box.left + by[0], box.top + by[1], box.right + by[0], box.bottom + by[1])


def along(line: Line, step: float = 8.0) -> Iterator[Point]:
    """Yield points of a line, a step apart at most, its ends among them."""
    (x, y), (end_x, end_y) = line
    count = max(1, ceil(hypot(end_x - x, end_y - y) / step))
    for place in range(count + 1):
        share = place / count
        yield Point(x + (end_x - x) * share, y + (end_y - y) * share)


def cuts(line: Line, box: Box) -> bool:
    """Return whether a line passes through the inside of a box.

    >>> cuts((Point(0, 5), Point(20, 5)), Box(5, 0, 10, 10)), cuts((Point(0, 0), Point(20, 0)), Box(5, 0, 10, 10))
    (True, False)
    """
    (x, y), (end_x, end_y) = line
    low, high = 0.0, 1.0
    for start, delta, least, most in ((x, end_x - x, box.left, box.right), (y, end_y - y, box.top, box.bottom)):
        if abs(delta) < 1e-9:
            if not least < start < most:
                return False
            continue
        first, second = (least - start) / delta, (most - start) / delta
        low, high = max(low, min(first, second)), min(high, max(first, second))
    return high - low > 1e-6


def meet(one: Line, other: Line) -> bool:
    """Return whether two lines cross.

    >>> meet((Point(0, 0), Point(9, 9)), (Point(0, 9), Point(9, 0)))
    True
    """
    return _side(one, other[0]) * _side(one, other[1]) < 0 and _side(other, one[0]) * _side(other, one[1]) < 0


def _side(line: Line, point: Point) -> float:
    (x, y), (end_x, end_y) = line
    return (end_x - x) * (point.y - y) - (end_y - y) * (point.x - x)


def leader(body: Box, words: Box) -> Line:
    """Return the short line from a thing to the words that stand apart from it."""
    at = middle(body)
    end = Point(max(words.left, min(words.right, at.x)), max(words.top, min(words.bottom, at.y)))
    start = Point(max(body.left, min(body.right, end.x)), max(body.top, min(body.bottom, end.y)))
    return start, end
