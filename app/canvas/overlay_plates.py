"""Where the words of an overlay stand: on their line where that hides nothing, else aside with a leader to it.

No plate lies on another, on a name, a mark, a footprint but its own, nor on somebody else's line. No painting.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from app.canvas.badge_places import Wanted, spread
from app.canvas.fonts import advance
from app.canvas.ground import Ground, Line, along, around, cuts, meet, middle
from app.canvas.layout import Box, Point
from app.canvas.stage_layout import on_sheet
from rigcore.lists.overlays import Mark, Overlay, Stroke

_HIGH, _CLEAR, _ASIDE = 17.0, 20.0, 4.0
_STEPS = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)
_REACH = 420.0
"""How far from its thing a plate may lie before it would rather hide something."""

_NEAR_REACH = 220.0
"""The same for what is written beside a place: a long line from there would read as one of the lines that end there."""

_OWN = 30.0
"""A name so near a place is the place's own: the line may pass under it."""

_TOUCH = 3.0
_NEAR, _WIDER, _HIGHER = 2.0, 1.25, 0.95
"""How far beside a footprint a plate lies, and how many times larger than a plate one must be to bear it."""


class Plate(Struct, frozen=True):
    """Words on a plate, whether they tell of something that falls short, and the line to what they are about."""

    words: str
    box: Box
    bad: bool = False
    leader: Line | None = None


class Plan(Struct, frozen=True):
    """What lies on the plan: boxes no plate may cover, names no leader may cross, footprints, the plates' sheet."""

    taken: Sequence[Box]
    bodies: Mapping[str, Box]
    sheet: Box
    names: Sequence[Box] = ()


def plates(shown: Overlay, plan: Plan, letters: float) -> list[Plate]:
    """Return the words of an overlay with their places."""
    strokes = [one for one in shown.strokes if one.words]
    bodies = Ground((box, name) for name, box in plan.bodies.items())
    for n, stroke in enumerate([*strokes, *(one for one in shown.strokes if not one.words)]):
        for line in _lines(stroke):
            for point in along(line):
                bodies.take(around(point, _TOUCH, _TOUCH), f"stroke {n}")
    placer = _Placer(plan, bodies)
    for mark in shown.marks:
        want, body = _at_mark(mark, plan.bodies, letters)
        placer.put(mark, want, [[want.home]], body)
    for n, stroke in enumerate(strokes):
        points = [list(along(line)) for line in _lines(stroke)]
        placer.put(stroke, _along(stroke, f"stroke {n}", letters), points)
    return placer.made


class _Placer:
    """Places plates one by one, each clear of those before it and of their leaders."""

    def __init__(self, plan: Plan, bodies: Ground) -> None:
        self.made: list[Plate] = []
        self._plan = plan
        self._bodies = bodies
        self._taken = Ground((box, "") for box in plan.taken)

    def put(self, one: Mark | Stroke, want: Wanted, points: Sequence[Sequence[Point]], body: Box | None = None) -> None:
        """Place a plate; ``points`` are where its leader may begin, stretch by stretch."""

        def leaders(at: Point) -> list[Line]:
            return _led(around(at, *want.size), points, body)

        own = want.home if isinstance(one, Mark) and one.beside else None

        def is_clear(line: Line) -> bool:
            return self._is_clear(line, own)

        def suits(at: Point) -> bool:
            lines = leaders(at)
            return not lines or any(map(is_clear, lines))

        (place,) = spread([replace(want, suits=suits)], self._taken, self._bodies, self._plan.sheet)
        lines = leaders(place.at)
        line = next(filter(is_clear, lines), lines[0] if lines else None)
        for point in along(line) if line is not None else ():
            self._taken.take(around(point, _TOUCH, _TOUCH))
        self.made.append(Plate(one.words, around(place.at, *want.size), one.falls_short, line))

    def _is_clear(self, line: Line, home: Point | None) -> bool:
        """Return whether a leader crosses no name but that at its home, no plate and no other leader."""
        if any(cuts(line, box) for box in self._plan.names if home is None or _off(home, box) > _OWN):
            return False
        return not any(cuts(line, one.box) or (one.leader and meet(line, one.leader)) for one in self.made)


