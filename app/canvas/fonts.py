"""The type on the sheets, as one table; sizes in sheet units (1 unit is 1 px at 100 %)."""

from __future__ import annotations

from functools import cache, lru_cache

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QFontMetricsF

from app.theme import CONDENSED, FAMILY

_FACES: dict[str, tuple[str, float, QFont.Weight]] = {
    "name": (FAMILY, 14.0, QFont.Weight.DemiBold),
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


@cache
def metrics(kind: str, scale: float = 1.0) -> QFontMetricsF:
    """Return the measures of a font of the table."""
    return QFontMetricsF(font(kind, scale))


@lru_cache(maxsize=4096)
def elided(kind: str, words: str, width: float, scale: float = 1.0) -> str:
    """Return words cut to a width, with an ellipsis if need be."""
    return metrics(kind, scale).elidedText(words, Qt.TextElideMode.ElideRight, width)
