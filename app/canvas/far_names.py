"""Names read from afar: in letters large enough to be read, or not at all; and how far the tape they need may reach.

A card seen from afar is smaller than its name. Its tape then grows over the card's edges, no further than half way to
the next card.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from msgspec import Struct

from app.canvas.fonts import advance, elided, fitted, letters_of, metrics
from app.canvas.ground import around, middle
from app.canvas.layout import Box

LEAST_PX = 8.0
"""Least size of letters on the screen: smaller ones cannot be read and are not written."""

_LIKED_PX = 9.0
"""Size of letters on a tape that reaches over its card, where there is room for it."""

REACH = 48.0
"""How far a tape may grow beyond its card."""

PITCH = 0.92
"""Share of the height of a line that lines lie apart."""

_APART = 3.0
_FEWEST_PX = 15.0
"""Width on the screen below which a name cut short says nothing."""


class Written(Struct, frozen=True):
    """How words are written: face of the table, lines, and by how much the letters are larger."""

    kind: str
    lines: tuple[str, ...]
    scale: float

    @property
    def size(self) -> tuple[float, float]:
        """The room the words take, in sheet units."""
        return max(advance(self.kind, line, self.scale) for line in self.lines), len(self.lines) * self.line

    @property
    def line(self) -> float:
        """How far its lines lie apart."""
        return metrics(self.kind, self.scale).height() * PITCH


@lru_cache(maxsize=4096)
def written(
    words: str, room: tuple[float, float], detail: float, most: float, *, kinds: tuple[str, ...] = ("name", "narrow")
) -> Written | None:
    """Return how a name is written in a room at a scale of the sheet, its letters larger by ``most`` at most.

    It is set in the first of some faces of the table that fits, and cut short only where not even the last one does.
    None where even that would say nothing.
    """
    for kind in kinds:
        least = letters_of(kind, LEAST_PX / detail)
        made = Written(kind, *fitted(kind, words, room, (least, max(least, most))))
        if made.size[0] <= room[0] and made.size[1] <= room[1] + 1:
            return made
    if room[0] * detail < _FEWEST_PX or metrics(kind, least).height() * PITCH > room[1] + 1:
        return None
    lines = made.lines if made.size[1] <= room[1] + 1 else (words,)
    return Written(kind, tuple(elided(kind, line, room[0], least) for line in lines), least)


def strip_for(card: Box, room: Box, words: str, detail: float) -> tuple[Box, Written | None]:
    """Return the strip of tape on a card seen from afar, within a room around the card, and what is written on it."""
    wide, high = room.right - room.left - 6, room.bottom - room.top
    own = Box(card.left + 2.5, card.top + (card.bottom - card.top) * 0.1,
              card.right - 2.5, card.bottom - (card.bottom - card.top) * 0.1)  # fmt: skip
    made = written(words, (own.right - own.left - 6, own.bottom - own.top), detail, 0.75 / max(detail, 0.2))
    if made is None or made.kind != "name":
        made = written(words, (wide, high), detail, _LIKED_PX / 14 / detail)
    if made is None:
        return own, None
    size = (max(made.size[0] + 6, own.right - own.left), max(made.size[1], own.bottom - own.top))
    return _within(around(middle(own), *size), room), made


def _within(box: Box, room: Box) -> Box:
    """Return a box shifted into a room it is no larger than."""
    across = max(room.left - box.left, 0.0) or min(room.right - box.right, 0.0)
    down = max(room.top - box.top, 0.0) or min(room.bottom - box.bottom, 0.0)
    return Box(box.left + across, box.top + down, box.right + across, box.bottom + down)


def rooms_of(boxes: Mapping[str, Box], sheet: Box) -> dict[str, Box]:
    """Return for each card the room its tape may take: no two rooms meet, and none leaves the sheet."""
    names = sorted(boxes, key=lambda name: boxes[name].left)
    rooms = {name: list(boxes[name].grown(REACH)) for name in names}
    for n, one in enumerate(names):
        for other in names[n + 1 :]:
            a, b = boxes[one], boxes[other]
            across = b.left - a.right
            if across >= 2 * REACH:
                break
            down = max(b.top - a.bottom, a.top - b.bottom)
            if down >= 2 * REACH:
                continue
            if across >= down:
                reach = max(across / 2 - _APART, 0.0)
                rooms[one][2] = min(rooms[one][2], a.right + reach)
                rooms[other][0] = max(rooms[other][0], b.left - reach)
            else:
                upper, lower = (one, other) if a.top < b.top else (other, one)
                reach = max(down / 2 - _APART, 0.0)
                rooms[upper][3] = min(rooms[upper][3], boxes[upper].bottom + reach)
                rooms[lower][1] = max(rooms[lower][1], boxes[lower].top - reach)
    return {
        name: Box(min(max(left, sheet.left), boxes[name].left), min(max(top, sheet.top), boxes[name].top),
                  max(min(right, sheet.right), boxes[name].right), max(min(bottom, sheet.bottom), boxes[name].bottom))
        for name, (left, top, right, bottom) in rooms.items()
    }  # fmt: skip
