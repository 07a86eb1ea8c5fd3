"""The fonts on paper: our own four faces, and installed ones for the characters these lack.

Our own hold Latin, Greek and Cyrillic. Which font draws a character is decided here; how
text is cleaned and set is not.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import Literal

from rigcore.paper.installed_fonts import InstalledFont, covering
from rigcore.resources import font_file

Face = Literal["regular", "bold", "condensed", "condensed-bold"]

FILES: dict[Face, str] = {
    "regular": "FiraSans-Regular",
    "bold": "FiraSans-SemiBold",
    "condensed": "FiraSansCondensed-Regular",
    "condensed-bold": "FiraSansCondensed-SemiBold",
}

SQUARE_EM = 0.72
"""Width of the hollow square that stands for a character no font holds, at one point of size."""

LARGEST_FONT = 60_000_000


@lru_cache(maxsize=1)
def own_widths() -> dict[Face, dict[str, float]]:
    """Register our four faces and return the width of every character each can print, at one point of size."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    widths: dict[Face, dict[str, float]] = {}
    for face, stem in FILES.items():
        font = TTFont(stem, str(font_file(stem)), asciiReadable=False)
        pdfmetrics.registerFont(font)
        known, default = font.face.charWidths, font.face.defaultWidth
        widths[face] = {
            chr(code): known.get(code, default) * 0.001
            for code in font.face.charToGlyph if _is_printable(chr(code))
        }
    return widths


def _is_printable(char: str) -> bool:
    return char == " " or unicodedata.category(char)[0] in "LMNPS"


@lru_cache(maxsize=8192)
def font_of(char: str, face: Face) -> str:
    """Return the name of the registered font that draws a character in a face; ``""`` if none can."""
    widths = own_widths()
    for one in (face, *(other for other in ("regular", "condensed") if other != face)):
        if char in widths[one]:  # type: ignore[index]
            return FILES[one]  # type: ignore[index]
    for font in covering(char):
        name = _registered(font)
        if name and _holds(name, char):
            return name
    return ""


@lru_cache(maxsize=256)
def _registered(font: InstalledFont) -> str:
    """Register an installed font and return its name, or nothing if it cannot be used."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFError, TTFont

    name = f"Installed-{font.path.stem}-{font.index}"
    try:
        if font.path.stat().st_size > LARGEST_FONT:
            return ""
        pdfmetrics.registerFont(TTFont(name, str(font.path), subfontIndex=font.index, asciiReadable=False))
    except (TTFError, OSError, ValueError, KeyError, IndexError, AssertionError):
        return ""
    return name


def _holds(name: str, char: str) -> bool:
    from reportlab.pdfbase import pdfmetrics

    return bool(pdfmetrics.getFont(name).face.charToGlyph.get(ord(char)))


def em_width(name: str, chars: str) -> float:
    """Return the width of some characters in a registered font at one point of size; squares without a font."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(stringWidth(chars, name, 1.0)) if name else SQUARE_EM * len(chars)
