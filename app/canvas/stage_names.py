"""Where the names on the stage plan are written so that none hides anything: a fixed search, the same every time.

Names stand on their thing where they fit, else beside it, else further off with a
leader line. Areas (risers) take a name in a corner, or outside their edge. What need
not be named gives its name up where there is no room near. No painting.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from app.canvas.fonts import metrics
from app.canvas.ground import Ground, Line, around, cuts, leader, meet, middle, moved
from app.canvas.layout import Box, Point

HEIGHT = 17.0
WIDEST = 190.0
GAP, STEP = 3.0, 7.0
"""Room between a thing and its name, and between two rings of places around it."""

NEAR, FURTHEST = 14, 400
"""The last ring for a name that may be given up, and for one that may not."""

ON_A_LINE, ON_A_LEADER, OVER_A_THING, OVER_WORDS, KNOTTED, OFF_THE_SHEET = 3.0, 12.0, 20.0, 12.0, 5.0, 25.0
LAID_OVER = 6.0
AT_ANOTHER, GIVEN_UP = 3.0, 20.0
"""What is weighed against distance, which costs 1 a ring; the last but one is for standing as near to something else,
the last what a name may cost that may be given up."""

_WAYS: tuple[tuple[float, float], ...] = (
    (0, 1), (0, -1), (1, 0), (-1, 0), (0.5, 1), (-0.5, 1), (0.5, -1), (-0.5, -1),
    (1, 1), (-1, 1), (1, -1), (-1, -1), (1, 0.5), (-1, 0.5), (1, -0.5), (-1, -0.5),
)  # fmt: skip


Reach = tuple[Line, Box]
"""A line with its bounds, which tell at once of most things that it does not touch them."""


class Named(Struct, frozen=True):
    """Something with a name: its bounds, and the room on it where the name may stand (None where it may not).

    An ``area`` is something other things stand on. ``optional`` says that the name may be given up.
    """

    words: str
    bounds: Box
    room: Box | None = None
    soft: bool = False
    id: str = ""
    kind: Literal["thing", "area"] = "thing"
    face: str = "glyph"
    optional: bool = False


class Name(Struct, frozen=True):
    """A name with its place; ``inside`` says that it stands on its own thing, ``leader`` leads to it from there."""

    words: str
    box: Box
    inside: bool
    soft: bool
    id: str = ""
    face: str = "glyph"
    leader: Line | None = None

    def shifted(self, by: tuple[float, float]) -> Name:
        """Return the name moved along with its thing."""
        ends = tuple(Point(one.x + by[0], one.y + by[1]) for one in self.leader or ())
        return replace(self, box=moved(self.box, by), leader=(ends[0], ends[1]) if ends else None)


class Surroundings(Struct, frozen=True):
    """What else is on the plan: boxes no name may lie on, lines it rather should not, the sheet it should stay on.

    ``laid_over`` are lines that cross footprints as well: a name leaves its thing for them. ``words`` are boxes no
    leader should cross.
    """

    blocked: tuple[Box, ...] = ()
    lines: tuple[Line, ...] = ()
    laid_over: tuple[Line, ...] = ()
    words: tuple[Box, ...] = ()
    sheet: Box | None = None
    kept: tuple[Name, ...] = ()


def place_names(things: Sequence[Named], about: Surroundings | None = None, scale: float = 1.0) -> list[Name]:
    """Return where each name is written, the letters larger by a factor; ``about.kept`` stay where they are."""
    return _Placer(things, about or Surroundings(), scale).placed()


class _Placer:
    def __init__(self, things: Sequence[Named], about: Surroundings, scale: float) -> None:
        self.things = things
        self.about = about
        self.scale = scale
        self.bodies = [thing.bounds for thing in things if thing.kind == "thing"]
        self.ground = Ground((thing.bounds, str(n)) for n, thing in enumerate(things) if thing.kind == "thing")
        self.other_bodies = Ground((thing.bounds, str(n)) for n, thing in enumerate(things) if thing.kind == "thing")
        for box in about.blocked:
            self.ground.take(box, "blocked")
        self.found: dict[int, Name] = {}
        self.costs: dict[int, float] = {}
        self.lines = [*about.lines, *(edge for thing in things if thing.kind == "area" for edge in _edges(thing))]
        ours = {thing.id for thing in things if thing.id}
        self.kept = [name for name in about.kept if name.id not in ours]
        for name in self.kept:
            self.ground.take(name.box, "words")

    def placed(self) -> list[Name]:
        """Place what fits on its thing or in its corner, then the rest; then give what lies badly another try."""
        rest = []
        for n in sorted(range(len(self.things)), key=self._rank):
            made = self._within(n)
            if made is None:
                rest.append(n)
            else:
                self._settle(n, made, 0.0)
        for n in rest:
            self._beside(n)
        for n in rest:
            if self.costs.get(n, 1e9) > 1.0:
                self._lift(n)
                self._beside(n)
        return [self.found[n] for n in sorted(self.found)]

    def _rank(self, n: int) -> tuple[int, int]:
        """Return whose turn it is: things, then areas, then what may stay unnamed."""
        thing = self.things[n]
        return (2 if thing.optional else 1 if thing.kind == "area" else 0), n

    def _settle(self, n: int, name: Name, cost: float) -> None:
        self.found[n], self.costs[n] = name, cost
        self.ground.take(name.box, "words")

    def _lift(self, n: int) -> None:
        name = self.found.pop(n, None)
        if name is not None:
            self.ground.free(name.box, "words")

    def _within(self, n: int) -> Name | None:
        """Return the name on its own thing, or in a corner of its area, if that hides nothing."""
        thing = self.things[n]
        size = self._size(thing)
        if thing.kind == "area":
            boxes = [box for box in _corners(thing.bounds, size) if not self.ground.is_taken(box)]
            return self._name(thing, boxes[0], inside=True) if boxes else None
        room = thing.room
        if room is None or room.right - room.left < size[0] - 2 or room.bottom - room.top < size[1]:
            return None
        box = around(middle(room), size[0] - 2, size[1])
        if self.ground.is_taken(box, but=str(n)) or any(cuts(line, box) for line in self.about.laid_over):
            return None
        return self._name(thing, box, inside=True)

    def _beside(self, n: int) -> None:
        """Write a name at the free place around its thing that costs least, if there is one."""
        thing = self.things[n]
        best, least = None, 1e12
        last = NEAR if thing.optional else FURTHEST
        lines = [one.leader for one in (*self.found.values(), *self.kept) if one.leader is not None]
        leaders = [(line, _bounds(line)) for line in lines]
        for ring, box, extra in self._places(thing, last):
            if ring >= least:
                break
            if ring + extra >= least or self.ground.is_taken(box):
                continue
            name = self._name(thing, box, inside=False, apart=ring > 0)
            cost = ring + extra + self._blame(name, thing, leaders, least - ring - extra)
            if cost < least and self.other_bodies.is_taken(box.grown(2 * GAP * self.scale), but=str(n)):
                cost += AT_ANOTHER
            if cost < least:
                best, least = name, cost
        # Under lines laid over the plan, numbers want the room more.
        bearable = OVER_WORDS if self.about.laid_over else GIVEN_UP
        if best is not None and not (thing.optional and least >= bearable):
            self._settle(n, best, least)

    def _places(self, thing: Named, last: int) -> Iterator[tuple[int, Box, float]]:
        """Yield the boxes a name could have around its thing, nearest first, with the ring and what the way costs."""
        width, height = self._size(thing)
        box, at = thing.bounds, middle(thing.bounds)
        half_w, half_h = (box.right - box.left) / 2, (box.bottom - box.top) / 2
        if thing.kind == "area":
            yield from ((0, one, 0.1 * n) for n, one in enumerate(_outer_corners(box, (width, height))))
        for ring in range(last + 1):
            away = (GAP + STEP * ring) * self.scale
            for n, (across, down) in enumerate(_WAYS):
                x = at.x + across * (half_w + away + width / 2)
                y = at.y + down * (half_h + away + height / 2)
                yield ring, around((x, y), width, height), 0.05 * n

    def _blame(self, name: Name, thing: Named, leaders: Sequence[Reach], enough: float) -> float:
        """Return what a free place costs besides its distance; stops counting at enough."""
        box, sheet = name.box, self.about.sheet
        off = sheet is not None and (
            box.left < sheet.left or box.right > sheet.right or box.top < sheet.top or box.bottom > sheet.bottom
        )
        cost = OFF_THE_SHEET if off else 0.0
        for harm, hit in self._harms(name, thing, leaders):
            if cost >= enough:
                return cost
            cost += harm if hit else 0.0
        return cost

    def _harms(self, name: Name, thing: Named, leaders: Sequence[Reach]) -> Iterator[tuple[float, bool]]:
        """Yield what a place may do harm to, with what that costs and whether it does."""
        box, line = name.box, name.leader
        yield from ((ON_A_LINE, cuts(one, box)) for one in self.lines)
        yield from ((LAID_OVER, cuts(one, box)) for one in self.about.laid_over)
        yield from ((ON_A_LEADER, room.meets(box) and cuts(one, box)) for one, room in leaders)
        if line is not None:
            reach = _bounds(line)
            for body in self.bodies:
                yield OVER_A_THING, body is not thing.bounds and reach.meets(body) and cuts(line, body)
            written = (one.box for one in (*self.found.values(), *self.kept))
            for words in (*written, *self.about.words):
                yield OVER_WORDS, reach.meets(words) and cuts(line, words)
            yield from ((KNOTTED, room.meets(reach) and meet(line, one)) for one, room in leaders)

    def _name(self, thing: Named, box: Box, *, inside: bool, apart: bool = False) -> Name:
        line = leader(thing.bounds, box) if apart else None
        return Name(thing.words, box, inside, thing.soft, thing.id, thing.face, line)

    def _size(self, thing: Named) -> tuple[float, float]:
        width = metrics(thing.face, self.scale).horizontalAdvance(thing.words)
        return min(width, WIDEST * self.scale) + 8, HEIGHT * self.scale


def _bounds(line: Line) -> Box:
    (x, y), (end_x, end_y) = line
    return Box(min(x, end_x) - 1, min(y, end_y) - 1, max(x, end_x) + 1, max(y, end_y) + 1)


def _edges(thing: Named) -> list[Line]:
    left, top, right, bottom = thing.bounds
    corners = [Point(left, top), Point(right, top), Point(right, bottom), Point(left, bottom)]
    return list(zip(corners, (*corners[1:], corners[0]), strict=True))


def _corners(box: Box, size: tuple[float, float]) -> list[Box]:
    """Return the places for a name in the corners of an area, if it is large enough."""
    width, height = size
    if box.right - box.left < width + 4 or box.bottom - box.top < height + 4:
        return []
    lefts, tops = (box.left + 2, box.right - 2 - width), (box.top + 2, box.bottom - 2 - height)
    return [Box(left, top, left + width, top + height) for top in tops for left in lefts]


def _outer_corners(box: Box, size: tuple[float, float]) -> list[Box]:
    """Return the places for a name along the outside of an area's upper and lower edge."""
    width, height = size
    lefts, tops = (box.left, box.right - width), (box.top - GAP - height, box.bottom + GAP)
    return [Box(left, top, left + width, top + height) for top in tops for left in lefts]
