"""Where the words of an overlay stand: on their line where that hides nothing, else aside with a leader to it.

No plate lies on another, on a name, a mark, a footprint but its own, nor on somebody else's line. No painting.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from msgspec import Struct

from app.canvas.badge_places import Wanted, spread
from app.canvas.fonts import advance
from app.canvas.ground import Ground, Line, along, around
from app.canvas.layout import Box, Point
from app.canvas.stage_layout import on_sheet
from rigcore.lists.overlays import Mark, Overlay, Stroke

_HIGH, _CLEAR, _ASIDE = 17.0, 20.0, 4.0
_STEPS = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)
_REACH = 420.0
"""How far from its thing a plate may lie before it would rather hide something."""

_TOUCH = 3.0


class Plate(Struct, frozen=True):
    """Words on a plate, whether they tell of something that falls short, and the line to what they are about."""

    words: str
    box: Box
    bad: bool = False
    leader: Line | None = None


class Plan(Struct, frozen=True):
    """What lies on the plan: boxes no plate may cover, footprints by name, and the sheet a plate must stay on."""

    taken: Sequence[Box]
    bodies: Mapping[str, Box]
    sheet: Box


def plates(shown: Overlay, plan: Plan, letters: float) -> list[Plate]:
    """Return the words of an overlay with their places."""
    strokes = [one for one in shown.strokes if one.words]
    bodies = Ground((box, name) for name, box in plan.bodies.items())
    for n, stroke in enumerate(strokes):
        for line in _lines(stroke):
            for point in along(line):
                bodies.take(around(point, _TOUCH, _TOUCH), f"stroke {n}")
    wanted = [_at_mark(mark, plan.bodies, letters) for mark in shown.marks]
    wanted += [_along(stroke, f"stroke {n}", letters) for n, stroke in enumerate(strokes)]
    places = spread(wanted, Ground((box, "") for box in plan.taken), bodies, plan.sheet)
    boxes = [around(place.at, *want.size) for want, place in zip(wanted, places, strict=True)]
    count = len(shown.marks)
    made = [
        Plate(mark.words, box, mark.falls_short, leader=_led(box, [(want.home, want.home)], plan.bodies.get(want.own)))
        for mark, want, box in zip(shown.marks, wanted[:count], boxes[:count], strict=True)
    ]
    return made + [
        Plate(stroke.words, box, stroke.falls_short, _led(box, _lines(stroke)))
        for stroke, box in zip(strokes, boxes[count:], strict=True)
    ]


def _lines(stroke: Stroke) -> list[Line]:
    return [(on_sheet(*a), on_sheet(*b)) for a, b in pairwise(stroke.points)]


def _size(words: str, letters: float) -> tuple[float, float]:
    return advance("label", words, letters) + 10 * letters, _HIGH * letters


def _at_mark(mark: Mark, bodies: Mapping[str, Box], letters: float) -> Wanted:
    at, size = on_sheet(*mark.at), _size(mark.words, letters)
    if mark.beside:
        spots = [Point(at.x, at.y + y) for y in (-_CLEAR - size[1] / 2, _CLEAR + size[1] * 1.5)]
        spots += [Point(at.x + x, at.y) for x in (_CLEAR + size[0] / 2, -_CLEAR - size[0] / 2)]
        return Wanted(size, tuple(spots), at, reach=_REACH)
    here = [name for name, box in bodies.items() if box.holds(at)]
    own = min(here, key=lambda name: _area(bodies[name]), default="")
    shifts = ((0, 0), (0, -1.1), (0, 1.1), (1.1, 0), (-1.1, 0))
    spots = [Point(at.x + x * size[0], at.y + y * size[1]) for x, y in shifts]
    return Wanted(size, tuple(spots), at, own, reach=_REACH)


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


def _led(box: Box, lines: Sequence[Line], body: Box | None = None) -> Line | None:
    """Return the line from a plate to the nearest place of what it is about; None where it lies on it or at it."""
    if body is not None and box.meets(body.grown(_ASIDE)):
        return None
    near = [(_off(point, box), point) for line in lines for point in along(line)]
    far, start = min(near, key=lambda one: one[0])
    if far <= _ASIDE + 1:
        return None
    return start, Point(min(max(start.x, box.left), box.right), min(max(start.y, box.top), box.bottom))


def _off(point: Point, box: Box) -> float:
    across = max(box.left - point.x, 0.0, point.x - box.right)
    return math.hypot(across, max(box.top - point.y, 0.0, point.y - box.bottom))
