"""Plain tables in sections, flowing over as many sheets as they need, with their heads repeated.

Words are broken, never cut. What stands in the cells comes from the lists.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from rigcore.paper.leaf import SECTION_PT, Job, Leaf
from rigcore.paper.page import MORE, Frame
from rigcore.paper.style import (
    BODY,
    CELL,
    CELL_STRONG,
    HEADING,
    LIGHT,
    PALE,
    SMALL_DARK,
    Align,
    Pen,
    wrapped,
)

TITLE_PT, HEAD_PT, LINE_PT, ROW_PAD_PT = 24.0, 17.0, 12.0, 7.0
CELL_PAD_PT = 8.0
GAP_PT = 8.0
TICK_PT = 8.5
MOST_LINES = 40
"""Lines of one cell; 2,000 characters, the most a text may have, need fewer in all but the narrowest columns."""


class Head(Struct, frozen=True):
    """A column: its head, its least width in points, its share of what is left over, and how its cells look."""

    words: str
    least_pt: float
    share: float = 0.0
    align: Align = "left"
    strong: bool = False
    tick: bool = False


class Section(Struct, frozen=True):
    """A table with a title; ``none`` stands there when it has no rows, ``note`` below it.

    ``leading`` tables say what their first column says only where it changes, and draw a line there.
    """

    title: str
    heads: tuple[Head, ...]
    rows: tuple[tuple[str, ...], ...]
    none: str = "nothing"
    note: str = ""
    leading: bool = False


class Strip(Struct, frozen=True):
    """One strip of a page over its whole width: a title, a head, a row, or words."""

    height: float
    section: Section
    kind: str
    cells: tuple[tuple[str, ...], ...] = ()
    shaded: bool = False
    ruled: bool = False
    words: str = ""
    lead: tuple[str, ...] = ()


def grid_leaves(job: Job, title: str, sections: Sequence[Section], aside: str = "") -> tuple[Leaf, ...]:
    """Return the sheets of some tables, one under the other."""
    strips = [strip for section in sections for strip in _strips(section, job.frame)]
    pages: list[list[Strip]] = [[]]
    left = job.room_pt
    for place, strip in enumerate(strips):
        if _kept(strips, place) > left and pages[-1]:
            pages.append(_again(strip))
            left = job.room_pt - sum(one.height for one in pages[-1])
            if strip.lead:
                strip = replace(strip, cells=(strip.lead, *strip.cells[1:]), ruled=False)
        pages[-1].append(strip)
        left -= strip.height
    return tuple(
        Leaf(title if not number else f"{title}{MORE}", partial(_draw, page), aside)
        for number, page in enumerate(pages)
    )


def _kept(strips: Sequence[Strip], place: int) -> float:
    """Return the height of a strip together with those it must not be parted from: titles and heads lead on."""
    height = strips[place].height
    while strips[place].kind in ("title", "head") and place + 1 < len(strips):
        place += 1
        height += strips[place].height
    return height


def _again(strip: Strip) -> list[Strip]:
    """Return what is repeated at the top of a sheet that goes on with a table."""
    if strip.kind != "row":
        return []
    section = strip.section
    title = [Strip(TITLE_PT, section, "title", words=f"{section.title}{MORE}")] if section.title else []
    return [*title, *_head(section)]


def _head(section: Section) -> list[Strip]:
    return [Strip(HEAD_PT, section, "head")] if any(head.words for head in section.heads) else []


def _strips(section: Section, frame: Frame) -> Iterator[Strip]:
    if section.title:
        yield Strip(TITLE_PT, section, "title", words=section.title)
    if not section.rows:
        yield Strip(LINE_PT + ROW_PAD_PT, section, "words", words=section.none)
        yield Strip(GAP_PT, section, "gap")
        return
    yield from _head(section)
    before = None
    for number, row in enumerate(section.rows):
        fresh = not section.leading or row[0] != before
        words = row if fresh else ("", *row[1:])
        before = row[0]
        cells = tuple(
            wrapped(text, CELL_STRONG if head.strong else CELL, width - CELL_PAD_PT, MOST_LINES)
            for text, (head, _, width) in zip(words, _columns(section, frame), strict=True)
        )
        lines = max(1, *(len(cell) for cell in cells))
        lead = wrapped(row[0], CELL_STRONG, section.heads[0].least_pt - CELL_PAD_PT, 1) if section.leading else ()
        yield Strip(
            ROW_PAD_PT + LINE_PT * lines, section, "row", cells,
            shaded=not section.leading and number % 2 == 0, ruled=section.leading and fresh and number > 0, lead=lead,
        )
    for line in wrapped(section.note, SMALL_DARK, frame.right - frame.left - 4) if section.note else ():
        yield Strip(LINE_PT, section, "note", words=line)
    yield Strip(GAP_PT, section, "gap")


def _columns(section: Section, frame: Frame) -> list[tuple[Head, float, float]]:
    """Return each column with its left edge and width in points."""
    wide = frame.right - frame.left
    spare = wide - sum(head.least_pt for head in section.heads)
    shares = sum(head.share for head in section.heads) or 1.0
    made, x = [], frame.left
    for head in section.heads:
        width = head.least_pt + spare * head.share / shares
        made.append((head, x, width))
        x += width
    return made


def _draw(strips: Sequence[Strip], pen: Pen, frame: Frame) -> None:
    y = frame.top - SECTION_PT
    for strip in strips:
        if strip.kind == "title":
            pen.text((frame.left, y - 17), strip.words, HEADING, room_pt=frame.right - frame.left)
        elif strip.kind == "head":
            _draw_head(pen, strip.section, frame, y)
        elif strip.kind == "row":
            _draw_row(pen, strip, frame, y)
        elif strip.words:
            lettering = SMALL_DARK if strip.kind == "note" else BODY
            pen.text((frame.left + 2, y - 10), strip.words, lettering, room_pt=frame.right - frame.left - 4)
        y -= strip.height


def _draw_head(pen: Pen, section: Section, frame: Frame, top: float) -> None:
    for head, x, width in _columns(section, frame):
        at = x + 2 if head.align == "left" else x + width - 6
        pen.text((at, top - 10), head.words, SMALL_DARK, room_pt=width - 4, align=head.align)
    pen.line((frame.left, top - HEAD_PT + 2), (frame.right, top - HEAD_PT + 2), weight=1.1)


def _draw_row(pen: Pen, strip: Strip, frame: Frame, top: float) -> None:
    if strip.shaded:
        pen.frame((frame.left, top - strip.height, frame.right - frame.left, strip.height), weight=0, fill=PALE)
    if strip.ruled:
        pen.line((frame.left, top), (frame.right, top), weight=0.6, grey=LIGHT)
    base = top - 0.5 * ROW_PAD_PT - 9.0
    for lines, (head, x, width) in zip(strip.cells, _columns(strip.section, frame), strict=True):
        if head.tick:
            pen.frame((x + 2, base - 1, TICK_PT, TICK_PT), weight=0.8)
            continue
        at = x + 2 if head.align == "left" else x + width - 6
        for number, line in enumerate(lines):
            pen.text((at, base - number * LINE_PT), line, CELL_STRONG if head.strong else CELL, align=head.align)
