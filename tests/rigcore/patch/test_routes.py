"""Ways over the stage plan: straight legs, round what stands there, along the edge where that is little longer."""

from __future__ import annotations

import itertools
import math

import networkx as nx
import pytest
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st

from rigcore.patch.routes import (
    CLEARANCE_M,
    CORNER_M,
    OPEN_FLOOR,
    Box,
    Floor,
    Point,
    between,
    joined_up,
    length_m,
    nearest_on,
    route,
)

STAGE = Floor(8.0, 6.0)

_tenths = st.integers(-39, 39).map(lambda n: n / 10)
_deep = st.integers(1, 59).map(lambda n: n / 10)
_points = st.tuples(_tenths, _deep)
_near_points = st.tuples(st.integers(-19, 19).map(lambda n: n / 10), st.integers(1, 29).map(lambda n: n / 10))


@st.composite
def _boxes(draw: st.DrawFn, corners: st.SearchStrategy[Point]) -> Box:
    left, low = draw(corners)
    return left, low, round(left + draw(st.integers(2, 20)) / 10, 1), round(low + draw(st.integers(2, 20)) / 10, 1)


def _spot(point: Point) -> Box:
    return (*point, *point)


def _inside(box: Box, point: Point) -> bool:
    return box[0] < point[0] < box[2] and box[1] < point[1] < box[3]


def _crosses(way: tuple[Point, ...], box: Box) -> bool:
    return any(
        min(x1, x2) < box[2] and box[0] < max(x1, x2) and min(y1, y2) < box[3] and box[1] < max(y1, y2)
        for (x1, y1), (x2, y2) in itertools.pairwise(way)
    )


def test_alongside_it_goes_straight() -> None:
    assert route(STAGE, (-1.0, 3.0, -0.5, 3.5), (1.0, 3.0, 2.0, 3.5)) == ((-0.5, 3.25), (1.0, 3.25))


def test_what_touches_needs_no_way() -> None:
    way = route(STAGE, (0.0, 2.0, 1.0, 3.0), (0.5, 2.5, 0.7, 2.7))
    assert len(way) == 1
    assert length_m(way) == 0.0


def test_round_a_riser_and_not_over_it() -> None:
    riser = (-1.0, 2.0, 1.0, 4.0)
    way = route(Floor(8.0, 6.0, (riser,)), _spot((-2.0, 3.0)), _spot((2.0, 3.0)))
    assert not _crosses(way, riser)
    assert length_m(way) == pytest.approx(4.0 + 2 * (1.0 + CLEARANCE_M))


def test_who_stands_on_the_riser_does_not_go_round_it() -> None:
    riser = (-1.0, 2.0, 1.0, 4.0)
    assert length_m(route(Floor(8.0, 6.0, (riser,)), _spot((0.0, 3.0)), _spot((3.0, 3.0)))) == 3.0


def test_along_the_edge_where_that_is_little_longer() -> None:
    """7 m across, 0.5 m from the upstage edge: 1 m more on open floor, 7 m of it saved: 8.25 against 8.75."""
    way = route(STAGE, _spot((-3.5, 5.5)), _spot((3.5, 5.5)))
    assert way == ((-3.5, 5.5), (-3.5, 6.0), (3.5, 6.0), (3.5, 5.5))
    near = route(STAGE, _spot((-0.5, 5.5)), _spot((0.5, 5.5)))
    assert near == ((-0.5, 5.5), (0.5, 5.5))


def test_walled_in_it_goes_under() -> None:
    walls = ((-1.0, 2.0, 1.0, 2.2), (-1.0, 3.8, 1.0, 4.0), (-1.0, 2.0, -0.8, 4.0), (0.8, 2.0, 1.0, 4.0))
    way = route(Floor(8.0, 6.0, walls), _spot((0.0, 3.0)), _spot((3.0, 3.0)))
    assert way == ((0.0, 3.0), (3.0, 3.0))


@settings(max_examples=300, deadline=None)
@given(_points, _points, st.lists(_boxes(_points), max_size=6))
def test_ways_are_right_angled_clear_and_never_shorter_than_the_plain_one(
    one: Point, other: Point, boxes: list[Box]
) -> None:
    way = route(Floor(8.0, 6.0, tuple(boxes)), _spot(one), _spot(other))
    assert (way[0], way[-1]) == (one, other)
    for (x1, y1), (x2, y2) in itertools.pairwise(way):
        assert (x1 == x2) != (y1 == y2)
    assert length_m(way) >= abs(one[0] - other[0]) + abs(one[1] - other[1]) - 1e-4
    plain = {(one, corner, other) for corner in ((one[0], other[1]), (other[0], one[1]))} | {(one, other), (one,)}
    for box in boxes:
        if not (_inside(box, one) or _inside(box, other)):
            assert not _crosses(way, box) or way in plain  # only where there is no way round is it laid under


