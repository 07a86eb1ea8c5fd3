"""The ways of the cables over the sheet, as dressed by a tidy hand: pure arithmetic.

Every way is orthogonal. It leaves a port straight, turns as little as it can, keeps
out of cards where that is simple, and lies beside other cables, not on them.
"""

from __future__ import annotations

import itertools
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Generic, TypeVar

from msgspec import Struct

from app.canvas.layout import Box, Point, Side
from app.canvas.obstacles import CLEAR, Obstacles, Segments

STUB = 16.0
LANE = 7.0
ASIDE = 7.0
TURN_COST = 26.0
MOST = 24
"""How many lanes, and how many columns, are tried beside the cards that suggest them, the nearest first."""

_OUT: Mapping[Side, tuple[int, int]] = {"top": (0, -1), "bottom": (0, 1), "left": (-1, 0), "right": (1, 0)}
_NUDGES = (0, 1, 2, 3, -1, -2, -3, 4, 5, 6, -4, -5, -6, 7, 8, 9, 10, 11, 12, -7, -8)
FIELD = 420.0
"""How far round its two ends a cable looks for a way."""


Way = tuple[Point, ...]
Ends = tuple[Point, Point, Point, Point]
"""A wire's first face, the place before it, the place before its last face, and that face."""


Name = TypeVar("Name", bound=Hashable)


class Wire(Struct, Generic[Name], frozen=True):
    """A cable to be laid: two faces, the edges they lie on, and fixed points at its far end.

    ``late`` asks for turns near the far end, as for cables to the house line.
    """

    id: Name
    start: Point
    start_side: Side
    end: Point
    end_side: Side
    tail: Way = ()
    late: bool = False


def lay(wires: Sequence[Wire[Name]], cards: Iterable[Box]) -> dict[Name, Way]:
    """Return a way for every wire, laid in the order that crosses least."""
    obstacles = Obstacles([box.grown(CLEAR) for box in cards])
    lanes = Lanes()
    ways: dict[Name, Way] = {}
    for wire in sorted(wires, key=order):
        way = beside(best(wire, obstacles), obstacles, lanes, wire.late)
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


def plain_ways(wires: Sequence[Wire[Name]]) -> dict[Name, Way]:
    """Return the plainest way of every wire, side by side but with no eye for cards: for cables in the hand."""
    ways = {}
    for number, wire in enumerate(wires):
        _, a, b, _ = ends_of(wire)
        shift = (number % 12) * LANE
        y = b.y - shift if wire.late else (a.y + b.y) / 2 + shift - 5 * LANE
        ways[wire.id] = tidy((wire.start, a, Point(a.x, y), Point(b.x, y), b, wire.end, *wire.tail))
    return ways


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


def order(wire: Wire[Name]) -> tuple[float, ...]:
    """Lay short drops first; of those going right the rightmost first, going left the leftmost.

    Late ones the other way about: they are stacked upwards from the house line.
    """
    shift = wire.end.x - wire.start.x
    away = wire.start.x if (shift < 0) != wire.late else -wire.start.x
    return (abs(shift) > 0.5, wire.late, shift < 0, round(wire.start.y), away)


def _stub(at: Point, side: Side) -> Point:
    dx, dy = _OUT[side]
    return Point(at.x + dx * STUB, at.y + dy * STUB)


def best(wire: Wire[Name], obstacles: Obstacles) -> Way:
    """Return the cheapest way that crosses no card, else the one that crosses fewest.

    Ways of few turns are tried first; the others are only made where those fail.
    """
    ends = ends_of(wire)
    xs, ys = [point.x for point in ends], [point.y for point in ends]
    bits = obstacles.meeting(*Box(min(xs), min(ys), max(xs), max(ys)).grown(FIELD))
    known: Segments = {}
    found: Way = ()
    fewest = 10_000
    for ways in _candidates(wire, ends, obstacles, bits):
        for way in sorted(ways, key=_cost):
            hits = obstacles.hits(way, bits, known, fewest)
            if hits < fewest:
                found, fewest = way, hits
                if hits == 0:
                    return tidy(found)
    return tidy(found)


def ends_of(wire: Wire[Name]) -> Ends:
    """Return where a wire begins and ends, each with the place straight before it."""
    return wire.start, _stub(wire.start, wire.start_side), _stub(wire.end, wire.end_side), wire.end


