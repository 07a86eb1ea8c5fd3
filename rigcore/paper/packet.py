"""The packet: the PDF that goes to the house. Input list, stage plot, and what goes with them.

The gain page is for whoever dials: our own mixer and, where it is asked for, the house.
Findings are for the player and are not printed. The same book and the same
issue date give the same bytes.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import os
import tempfile
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from rigcore.errors import PacketNotWritten
from rigcore.lists.plot import label_range, place_words, stage_plot
from rigcore.lists.supply import assumed, mixes, outlet_words, please_supply, we_bring
from rigcore.paper.ladder import Part, draw_gain_page, gain_pages
from rigcore.paper.page import (
    FOOT_PT,
    TOTALS_PT,
    Block,
    Frame,
    Heading,
    draw_block,
    draw_foot,
    draw_title,
    draw_totals,
    heading_of,
    totals_of,
)
from rigcore.paper.plot import draw_plot, grid_m, sheet_for
from rigcore.paper.style import BODY, HEADING, PAPERS, SMALL_DARK, Pen
from rigcore.paper.tables import ROW_HEIGHTS_PT, Row, Table, draw_head, draw_rows, lay_out
from rigcore.quantities.geometry import length_words

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

    from rigcore.analysis import Analysis

SECTION_PT = 20.0
COLUMN_GAP_PT = 22.0
PLOT_GAP_PT = 14.0
PLAN_BLOCKS_PT = 190.0
"""Most height for what stands under the plan; the rest goes to a further page."""
PAGES = ("inputs", "plot", "gain")
"""What a packet can hold, in the order it is printed."""
HOUSE_PAGES = ("inputs", "plot")
NO_LINES = "No lines to the house: we mix ourselves."


def write_packet(
    analysis: Analysis, folder: Path, *, paper: str = "A4", feet: bool = False, issued: dt.date | None = None,
    pages: Sequence[str] = HOUSE_PAGES,
) -> Path:
    """Write the packet of a gig into a folder and return its path.

    Parameters
    ----------
    folder
        Made if it is missing. A packet of the same name is replaced in one step.
    paper
        ``"A4"`` or ``"Letter"``.
    feet
        Print lengths in feet instead of metres.
    issued
        Issue date; today if None.
    pages
        Which of :data:`PAGES` to print; their order is always the same.

    Raises
    ------
    PacketNotWritten
        If the folder cannot be made or written to.
    ValueError
        If there is no such paper or page, or no page at all.
    """
    data = packet_bytes(analysis, paper=paper, feet=feet, issued=issued, pages=pages)
    target = folder / packet_name(analysis)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _replace(target, data)
    except OSError as error:
        raise PacketNotWritten(
            f"{target.name} could not be written to {folder}: {error.strerror or error}; choose another folder",
            [str(folder)],
        ) from None
    return target


def packet_name(analysis: Analysis) -> str:
    """Return the file name of a packet: act, house and date, safe on every disk and in every mail."""
    gig = analysis.gig
    act = gig.act or analysis.book.owner or analysis.patch.rig.name
    parts = [_file_words(act) or "Act", "TechSheet", _file_words(analysis.patch.house.name) or "House"]
    if gig.date:
        parts.append(gig.date.isoformat())
    return "_".join(parts) + ".pdf"


def packet_bytes(
    analysis: Analysis, *, paper: str = "A4", feet: bool = False, issued: dt.date | None = None,
    pages: Sequence[str] = HOUSE_PAGES,
) -> bytes:
    """Return the packet of a gig as a PDF.

    Parameters and errors as for :func:`write_packet`, except that nothing is written.
    """
    from reportlab.pdfgen.canvas import Canvas

    if paper not in PAPERS:
        raise ValueError(f"there is no paper {paper!r}, only {', '.join(PAPERS)}")
    unknown = [page for page in pages if page not in PAGES]
    if unknown or not pages:
        raise ValueError(f"there is no page {', '.join(unknown) or 'to print'}, only {', '.join(PAGES)}")
    day = issued or dt.date.today()
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=PAPERS[paper], pageCompression=1, invariant=1, lang="en-GB")
    heading = heading_of(analysis, day)
    _describe(canvas, heading, day)
    _Packet(analysis, heading, (paper, feet), pages).draw(canvas)
    canvas.save()
    return stream.getvalue()


def unprintable_characters(analysis: Analysis, *, pages: Sequence[str] = HOUSE_PAGES) -> str:
    """Return the characters of a gig's packet that no font holds; they are printed as hollow squares."""
    from reportlab.pdfgen.canvas import Canvas

    packet = _Packet(analysis, heading_of(analysis, dt.date.min), ("A4", False), pages)
    packet.draw(Canvas(io.BytesIO(), invariant=1))
    return "".join(packet.missing)