@settings(max_examples=60, deadline=None, phases=(Phase.explicit, Phase.reuse, Phase.generate))
@given(_near_points, _near_points, st.lists(_boxes(_near_points), max_size=3))
def test_no_other_way_on_a_fine_grid_counts_less(one: Point, other: Point, boxes: list[Box]) -> None:
    """Against networkx's shortest path on a grid of 10 cm, corners counted there by doubling the crossings."""
    covered = [box for box in boxes if _near(box, one) or _near(box, other)]
    assume(not covered and one != other)
    floor = Floor(4.0, 3.0, tuple(boxes))
    best = _grid_cost(floor, one, other)
    assume(math.isfinite(best))
    assert _cost(floor, route(floor, _spot(one), _spot(other))) <= best + 1e-6


def _near(box: Box, point: Point) -> bool:
    room = CLEARANCE_M + 1e-9
    return box[0] - room < point[0] < box[2] + room and box[1] - room < point[1] < box[3] + room


def _leg_cost(floor: Floor, one: Point, other: Point) -> float:
    (x1, y1), (x2, y2) = one, other
    on_edge = (y1 == y2 and y1 in (0.0, floor.depth_m)) or (x1 == x2 and abs(x1) == floor.width_m / 2)
    return (abs(x2 - x1) + abs(y2 - y1)) * (1.0 if on_edge else OPEN_FLOOR)


def _cost(floor: Floor, way: tuple[Point, ...]) -> float:
    return sum(_leg_cost(floor, *leg) for leg in itertools.pairwise(way)) + CORNER_M * max(0, len(way) - 2)


def _grid_cost(floor: Floor, one: Point, other: Point) -> float:
    graph: nx.Graph[tuple[int, int, int]] = nx.Graph()
    roomy = [(b[0] - CLEARANCE_M, b[1] - CLEARANCE_M, b[2] + CLEARANCE_M, b[3] + CLEARANCE_M) for b in floor.boxes]
    for i, j in itertools.product(range(-20, 21), range(31)):
        graph.add_edge((i, j, 0), (i, j, 1), weight=CORNER_M)
        for di, dj in ((1, 0), (0, 1)):
            here, there = (i / 10, j / 10), ((i + di) / 10, (j + dj) / 10)
            middle = ((here[0] + there[0]) / 2, (here[1] + there[1]) / 2)
            if i + di <= 20 and j + dj <= 30 and not any(_well_inside(box, middle) for box in roomy):
                axis = 0 if di else 1
                graph.add_edge((i, j, axis), (i + di, j + dj, axis), weight=_leg_cost(floor, here, there))
    start, end = ((round(x * 10), round(y * 10)) for x, y in (one, other))
    costs = []
    for axis in (0, 1):
        found = nx.single_source_dijkstra_path_length(graph, (*start, axis))
        costs += [found.get((*end, last), math.inf) for last in (0, 1)]
    return min(costs)


def _well_inside(box: Box, point: Point) -> bool:
    return box[0] + 1e-9 < point[0] < box[2] - 1e-9 and box[1] + 1e-9 < point[1] < box[3] - 1e-9


def test_parts_of_a_way() -> None:
    way = ((0.0, 0.0), (4.0, 0.0), (4.0, 3.0))
    assert nearest_on(way, (2.0, 1.0, 3.0, 2.0)) == ((2.5, 0.0), 2.5)
    assert between(way, 1.0, 5.0) == ((1.0, 0.0), (4.0, 0.0), (4.0, 1.0))
    assert between(way, 5.0, 1.0) == ((4.0, 1.0), (4.0, 0.0), (1.0, 0.0))
    assert length_m(between(way, 0.0, 7.0)) == 7.0
    assert joined_up([(0.0, 0.0), (1.0, 0.0), (1.0, 0.0), (2.0, 0.0)]) == ((0.0, 0.0), (2.0, 0.0))
    assert joined_up([(0.0, 0.0), (2.0, 0.0), (1.0, 0.0)]) == ((0.0, 0.0), (2.0, 0.0), (1.0, 0.0))