def _candidates(wire: Wire[Name], ends: Ends, obstacles: Obstacles, bits: int) -> Iterator[list[Way]]:
    """Yield ways in batches, from the plainest, which no card suggests, to those that go round things."""
    first, a, b, last = ends
    upright = _upright(wire.start_side) and _upright(wire.end_side)
    plain = [(first, last)] if upright and abs(first.x - last.x) < 0.5 else []
    lanes, columns = _own_lanes(a, b, late=wire.late), [(a.x + b.x) / 2, a.x, b.x]
    own = _around_a_corner(ends, lanes, columns)
    dearest = min(_cost(own[0]), _cost(own[len(lanes)])) + 0.01
    yield [*plain, *(way for way in own if _cost(way) <= dearest)]
    near = obstacles.named(bits)
    lanes += _lanes_between(a, b, late=wire.late, obstacles=near)
    columns += _columns_between(a, b, near)
    yield _around_a_corner(ends, lanes, columns)
    stairs = _stairs(wire, obstacles, bits) if upright else None
    if stairs is not None:
        yield [stairs]
    pairs = [(x, y) for y in lanes[:8] for x in columns[:14]]
    yield [
        *((first, a, Point(a.x, y), Point(x, y), Point(x, b.y), b, last) for x, y in pairs),
        *((first, a, Point(x, a.y), Point(x, y), Point(b.x, y), b, last) for x, y in pairs),
    ]


def _around_a_corner(ends: Ends, lanes: Sequence[float], columns: Sequence[float]) -> list[Way]:
    first, a, b, last = ends
    return [
        *((first, a, Point(a.x, y), Point(b.x, y), b, last) for y in lanes),
        *((first, a, Point(x, a.y), Point(x, b.y), b, last) for x in columns),
    ]


def _stairs(wire: Wire[Name], obstacles: Obstacles, among: int) -> Way | None:
    """Return a way down past one card after another, each on its nearer side; None if there is none."""
    here, goal = _stub(wire.start, wire.start_side), _stub(wire.end, wire.end_side)
    if wire.start_side != "bottom" or wire.end_side != "top" or here.y >= goal.y:
        return None
    way = [wire.start, here]
    for _ in range(24):
        end = Point(here.x, goal.y)
        ahead = obstacles.named(obstacles.meeting(here.x, here.y, here.x, end.y) & among)
        block = min(ahead, key=lambda box: box.top, default=None)
        if block is None:
            return (*way, end, goal, wire.end)
        lane = max(here.y, block.top - LANE)
        sides = [Point(x, lane) for x in (block.left - ASIDE, block.right + ASIDE)]
        turns = [(side, (Point(here.x, lane), side, Point(side.x, block.bottom))) for side in sides]
        open_sides = [side for side, turn in turns if obstacles.hits(turn, among, {}) == 0]
        step = min(open_sides, key=lambda side: abs(side.x - here.x) + abs(side.x - goal.x), default=None)
        if step is None:
            return None
        here = Point(step.x, block.bottom)
        way += [Point(way[-1].x, lane), step, here]
    return None


def _upright(side: Side) -> bool:
    return side in ("top", "bottom")


def _own_lanes(a: Point, b: Point, *, late: bool) -> list[float]:
    return [b.y - LANE, a.y] if late else [(a.y + b.y) / 2, b.y, a.y]


def _lanes_between(a: Point, b: Point, *, late: bool, obstacles: Sequence[Box]) -> list[float]:
    middle = (a.y + b.y) / 2
    low, high = min(a.y, b.y) - 1, max(a.y, b.y) + 1
    goal = b.y if late else middle
    edges = {edge for box in obstacles for edge in (box.top - ASIDE, box.bottom + ASIDE)}
    inside = sorted((y for y in edges if low <= y <= high), key=lambda y: (abs(y - goal), y))
    outside = sorted((y for y in edges if not low <= y <= high), key=lambda y: (abs(y - middle), y))
    return [*inside[:MOST], *outside[:6]]


def _columns_between(a: Point, b: Point, obstacles: Sequence[Box]) -> list[float]:
    edges = {edge for box in obstacles for edge in (box.left - ASIDE, box.right + ASIDE)}
    return sorted(edges, key=lambda x: (abs(x - a.x) + abs(x - b.x), x))[:MOST]


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


def beside(way: Way, obstacles: Obstacles, lanes: Lanes, late: bool) -> Way:
    """Return the way with its inner stretches shifted beside those of other cables."""
    before = None
    known: Segments = {}
    for number in range(1, len(way) - 2):
        for step in _NUDGES:
            shifted = _shifted(way, number, step * (-LANE if late else LANE))
            if shifted is None or lanes.is_taken(shifted[number], shifted[number + 1]):
                continue
            if step == 0:
                break
            before = obstacles.hits(way, obstacles.all, known) if before is None else before
            hits = obstacles.hits(shifted, obstacles.all, known, before + 1)
            if hits <= before:
                way, before = shifted, hits
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


class Lanes:
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