def _describe(canvas: Canvas, heading: Heading, day: dt.date) -> None:
    """Set title, author, subject and the issue date, whatever the clock and the environment say."""
    canvas.setTitle(heading.title)
    canvas.setAuthor(heading.act)
    canvas.setSubject(f"{heading.where} · {heading.when}")
    canvas.setCreator("Loomwright")
    canvas.setKeywords("input list, stage plot")
    canvas.setViewerPreference("PrintScaling", "None")
    stamp = canvas._doc._timeStamp
    stamp.YMDhms, stamp.dhh, stamp.dmm = (day.year, day.month, day.day, 12, 0, 0), 0, 0
    canvas._doc.signature = hashlib.md5(day.isoformat().encode(), usedforsecurity=False)


Pair = tuple[Block, ...]
"""One or two blocks side by side."""


@dataclass(frozen=True)
class _Sheet:
    """One page as planned: some rows of the table, the blocks below them, the plot, or gains."""

    rows: tuple[Row, ...] = ()
    blocks: tuple[Pair, ...] = ()
    first: bool = False
    plot: bool = False
    gain: tuple[Part, ...] | None = None


class _Packet:
    """Plans the pages of a packet, then draws them."""

    def __init__(
        self, analysis: Analysis, heading: Heading, choice: tuple[str, bool], pages: Sequence[str] = HOUSE_PAGES
    ) -> None:
        self.pages = frozenset(pages)
        self.analysis = analysis
        self.heading = heading
        self.paper, self.feet = choice
        self.size = PAPERS[self.paper]
        self.frame = Frame(self.size, 1, 1)
        self.wide = self.frame.right - self.frame.left
        self.column = (self.wide - COLUMN_GAP_PT) / 2
        self.missing: dict[str, None] = {}
        self.first_room = self.frame.top - FOOT_PT - SECTION_PT - TOTALS_PT
        self.next_room = self.frame.top - FOOT_PT - SECTION_PT
        laid = lay_out(analysis.inputs, self.frame.left, self.wide)
        self.tables = tuple(replace(laid, row_pt=row_pt) for row_pt in ROW_HEIGHTS_PT)
        self.plot = stage_plot(analysis.patch, feet=self.feet)
        below, rest = self._cut(self._plan_blocks(), PLAN_BLOCKS_PT)
        self.plan_blocks = (below,) if below else ()
        self.blocks = (*self._blocks(), *((rest,) if rest else ()))
        self.table = self._table()

    def draw(self, canvas: Canvas) -> None:
        """Draw every page."""
        sheets = self._plan()
        canvas.setPageSize(self.size)
        for number, sheet in enumerate(sheets, start=1):
            frame = Frame(self.size, number, len(sheets))
            pen = Pen(canvas)
            draw_title(pen, self.heading, frame)
            mark = f"page-{number}"
            canvas.bookmarkPage(mark)
            title = self._draw_sheet(pen, frame, sheet)
            canvas.addOutlineEntry(title, mark, level=0)
            draw_foot(pen, self.heading, frame)
            self.missing.update(pen.missing)
            canvas.showPage()

    def _draw_sheet(self, pen: Pen, frame: Frame, sheet: _Sheet) -> str:
        """Draw what is on one page and return its title."""
        if sheet.gain is not None:
            title = "Gains" if sheet.first else "Gains, continued"
            pen.text((frame.left, frame.top - 10), title, HEADING.at(13))
            words = "a gain brings the nominal level to what its stage works at · head-room before any gain"
            pen.text((frame.right, frame.top - 10), words, SMALL_DARK, align="right")
            draw_gain_page(pen, sheet.gain, frame, frame.top - SECTION_PT)
            return title
        if sheet.plot:
            self._plot_page(pen, frame, sheet)
            return "Stage plot"
        title = "Input list" if sheet.rows or sheet.first else "Supply, mixes, assumptions"
        title += ", continued" if sheet.rows and not sheet.first else ""
        self._list_page(pen, frame, sheet, title)
        return title

    def _table(self) -> Table:
        """Return the table with the most generous rows that keep one page, else with middling ones."""
        below = self._blocks_height(self.blocks)
        for table in self.tables:
            if table.total() + below <= self.first_room:
                return table
        for table in self.tables:
            if table.total() <= self.first_room:
                return table
        return self.tables[2]

    def _plan(self) -> list[_Sheet]:
        """Return the pages asked for, in their order."""
        sheets = self._house_sheets() if "inputs" in self.pages else []
        if "plot" in self.pages and "inputs" not in self.pages:
            sheets.append(_Sheet(plot=True, blocks=self.plan_blocks))
        if "gain" in self.pages:
            gains = gain_pages(self.analysis.patch, self.next_room)
            sheets += [_Sheet(gain=parts, first=number == 0) for number, parts in enumerate(gains)]
        return sheets

    def _house_sheets(self) -> list[_Sheet]:
        """Return the list with what fits below it, the plot likewise if it is asked for, then the rest."""
        pages = self.table.pages(self.first_room, self.next_room)
        used = sum(self.table.height(row) for row in pages[-1]) + 30
        left = (self.first_room if len(pages) == 1 else self.next_room) - used
        here, later = self._split(self.blocks, left)
        sheets = [_Sheet(rows=rows, first=number == 0) for number, rows in enumerate(pages)]
        sheets[-1] = _Sheet(rows=pages[-1], blocks=here, first=len(pages) == 1)
        if "plot" in self.pages:
            under = later if self._plot_keeps_scale(later) else ()
            sheets.append(_Sheet(plot=True, blocks=(*self.plan_blocks, *under)))
            later = later[len(under):]
        while later:
            here, later = self._split(later, self.next_room)
            if not here:
                head, rest = self._cut(later[0], self.next_room)
                here, later = (head,), ((rest,) if rest else ()) + later[1:]
            sheets.append(_Sheet(blocks=here))
        return sheets

    def _cut(self, pair: Pair, room: float) -> tuple[Pair, Pair]:
        """Return the part of a pair of blocks that fits a height (points), and the rest."""
        cuts = [block.cut(self._width_of(pair), room) for block in pair]
        return tuple(head for head, _ in cuts), tuple(rest for _, rest in cuts if rest is not None)

    def _split(self, pairs: tuple[Pair, ...], room: float) -> tuple[tuple[Pair, ...], tuple[Pair, ...]]:
        """Return the pairs of blocks that fit a room (points), and the others."""
        for number in range(len(pairs), 0, -1):
            if self._blocks_height(pairs[:number]) <= room:
                return pairs[:number], pairs[number:]
        return (), pairs

    def _plot_keeps_scale(self, more: tuple[Pair, ...]) -> bool:
        alone, crowded = self._plot_box(self.plan_blocks), self._plot_box((*self.plan_blocks, *more))
        if crowded[3] - crowded[1] < 200:
            return False
        return sheet_for(self.plot, alone).scale == sheet_for(self.plot, crowded).scale

    def _plot_box(self, pairs: tuple[Pair, ...]) -> tuple[float, float, float, float]:
        """Return the room of the plot above some blocks, in points."""
        below = self._blocks_height(pairs) + PLOT_GAP_PT if pairs else 0.0
        return self.frame.left, FOOT_PT + below, self.frame.right, self.frame.top - SECTION_PT + 4

    def _blocks_height(self, pairs: Sequence[Pair]) -> float:
        return sum(max(block.height(self._width_of(pair)) for block in pair) for pair in pairs)

    def _width_of(self, pair: Pair) -> float:
        return self.column if len(pair) == 2 else self.wide

    def _blocks(self) -> tuple[Pair, ...]:
        patch = self.analysis.patch
        nothing = (("", "nothing"),)
        supply = Block("Please supply", tuple(("", line.text) for line in please_supply(patch)) or nothing)
        bring = Block("We bring", tuple(("", line.text) for line in we_bring(patch)) or nothing)
        lines = []
        for mix in mixes(patch):
            where = ", ".join(part for part in (mix.place, mix.how, mix.to_words) if part)
            lines.append((mix.number, f"{where}: {mix.note}"))
        monitor = Block("Monitor mixes", tuple(lines) or (("", "none asked for"),))
        taken = Block("Assumed until you tell us otherwise", tuple(("", words) for words in assumed(patch)))
        full = [(str(row.source.act), row.cut_words()) for row in self.tables[0].rows if row.cut_words()]
        pairs: list[Pair] = [(supply, bring), (monitor, taken) if taken.lines else (monitor,)]
        return (*pairs, (Block("Channels in full", tuple(full)),)) if full else tuple(pairs)

    def _list_page(self, pen: Pen, frame: Frame, sheet: _Sheet, title: str) -> None:
        y = frame.top
        pen.text((frame.left, y - 10), title, HEADING.at(13))
        if sheet.rows:
            words = "ours: the act's number or gear · yours: the house's"
            pen.text((frame.right, y - 10), words, SMALL_DARK, align="right")
        y -= SECTION_PT
        if sheet.first:
            y = draw_totals(pen, totals_of(self.analysis), frame, y)
        if sheet.rows:
            y = draw_rows(pen, self.table, sheet.rows, draw_head(pen, self.table, y)) - 12
        elif sheet.first:
            pen.text((frame.left, y - 14), NO_LINES, BODY)
            y -= 30
        self._draw_blocks(pen, frame, sheet.blocks, y)

    def _draw_blocks(self, pen: Pen, frame: Frame, pairs: Sequence[Pair], y: float) -> None:
        for pair in pairs:
            low = y
            for number, block in enumerate(pair):
                x = frame.left + number * (self.column + COLUMN_GAP_PT)
                low = min(low, draw_block(pen, block, (x, y), self._width_of(pair)))
            y = low

    def _plot_page(self, pen: Pen, frame: Frame, page: _Sheet) -> None:
        pen.text((frame.left, frame.top - 10), "Stage plot", HEADING.at(13))
        sheet, y = draw_plot(pen, self.plot, self._plot_box(page.blocks), feet=self.feet)
        grid = length_words(grid_m(self.plot, self.feet), feet=self.feet)
        words = f"scale 1 : {sheet.scale} on {self.paper} · grid {grid} · print at 100 %"
        if self.plot.house_numbers:
            words = f"channel numbers are yours · {words}"
        pen.text((frame.right, frame.top - 10), words, SMALL_DARK, align="right")
        self._draw_blocks(pen, frame, page.blocks, y - PLOT_GAP_PT)

    def _plan_blocks(self) -> Pair:
        """Return what stands under the plan: the house's sockets, its power, and what has no place yet."""
        house, rows = self.analysis.patch.house, self.analysis.inputs
        used = {row.socket for row in rows} | {row.socket for row in self.analysis.outputs}
        lines = []
        for unit in house.units:
            labels = [one.label for one in house.sockets if one.unit == unit.id]
            ours = [label for label in labels if label in used]
            if labels:
                place = place_words((unit.x_m, unit.y_m), house.stage)
                words = f"we use {label_range(ours)}" if ours else "not used by us"
                lines.append(("", ", ".join(part for part in (unit.name, place, words) if part)))
        power = []
        for row in self.analysis.counts.power:
            drop = next((one for one in house.stage.power if one.name == row.place), None)
            where = place_words((drop.x_m, drop.y_m), house.stage) if drop else ""
            words = f"{outlet_words(row)}: {', '.join(row.units)}"
            name = (row.place if row.place != where else "") if drop else "on stage"
            power.append(("", ", ".join(part for part in (name, where, words) if part)))
        if self.plot.missing:
            power.append(("", f"no place on the plan yet: {', '.join(self.plot.missing)}"))
        blocks = (Block("Sockets", tuple(lines)), Block("Power and places", tuple(power)))
        return tuple(block for block in blocks if block.lines)


def _file_words(name: str) -> str:
    """Return a name as one word for a file: accents off, blanks closed up, nothing a disk or a mail minds."""
    plain = unicodedata.normalize("NFKD", name)
    plain = "".join(char for char in plain if not unicodedata.combining(char))
    words = "".join(char if char.isalnum() else " " for char in plain).split()
    joined = "".join(word[:1].upper() + word[1:] for word in words)[:40]
    return joined.encode()[:80].decode(errors="ignore")


def _replace(target: Path, data: bytes) -> None:
    handle, temporary = tempfile.mkstemp(prefix=".packet.", suffix=".tmp", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, 0o644)
        os.replace(temporary, target)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
