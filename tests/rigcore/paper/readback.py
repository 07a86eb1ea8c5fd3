"""Reading finished packets back with two libraries, and measuring where their characters lie."""

from __future__ import annotations

import io
import re
import unicodedata
from functools import lru_cache

import pypdf
import pypdfium2

Box = tuple[float, float, float, float]
TOUCH_PT = 2.0
"""Boxes of accents and descenders of neighbouring lines may share so much."""

CELL_PT = 12.0


def pdfium_pages(data: bytes) -> list[str]:
    """Return the text of every page as pdfium reads it."""
    return [page.get_textpage().get_text_bounded().replace("\r\n", "\n") for page in pypdfium2.PdfDocument(data)]


def pypdf_pages(data: bytes, most: int | None = None) -> list[str]:
    """Return the text of every page, or of so many, as pypdf reads it."""
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data), strict=True).pages[:most]]


def squeezed(text: str) -> str:
    """Return a text without blanks."""
    return re.sub(r"\s+", "", text)


@lru_cache(maxsize=2)
def characters(data: bytes) -> list[tuple[tuple[float, float], list[tuple[str, Box]]]]:
    """Return of every page its size and its visible characters with their boxes, marks left out."""
    pages = []
    for page in pypdfium2.PdfDocument(data):
        text = page.get_textpage()
        words = text.get_text_range()
        count = text.count_chars()
        found = []
        if len(words) == count:
            for place, char in enumerate(words):
                box = text.get_charbox(place)
                if box[2] > box[0] and box[3] > box[1] and unicodedata.category(char)[0] != "M":
                    found.append((char, box))
        else:
            boxes = [text.get_charbox(place) for place in range(count)]
            found = [("?", box) for box in boxes if box[2] > box[0] and box[3] > box[1]]
        pages.append((page.get_size(), found))
    return pages


def outside(data: bytes, margin_pt: float) -> list[tuple[str, Box]]:
    """Return the characters nearer to the edge of their page than a margin in points."""
    return [
        (char, box)
        for (wide, high), found in characters(data)
        for char, box in found
        if box[0] < margin_pt or box[1] < margin_pt or box[2] > wide - margin_pt or box[3] > high - margin_pt
    ]


def overlaps(data: bytes) -> list[tuple[str, str, Box, Box]]:
    """Return the pairs of characters that lie on one another."""
    bad = []
    for _, found in characters(data):
        cells: dict[tuple[int, int], list[tuple[str, Box]]] = {}
        for one in found:
            left, low, right, high = (int(side // CELL_PT) for side in one[1])
            for cell in ((x, y) for x in range(left, right + 1) for y in range(low, high + 1)):
                cells.setdefault(cell, []).append(one)
        for here in cells.values():
            bad += [
                (char, other, box, other_box)
                for place, (char, box) in enumerate(here)
                for other, other_box in here[place + 1:]
                if min(box[2], other_box[2]) - max(box[0], other_box[0]) > TOUCH_PT
                and min(box[3], other_box[3]) - max(box[1], other_box[1]) > TOUCH_PT
            ]
    return bad
