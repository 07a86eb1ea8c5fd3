"""The gain page: a table of the gains to dial, and a small ladder of every channel, as vectors.

What is dialled and how much head-room there is comes from the lists; here is only
how it looks, in greys that survive a copier.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from itertools import groupby
from typing import TYPE_CHECKING

from msgspec import Struct

from rigcore.lists.gain_list import GainRow, Ladder, channel_ladders, gain_list, signed, words_of
from rigcore.paper.leaf import SECTION_PT, Job, Leaf
from rigcore.paper.page import Frame
from rigcore.paper.style import (
    BLACK,
    BODY,
    CELL,
    CELL_STRONG,
    DARK,
    HEADING,
    LIGHT,
    MIDDLE,
    NAME,
    PALE,
    SMALL_DARK,
    STRONG,
    Align,
    Lettering,
    Pen,
    width_pt,
    wrapped,
)
from rigcore.patch.ladder import Rung

if TYPE_CHECKING:
    from rigcore.patch.build import Patch

HEAD_PT, ROW_PT, REMARK_PT, TITLE_ROW_PT = 18.0, 19.0, 12.0, 24.0
CARD_PT, CARD_GAP_PT, ACROSS = 137.0, 20.0, 2
PLOT_PT, SCALE_PT, STEP_DB, END_DB = 68.0, 22.0, 40, 20
WIDEST_BAR_PT = 20.0
SCALE = Lettering("condensed", 9.0, DARK)
FIGURE = Lettering("condensed-bold", 9.0)
NOTHING = "Nothing is plugged into an input with a gain."
KEY = "light: down to noise · dark: nominal to peak · heavy line: clip · levels in dBu"

COLUMNS: tuple[tuple[str, float, Align], ...] = (
    ("line", 34.0, "left"), ("arriving", 124.0, "left"), ("input", 124.0, "left"), ("nominal", 56.0, "right"),
    ("peak", 48.0, "right"), ("head-room", 60.0, "right"), ("gain to dial", 76.0, "right"),
)
"""Heads, widths on A4 in points, and sides of the columns."""


class Part(Struct, frozen=True):
    """One strip of a gain page over its whole width: a title, a row of the table, or ladders side by side."""

    height: float
    title: str = ""
    row: GainRow | None = None
    is_shaded: bool = False
    cards: tuple[Ladder, ...] = ()


def gain_leaves(job: Job) -> tuple[Leaf, ...]:
    """Return the gain page of a packet: the gains to dial, and a ladder of every channel."""
    aside = "a gain brings the nominal level to what its stage works at · head-room before any gain"

    def draw(parts: Sequence[Part], pen: Pen, frame: Frame) -> None:
        draw_gain_page(pen, parts, frame, frame.top - SECTION_PT)

    return tuple(
        Leaf("Gains" if not number else "Gains, continued", partial(draw, parts), aside)
        for number, parts in enumerate(gain_pages(job.analysis.patch, job.room_pt))
    )


def gain_pages(patch: Patch, room_pt: float) -> tuple[tuple[Part, ...], ...]:
    """Return what stands on each gain page, given the room of a page in points; a title never ends a page."""
    parts = _parts(patch)
    made: list[list[Part]] = [[]]
    left = room_pt
    for place, part in enumerate(parts):
        after = parts[place + 1].height if part.title and place + 1 < len(parts) else 0.0
        if part.height + after > left and made[-1]:
            made.append([])
            left = room_pt
            if part.row is not None:
                again = Part(TITLE_ROW_PT + HEAD_PT, title=f"{_title(part.row)}, continued")
                made[-1].append(again)
                left -= again.height
        made[-1].append(part)
        left -= part.height
    return tuple(tuple(page) for page in made)


def draw_gain_page(pen: Pen, parts: Sequence[Part], frame: Frame, top: float) -> float:
    """Draw one gain page from a height downwards and return where it ends, in points."""
    y = top
    if not parts:
        pen.text((frame.left, y - 14), NOTHING, BODY)
        return y - 30
    for part in parts:
        if part.row is not None:
            _draw_row(pen, part, frame, y)
        elif part.cards:
            wide = (frame.right - frame.left - CARD_GAP_PT * (ACROSS - 1)) / ACROSS
            for place, card in enumerate(part.cards):
                draw_ladder(pen, card, (frame.left + place * (wide + CARD_GAP_PT), y - 6), wide)
        else:
            pen.text((frame.left, y - 17), part.title, HEADING)
            if part.height > TITLE_ROW_PT:
                _draw_head(pen, frame, y - TITLE_ROW_PT)
            else:
                pen.text((frame.right, y - 17), KEY, SMALL_DARK, align="right")
        y -= part.height
    return y


def _parts(patch: Patch) -> list[Part]:
    parts = []
    for _, rows in groupby(gain_list(patch), key=lambda row: row.owner):
        group = list(rows)
        parts.append(Part(TITLE_ROW_PT + HEAD_PT, title=_title(group[0])))
        for place, row in enumerate(group):
            high = ROW_PT + (REMARK_PT if _remark(row) else 0.0)
            parts.append(Part(high, row=row, is_shaded=place % 2 == 0))
    ladders = channel_ladders(patch)
    if ladders:
        parts.append(Part(TITLE_ROW_PT, title="Ladders of the channels"))
    for start in range(0, len(ladders), ACROSS):
        parts.append(Part(CARD_PT, cards=ladders[start:start + ACROSS]))
    return parts


def _title(row: GainRow) -> str:
    return "Gains at your inputs" if row.owner == "house" else "Gains at our inputs"


def _columns(frame: Frame) -> list[tuple[str, float, float, Align]]:
    """Return the columns between the margins: head, left edge, width and side."""
    spare = frame.right - frame.left - sum(width for _, width, _ in COLUMNS)
    made, x = [], frame.left
    for head, width, side in COLUMNS:
        width += spare / 2 if head in ("arriving", "input") else 0.0
        made.append((head, x, width, side))
        x += width
    return made


def _draw_head(pen: Pen, frame: Frame, top: float) -> None:
    for head, x, width, side in _columns(frame):
        pen.text((x + 2 if side == "left" else x + width - 3, top - 11), head, SMALL_DARK, align=side)
    pen.line((frame.left, top - HEAD_PT + 2), (frame.right, top - HEAD_PT + 2), weight=1.1)


def _draw_row(pen: Pen, part: Part, frame: Frame, top: float) -> None:
    row = part.row
    assert row is not None
    if part.is_shaded:
        pen.frame((frame.left, top - part.height, frame.right - frame.left, part.height), weight=0, fill=PALE)
    cells = (
        ("–" if row.number is None else str(row.number), BODY if row.number is None else NAME),
        (row.name, STRONG), (row.input, CELL), (_dbu(row.nominal_dbu), BODY), (_dbu(row.peak_dbu), BODY),
        ("–" if row.head_room_db is None else f"{row.head_room_db:.1f} dB".replace("-", "−"), BODY),
        (row.gain_words, STRONG),
    )
    base = top - 13.5
    for (words, lettering), (_, x, width, side) in zip(cells, _columns(frame), strict=True):
        at = (x + 2 if side == "left" else x + width - 3, base)
        pen.text(at, words, lettering, room_pt=width - 6, align=side)
    x = frame.left + COLUMNS[0][1] + 2
    pen.text((x, base - REMARK_PT), _remark(row), CELL_STRONG, room_pt=frame.right - x - 6)


def _remark(row: GainRow) -> str:
    """Return what stands under a row: why its gain is impossible, or that another one is dialled."""
    if row.problem:
        return f"! {row.problem}"
    if row.dialled_db is not None and not row.is_dialled:
        return f"now at {signed(row.dialled_db)}"
    return ""


def _dbu(value: float | None) -> str:
    return "–" if value is None else f"{value:+.1f}".replace("-", "−")


class Scale(Struct, frozen=True):
    """How levels lie on a ladder: its ends in dBu, and where these are on the paper, in points."""

    low: int
    high: int
    bottom: float

    def y(self, level_dbu: float) -> float:
        """Return the height of a level on the paper."""
        return self.bottom + (level_dbu - self.low) / (self.high - self.low) * PLOT_PT


def draw_ladder(pen: Pen, ladder: Ladder, at: tuple[float, float], wide: float) -> None:
    """Draw one ladder below a point (top left, in points) over a width."""
    x, y = at
    gain = f"gain {ladder.gain.gain_words}" if ladder.gain is not None else ""
    used = pen.text((x + wide, y - 10), gain, STRONG, align="right")
    pen.text((x, y - 10), ladder.title, NAME, room_pt=wide - used - 8)
    scale = _scale(ladder.rungs, y - 21 - PLOT_PT)
    left, right = x + SCALE_PT, x + wide
    for level in range(-(-scale.low // STEP_DB) * STEP_DB, scale.high + 1, STEP_DB):
        height = scale.y(level)
        weight, grey = (0.9, MIDDLE) if level == 0 else (0.4, LIGHT)
        pen.line((left, height), (right, height), weight=weight, grey=grey)
        pen.text((left - 4, height - 3), f"{level}".replace("-", "−"), SCALE, align="right")
    step = (right - left) / len(ladder.rungs)
    for place, rung in enumerate(ladder.rungs):
        _draw_rung(pen, rung, scale, (left + (place + 0.5) * step, step))
    _draw_room(pen, ladder, scale, (left, step))
    _draw_names(pen, ladder.rungs, (left, scale.bottom - 3), step)
    words = _short(ladder)
    pen.text((x, scale.bottom - 33), words, CELL_STRONG if "clips" in words else CELL, room_pt=wide)


def _short(ladder: Ladder) -> str:
    """Return the tightest stage in a few words."""
    rung = ladder.tightest
    if rung is None or rung.head_room_db is None:
        return "no stage says where it clips"
    if rung.head_room_db < -0.05:
        return f"{words_of(rung)} clips, {-rung.head_room_db:.1f} dB over"
    return f"least head-room {abs(rung.head_room_db):.1f} dB, at {words_of(rung)}"


def _scale(rungs: Sequence[Rung], bottom: float) -> Scale:
    known = [
        value for rung in rungs
        for value in (rung.level.noise_dbu, rung.level.nominal_dbu, rung.level.peak_dbu, rung.clip_dbu)
        if value is not None
    ]
    low, high = int(min(known) // END_DB) * END_DB, int(-(-(max(known) + 8.0) // END_DB)) * END_DB
    return Scale(low, high, bottom)


def _draw_rung(pen: Pen, rung: Rung, scale: Scale, column: tuple[float, float]) -> None:
    middle, step = column
    wide = min(step * 0.56, WIDEST_BAR_PT)
    left, level = middle - wide / 2, rung.level
    if level.nominal_dbu is not None:
        top = scale.y(level.nominal_dbu)
        if level.noise_dbu is not None:
            low = scale.y(level.noise_dbu)
            pen.frame((left, low, wide, max(top - low, 0.5)), weight=0.5, grey=MIDDLE, fill=0.87)
        if level.peak_dbu is not None:
            high = max(scale.y(level.peak_dbu) - top, 0.5)
            pen.frame((left, top, wide, high), weight=0.5, grey=DARK, fill=DARK + 0.1)
        pen.line((left - 1.5, top), (left + wide + 1.5, top), weight=1.2)
    if rung.clip_dbu is not None:
        half, y = min(wide / 2 + 4, step * 0.46), scale.y(rung.clip_dbu)
        if level.peak_dbu is not None and rung.clip_dbu < level.peak_dbu:
            pen.line((middle - half, y), (middle + half, y), weight=4.2, grey=1.0)
        pen.line((middle - half, y), (middle + half, y), weight=2.2, grey=BLACK)


def _draw_room(pen: Pen, ladder: Ladder, scale: Scale, columns: tuple[float, float]) -> None:
    """Write the head-room of the tightest stage over its column."""
    rung = ladder.tightest
    if rung is None or rung.head_room_db is None or rung.clip_dbu is None or rung.level.peak_dbu is None:
        return
    left, step = columns
    middle = left + (ladder.rungs.index(rung) + 0.5) * step
    words = ladder.room_figure
    low, high = scale.y(rung.level.peak_dbu), scale.y(rung.clip_dbu)
    if high - low >= 12.0:
        base = (high + low) / 2 - 3.2
        half = width_pt(words, FIGURE) / 2 + 1.5
        pen.line((middle, low), (middle, high), weight=0.6)
        pen.frame((middle - half, base - 1, 2 * half, 9), weight=0, fill=1.0)
    else:
        base = max(high, low) + 3.0
    pen.text((middle, base), words, FIGURE, align="centre")


def _draw_names(pen: Pen, rungs: Sequence[Rung], at: tuple[float, float], step: float) -> None:
    """Write each unit's name under its stages, in two lines if need be, a tick between units."""
    left, top = at
    start = 0
    for _, stages in groupby(rungs, key=lambda rung: rung.node[:2]):
        group = list(stages)
        x, wide = left + start * step, step * len(group)
        if start:
            pen.line((x, top), (x, top - 20), weight=0.5, grey=LIGHT)
        for number, line in enumerate(wrapped(group[0].name, SCALE, wide - 3, 2)):
            pen.text((x + wide / 2, top - 8 - 10 * number), line, SCALE, align="centre")
        start += len(group)
