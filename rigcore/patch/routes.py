"""The way of a cable over the stage plan: legs parallel to the stage's edges, round what stands in the way.

Every leg is parallel to an edge, as a tidy hand lays it, so what runs along an edge is crossed at right
angles. A metre along the edge of the stage counts as one, a metre over the open floor, where people walk, as
a quarter more: a way along the edge is taken if it is that little longer. Plan only: heights and slack are
for ``lengths``.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property

from msgspec import Struct

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, lower, right and upper bound in m; a point is a box without size."""

OPEN_FLOOR = 1.25
"""What a metre over the open floor counts beside one along the stage's edge (common practice, no source)."""

CORNER_M = 0.2
"""What a corner counts, in m: of two ways alike the straighter one is taken."""

CLEARANCE_M = 0.1
"""How far a cable keeps from what it is laid round, in m, where there is room."""


class Floor(Struct, frozen=True, dict=True):
    """The stage, its width across and depth in m, and the boxes no cable is laid through."""

    width_m: float
    depth_m: float
    boxes: tuple[Box, ...] = ()

    @cached_property
    def roomy(self) -> tuple[Box, ...]:
        """The boxes with the room a cable keeps from them, in the same order."""
        room = CLEARANCE_M
        return tuple(
            (_exact(left - room), _exact(low - room), _exact(right + room), _exact(high + room))
            for left, low, right, high in self.boxes
        )


def route(floor: Floor, one: Box, other: Box) -> tuple[Point, ...]:
    """Return the way of a cable between two footprints, from edge to edge, as corner points in m.

    Where what stands around leaves no way, the cable is laid straight through (under it).

    Parameters
    ----------
    floor
        The stage and what stands on it; the two footprints may be among its boxes.
    one, other
        The footprints; what covers the end of the way is not in its way.

    Examples
    --------
    >>> route(Floor(8.0, 6.0), (-1.0, 3.0, -0.5, 3.5), (1.0, 3.0, 2.0, 4.0))
    ((-0.5, 3.25), (1.0, 3.25))
    >>> length_m(route(Floor(8.0, 6.0, ((0.0, 3.0, 0.5, 3.5),)), (-1.0, 3.0, -0.5, 3.5), (1.0, 3.0, 2.0, 4.0)))
    2.2
    """
    start, end = _gap(one, other)
    if start == end:
        return (start,)
    met: list[Box] = []
    if not _edge_pays(floor, start, end):
        for way in _plain_ways(floor, start, end):
            hit = _in_the_way(floor, way)
            if not hit:
                return way
            met += [box for box in hit if box not in met]
    while True:
        found = _search(floor, start, end, met)
        if not found:
            return _plain_ways(floor, start, end)[0]
        hit = _in_the_way(floor, found)
        if not hit:
            return found
        met += hit


def length_m(way: Sequence[Point]) -> float:
    """Return the length of a way in m, rounded to a tenth of a millimetre."""
    legs = itertools.pairwise(way)
    return round(sum(abs(x2 - x1) + abs(y2 - y1) for (x1, y1), (x2, y2) in legs), 4)


def nearest_on(way: Sequence[Point], box: Box) -> tuple[Point, float]:
    """Return the point of a way that is nearest to a footprint, and how far along the way it lies, in m."""
    middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    best, best_away, best_along, along = way[0], math.inf, 0.0, 0.0
    for (x1, y1), (x2, y2) in itertools.pairwise(way):
        point = (min(max(middle[0], min(x1, x2)), max(x1, x2)), min(max(middle[1], min(y1, y2)), max(y1, y2)))
        away = abs(point[0] - middle[0]) + abs(point[1] - middle[1])
        if away < best_away:
            best, best_away, best_along = point, away, along + abs(point[0] - x1) + abs(point[1] - y1)
        along += abs(x2 - x1) + abs(y2 - y1)
    return best, best_along


def between(way: Sequence[Point], start_m: float, end_m: float) -> tuple[Point, ...]:
    """Return the part of a way between two distances along it, in m, in the direction asked for.

    >>> between(((0.0, 0.0), (2.0, 0.0), (2.0, 2.0)), 3.0, 1.0)
    ((2.0, 1.0), (2.0, 0.0), (1.0, 0.0))
    """
    if start_m > end_m:
        return tuple(reversed(between(way, end_m, start_m)))
    points, along = [_at(way, start_m)], 0.0
    for (x1, y1), (x2, y2) in itertools.pairwise(way):
        along += abs(x2 - x1) + abs(y2 - y1)
        if start_m < along < end_m:
            points.append((x2, y2))
    return joined_up([*points, _at(way, end_m)])


def joined_up(points: Iterable[Point]) -> tuple[Point, ...]:
    """Return points without repetitions and without those that lie on a straight leg."""
    kept: list[Point] = []
    for point in points:
        if kept and kept[-1] == point:
            continue
        if len(kept) > 1 and _is_straight(kept[-2], kept[-1], point):
            kept.pop()
        kept.append(point)
    return tuple(kept)


