"""Where badges lie so that none covers another, nor anything that is to be read: a fixed search. No painting, no Qt."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import chain

from app.canvas.ground import Ground, Line, around
from app.canvas.layout import Point
from rigcore.values import dataclass

RINGS, RING = 90, 6.0
FAR = 34.0
"""How far from its place a badge may lie without a line that leads to it."""


@dataclass(frozen=True)
class Wanted:
    """A badge before it has a place: its room, its favourite places, where it belongs, and whose body it may lie on."""

    size: tuple[float, float]
    spots: tuple[Point, ...]
    home: Point
    own: str = ""


@dataclass(frozen=True)
class BadgePlace:
    """The middle of a badge, and the line that leads to where it belongs if it lies far off."""

    at: Point
    leader: Line | None = None


def spread(wanted: Sequence[Wanted], taken: Ground, bodies: Ground | None = None) -> list[BadgePlace]:
    """Return a place for each badge: on nothing that is taken, and off all bodies but its own where that is possible.

    The places found are noted in ``taken``.
    """
    found = []
    for one in wanted:
        at = _place(one, taken, bodies or Ground())
        taken.take(around(at, *one.size), "badge")
        far = math.dist(at, one.home) - max(one.size) / 2 > FAR
        near_spot = min((math.dist(at, spot) for spot in one.spots), default=1e9) < FAR
        found.append(BadgePlace(at, (one.home, at) if far and not near_spot else None))
    return found


def _place(one: Wanted, taken: Ground, bodies: Ground) -> Point:
    fallback = None
    for at in chain(one.spots, _rings(one.home)):
        box = around(at, *one.size)
        if taken.is_taken(box):
            continue
        if not bodies.is_taken(box, but=one.own or None):
            return at
        fallback = fallback or at
        if math.dist(at, one.home) > 3 * FAR:
            return fallback
    return fallback or one.home


def _rings(home: Point) -> Iterator[Point]:
    for ring in range(2, RINGS):
        for turn in range(16):
            angle = math.pi * (turn * 7 % 16 + 0.5) / 8
            yield Point(home.x + ring * RING * math.cos(angle), home.y + ring * RING * math.sin(angle))
