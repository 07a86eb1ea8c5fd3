"""The ways of the cables over the sheet, as dressed by a tidy hand: pure arithmetic.

Every way is orthogonal. It leaves a port straight, turns as little as it can, keeps
out of cards where that is simple, and lies beside other cables, not on them.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from app.canvas.layout import Box, Point, Side

STUB = 16.0
LANE = 7.0
CLEAR = 9.0
ASIDE = 7.0
TURN_COST = 26.0
_OUT: Mapping[Side, tuple[int, int]] = {"top": (0, -1), "bottom": (0, 1), "left": (-1, 0), "right": (1, 0)}
_NUDGES = (0, 1, 2, 3, -1, -2, -3, 4, 5, 6, -4, -5, -6, 7, 8, 9, 10, 11, 12, -7, -8)

Way = tuple[Point, ...]


@dataclass(frozen=True)
class Wire:
    """A cable to be laid: two faces, the edges they lie on, and fixed points at its far end.

    ``late`` asks for turns near the far end, as for cables to the house line.
    """

    id: str
    start: Point
    start_side: Side
    end: Point
    end_side: Side
    tail: Way = ()
    late: bool = False


def lay(wires: Sequence[Wire], cards: Iterable[Box]) -> dict[str, Way]:
    """Return a way for every wire, laid in the order that crosses least."""
    obstacles = [box.grown(CLEAR) for box in cards]
    lanes = _Lanes()
    ways: dict[str, Way] = {}
    for wire in sorted(wires, key=_order):
        way = _nudged(_best(wire, obstacles), obstacles, lanes, -1 if wire.late else 1)
        lanes.take(way)
        ways[wire.id] = tidy((*way, *wire.tail))
    return {wire.id: ways[wire.id] for wire in wires}


def straight_way(start: Point, side: Side, end: Point) -> Way:
    """Return a plain way to a loose end, for a cable still in the hand."""
    first = _stub(start, side)
    if side in ("left", "right"):
        return tidy((start, first, Point(first.x, end.y), end))
    middle = (first.y + end.y) / 2
    return tidy((start, first, Point(start.x, middle), Point(end.x, middle), end))


def tidy(points: Sequence[Point]) -> Way:
    """Return the points without repeats and without those on a straight line."""
    kept: list[Point] = []
    for point in points:
        if kept and abs(kept[-1].x - point.x) < 0.05 and abs(kept[-1].y - point.y) < 0.05:
            continue
        if len(kept) > 1 and _in_line(kept[-2], kept[-1], point):
            kept.pop()
        kept.append(point)
    return tuple(kept)


def _in_line(a: Point, b: Point, c: Point) -> bool:
    return (abs(a.x - b.x) < 0.05 and abs(b.x - c.x) < 0.05) or (abs(a.y - b.y) < 0.05 and abs(b.y - c.y) < 0.05)


def _order(wire: Wire) -> tuple[float, ...]:
    """Lay short drops first; of those going right the rightmost first, going left the leftmost.

    Late ones the other way about: they are stacked upwards from the house line.
    """
    shift = wire.end.x - wire.start.x
    away = wire.start.x if (shift < 0) != wire.late else -wire.start.x
    return (abs(shift) > 0.5, wire.late, shift < 0, round(wire.start.y), away)


def _stub(at: Point, side: Side) -> Point:
    dx, dy = _OUT[side]
    return Point(at.x + dx * STUB, at.y + dy * STUB)


def _best(wire: Wire, obstacles: Sequence[Box]) -> Way:
    """Return the cheapest way that crosses no card, else the one that crosses fewest.

    Ways of few turns are tried first; the others are only made where those fail.
    """
    near = _near(wire, obstacles)
    best: Way = ()
    fewest = 10_000
    for ways in _candidates(wire, near):
        for way in sorted(ways, key=_cost):
            hits = _hits(way, near, fewest)
            if hits < fewest:
                best, fewest = way, hits
                if hits == 0:
                    return tidy(best)
    return tidy(best)


def _near(wire: Wire, obstacles: Sequence[Box]) -> list[Box]:
    """Return the obstacles a sensible way could meet."""
    xs, ys = sorted((wire.start.x, wire.end.x)), sorted((wire.start.y, wire.end.y))
    field = Box(xs[0], ys[0], xs[1], ys[1]).grown(420)
    return [box for box in obstacles if box.meets(field)]


def _candidates(wire: Wire, obstacles: Sequence[Box]) -> Iterator[list[Way]]:
    """Yield ways in batches, from the plainest to those that go round things."""
    a, b = _stub(wire.start, wire.start_side), _stub(wire.end, wire.end_side)
    first, last = wire.start, wire.end
    upright = _upright(wire.start_side) and _upright(wire.end_side)
    if upright and abs(first.x - last.x) < 0.5:
        yield [(first, last)]
    lanes = _lanes_between(a, b, wire, obstacles)
    columns = _columns_between(a, b, obstacles)
    yield [
        *((first, a, Point(a.x, y), Point(b.x, y), b, last) for y in lanes),
        *((first, a, Point(x, a.y), Point(x, b.y), b, last) for x in columns),
    ]
    stairs = _stairs(wire, obstacles) if upright else None
    if stairs is not None:
        yield [stairs]
    pairs = [(x, y) for y in lanes[:8] for x in columns[:14]]
    yield [
        *((first, a, Point(a.x, y), Point(x, y), Point(x, b.y), b, last) for x, y in pairs),
        *((first, a, Point(x, a.y), Point(x, y), Point(b.x, y), b, last) for x, y in pairs),
    ]


def _stairs(wire: Wire, obstacles: Sequence[Box]) -> Way | None:
    """Return a way down past one card after another, each on its nearer side; None if there is none."""
    here, goal = _stub(wire.start, wire.start_side), _stub(wire.end, wire.end_side)
    if wire.start_side != "bottom" or wire.end_side != "top" or here.y >= goal.y:
        return None
    way = [wire.start, here]
    for _ in range(24):
        end = Point(here.x, goal.y)
        block = min(
            (box for box in obstacles if box.left < here.x < box.right and box.bottom > here.y and box.top < end.y),
            key=lambda box: box.top,
            default=None,
        )
        if block is None:
            return (*way, end, goal, wire.end)
        lane = max(here.y, block.top - LANE)
        sides = [Point(x, lane) for x in (block.left - ASIDE, block.right + ASIDE)]
        open_sides = [
            side for side in sides if _hits((Point(here.x, lane), side, Point(side.x, block.bottom)), obstacles) == 0
        ]
        step = min(open_sides, key=lambda side: abs(side.x - here.x) + abs(side.x - goal.x), default=None)
        if step is None:
            return None
        here = Point(step.x, block.bottom)
        way += [Point(way[-1].x, lane), step, here]
    return None


def _upright(side: Side) -> bool:
    return side in ("top", "bottom")


def _lanes_between(a: Point, b: Point, wire: Wire, obstacles: Sequence[Box]) -> list[float]:
    middle = (a.y + b.y) / 2
    lanes = [b.y - LANE, a.y] if wire.late else [middle, b.y, a.y]
    low, high = min(a.y, b.y) - 1, max(a.y, b.y) + 1
    edges = {edge for box in obstacles for edge in (box.top - ASIDE, box.bottom + ASIDE)}
    inside = sorted((y for y in edges if low <= y <= high), key=lambda y: abs(y - (b.y if wire.late else middle)))
    outside = sorted((y for y in edges if not low <= y <= high), key=lambda y: abs(y - middle))
    return [*lanes, *inside, *outside[:6]]


def _columns_between(a: Point, b: Point, obstacles: Sequence[Box]) -> list[float]:
    middle = (a.x + b.x) / 2
    edges = {edge for box in obstacles for edge in (box.left - ASIDE, box.right + ASIDE)}
    return [middle, a.x, b.x, *sorted(edges, key=lambda x: abs(x - a.x) + abs(x - b.x))]


def _cost(way: Way) -> float:
    """Return length and turns as one number; doubling back on oneself is dear."""
    total = 0.0
    before_x = before_y = 0.0
    for (ax, ay), (bx, by) in pairwise(way):
        x, y = bx - ax, by - ay
        if x == 0.0 and y == 0.0:
            continue
        total += abs(x) + abs(y)
        along = before_x * x + before_y * y
        if along < 0:
            total += 900
        elif along == 0:
            total += TURN_COST
        before_x, before_y = x, y
    return total


def _hits(way: Way, obstacles: Sequence[Box], enough: int = 10_000) -> int:
    """Return how many times a way runs through a card, counting no further than ``enough``.

    Its two ends lie at cards and are free.
    """
    count = 0
    last = len(way) - 2
    for number, (a, b) in enumerate(itertools.pairwise(way)):
        start, end = _trimmed(a, b, number == 0, number == last)
        left, right = (start.x, end.x) if start.x <= end.x else (end.x, start.x)
        top, bottom = (start.y, end.y) if start.y <= end.y else (end.y, start.y)
        for box in obstacles:
            if left < box.right and box.left < right + 0.01 and top < box.bottom and box.top < bottom + 0.01:
                count += 1
                if count >= enough:
                    return count
    return count


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


def _nudged(way: Way, obstacles: Sequence[Box], lanes: _Lanes, downwards: int) -> Way:
    """Return the way with its inner stretches shifted beside those of other cables."""
    for number in range(1, len(way) - 2):
        before = _hits(way, obstacles)
        for step in _NUDGES:
            shifted = _shifted(way, number, step * LANE * downwards)
            if shifted is None or lanes.is_taken(shifted[number], shifted[number + 1]):
                continue
            if step == 0 or _hits(shifted, obstacles, before + 1) <= before:
                way = shifted
                break
    return way


def _shifted(way: Way, number: int, by: float) -> Way | None:
    """Return the way with one stretch moved sideways, or None if a stub would turn back on itself."""
    a, b = way[number], way[number + 1]
    flat = abs(a.y - b.y) < 0.05
    moved = [Point(p.x, p.y + by) if flat else Point(p.x + by, p.y) for p in (a, b)]
    new = (*way[:number], *moved, *way[number + 2 :])
    for end, old_next, new_next in ((way[0], way[1], new[1]), (way[-1], way[-2], new[-2])):
        along = (old_next.x - end.x) * (new_next.x - end.x) + (old_next.y - end.y) * (new_next.y - end.y)
        if along <= 0 or abs(new_next.x - end.x) + abs(new_next.y - end.y) < STUB * 0.7:
            return None
    return new


class _Lanes:
    """The stretches already taken, found by their lane."""

    def __init__(self) -> None:
        self._flat: dict[int, list[tuple[float, float, float]]] = {}
        self._upright: dict[int, list[tuple[float, float, float]]] = {}

    def take(self, way: Way) -> None:
        """Note every stretch of a way as taken."""
        for a, b in itertools.pairwise(way):
            table, lane, span = self._place(a, b)
            table.setdefault(int(lane // LANE), []).append((lane, *span))

    def is_taken(self, a: Point, b: Point) -> bool:
        """Return whether another cable lies closer than a lane beside this stretch."""
        table, lane, (low, high) = self._place(a, b)
        bucket = int(lane // LANE)
        return any(
            abs(other - lane) < LANE - 1.5 and low < last + LANE and first < high + LANE
            for near in (bucket - 1, bucket, bucket + 1)
            for other, first, last in table.get(near, ())
        )

    def _place(
        self, a: Point, b: Point
    ) -> tuple[dict[int, list[tuple[float, float, float]]], float, tuple[float, float]]:
        if abs(a.y - b.y) < 0.05:
            return self._flat, a.y, (min(a.x, b.x), max(a.x, b.x))
        return self._upright, a.x, (min(a.y, b.y), max(a.y, b.y))
