"""The type on the sheets, as one table; sizes in sheet units (1 unit is 1 px at 100 %)."""

from __future__ import annotations

import math
from functools import cache, lru_cache

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QFontMetricsF

from app.theme import CONDENSED, FAMILY, load_face
from rigcore.rules.words import pieces

_FACES: dict[str, tuple[str, float, QFont.Weight]] = {
    "name": (FAMILY, 14.0, QFont.Weight.DemiBold),
    "narrow": (CONDENSED, 14.0, QFont.Weight.DemiBold),
    "gear": (FAMILY, 11.5, QFont.Weight.Normal),
    "label": (CONDENSED, 11.0, QFont.Weight.Normal),
    "number": (FAMILY, 11.5, QFont.Weight.DemiBold),
    "tile": (FAMILY, 12.5, QFont.Weight.DemiBold),
    "free": (FAMILY, 11.5, QFont.Weight.Normal),
    "edge": (FAMILY, 11.0, QFont.Weight.Medium),
    "badge": (FAMILY, 12.0, QFont.Weight.Bold),
    "hint": (FAMILY, 15.0, QFont.Weight.Normal),
    "glyph": (FAMILY, 12.0, QFont.Weight.Medium),
}


@cache
def font(kind: str, scale: float = 1.0) -> QFont:
    """Return a font of the table, larger or smaller by a factor."""
    family, size, weight = _FACES[kind]
    if kind == "narrow":
        load_face("FiraSansCondensed-SemiBold")
    made = QFont(family)
    made.setPixelSize(max(1, round(size * scale)))
    made.setWeight(weight)
    if kind == "edge":
        made.setLetterSpacing(QFont.SpacingType.AbsoluteSpacing, 1.0)
    return made


def readable(detail: float, most: float = 2.25) -> float:
    """Return by how much letters must grow to be read at a scale, in quarter steps.

    >>> readable(1.0), readable(0.5), readable(0.1)
    (1.0, 1.75, 2.25)
    """
    return round(min(max(1.0, 0.9 / max(detail, 0.05)), most) * 4) / 4


def letters_at(detail: float) -> float:
    """Return how large names are written at a scale, in quarter steps: legible from afar, more of them from near.

    >>> letters_at(0.5), letters_at(1.0), letters_at(2.0)
    (1.75, 1.0, 0.75)
    """
    if detail <= 1.0:
        return readable(detail)
    return max(0.5, round(min(1.0, 1.4 / detail) * 4) / 4)


def letters_of(kind: str, size: float) -> float:
    """Return by how much letters of a kind must grow to be at least so large, in sheet units; 1 if they are.

    >>> letters_of("label", 12.4) * 11, letters_of("label", 8.0)
    (13.0, 1.0)
    """
    usual = _FACES[kind][1]
    return max(1.0, math.ceil(size - 1e-6) / usual)


@cache
def metrics(kind: str, scale: float = 1.0) -> QFontMetricsF:
    """Return the measures of a font of the table."""
    return QFontMetricsF(font(kind, scale))


@lru_cache(maxsize=4096)
def advance(kind: str, words: str, scale: float = 1.0) -> float:
    """Return how wide words are written in a font of the table."""
    return metrics(kind, scale).horizontalAdvance(words)


@lru_cache(maxsize=4096)
def elided(kind: str, words: str, width: float, scale: float = 1.0) -> str:
    """Return words cut to a width, with an ellipsis if need be."""
    if advance(kind, words, scale) <= width:
        return words
    return metrics(kind, scale).elidedText(words, Qt.TextElideMode.ElideRight, width)


@lru_cache(maxsize=4096)
def fitted(
    kind: str, words: str, room: tuple[float, float], scales: tuple[float, float]
) -> tuple[tuple[str, ...], float]:
    """Return words in one line or two, in the largest letters between two scales in which they fit a room.

    One line is taken where two would be no larger. Where they do not even fit in the smallest letters, they come in
    those; who paints elides.
    """
    least, most = scales
    lines = max(_lines(kind, words), key=lambda one: min(most, _scale_for(kind, one, room)))
    scale = math.floor(max(least, min(most, _scale_for(kind, lines, room))) * 16) / 16
    return lines, max(scale, 1 / 16)


def _scale_for(kind: str, lines: tuple[str, ...], room: tuple[float, float]) -> float:
    widest = max(advance(kind, line) for line in lines)
    # Pixel sizes are whole: a little room is kept for rounding up.
    return min(room[0] / (widest * 1.03 + 1), room[1] / (len(lines) * metrics(kind).height() * 0.92))


def _lines(kind: str, words: str) -> list[tuple[str, ...]]:
    """Return the ways to write words: in one line, or parted at the blank that makes two lines most alike."""
    parts = pieces(words)
    if len(parts) < 2:
        return [(words,)]
    pairs = [(" ".join(parts[:n]), " ".join(parts[n:])) for n in range(1, len(parts))]
    return [(words,), min(pairs, key=lambda pair: max(advance(kind, line) for line in pair))]
