"""The badges of the Patch sheet: what each is about, where it would like to lie, and what it must not cover."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterable, Mapping, Sequence

from msgspec.structs import replace

from app.canvas.badge_places import BadgePlace, Wanted, spread
from app.canvas.badges import Badge, badge_size
from app.canvas.badges_item import SCALE, PlacedBadge
from app.canvas.cable_item import longest_middle, tag_box
from app.canvas.ground import Ground, around, moved
from app.canvas.house_layout import Tile
from app.canvas.house_line import foot_boxes
from app.canvas.layout import FACE, Box, Point, Spot, label_box
from app.canvas.patch_plan import SheetPlan
from app.canvas.placed import AnyCard
from app.canvas.routes import Way
from app.canvas.trunk_item import plate_box
from app.canvas.trunks import Trunk
from rigcore.rules.rule import Thing

_OUT = {"top": (0, -1), "bottom": (0, 1), "left": (-1, 0), "right": (1, 0)}
_STEP, _INSET = 9.0, 13.0
_MOST_STEPS = 30

Lying = tuple[Mapping[str, AnyCard], Mapping[Thing, Way]]
"""The cards and the cables as they lie now."""


def place_badges(
    plan: SheetPlan,
    lying: Lying,
    badges: Mapping[Thing, Badge],
    loose: Collection[tuple[str, str]] = (),
) -> list[PlacedBadge]:
    """Return the badges of a sheet with their places.

    ``lying`` are the cards and the cables as they lie now; a badge's thing is a
    card, one of its ports as the card calls it, a socket, a link or a landing.
    ``loose`` are the ports (card, port) that fly a flag.
    """
    cards, ways = lying
    taken = Ground((box, "") for box in blocked(plan, cards, ways, loose))
    bodies = Ground((card.box, name) for name, card in cards.items())
    bodies.take(plan.rows.strip, "house")
    found, about = [], []
    for thing in sorted(badges, key=_rank):
        one = wanted(thing, badge_size(badges[thing], SCALE), plan, lying)
        if one is not None:
            found.append(one)
            about.append(thing)
    places = spread(found, taken, bodies)
    return [PlacedBadge(thing, badges[thing], place) for thing, place in zip(about, places, strict=True)]


def carried(placed: Iterable[PlacedBadge], before: SheetPlan, now: SheetPlan) -> Iterable[PlacedBadge]:
    """Yield badges where they go with their cards and cables from one plan to the next; those of what is gone go."""
    for one in placed:
        thing = one.about
        if not isinstance(thing, Thing):
            continue
        if thing.kind == "unit" and thing.id in now.cards:
            old, new = (plan.cards[thing.id].place for plan in (before if thing.id in before.cards else now, now))
            yield one if old == new else one.shifted((new.x - old.x, new.y - old.y))
        elif thing.kind == "socket":
            yield one
        elif thing in now.ways:
            same = before.ways.get(thing) == now.ways[thing] or len(now.ways[thing]) < 2
            yield one if same else replace(one, place=BadgePlace(longest_middle(now.ways[thing])[0]))


def _rank(thing: Thing) -> int:
    """Return whose turn it is: ports and tiles, which have little room, then cards, then cables."""
    if thing.kind == "unit":
        return 0 if thing.port else 2
    return 1 if thing.kind == "socket" else 3


def blocked(
    plan: SheetPlan,
    cards: Mapping[str, AnyCard],
    ways: Mapping[Thing, Way],
    loose: Collection[tuple[str, str]] = (),
) -> Iterable[Box]:
    """Yield all that no badge may cover: ports, labels, tapes, flags, sleeves, what is written on the house line."""
    for name, placed in cards.items():
        card = placed.card
        boxes = [card.tape, card.gear_line, *(box for _, box in card.groups)]
        for spot in card.spots:
            boxes += [around(spot.at, 2 * FACE, 2 * FACE), label_box(card, spot, placed.label(spot))]
            if (name, spot.port) in loose:
                boxes.append(Box(spot.at.x + 5, spot.at.y - 17, spot.at.x + 16, spot.at.y - 5))
        yield from (moved(box, placed.place) for box in boxes)
    yield from sleeves(plan, (cards, ways))
    for tile in plan.rows.tiles:
        yield Box(tile.box.left, tile.box.top + 4.5, tile.box.right, tile.box.bottom)
        yield around(tile.face, 2 * FACE, 2 * FACE)
    yield from foot_boxes(plan.rows.strip)


def sleeves(plan: SheetPlan, lying: Lying, scale: float = 1.0) -> Iterable[Box]:
    """Yield the rooms of what is written on cables and trunks; the plates of trunks larger by a factor."""
    cards, ways = lying
    bodies = [placed.box for placed in cards.values()]
    for thing, way in ways.items():
        drawn = plan.drawn(thing)
        if isinstance(drawn, Trunk) and len(way) > 1:
            yield plate_box(drawn, way, scale)
        elif drawn.pieces and len(way) > 1:
            yield tag_box(drawn.pieces, way, bodies)


def wanted(
    thing: Thing,
    size: tuple[float, float],
    plan: SheetPlan,
    lying: Lying,
) -> Wanted | None:
    """Return what the badge of a thing, of a size, asks for; None where the thing is not on the sheet."""
    cards, ways = lying
    if thing.kind == "unit":
        placed = cards.get(thing.id)
        if placed is None:
            return None
        spot = placed.card.spot(thing.port) if thing.port else None
        return _by_port(placed, spot, size) if spot else _by_card(thing.id, placed, size)
    if thing.kind == "socket":
        tile = plan.rows.tile(thing.id)
        return _by_tile(tile, size) if tile else None
    way = ways.get(thing, ())
    return _on_cable(way, size) if len(way) > 1 else None


def _by_port(placed: AnyCard, spot: Spot, size: tuple[float, float]) -> Wanted:
    """Return a port's badge: outside the card, beside the cable."""
    home = Point(placed.place.x + spot.at.x, placed.place.y + spot.at.y)
    out_x, out_y = _OUT[spot.side]
    spots = []
    for out in (size[1] / 2 + 1.5, size[1] / 2 + 8, size[1] / 2 + 15, size[1] * 1.5 + 16):
        for aside in (FACE + 2 + size[0] / 2, -FACE - 2 - size[0] / 2):
            spots.append(Point(home.x + out_x * out + abs(out_y) * aside, home.y + out_y * out + abs(out_x) * aside))
        clear = out + FACE + (size[0] - size[1]) / 2 * abs(out_x)
        spots.append(Point(home.x + out_x * clear, home.y + out_y * clear))
    return Wanted(size, tuple(spots), home)


