"""What every page of a packet carries: title block and footer; and the strip of totals and blocks of lines.

Positions are in points; nothing is computed about the gig beyond its wording.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct

from rigcore.book.rig import Owner
from rigcore.lists.plot import number_range
from rigcore.lists.power_list import CAUTION
from rigcore.paper.style import (
    CELL,
    DARK,
    FIGURE,
    HEADING,
    MARGIN_PT,
    MIDDLE,
    PALE,
    SMALL,
    SMALL_DARK,
    STRONG,
    SUBTITLE,
    TITLE,
    Lettering,
    Pen,
    fitted,
    width_pt,
    wrapped,
)

if TYPE_CHECKING:
    from rigcore.analysis import Analysis

TITLE_PT = 58.0
FOOT_PT = 64.0
TOTALS_PT = 53.0
LINE_PT = 13.0
BLOCK_HEAD_PT = 17.0
BLOCK_GAP_PT = 9.0
MOST_LINES = 12
MORE = ", continued"
BODY_LINE = Lettering("condensed", 10.5, 0.08)
MARK = Lettering("bold", 12)
REPLACES = "replaces earlier"

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def date_words(day: dt.date) -> str:
    """Return a date that reads the same everywhere.

    >>> date_words(dt.date(2026, 8, 14))
    'Fri 14 Aug 2026'
    """
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


class Heading(Struct, frozen=True):
    """The words of the title block and the footer of one packet."""

    act: str
    about: str
    house: str
    place: str
    when: str
    mark: str
    dates: tuple[str, ...]
    contact: str

    @property
    def where(self) -> str:
        """The house with its place."""
        return f"{self.house}, {self.place}" if self.place else self.house


def heading_of(analysis: Analysis, issued: dt.date, mark: str) -> Heading:
    """Return the heading of a gig's packet; the mark is its letter, or that it is a draft."""
    gig, house, book = analysis.gig, analysis.patch.house, analysis.book
    when = [date_words(gig.date) if gig.date else "date open"]
    if gig.on_stage:
        when.append(f"on {gig.on_stage}")
    if house.changeover_min:
        when.append(f"{house.changeover_min} min changeover")
    dates = [f"issued {date_words(issued)}"]
    if gig.valid_until:
        dates.append(f"valid until {date_words(gig.valid_until)}")
    return Heading(
        act=gig.act or book.owner or analysis.patch.rig.name,
        about=gig.about or analysis.patch.rig.about,
        house=house.name,
        place=house.place,
        when=" · ".join(when),
        mark=mark,
        dates=tuple(dates),
        contact=gig.contact or book.contact,
    )


class Frame(Struct, frozen=True):
    """The sheet: its size, and which page of how many this is."""

    size: tuple[float, float]
    number: int
    of: int

    @property
    def left(self) -> float:
        """Left edge of what is printed."""
        return MARGIN_PT

    @property
    def right(self) -> float:
        """Right edge of what is printed."""
        return self.size[0] - MARGIN_PT

    @property
    def top(self) -> float:
        """Where contents begin, below the title block."""
        return self.size[1] - MARGIN_PT - TITLE_PT


