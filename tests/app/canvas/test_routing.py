"""Laying cables: obstacles found by their bits, and only what a change touches laid anew."""

from __future__ import annotations

from itertools import pairwise
from random import Random

from msgspec.structs import replace

from app.canvas.dressing import Dresser
from app.canvas.layout import Box, Point
from app.canvas.obstacles import Obstacles
from app.canvas.routes import Wire, lay, plain_ways

CARDS = [Box(x, y, x + 120, y + 60) for y in (0.0, 200.0, 400.0) for x in (0.0, 200.0, 400.0, 600.0)]


def wires() -> list[Wire[str]]:
    """From each card of the first two rows down to one of the next, not the one below."""
    found = []
    for number in range(8):
        start, end = CARDS[number], CARDS[4 + (number * 3 + 1) % 8]
        at, to = Point(start.left + 40, start.bottom), Point(end.left + 60, end.top)
        found.append(Wire(str(number), at, "bottom", to, "top"))
    return found


def test_bits_find_the_boxes_a_rectangle_meets() -> None:
    boxes = [Box(rnd.uniform(0, 90), rnd.uniform(0, 90), 0, 0) for rnd in map(Random, range(40))]
    boxes = [Box(box.left, box.top, box.left + 3 + n % 7 * 4, box.top + 3 + n % 5 * 6) for n, box in enumerate(boxes)]
    obstacles = Obstacles(boxes)
    for seed in range(200):
        rnd = Random(seed)
        x, y = rnd.uniform(-10, 100), rnd.uniform(-10, 100)
        area = Box(x, y, x + rnd.choice([0, 20, 60]), y + rnd.choice([0, 5, 70]))
        assert obstacles.named(obstacles.meeting(*area)) == [box for box in boxes if box.meets(area)]
    assert Obstacles([]).meeting(0, 0, 9, 9) == 0


def test_hits_are_counted_along_the_way_but_not_at_its_ends() -> None:
    obstacles = Obstacles([Box(-20, -50, 20, 5), Box(-20, 100, 20, 140), Box(-20, 295, 20, 340)])
    straight = (Point(0, 0), Point(0, 300))
    assert obstacles.hits(straight, obstacles.all, {}) == 1
    assert obstacles.hits((Point(0, 0), Point(0, 20), Point(60, 20), Point(60, 300)), obstacles.all, {}) == 0


def test_a_first_laying_is_the_plain_one() -> None:
    assert Dresser().lay(wires(), CARDS) == lay(wires(), CARDS)


def test_what_nothing_touches_keeps_its_way() -> None:
    dresser = Dresser()
    before = dresser.lay(wires(), CARDS)
    one = wires()[0]
    moved = [replace(one, start=Point(one.start.x - 16, one.start.y)), *wires()[1:]]
    cards = [Box(-16, 0, 104, 60), *CARDS[1:]]
    after = dresser.lay(moved, cards)
    assert after["0"][0] == moved[0].start
    assert after["0"] != before["0"]
    assert {name for name in after if after[name] != before[name]} == {"0"}


def test_a_card_put_in_the_way_moves_the_cable_and_nothing_runs_through_it() -> None:
    wire = Wire("a", Point(0, 60), "bottom", Point(0, 500), "top")
    dresser, ends = Dresser(), [Box(-50, 0, 50, 60), Box(-50, 500, 50, 560)]
    assert dresser.lay([wire], ends)["a"] == (Point(0, 60), Point(0, 500))
    card = Box(-60, 250, 60, 320)
    way = dresser.lay([wire], [*ends, card])["a"]
    assert all(not Box(*_span(a, b)).meets(card) for a, b in pairwise(way))
    assert dresser.lay([wire], ends)["a"] == (Point(0, 60), Point(0, 500)), "and back when it goes"


def _span(a: Point, b: Point) -> tuple[float, float, float, float]:
    return min(a.x, b.x), min(a.y, b.y), max(a.x, b.x) + 0.01, max(a.y, b.y) + 0.01


def test_ways_in_the_hand_join_the_same_ends() -> None:
    for wire in wires():
        way = plain_ways([wire])[wire.id]
        assert (way[0], way[-1]) == (wire.start, wire.end)
        assert all(a.x == b.x or a.y == b.y for a, b in pairwise(way))
