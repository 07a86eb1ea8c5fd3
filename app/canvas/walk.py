"""Walking a sheet with the keyboard: the next place in a direction, the next one in reading order."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import NamedTuple, TypeVar

from app.canvas.layout import Point

Place = TypeVar("Place", bound=Hashable)

UP, DOWN, LEFT, RIGHT = (0, -1), (0, 1), (-1, 0), (1, 0)


class Stop(NamedTuple):
    """Somewhere the keyboard can be, by a name and a place on the sheet."""

    name: Hashable
    at: Point


def next_that_way(stops: Sequence[Stop], here: Point, way: tuple[int, int]) -> Stop | None:
    """Return the nearest stop in a direction; what lies straight ahead counts nearer than what lies aside.

    >>> stops = [Stop("a", Point(0, 0)), Stop("b", Point(50, 2)), Stop("c", Point(20, 60))]
    >>> next_that_way(stops, Point(0, 0), RIGHT).name
    'b'
    """
    best, least = None, 1e18
    for stop in stops:
        dx, dy = stop.at.x - here.x, stop.at.y - here.y
        ahead = dx * way[0] + dy * way[1]
        aside = abs(dx * way[1]) + abs(dy * way[0])
        if ahead < 1.0 or aside > ahead * 4 + 40:
            continue
        far = ahead + 2.2 * aside
        if far < least:
            best, least = stop, far
    return best


def in_reading_order(stops: Sequence[Stop], row_height: float = 60.0) -> list[Stop]:
    """Return the stops row by row from the top, each row from the left."""
    ordered: list[Stop] = []
    row: list[Stop] = []
    for stop in sorted(stops, key=lambda one: one.at.y):
        if row and stop.at.y - row[0].at.y > row_height:
            ordered += sorted(row, key=lambda one: one.at.x)
            row = []
        row.append(stop)
    return ordered + sorted(row, key=lambda one: one.at.x)


def next_in_order(stops: Sequence[Stop], name: Hashable | None, *, back: bool) -> Stop | None:
    """Return the stop after (or before) one in reading order, None past the end."""
    ordered = in_reading_order(stops)
    names = [stop.name for stop in ordered]
    if name not in names:
        return (ordered[-1] if back else ordered[0]) if ordered else None
    place = names.index(name) + (-1 if back else 1)
    return ordered[place] if 0 <= place < len(ordered) else None
