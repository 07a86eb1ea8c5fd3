"""A folded loom: its cables as one trunk, with their tails at both ends. Pure arithmetic, no painting.

At each end the tails come together a little way off the cards: those on the same
edge drop onto one bar, from whose middle the trunk leaves; a tail from elsewhere
is laid to it like any cable.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from math import dist
from typing import Any

from msgspec import Struct

from app.canvas.house_layout import HouseRows
from app.canvas.layout import Box, Point, Side
from app.canvas.looks import CableLook
from app.canvas.patch_cables import Cable, Socket, on_sheet, wires_of
from app.canvas.placed import AnyCard
from app.canvas.routes import Way, Wire, plain_ways, tidy
from rigcore.rules.rule import Thing

OFF, REACH = 20.0, 170.0
"""How far from the outermost card the bar lies, and how far a tail drops onto it at most."""

LOOK = CableLook("loom", 7.0, "solid")
_OUT: Mapping[Side, tuple[int, int]] = {"top": (0, -1), "bottom": (0, 1), "left": (-1, 0), "right": (1, 0)}
_BAR_HALF = 2.5
_Face = tuple[Point, Side]
Laying = Callable[[Sequence[Wire[Any]], Sequence[Box]], Mapping[Hashable, Way]]


class Trunk(Struct, frozen=True):
    """A folded loom with the cables it stands for."""

    thing: Thing
    words: str
    cables: tuple[Cable, ...]
    look: CableLook = LOOK
    pieces: tuple[str, ...] = ()

    @property
    def plugs(self) -> tuple[Socket, ...]:
        """Where its cables go in."""
        return tuple(plug for cable in self.cables for plug in cable.plugs)

    @property
    def end(self) -> object:
        """Its far end, as that of a cable: in the rig, for looms do not lead to the house."""
        return self.cables[0].end


Drawn = Cable | Trunk
"""What lies on the sheet as one line."""


class Fan(Struct, frozen=True):
    """How a trunk's ends lie: the way of every tail with its cable's look, and the bars they drop onto."""

    tails: tuple[tuple[CableLook, Way], ...]
    bars: tuple[Way, ...]


class _Gathered(Struct, frozen=True):
    """One end of a trunk: where it leaves, its bar, and its tails by the number of their cable, some yet to be laid."""

    at: Point
    side: Side
    bar: Way
    dropped: Mapping[int, Way]
    loose: Mapping[int, _Face]

    def nearer(self, to: Point) -> _Face:
        """Return the end of the bar that is nearer to a place, and from where one comes to it."""
        if self.side in ("top", "bottom"):
            return (self.bar[0], "left") if to.x < self.at.x else (self.bar[1], "right")
        return (self.bar[0], "top") if to.y < self.at.y else (self.bar[1], "bottom")


def trunks(names: Mapping[str, str], cables: Iterable[Cable]) -> dict[Thing, Trunk]:
    """Return the trunks of folded looms, whose names are given by id: of those that have two cables to be drawn."""
    bundles: dict[str, list[Cable]] = {}
    for cable in cables:
        if cable.loom in names and not cable.within:
            bundles.setdefault(cable.loom, []).append(cable)
    things = {loom: Thing("loom", loom) for loom, lying in bundles.items() if len(lying) > 1}
    return {thing: Trunk(thing, names[loom], tuple(bundles[loom])) for loom, thing in things.items()}


def lay_all(
    drawn: Iterable[Drawn],
    cards: Mapping[str, AnyCard],
    rows: HouseRows,
    lay: Laying | None = None,
) -> tuple[dict[Thing, Way], dict[Thing, Fan]]:
    """Return the ways of cables and trunks, and the fans of the trunks.

    ``lay`` gets the wires and the bars they should keep off. Without it they are laid quickly, for the hand: through
    whatever lies there.
    """
    drawn = tuple(drawn)
    bundled = [TrunkLaying(one, cards) for one in drawn if isinstance(one, Trunk)]
    wires: list[Wire[Any]] = wires_of((one for one in drawn if isinstance(one, Cable)), cards, rows)
    wires += [wire for one in bundled for wire in one.wires()]
    bars = [box for one in bundled for box in one.bars()]
    ways: Mapping[Hashable, Way] = lay(wires, bars) if lay is not None else plain_ways(wires)
    fans = {one.trunk.thing: one.fan(ways) for one in bundled if one.trunk.thing in ways}
    return {thing: way for thing, way in ways.items() if isinstance(thing, Thing)}, fans


class TrunkLaying:
    """The laying of one trunk, before and after its wires have been laid."""

    def __init__(self, trunk: Trunk, cards: Mapping[str, AnyCard]) -> None:
        self.trunk = trunk
        boxes = [card.box for card in cards.values()]
        near, far = _sorted_ends([tuple(on_sheet(cards, plug) for plug in cable.plugs) for cable in trunk.cables])
        self._ends = (_gathered(near, boxes), _gathered(far, boxes)) if near and far else ()

    def wires(self) -> Iterator[Wire[Hashable]]:
        """Yield what is to be laid: the trunk under its thing, and each tail that does not drop onto a bar."""
        if not self._ends:
            return
        one, other = self._ends
        yield Wire(self.trunk.thing, one.at, one.side, other.at, other.side)
        for end in self._ends:
            for number, (at, side) in end.loose.items():
                yield Wire((self.trunk.thing, number, end.side), at, side, *end.nearer(at))

    def bars(self) -> Iterator[Box]:
        """Yield the room of the bars."""
        for end in self._ends:
            (left, top), (right, bottom) = end.bar
            yield Box(left, top, right, bottom).grown(_BAR_HALF)

    def fan(self, ways: Mapping[Hashable, Way]) -> Fan:
        """Return how its ends lie, from the ways of its wires."""
        tails = []
        for end in self._ends:
            for number, cable in enumerate(self.trunk.cables):
                way = end.dropped.get(number) or ways.get((self.trunk.thing, number, end.side), ())
                tails.append((cable.look, way))
        return Fan(tuple(tails), tuple(end.bar for end in self._ends))


def _sorted_ends(pairs: Sequence[tuple[_Face | None, ...]]) -> tuple[dict[int, _Face], dict[int, _Face]]:
    """Return the faces at the one place and at the other; cables may run either way between them."""
    near: dict[int, _Face] = {}
    far: dict[int, _Face] = {}
    for number, pair in enumerate(pairs):
        if len(pair) != 2 or pair[0] is None or pair[1] is None:
            continue
        one, other = pair[0], pair[1]
        if near:
            start, end = (next(iter(place.values()))[0] for place in (near, far))
            if dist(other[0], start) + dist(one[0], end) < dist(one[0], start) + dist(other[0], end):
                one, other = other, one
        near[number], far[number] = one, other
    return near, far


def _gathered(faces: Mapping[int, _Face], boxes: Sequence[Box]) -> _Gathered:
    side: Side = Counter(side for _, side in faces.values()).most_common(1)[0][0]
    ours = {number: at for number, (at, its) in faces.items() if its == side}
    at, bar = _bar(ours.values(), side)
    if len(ours) > 1 and any(_crosses(bar, box) for box in boxes):
        first = next(iter(ours.values()))
        ours = {number: at for number, at in ours.items() if _along(at, side) == _along(first, side)}
        at, bar = _bar(ours.values(), side)
    upright = side in ("top", "bottom")
    dropped = {
        number: tidy((face, Point(face.x, at.y) if upright else Point(at.x, face.y), at))
        for number, face in ours.items()
        if abs(_along(face, side) - _along(at, side)) <= REACH
    }
    return _Gathered(at, side, bar, dropped, {number: one for number, one in faces.items() if number not in dropped})


def _bar(faces: Iterable[Point], side: Side) -> tuple[Point, Way]:
    """Return the middle of the bar outside some faces on one edge, and the bar."""
    faces = tuple(faces)
    out_x, out_y = _OUT[side]
    xs, ys = [one.x for one in faces], [one.y for one in faces]
    if out_y:
        y = (max(ys) if out_y > 0 else min(ys)) + out_y * OFF
        return Point((min(xs) + max(xs)) / 2, y), (Point(min(xs), y), Point(max(xs), y))
    x = (max(xs) if out_x > 0 else min(xs)) + out_x * OFF
    return Point(x, (min(ys) + max(ys)) / 2), (Point(x, min(ys)), Point(x, max(ys)))


def _along(at: Point, side: Side) -> float:
    return at.y if side in ("top", "bottom") else at.x


def _crosses(bar: Way, box: Box) -> bool:
    (ax, ay), (bx, by) = bar
    return Box(ax - 1, ay - 1, bx + 1, by + 1).meets(box)