def _by_card(name: str, placed: AnyCard, size: tuple[float, float]) -> Wanted:
    """Return a card's badge: at a corner of it, else along its edges."""
    box, (width, height) = placed.box, size
    left, right, top, bottom = box.left + 1, box.right - 1, box.top + 1, box.bottom - 1
    spots = [Point(right, top), Point(left, top), Point(right, bottom), Point(left, bottom)]
    spots += [Point(x, y) for y in (top - height / 2, bottom + height / 2) for x in (right, left)]
    spots += [Point(x, y) for x in (right + width / 2, left - width / 2) for y in (top, (top + bottom) / 2, bottom)]
    count = int((right - left - width) // _STEP)
    for n in range(count):
        x = right - width / 2 - n * _STEP
        spots += [Point(x, top), Point(x, bottom), Point(x, top - height), Point(x, bottom + height)]
    return Wanted(size, tuple(spots), Point((left + right) / 2, (top + bottom) / 2), name, on_edge=True)


def _by_tile(tile: Tile, size: tuple[float, float]) -> Wanted:
    """Return a tile's badge: on its upper edge beside the face, else below it."""
    face, (width, height) = tile.face, size
    aside, up = FACE + 1 + width / 2, face.y + 4 - height / 2
    below = tile.box.bottom + 1 + height / 2
    spots = [Point(face.x + aside, up), Point(face.x - aside, up)]
    spots += [Point(x, below) for x in (tile.box.right - width / 2, face.x, tile.box.left + width / 2)]
    return Wanted(size, tuple(spots), face, "house", on_edge=True)


def _on_cable(way: Sequence[Point], size: tuple[float, float]) -> Wanted:
    """Return a cable's badge: on the middle of its longest stretch, else along it, nearest to that first."""
    home, _ = longest_middle(way)
    step = max(_STEP, size[1] / 2)
    spots = [home]
    for a, b in sorted(itertools.pairwise(way), key=lambda pair: -_long(pair)):
        long = _long((a, b))
        count = min(int((long / 2 - _INSET) // step), _MOST_STEPS)
        for n in range(1, count + 1):
            for share in (0.5 + n * step / long, 0.5 - n * step / long):
                spots.append(Point(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share))
    return Wanted(size, tuple(spots), home)


def _long(pair: tuple[Point, Point]) -> float:
    return abs(pair[0].x - pair[1].x) + abs(pair[0].y - pair[1].y)