def _is_straight(one: Point, two: Point, three: Point) -> bool:
    for axis in (0, 1):
        if one[axis] == two[axis] == three[axis]:
            return (two[1 - axis] - one[1 - axis]) * (three[1 - axis] - two[1 - axis]) > 0
    return False


def _at(way: Sequence[Point], along_m: float) -> Point:
    for (x1, y1), (x2, y2) in itertools.pairwise(way):
        leg = abs(x2 - x1) + abs(y2 - y1)
        if along_m <= leg:
            part = along_m / leg if leg else 0.0
            return (x1 + (x2 - x1) * part, y1 + (y2 - y1) * part)
        along_m -= leg
    return way[-1]


def _gap(one: Box, other: Box) -> tuple[Point, Point]:
    """Return where a way between two footprints leaves the one and meets the other."""
    x1, x2 = _facing(one[0], one[2], other[0], other[2])
    y1, y2 = _facing(one[1], one[3], other[1], other[3])
    return (_exact(x1), _exact(y1)), (_exact(x2), _exact(y2))


def _exact(place_m: float) -> float:
    """Return a place to a tenth of a millimetre, so that what lies on one line is on one line."""
    return round(place_m, 4)


def _facing(low: float, high: float, other_low: float, other_high: float) -> tuple[float, float]:
    if high < other_low:
        return high, other_low
    if other_high < low:
        return low, other_high
    middle = (max(low, other_low) + min(high, other_high)) / 2
    return middle, middle


def _in_the_way(floor: Floor, way: Sequence[Point]) -> list[Box]:
    """Return the boxes a way runs through, with room round them.

    Where an end of the way is nearer than that, the bare box counts; a box that covers an end does not.
    """
    legs = [(min(a, c), min(b, d), max(a, c), max(b, d)) for (a, b), (c, d) in itertools.pairwise(way)]
    found = []
    for number, roomy in enumerate(floor.roomy):
        if not _is_crossed(roomy, legs):
            continue
        left, low, right, high = floor.boxes[number]
        bare = (_exact(left), _exact(low), _exact(right), _exact(high))
        if not (_inside(roomy, way[0]) or _inside(roomy, way[-1])):
            found.append(roomy)
        elif not (_inside(bare, way[0]) or _inside(bare, way[-1])) and _is_crossed(bare, legs):
            found.append(bare)
    return found


def _is_crossed(box: Box, legs: Iterable[Box]) -> bool:
    left, low, right, high = box
    return any(x1 < right and left < x2 and y1 < high and low < y2 for x1, y1, x2, y2 in legs)


def _inside(box: Box, point: Point) -> bool:
    return box[0] < point[0] < box[2] and box[1] < point[1] < box[3]


def _edge_pays(floor: Floor, start: Point, end: Point) -> bool:
    """Return whether a way along the stage's edges counts less than the plain one, were the floor empty."""
    apart = abs(end[0] - start[0]) + abs(end[1] - start[1])
    offs, end_offs = _offs(floor, start), _offs(floor, end)
    if min(offs) + min(end_offs) >= apart:
        return False
    for number, off in enumerate(offs):
        for other, end_off in enumerate(end_offs):
            open_m = off + end_off
            if open_m < apart:
                along_m = _round_the_edge_m(floor, (number, start), (other, end))
                if OPEN_FLOOR * open_m + along_m + CORNER_M < OPEN_FLOOR * apart:
                    return True
    return False


def _offs(floor: Floor, point: Point) -> tuple[float, float, float, float]:
    """Return how far a point is from the downstage, stage left, upstage and stage right edge, in m."""
    x, y = point
    half = floor.width_m / 2
    return abs(y), abs(half - x), abs(floor.depth_m - y), abs(half + x)


def _round_the_edge_m(floor: Floor, one: tuple[int, Point], other: tuple[int, Point]) -> float:
    """Return the shorter way round the edge between two points projected on two of its sides, in m."""
    apart = abs(_round_m(floor, *one) - _round_m(floor, *other))
    return min(apart, 2 * (floor.width_m + floor.depth_m) - apart)


def _round_m(floor: Floor, side: int, point: Point) -> float:
    """Return where a point projected on a side lies, counted round the edge from the downstage right corner, in m."""
    half = floor.width_m / 2
    x, y = min(max(point[0], -half), half), min(max(point[1], 0.0), floor.depth_m)
    if side in (0, 2):
        return x + half if side == 0 else floor.width_m + floor.depth_m + half - x
    return floor.width_m + y if side == 1 else 2 * floor.width_m + 2 * floor.depth_m - y


