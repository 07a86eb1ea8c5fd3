"""Where the ties of a loom lie: across the place where most of its cables run side by side. No painting, no Qt."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from msgspec import Struct

from app.canvas.layout import Box, Point
from app.canvas.routes import LANE, Way

CLOSE = 6 * LANE + 4
"""Cables no further apart than this lie side by side: as far as those of two neighbouring ports."""

SPARE, THICK = 5.0, 9.0
LEAST = 26.0
"""Shortest stretch worth tying."""


class Tie(Struct, frozen=True):
    """A tie across the cables of a loom; ``upright`` says the cables stand upright where it lies."""

    loom: str
    box: Box
    upright: bool
    cables: int


def tie_looms(ways: Mapping[str, Sequence[Way]]) -> list[Tie]:
    """Return one tie for each loom that has two cables side by side somewhere; ``ways`` are those of each loom.

    >>> down = [tuple(Point(x, y) for y in (0.0, 90.0)) for x in (0.0, 7.0)]
    >>> tie_looms({"tails": down})[0].box
    Box(left=-5.0, top=40.5, right=12.0, bottom=49.5)
    """
    found = []
    for loom, lying in ways.items():
        ties = [tie for upright in (True, False) for tie in _ties(loom, lying, upright=upright)]
        if ties:
            found.append(max(ties, key=lambda tie: (tie.cables, -_wide(tie), tie.upright)))
    return found


def _wide(tie: Tie) -> float:
    return tie.box.right - tie.box.left if tie.upright else tie.box.bottom - tie.box.top


def _ties(loom: str, ways: Sequence[Way], *, upright: bool) -> Iterable[Tie]:
    stretches = [one for way in ways for one in _stretches(way, upright=upright)]
    for lane, low, high in sorted(stretches, key=lambda one: one[1] - one[2]):
        for share in (0.5, 0.3, 0.7):
            at = low + (high - low) * share
            beside = sorted({one[0] for one in stretches if one[1] + THICK <= at <= one[2] - THICK})
            group = _group_of(lane, beside)
            if len(group) > 1:
                yield _tie(loom, group, at, upright=upright)


def _stretches(way: Way, *, upright: bool) -> Iterable[tuple[float, float, float]]:
    """Yield the stretches of one direction as their lane and the two ends along it."""
    for a, b in pairwise(way):
        if (abs(a.x - b.x) < 0.05) == upright and abs(a.x - b.x) + abs(a.y - b.y) >= LEAST:
            yield (a.x, *sorted((a.y, b.y))) if upright else (a.y, *sorted((a.x, b.x)))


def _group_of(lane: float, lanes: Sequence[float]) -> list[float]:
    """Return the lanes that lie side by side with one, each close to the next."""
    group: list[float] = []
    for one in lanes:
        if group and one - group[-1] > CLOSE:
            if lane in group:
                return group
            group = []
        group.append(one)
    return group if lane in group else []


def _tie(loom: str, group: Sequence[float], at: float, *, upright: bool) -> Tie:
    first, last, low, high = group[0] - SPARE, group[-1] + SPARE, at - THICK / 2, at + THICK / 2
    box = Box(first, low, last, high) if upright else Box(low, first, high, last)
    return Tie(loom, box, upright, len(group))


def words_spots(tie: Tie, width: float) -> tuple[Point, ...]:
    """Return where the words of a tie may stand, the middle of them, the best first."""
    middle_x, middle_y = (tie.box.left + tie.box.right) / 2, (tie.box.top + tie.box.bottom) / 2
    left, right = tie.box.left - 5 - width / 2, tie.box.right + 5 + width / 2
    above, below = tie.box.top - 10, tie.box.bottom + 10
    beside = [Point(x, y) for y in (middle_y, above, below) for x in (right, left)]
    return (*beside, Point(middle_x, above), Point(middle_x, below))


def stretches_of(way: Way) -> Iterable[Box]:
    """Yield the stretches of a way as boxes about as wide as a cable."""
    for a, b in pairwise(way):
        yield Box(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y)).grown(2.0)
