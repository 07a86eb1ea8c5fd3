"""Cards, places, tiles and ways: pure arithmetic, looked at without a window."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest

from app.canvas.house_layout import TileText, lay_tiles
from app.canvas.layout import Box, Card, Point, card_of
from app.canvas.places import Flow, default_places, layers, settled_layers
from app.canvas.routes import Wire, lay, straight_way, tidy
from rigcore.catalogue.catalogue import Catalogue

PLAIN = Card(150.0, 84.0, Box(12, 24, 138, 48), Box(12, 49, 138, 65), ())


def boxes(places: dict[str, Point], cards: dict[str, Card]) -> list[Box]:
    return [cards[name].box_at(place) for name, place in places.items()]


def is_orthogonal(way: tuple[Point, ...]) -> bool:
    return all((abs(a.x - b.x) < 0.06) != (abs(a.y - b.y) < 0.06) for a, b in pairwise(way))


def test_every_card_of_the_catalogue_keeps_its_ports_apart(catalogue: Catalogue) -> None:
    for gear in catalogue.gear.values():
        card = card_of(gear, catalogue.connectors, gear.name)
        assert {spot.port for spot in card.spots} == {port.id for port in gear.ports}
        for one, other in combinations(card.spots, 2):
            assert abs(one.at.x - other.at.x) + abs(one.at.y - other.at.y) >= 18, gear.id
        for spot in card.spots:
            assert 0 <= spot.at.x <= card.width
            assert 0 <= spot.at.y <= card.height
        assert card.tape.right - card.tape.left >= 60, gear.id


def test_edges_follow_direction_and_power(catalogue: Catalogue) -> None:
    card = card_of(catalogue.gear["stage-piano-88"], catalogue.connectors, "Piano")
    sides = {spot.port: spot.side for spot in card.spots}
    gear = catalogue.gear["stage-piano-88"]
    for port in gear.ports:
        if port.carrier.medium == "mains":
            assert sides[port.id] == "left"
        elif port.carrier.medium in ("midi", "usb"):
            assert sides[port.id] == "right"
        else:
            assert sides[port.id] == ("top" if port.direction == "in" else "bottom")


def test_a_port_is_found_by_arithmetic(catalogue: Catalogue) -> None:
    card = card_of(catalogue.gear["mixer-12"], catalogue.connectors, "Mixer")
    for spot in card.spots:
        assert card.port_at(spot.at.x + 3, spot.at.y - 3) == spot.port
    assert card.port_at(card.width / 2, card.height / 2) is None


def test_sixty_units_do_not_overlap(catalogue: Catalogue) -> None:
    kinds = list(catalogue.gear.values())[:60]
    cards = {gear.id: card_of(gear, catalogue.connectors, gear.name) for gear in kinds}
    names = list(cards)
    flow = Flow([(names[n], names[(n * 7 + 11) % 60]) for n in range(40)], set(names[50:54]))
    fixed = {names[0]: (100.0, 100.0), names[1]: (700.0, 300.0)}
    places = default_places(cards, flow, fixed)
    assert places == default_places(cards, flow, fixed)
    assert places[names[0]] == (100.0, 100.0)
    for one, other in combinations(boxes(places, cards), 2):
        assert not one.meets(other)


def test_layers_run_down_and_survive_a_loop() -> None:
    assert layers(["a", "b", "c"], [("a", "b"), ("b", "c")]) == {"a": 0, "b": 1, "c": 2}
    assert set(layers(["a", "b"], [("a", "b"), ("b", "a")])) == {"a", "b"}
    low = settled_layers(["a", "b", "c", "d", "x"], [("a", "b"), ("b", "c"), ("d", "c")])
    assert low == {"a": 0, "b": 1, "c": 2, "d": 1, "x": 0}


def test_cards_are_ordered_by_where_they_reach_the_house() -> None:
    cards = dict.fromkeys(("s1", "s2", "d1", "d2"), PLAIN)
    flow = Flow([("s1", "d1"), ("s2", "d2")], (), {"d1": 5.0, "d2": 1.0})
    places = default_places(cards, flow, {})
    assert places["s2"].x < places["s1"].x
    assert places["d2"].x < places["d1"].x


@pytest.mark.parametrize("count", [0, 8, 28, 48])
def test_tiles_wrap_and_stay_apart(count: int) -> None:
    texts = [TileText(f"in-{n}", str(n), "", f"Line {n}" if n % 3 else "", "") for n in range(count)]
    rows = lay_tiles(texts, left=0.0, width=860.0, top=300.0)
    assert len(rows.tiles) == count
    assert rows.strip.top == 300.0
    for one, other in combinations([tile.box for tile in rows.tiles], 2):
        assert not one.meets(other)
    for tile in rows.tiles:
        assert tile.box.left >= 0
        assert tile.box.right <= 860
        assert tile.box.bottom < rows.strip.bottom
        assert rows.tile_at(*tile.face) is tile
        assert is_orthogonal(tidy((Point(rows.way_in(tile)[0].x, 290.0), *rows.way_in(tile))))
    assert count < 28 or max(tile.row for tile in rows.tiles) >= 1


def test_a_way_that_can_be_straight_is() -> None:
    ways = lay([Wire("a", Point(50, 100), "bottom", Point(50, 300), "top")], [])
    assert ways["a"] == (Point(50, 100), Point(50, 300))


def test_corners_are_orthogonal_and_cards_are_left_alone() -> None:
    cards = [PLAIN.box_at((x, y)) for y in (0.0, 180.0, 360.0) for x in (0.0, 190.0, 380.0, 570.0)]
    wires = [
        Wire("down", Point(60, 84), "bottom", Point(640, 360), "top"),
        Wire("up", Point(640, 444), "bottom", Point(60, 0), "top"),
        Wire("side", Point(150, 40), "right", Point(570, 220), "left"),
        Wire("back", Point(0, 40), "left", Point(720, 400), "right"),
        Wire("house", Point(250, 84), "bottom", Point(300, 560), "top", late=True),
    ]
    ways = lay(wires, cards)
    for wire in wires:
        way = ways[wire.id]
        assert way[0] == wire.start
        assert way[-1] == wire.end
        assert is_orthogonal(way)
        for a, b in pairwise(way):
            stretch = Box(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y)).grown(0.5)
            assert not any(stretch.meets(card.grown(-2)) for card in cards), wire.id


def test_parallel_cables_lie_side_by_side() -> None:
    wires = [Wire(str(n), Point(20.0 + 30 * n, 84), "bottom", Point(320.0 + 30 * n, 300), "top") for n in range(4)]
    ways = lay(wires, [])
    lanes = [way[1].y for way in ways.values()]
    assert len(set(lanes)) == 4
    assert min(abs(a - b) for a, b in combinations(lanes, 2)) >= 5.5
    assert lanes == sorted(lanes, reverse=True)


def test_a_cable_in_the_hand_is_orthogonal() -> None:
    assert is_orthogonal(straight_way(Point(0, 0), "bottom", Point(120, 90)))
    assert is_orthogonal(straight_way(Point(0, 0), "left", Point(120, 90)))