def _plain_ways(floor: Floor, start: Point, end: Point) -> list[tuple[Point, ...]]:
    """Return the ways with at most one corner, the one whose corner is nearer to an edge first."""
    if start[0] == end[0] or start[1] == end[1]:
        return [(start, end)]
    turns = sorted(((end[0], start[1]), (start[0], end[1])), key=lambda corner: min(_offs(floor, corner)))
    return [(start, corner, end) for corner in turns]


def _search(floor: Floor, start: Point, end: Point, boxes: Sequence[Box]) -> tuple[Point, ...]:
    """Return the way that counts least round some boxes, by A* on the lines through their sides; () if none.

    The best way with straight legs always lies on the lines through the ends, the sides and the edges.
    """
    half = floor.width_m / 2
    xs = sorted({start[0], end[0], -half, half, *(x for box in boxes for x in (box[0], box[2]))})
    ys = sorted({start[1], end[1], 0.0, floor.depth_m, *(y for box in boxes for y in (box[1], box[3]))})
    grid = _Grid(floor, xs, ys, boxes)
    here, goal = (xs.index(start[0]), ys.index(start[1])), (xs.index(end[0]), ys.index(end[1]))
    cost: dict[_State, float] = {(*here, axis): 0.0 for axis in (0, 1)}
    came: dict[_State, _State] = {}
    ahead = [(grid.at_least(state, goal), state) for state in cost]
    done: set[_State] = set()
    while ahead:
        _, state = heapq.heappop(ahead)
        if state in done:
            continue
        done.add(state)
        if state[:2] == goal:
            return _back(came, state, grid)
        for after, counts in grid.steps(state):
            total = cost[state] + counts
            if total < cost.get(after, math.inf):
                cost[after], came[after] = total, state
                heapq.heappush(ahead, (total + grid.at_least(after, goal), after))
    return ()


_State = tuple[int, int, int]
"""Column, row, and whether the last leg lay across the stage (0) or along its depth (1)."""


class _Grid:
    """The lines a way may lie on, what each leg between two crossings counts, and which are barred."""

    def __init__(self, floor: Floor, xs: list[float], ys: list[float], boxes: Sequence[Box]) -> None:
        self.xs, self.ys = xs, ys
        half, depth = floor.width_m / 2, floor.depth_m
        self.edge_x, self.edge_y = [abs(x) == half for x in xs], [y in (0.0, depth) for y in ys]
        self.on_x, self.on_y = [-half <= x < half for x in xs], [0.0 <= y < depth for y in ys]
        self.off_x, self.off_y = [abs(half - abs(x)) for x in xs], [min(abs(y), abs(depth - y)) for y in ys]
        self.barred: set[_State] = set()
        for left, low, right, high in boxes:
            columns, rows = range(xs.index(left), xs.index(right)), range(ys.index(low), ys.index(high))
            self.barred.update((i, j, 0) for i in columns for j in rows[1:])
            self.barred.update((i, j, 1) for i in columns[1:] for j in rows)

    def steps(self, state: _State) -> Iterator[tuple[_State, float]]:
        """Yield the crossings one leg further, each with what the leg counts, a corner included."""
        i, j, axis = state
        corner = (CORNER_M if axis else 0.0, 0.0 if axis else CORNER_M)
        for low, to in ((i, i + 1), (i - 1, i - 1)):
            if 0 <= to < len(self.xs) and (low, j, 0) not in self.barred:
                edge = self.edge_y[j] and self.on_x[low]
                yield (to, j, 0), (self.xs[low + 1] - self.xs[low]) * (1.0 if edge else OPEN_FLOOR) + corner[0]
        for low, to in ((j, j + 1), (j - 1, j - 1)):
            if 0 <= to < len(self.ys) and (i, low, 1) not in self.barred:
                edge = self.edge_x[i] and self.on_y[low]
                yield (i, to, 1), (self.ys[low + 1] - self.ys[low]) * (1.0 if edge else OPEN_FLOOR) + corner[1]

    def at_least(self, state: _State, goal: tuple[int, int]) -> float:
        """Return what the rest of a way counts at least.

        A way that never meets an edge counts OPEN_FLOOR times its length; one that does is open at least from
        both ends to the edge.
        """
        i, j, axis = state
        across, deep = abs(self.xs[i] - self.xs[goal[0]]), abs(self.ys[j] - self.ys[goal[1]])
        open_m = min(self.off_x[i], self.off_y[j]) + min(self.off_x[goal[0]], self.off_y[goal[1]])
        rest = across + deep + (OPEN_FLOOR - 1.0) * min(across + deep, open_m)
        return rest + (CORNER_M if (across if axis else deep) else 0.0)


def _back(came: Mapping[_State, _State], state: _State, grid: _Grid) -> tuple[Point, ...]:
    points = [(grid.xs[state[0]], grid.ys[state[1]])]
    while state in came:
        state = came[state]
        points.append((grid.xs[state[0]], grid.ys[state[1]]))
    return joined_up(reversed(points))