def draw_title(pen: Pen, heading: Heading, frame: Frame) -> None:
    """Draw the title block."""
    top = frame.size[1] - MARGIN_PT
    replaces = "" if heading.mark.startswith("DRAFT") else REPLACES
    first = width_pt(heading.mark, MARK) + 6 + width_pt(replaces, SMALL_DARK)
    box_wide = min(190.0, max(first, *(width_pt(line, STRONG.at(9)) for line in heading.dates)) + 18)
    box_left = frame.right - box_wide
    high = 8.5 + 12.2 * (1 + len(heading.dates))
    pen.frame((box_left, top - high, box_wide, high), weight=1.0, radius=3)
    used = pen.text((box_left + 9, top - 13.2), heading.mark, MARK)
    pen.text((box_left + 15 + used, top - 13.2), replaces, SMALL_DARK, room_pt=box_wide - used - 20)
    for number, line in enumerate(heading.dates, start=1):
        pen.text((box_left + 9, top - 13.4 - 12.2 * number), line, STRONG.at(9), room_pt=box_wide - 14)
    room = box_left - frame.left - 14
    beside = width_pt(heading.act, TITLE) + 12 + width_pt(heading.about, SUBTITLE) <= room
    if beside or not heading.about:
        used = pen.text((frame.left, top - 19), heading.act, TITLE, room_pt=room)
        pen.text((frame.left + used + 12, top - 19), heading.about, SUBTITLE)
    else:
        pen.text((frame.left, top - 13), heading.act, TITLE.at(16), room_pt=room)
        pen.text((frame.left, top - 27), heading.about, SUBTITLE.at(10), room_pt=room)
    base = top - (39 if beside or not heading.about else 42)
    _draw_where(pen, heading, (frame.left, base), room)
    pen.line((frame.left, top - TITLE_PT + 9), (frame.right, top - TITLE_PT + 9), weight=1.4)


def _draw_where(pen: Pen, heading: Heading, at: tuple[float, float], room: float) -> None:
    """Draw house and date: the place is the first to go, then the width of the letters, then the house's end."""
    strong = STRONG.at(11)
    for words, lettering in (
        (heading.where, strong), (heading.house, strong), (heading.house, strong.narrower()),
    ):
        whole = f"{words} · {heading.when}"
        if width_pt(whole, lettering) <= room:
            pen.text(at, whole, lettering)
            return
    when, lettering = fitted(f" · {heading.when}", strong.narrower(), room * 0.7)
    house = pen.text(at, heading.house, strong.narrower(), room_pt=room - width_pt(when, lettering) - 4)
    pen.text((at[0] + house + 3, at[1]), when, lettering)


def draw_foot(pen: Pen, heading: Heading, frame: Frame) -> None:
    """Draw the footer: whom to ask, page n of m, the caution, and what could not be printed."""
    pen.line((frame.left, 47), (frame.right, 47), weight=0.6, grey=MIDDLE)
    page = f"page {frame.number} of {frame.of}"
    wide = pen.text((frame.right, 34), page, STRONG, align="right")
    contact = f"Questions: {heading.contact}" if heading.contact else "No contact given yet"
    pen.text((frame.left, 34), contact, STRONG, room_pt=frame.right - frame.left - wide - 16)
    pen.text((frame.left, 21.5), f"Mains: {CAUTION}", SMALL, room_pt=frame.right - frame.left)
    if pen.missing:
        codes = ", ".join(f"U+{ord(char):04X}" for char in list(pen.missing)[:12])
        more = len(pen.missing) - 12
        tail = f" and {more} more" if more > 0 else ""
        words = f"Some characters could not be printed and stand as hollow squares: {codes}{tail}"
        pen.text((frame.left, 51), words, SMALL_DARK, room_pt=frame.right - frame.left)


class Total(Struct, frozen=True):
    """One figure of the strip, what it counts, and how that is made up."""

    figure: str
    caption: str
    detail: str = ""


def totals_of(analysis: Analysis) -> tuple[Total, ...]:
    """Return the totals an engineer adds up anyway."""
    counts = analysis.counts
    volts = analysis.patch.house.mains_v
    kinds = ((counts.mono_mixes, "mono"), (counts.stereo_mixes, "stereo"))
    phantom = [row.house for row in analysis.inputs if row.phantom]
    numbers = number_range(phantom)
    outlets = " + ".join(str(row.wall_outlets) for row in counts.power) or "0"
    strips = counts.wall_outlets != counts.outlets
    places = f"at {len(counts.power)} places" if len(counts.power) > 1 else ""
    amps = f"{counts.amps:.2f} A" if counts.amps < 99.5 else f"{counts.amps:.0f} A"
    return (
        Total(str(counts.channels), _many(counts.channels, "channel"), "to you"),
        Total(str(counts.phantom), "on 48 V", f"ch {numbers}" if phantom and len(numbers) <= 12 else ""),
        Total(str(sum(counts.dis.values())), _many(sum(counts.dis.values()), "DI"), _owners(counts.dis)),
        Total(str(sum(counts.stands.values())), _many(sum(counts.stands.values()), "stand"), _owners(counts.stands)),
        Total(
            str(counts.mono_mixes + counts.stereo_mixes),
            _many(counts.mono_mixes + counts.stereo_mixes, "mix", "mixes"),
            ", ".join(f"{number} {kind}" for number, kind in kinds if number),
        ),
        Total(outlets, "outlet" if outlets == "1" else "outlets", places if not strips else f"{counts.outlets} plugs"),
        Total(f"{counts.watts:.0f} W", amps, f"at {volts:g} V"),
    )


