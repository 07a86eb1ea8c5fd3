"""Where selected cards go when they are lined up or spread out: pure arithmetic. No painting, no Qt."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from app.canvas.layout import Box, Point

Line = Literal["left", "top", "centre"]
Way = Literal["across", "down"]


def aligned(cards: Mapping[str, Box], line: Line) -> dict[str, Point]:
    """Return the places of cards with their left or upper edges, or their middles, on one line.

    The line is that of the card furthest left, or furthest up; for middles, of the mean.

    >>> boxes = {"a": Box(0, 0, 10, 10), "b": Box(4, 20, 24, 30)}
    >>> aligned(boxes, "left")["b"], aligned(boxes, "centre")["a"]
    (Point(x=0, y=20), Point(x=4.5, y=0))
    """
    if not cards:
        return {}
    left = min(box.left for box in cards.values())
    top = min(box.top for box in cards.values())
    centre = sum((box.left + box.right) / 2 for box in cards.values()) / len(cards)
    if line == "left":
        return {name: Point(left, box.top) for name, box in cards.items()}
    if line == "top":
        return {name: Point(box.left, top) for name, box in cards.items()}
    return {name: Point(centre - (box.right - box.left) / 2, box.top) for name, box in cards.items()}


def spread_out(cards: Mapping[str, Box], way: Way) -> dict[str, Point]:
    """Return the places of cards with equal gaps between them, the first and the last staying where they are.

    Gaps are never negative: cards that overlap in sum are laid edge to edge from the first on.

    >>> row = {"a": Box(0, 0, 10, 10), "b": Box(12, 0, 22, 10), "c": Box(50, 0, 60, 10)}
    >>> spread_out(row, "across")["b"]
    Point(x=25.0, y=0)
    """
    if len(cards) < 3:
        return {name: Point(box.left, box.top) for name, box in cards.items()}
    across = way == "across"
    order = sorted(cards, key=lambda name: _span(cards[name], across=across))
    spans = [_span(cards[name], across=across) for name in order]
    room = spans[-1][1] - spans[0][0] - sum(high - low for low, high in spans)
    gap = max(0.0, room / (len(order) - 1))
    at, places = spans[0][0], {}
    for name, (low, high) in zip(order, spans, strict=True):
        box = cards[name]
        places[name] = Point(at, box.top) if across else Point(box.left, at)
        at += high - low + gap
    return places


def _span(box: Box, *, across: bool) -> tuple[float, float]:
    return (box.left, box.right) if across else (box.top, box.bottom)