def _lines(stroke: Stroke) -> list[Line]:
    return [(on_sheet(*a), on_sheet(*b)) for a, b in pairwise(stroke.points)]


def _size(words: str, letters: float) -> tuple[float, float]:
    return advance("label", words, letters) + 10 * letters, _HIGH * letters


def _at_mark(mark: Mark, bodies: Mapping[str, Box], letters: float) -> tuple[Wanted, Box | None]:
    """Return what the plate of a mark asks for, and the footprint it is at: on it where that is large enough."""
    at, size = on_sheet(*mark.at), _size(mark.words, letters)
    if mark.beside:
        spots = [Point(at.x, at.y + y) for y in (-_CLEAR - size[1] / 2, _CLEAR + size[1] * 1.5)]
        spots += [Point(at.x + x, at.y) for x in (_CLEAR + size[0] / 2, -_CLEAR - size[0] / 2)]
        return Wanted(size, tuple(spots), at, reach=_NEAR_REACH), None
    here = [name for name, box in bodies.items() if box.holds(at)]
    own = min(here, key=lambda name: _area(bodies[name]), default="")
    if own and not _has_room(bodies[own], size):
        return Wanted(size, tuple(_around(bodies[own], size)), at, reach=_REACH), bodies[own]
    shifts = ((0, 0), (0, -1.1), (0, 1.1), (1.1, 0), (-1.1, 0))
    spots = [Point(at.x + x * size[0], at.y + y * size[1]) for x, y in shifts]
    return Wanted(size, tuple(spots), at, own, reach=_REACH), bodies.get(own)


def _has_room(body: Box, size: tuple[float, float]) -> bool:
    """Return whether enough of a footprint is still seen beside a plate that lies on it."""
    return body.right - body.left >= size[0] * _WIDER and body.bottom - body.top >= size[1] * _HIGHER


def _around(body: Box, size: tuple[float, float]) -> Iterator[Point]:
    """Yield the places close beside a footprint."""
    at, half_w, half_h = middle(body), (body.right - body.left + size[0]) / 2, (body.bottom - body.top + size[1]) / 2
    for across, down in ((1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (-1, -1), (1, 1), (-1, 1)):
        yield Point(at.x + across * (half_w + _NEAR), at.y + down * (half_h + _NEAR))


def _area(box: Box) -> float:
    return (box.right - box.left) * (box.bottom - box.top)


def _along(stroke: Stroke, own: str, letters: float) -> Wanted:
    """Return a plate on its line, the longest stretch first, else close beside it."""
    size = _size(stroke.words, letters)
    lines = sorted(_lines(stroke), key=lambda line: -math.dist(*line))
    on, beside = [], []
    for a, b in lines:
        upright = abs(a.x - b.x) < abs(a.y - b.y)
        off = (size[0] / 2 + _ASIDE, 0.0) if upright else (0.0, size[1] / 2 + _ASIDE)
        for part in _STEPS:
            at = Point(a.x + (b.x - a.x) * part, a.y + (b.y - a.y) * part)
            on.append(at)
            beside += [Point(at.x + way * off[0], at.y + way * off[1]) for way in (1, -1)]
    return Wanted(size, (*on, *beside), on[0], own, reach=_REACH)


def _led(box: Box, points: Sequence[Sequence[Point]], body: Box | None = None) -> list[Line]:
    """Return the lines from a plate to each stretch of what it is about, nearest first; none where it lies at it."""
    if body is not None and box.meets(body.grown(_ASIDE)):
        return []
    starts = sorted((min(some, key=lambda point: _off(point, box)) for some in points), key=lambda at: _off(at, box))
    if _off(starts[0], box) <= _ASIDE + 1:
        return []
    return [(at, Point(min(max(at.x, box.left), box.right), min(max(at.y, box.top), box.bottom))) for at in starts]


def _off(point: Point, box: Box) -> float:
    across = max(box.left - point.x, 0.0, point.x - box.right)
    return math.hypot(across, max(box.top - point.y, 0.0, point.y - box.bottom))