def _many(number: int, one: str, more: str = "") -> str:
    return one if number == 1 else more or f"{one}s"


def _owners(by_owner: dict[Owner, int]) -> str:
    ours, yours = by_owner.get("rig", 0), by_owner.get("house", 0)
    if ours and yours:
        return f"{ours} ours, {yours} yours" if ours + yours < 20 else f"{ours} ours + {yours}"
    return "all ours" if ours else "all yours" if yours else ""


def draw_totals(pen: Pen, totals: Sequence[Total], frame: Frame, top: float) -> float:
    """Draw the strip of totals and return where it ends."""
    gap = 4.0
    wide = (frame.right - frame.left - gap * (len(totals) - 1)) / len(totals)
    for number, total in enumerate(totals):
        x = frame.left + number * (wide + gap)
        pen.frame((x, top - 47, wide, 47), weight=0, fill=PALE, radius=2)
        pen.text((x + 6, top - 17), total.figure, FIGURE, room_pt=wide - 9)
        pen.text((x + 6, top - 29), total.caption, CELL, room_pt=wide - 9)
        pen.text((x + 6, top - 41), total.detail, CELL, room_pt=wide - 9)
    return top - TOTALS_PT


class Block(Struct, frozen=True, dict=True):
    """A heading with lines under it: each a strong beginning, or nothing, and words."""

    title: str
    lines: tuple[tuple[str, str], ...]

    @cached_property
    def lead_pt(self) -> float:
        """Width of the strong beginnings in points."""
        widest = max((width_pt(lead, STRONG) for lead, _ in self.lines), default=0.0)
        return min(90.0, widest + 2) if widest else 0.0

    def laid(self, wide: float) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Return the lines broken to a width in points."""
        room = wide - 10 - self.lead_pt
        return tuple((lead, wrapped(words, BODY_LINE, room, MOST_LINES) or ("",)) for lead, words in self.lines)

    def height(self, wide: float) -> float:
        """Return the height at a width, both in points."""
        return BLOCK_HEAD_PT + LINE_PT * sum(len(lines) for _, lines in self.laid(wide)) + BLOCK_GAP_PT


    def cut(self, wide: float, room: float) -> tuple[Block, Block | None]:
        """Return the part that fits a height and what is left over; at least one line is taken."""
        left = room - BLOCK_HEAD_PT - BLOCK_GAP_PT
        for number, (_, lines) in enumerate(self.laid(wide)):
            left -= LINE_PT * len(lines)
            if left < 0 and number:
                rest = Block(f"{self.title.removesuffix(MORE)}{MORE}", self.lines[number:])
                return Block(self.title, self.lines[:number]), rest
        return self, None


def draw_block(pen: Pen, block: Block, at: tuple[float, float], wide: float) -> float:
    """Draw a block below a point and return where it ends."""
    x, y = at
    pen.text((x, y - 11), block.title, HEADING, room_pt=wide)
    y -= BLOCK_HEAD_PT
    for lead, lines in block.laid(wide):
        if lead:
            pen.text((x, y - 9.5), lead, STRONG, room_pt=block.lead_pt)
        else:
            pen.line((x + 1, y - 6.2), (x + 5.5, y - 6.2), weight=0.9, grey=DARK)
        for line in lines:
            pen.text((x + 10 + block.lead_pt, y - 9.5), line, BODY_LINE)
            y -= LINE_PT
    return y - BLOCK_GAP_PT
