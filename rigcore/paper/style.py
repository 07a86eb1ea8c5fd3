"""How the sheets look: papers, greys, letterings, and text that is safe to print.

User text is cleaned, split by what the fonts hold, and drawn literally; it is
never read as mark-up. What no font holds becomes a hollow square. Nothing here
knows what a gig is.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from rigcore.paper.fonts import FILES, SQUARE_EM, Face, em_width, font_of, own_widths
from rigcore.rules.words import pieces

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

Align = Literal["left", "right", "centre"]

PAPERS: dict[str, tuple[float, float]] = {"A4": (595.2756, 841.8898), "Letter": (612.0, 792.0)}
"""Width and height in points."""

MARGIN_PT = 36.0
SMALLEST_PT = 9.0
"""Nothing on a sheet is smaller."""

BLACK, DARK, MIDDLE, LIGHT, PALE = 0.0, 0.25, 0.42, 0.78, 0.945
"""Greys that survive a copier: text is never lighter than MIDDLE."""

SQUARE = "□"
"""Stands in a run for a character no font has; drawn as a hollow square."""

_NARROWER: dict[Face, Face] = {"regular": "condensed", "bold": "condensed-bold"}


class Lettering(Struct, frozen=True):
    """A face at a size (points) in a grey (0 black, 1 white)."""

    face: Face = "regular"
    size: float = 10.0
    grey: float = BLACK

    def at(self, size: float) -> Lettering:
        """Return the same lettering at another size in points."""
        return Lettering(self.face, size, self.grey)

    def narrower(self) -> Lettering:
        """Return the condensed sister, or itself."""
        return Lettering(_NARROWER.get(self.face, self.face), self.size, self.grey)


TITLE = Lettering("bold", 22)
SUBTITLE = Lettering("regular", 11, DARK)
HEADING = Lettering("bold", 12)
BODY = Lettering("regular", 10)
STRONG = Lettering("bold", 10)
NAME = Lettering("bold", 11)
CELL = Lettering("condensed", 10)
CELL_STRONG = Lettering("condensed-bold", 10)
SMALL = Lettering("regular", SMALLEST_PT, MIDDLE)
SMALL_DARK = Lettering("regular", SMALLEST_PT, DARK)
FIGURE = Lettering("bold", 15)


@lru_cache(maxsize=4096)
def clean(text: str) -> str:
    """Return user text as one printable line: NFC, blanks made plain; controls, marks of direction and what is
    no character at all (XML 1.0 forbids those too) dropped.

    >>> clean("Zoe\\u0308\\tkeys\\x07\\u202e L")
    'Zoë keys L'
    """
    plain = []
    for char in unicodedata.normalize("NFC", text):
        category = unicodedata.category(char)
        if category[0] == "Z" or char in "\t\n\r\v\f":
            plain.append(" ")
        elif category not in ("Cc", "Cf", "Cs") and ord(char) & 0xFFFE != 0xFFFE:
            plain.append(char)
    return " ".join("".join(plain).split())


@lru_cache(maxsize=8192)
def runs(text: str, face: Face) -> tuple[tuple[str, str], ...]:
    """Return clean text as runs of (font name, characters); a run named ``""`` is hollow squares."""
    text = clean(text)
    if not text:
        return ()
    if _own_em(text, face) is not None:
        return ((FILES[face], text),)
    made: list[tuple[str, str]] = []
    for char in text:
        name = font_of(char, face)
        if made and made[-1][0] == name:
            made[-1] = (name, made[-1][1] + char)
        else:
            made.append((name, char))
    return tuple(made)


def unprintable(text: str) -> str:
    """Return the characters of a text that no font holds, in their order.

    >>> unprintable("Keys 鍵 L")
    '鍵'
    """
    return "".join(chars for name, chars in runs(text, "regular") if not name)


def _own_em(text: str, face: Face) -> float | None:
    """Return the width of a clean text at one point of size if its own face holds all of it, else None."""
    try:
        return sum(map(own_widths()[face].__getitem__, text))
    except KeyError:
        return None


@lru_cache(maxsize=16384)
def _em(text: str, face: Face) -> float:
    """Return the width of a text at one point of size."""
    own = _own_em(clean(text), face)
    return own if own is not None else sum(em_width(name, chars) for name, chars in runs(text, face))


def width_pt(text: str, lettering: Lettering) -> float:
    """Return the width of a text in points."""
    return _em(text, lettering.face) * lettering.size


def fitted(text: str, lettering: Lettering, room_pt: float) -> tuple[str, Lettering]:
    """Return the text and lettering that fit a width: first narrower, then smaller, then elided."""
    text = clean(text)
    for one in (lettering, lettering.narrower()):
        if width_pt(text, one) <= room_pt:
            return text, one
    narrow = lettering.narrower()
    width = _em(text, narrow.face)
    if width * SMALLEST_PT <= room_pt:
        return text, narrow.at(max(SMALLEST_PT, room_pt / width - 0.01))
    smallest = narrow.at(min(SMALLEST_PT, narrow.size))
    return _elided(text, smallest, room_pt), smallest


def wrapped(text: str, lettering: Lettering, room_pt: float, most: int = 99) -> tuple[str, ...]:
    """Return a text broken at blanks into lines that fit, at most so many; the last one is elided if need be.

    A number stays with its unit, unless words would be cut for it.
    """
    text = clean(text)
    lines = _broken(pieces(text), lettering, room_pt, most)
    if len(lines) > most:
        lines = _broken(text.split(" "), lettering, room_pt, most)
    if len(lines) > most:
        rest = " ".join(lines[most - 1:])
        return (*lines[:most - 1], _elided(rest, lettering, room_pt))
    return tuple(lines)


def _broken(words: list[str], lettering: Lettering, room_pt: float, most: int) -> list[str]:
    """Return words in as many lines as they take, no further than one too many; a word too long is broken itself."""
    lines: list[str] = []
    line = ""
    while words and len(lines) <= most:
        word = words.pop(0)
        trial = f"{line} {word}" if line else word
        if width_pt(trial, lettering) <= room_pt:
            line = trial
            continue
        if line:
            lines.append(line)
            line = ""
            words.insert(0, word)
        elif " " in word:
            words[:0] = word.split(" ")
        else:
            head = max(1, _longest_head(word, lettering, room_pt))
            lines.append(word[:head])
            if word[head:]:
                words.insert(0, word[head:])
    return [*lines, line] if line else lines


def _longest_head(word: str, lettering: Lettering, room_pt: float, tail: str = "") -> int:
    """Return how many characters of a word fit, together with a tail."""
    low, high = 0, len(word)
    while low < high:
        middle = (low + high + 1) // 2
        if width_pt(word[:middle].rstrip() + tail, lettering) <= room_pt:
            low = middle
        else:
            high = middle - 1
    return low


def _elided(text: str, lettering: Lettering, room_pt: float) -> str:
    head = _longest_head(text, lettering, room_pt, "…")
    return text[:head].rstrip() + "…"


class Pen:
    """Draws on one page and remembers the characters it could not print."""

    def __init__(self, canvas: Canvas) -> None:
        own_widths()
        self.canvas = canvas
        self.missing: dict[str, None] = {}

    def text(
        self, at: tuple[float, float], words: str, lettering: Lettering, *,
        room_pt: float | None = None, align: Align = "left",
    ) -> float:
        """Draw a line of text on its baseline and return its width in points.

        Parameters
        ----------
        at
            Left end, middle or right end of the baseline, as ``align`` says, in points.
        room_pt
            Width it must fit in, if any.
        """
        if room_pt is not None:
            words, lettering = fitted(words, lettering, room_pt)
        width = width_pt(words, lettering)
        x = at[0] - {"left": 0.0, "centre": width / 2, "right": width}[align]
        self.canvas.setFillGray(lettering.grey)
        for name, chars in runs(words, lettering.face):
            if name:
                self.canvas.setFont(name, lettering.size)
                self.canvas.drawString(x, at[1], chars)
                x += em_width(name, chars) * lettering.size if len(chars) < len(words) else width
            else:
                x = self._squares(x, at[1], chars, lettering)
        return width

    def _squares(self, x: float, y: float, chars: str, lettering: Lettering) -> float:
        side = lettering.size * 0.56
        for char in chars:
            self.missing[char] = None
            self.frame((x + lettering.size * 0.08, y, side, side), grey=lettering.grey, weight=0.7)
            x += lettering.size * SQUARE_EM
        return x

    def upright(self, at: tuple[float, float], words: str, lettering: Lettering, *, turn: float) -> None:
        """Draw a centred line of text turned by some degrees about a point."""
        self.canvas.saveState()
        self.canvas.translate(*at)
        self.canvas.rotate(turn)
        self.text((0, 0), words, lettering, align="centre")
        self.canvas.restoreState()

    def line(
        self, start: tuple[float, float], end: tuple[float, float], *,
        grey: float = BLACK, weight: float = 0.7, dash: tuple[float, ...] = (),
    ) -> None:
        """Draw a straight line, in points."""
        self._stroke(grey, weight, dash)
        self.canvas.line(*start, *end)

    def frame(
        self, box: tuple[float, float, float, float], *, grey: float = BLACK, weight: float = 0.7,
        fill: float | None = None, radius: float = 0.0,
    ) -> None:
        """Draw a rectangle (x, y, width, height in points); a weight of 0 draws no edge."""
        self._stroke(grey, weight, ())
        if fill is not None:
            self.canvas.setFillGray(fill)
        edge, inside = int(weight > 0), int(fill is not None)
        if radius:
            self.canvas.roundRect(*box, radius, stroke=edge, fill=inside)
        else:
            self.canvas.rect(*box, stroke=edge, fill=inside)

    def shape(
        self, corners: tuple[tuple[float, float], ...], *, grey: float = BLACK, weight: float = 1.0,
        fill: float | None = None, dash: tuple[float, ...] = (),
    ) -> None:
        """Draw a closed shape through some corners, in points."""
        self._stroke(grey, weight, dash)
        if fill is not None:
            self.canvas.setFillGray(fill)
        path = self.canvas.beginPath()
        path.moveTo(*corners[0])
        for corner in corners[1:]:
            path.lineTo(*corner)
        path.close()
        self.canvas.drawPath(path, stroke=1, fill=int(fill is not None))

    def disc(self, at: tuple[float, float], radius: float) -> None:
        """Draw a black disc, in points."""
        self.canvas.setFillGray(BLACK)
        self.canvas.circle(*at, radius, stroke=0, fill=1)

    def _stroke(self, grey: float, weight: float, dash: tuple[float, ...]) -> None:
        self.canvas.setStrokeGray(grey)
        self.canvas.setLineWidth(weight)
        self.canvas.setDash(list(dash))
