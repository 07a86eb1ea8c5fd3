"""Where badges lie so that none covers another, nor anything that is to be read: a fixed search. No painting, no Qt."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import chain

from msgspec import Struct

from app.canvas.ground import Ground, Line, around
from app.canvas.layout import Box, Point

RINGS, RING = 90, 6.0
FAR = 34.0
"""How far from its place a badge may lie without a line that leads to it."""


class Wanted(Struct, frozen=True):
    """A badge before it has a place: its room, its favourite places, where it belongs, and whose body it may lie on.

    Further off than ``reach`` it would rather lie on some other body. ``on_edge`` says that it lies on the edge of
    what it belongs to. Where ``suits`` says no it would rather not lie.
    """

    size: tuple[float, float]
    spots: tuple[Point, ...]
    home: Point
    own: str = ""
    reach: float = 3 * FAR
    on_edge: bool = False
    suits: Callable[[Point], bool] | None = None


class BadgePlace(Struct, frozen=True):
    """The middle of a badge, and the line that leads to where it belongs if it lies far off.

    ``grows`` says which way it grows where it is drawn larger: -1 up, 1 down, 0 all round.
    """

    at: Point
    leader: Line | None = None
    grows: int = 0


def spread(
    wanted: Sequence[Wanted],
    taken: Ground,
    bodies: Ground | None = None,
    sheet: Box | None = None,
    *,
    stride: float = 1.0,
    leave: float = math.inf,
) -> list[BadgePlace]:
    """Return a place for each badge: on nothing that is taken, and off all bodies but its own where that is possible.

    The places found are noted in ``taken``; all lie within ``sheet`` if there is one. Places further
    from where a badge belongs are tried in steps longer by ``stride``, none further off than ``leave``: a badge
    that finds none within has no place.
    """
    found = []
    for one in wanted:
        at = _place(one, (taken, bodies or Ground()), sheet, (stride, leave))
        if at is None:
            continue
        near_spot = min((math.dist(at, spot) for spot in one.spots), default=1e9) < FAR
        taken.take(around(at, *one.size), "badge")
        far = math.dist(at, one.home) - max(one.size) / 2 > FAR
        grows = (1 if at.y > one.home.y else -1) if one.on_edge else 0
        found.append(BadgePlace(at, (one.home, at) if far and not near_spot else None, grows))
    return found


def _place(
    one: Wanted, grounds: tuple[Ground, Ground], sheet: Box | None, steps: tuple[float, float]
) -> Point | None:
    (taken, bodies), unsuited, hiding = grounds, None, None
    for at in chain(one.spots, _rings(one.home, *steps)):
        box = around(at, *one.size)
        if taken.is_taken(box) or (sheet is not None and not _within(box, sheet)):
            continue
        if bodies.is_taken(box, but=one.own or None):
            hiding = hiding or at
        elif one.suits is None or one.suits(at):
            return at
        else:
            unsuited = unsuited or at
        if math.dist(at, one.home) > one.reach:
            break
    return unsuited or hiding or (one.home if steps[1] == math.inf else None)


def _within(box: Box, sheet: Box) -> bool:
    return sheet.holds((box.left, box.top)) and sheet.holds((box.right, box.bottom))


def _rings(home: Point, stride: float, leave: float) -> Iterator[Point]:
    for ring in range(2, RINGS):
        if ring * RING * stride > leave:
            return
        for turn in range(16):
            angle = math.pi * (turn * 7 % 16 + 0.5) / 8
            away = ring * RING * stride
            yield Point(home.x + away * math.cos(angle), home.y + away * math.sin(angle))
