"""The pages a house engineer keeps: the input list with its totals, the plot, and the short lists that go with them.

The short lists stand below the table and below the plot where they fit, else on a sheet of their own;
those asked for as pages of their own are left out here.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from rigcore.lists.edition import Edition
from rigcore.lists.plot import label_range, place_words, stage_plot
from rigcore.lists.supply import assumed, mixes, outlet_words, please_supply, we_bring
from rigcore.paper.leaf import SECTION_PT, Job, Leaf
from rigcore.paper.page import (
    FOOT_PT,
    TOTALS_PT,
    Block,
    Frame,
    draw_block,
    draw_totals,
    totals_of,
)
from rigcore.paper.plot import draw_plot, grid_m, sheet_for
from rigcore.paper.style import BODY, Pen
from rigcore.paper.tables import ROW_HEIGHTS_PT, Row, Table, draw_head, draw_rows, lay_out
from rigcore.quantities.geometry import length_words

COLUMN_GAP_PT = 22.0
PLOT_GAP_PT = 14.0
PLAN_BLOCKS_PT = 190.0
"""Most height for what stands under the plan; the rest goes to a further page."""
MOST_CHANGES = 14
"""So many changes are spelled out on the first page; rows that changed are marked in the table in any case."""
NO_LINES = "No lines to the house: we mix ourselves."
NOTHING = "No lines to the house: nothing is planned yet."

Pair = tuple[Block, ...]
"""One or two blocks side by side."""


class _Sheet(Struct, frozen=True):
    """One page as planned: some rows of the table, the blocks below them, or the plot."""

    rows: tuple[Row, ...] = ()
    blocks: tuple[Pair, ...] = ()
    first: bool = False
    plot: bool = False


def house_leaves(job: Job) -> tuple[Leaf, ...]:
    """Return the input list, the plot, and what does not fit below them, as far as they are asked for."""
    house = _House(job)
    return house.leaves() if "inputs" in job.chosen else house.plot_alone()


class _House:
    """Plans the sheets, then draws them."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.analysis = job.analysis
        self.frame = job.frame
        self.wide = self.frame.right - self.frame.left
        self.column = (self.wide - COLUMN_GAP_PT) / 2
        self.plot = stage_plot(self.analysis.patch, feet=job.feet)
        below, self.rest = self._cut(self._plan_blocks(), PLAN_BLOCKS_PT)
        self.plan_blocks = (below,) if below else ()

    def leaves(self) -> tuple[Leaf, ...]:
        self.changes = self._change_blocks(self.job.edition)
        self.next_room = self.job.room_pt
        self.first_room = self.next_room - TOTALS_PT - self._blocks_height(self.changes)
        laid = lay_out(self.analysis.inputs, self.frame.left, self.wide, self.job.edition.tags())
        self.tables = tuple(replace(laid, row_pt=row_pt) for row_pt in ROW_HEIGHTS_PT)
        self.blocks = (*self._blocks(), *((self.rest,) if self.rest else ()))
        self.table = self._table()
        return tuple(self._leaf(sheet) for sheet in self._sheets())

    def plot_alone(self) -> tuple[Leaf, ...]:
        return (self._leaf(_Sheet(plot=True, blocks=self.plan_blocks)),)

    def _leaf(self, sheet: _Sheet) -> Leaf:
        if sheet.plot:
            return Leaf("Stage plot", partial(self._plot_page, sheet), self._scale_words(sheet))
        title = "Input list" if sheet.rows or sheet.first else "Supply, mixes, assumptions"
        title += ", continued" if sheet.rows and not sheet.first else ""
        aside = "ours: the act's number or gear · yours: the house's" if sheet.rows else ""
        return Leaf(title, partial(self._list_page, sheet), aside)

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

    def _sheets(self) -> list[_Sheet]:
        """Return the list with what fits below it, the plot likewise if it is asked for, then the rest."""
        pages = self.table.pages(self.first_room, self.next_room)
        used = sum(self.table.height(row) for row in pages[-1]) + 30
        left = (self.first_room if len(pages) == 1 else self.next_room) - used
        here, later = self._split(self.blocks, left)
        sheets = [_Sheet(rows=rows, first=number == 0) for number, rows in enumerate(pages)]
        sheets[-1] = _Sheet(rows=pages[-1], blocks=here, first=len(pages) == 1)
        if "plot" in self.job.chosen:
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

    def _change_blocks(self, edition: Edition) -> tuple[Pair, ...]:
        """Return what changed since the letter the house holds, in two columns where it is much."""
        words = [change.words for change in edition.changes]
        if not words:
            return ()
        if len(words) > MOST_CHANGES:
            words = [*words[:MOST_CHANGES - 1], f"and {len(words) - MOST_CHANGES + 1} more: see the framed rows"]
        lines = tuple(("", one) for one in words)
        title = f"Changes since letter {edition.since}"
        half = (len(lines) + 1) // 2
        if len(lines) < 4:
            return ((Block(title, lines),),)
        return ((Block(title, lines[:half]), Block("", lines[half:])),)

    def _blocks(self) -> tuple[Pair, ...]:
        patch, chosen = self.analysis.patch, self.job.chosen
        nothing = (("", "nothing"),)
        pairs: list[Pair] = []
        if "supply" not in chosen:
            supply = Block("Please supply", tuple(("", line.text) for line in please_supply(patch)) or nothing)
            bring = Block("We bring", tuple(("", line.text) for line in we_bring(patch)) or nothing)
            pairs.append((supply, bring))
        last = []
        if "monitors" not in chosen:
            last.append(Block("Monitor mixes", self._mix_lines() or (("", "none asked for"),)))
        taken = tuple(("", words) for words in assumed(patch))
        if taken and "supply" not in chosen:
            last.append(Block("Assumed until you tell us otherwise", taken))
        pairs += [tuple(last)] if last else []
        full = [(str(row.source.act), row.cut_words()) for row in self.tables[0].rows if row.cut_words()]
        return (*pairs, (Block("Channels in full", tuple(full)),)) if full else tuple(pairs)

    def _mix_lines(self) -> tuple[tuple[str, str], ...]:
        lines = []
        for mix in mixes(self.analysis.patch):
            where = ", ".join(part for part in (mix.place, mix.how, mix.to_words) if part)
            lines.append((mix.number, f"{where}: {mix.note}"))
        return tuple(lines)

    def _list_page(self, sheet: _Sheet, pen: Pen, frame: Frame) -> None:
        y = frame.top - SECTION_PT
        if sheet.first:
            y = draw_totals(pen, totals_of(self.analysis), frame, y)
            y = self._draw_blocks(pen, frame, self.changes, y)
        if sheet.rows:
            y = draw_rows(pen, self.table, sheet.rows, draw_head(pen, self.table, y)) - 12
        elif sheet.first:
            empty = not self.analysis.patch.rig.units
            pen.text((frame.left, y - 14), NOTHING if empty else NO_LINES, BODY)
            y -= 30
        self._draw_blocks(pen, frame, sheet.blocks, y)

    def _draw_blocks(self, pen: Pen, frame: Frame, pairs: Sequence[Pair], y: float) -> float:
        for pair in pairs:
            low = y
            for number, block in enumerate(pair):
                x = frame.left + number * (self.column + COLUMN_GAP_PT)
                low = min(low, draw_block(pen, block, (x, y), self._width_of(pair)))
            y = low
        return y

    def _scale_words(self, page: _Sheet) -> str:
        scale = sheet_for(self.plot, self._plot_box(page.blocks)).scale
        grid = length_words(grid_m(self.plot, self.job.feet), feet=self.job.feet)
        words = f"scale 1 : {scale} on {self.job.paper} · grid {grid} · print at 100 %"
        return f"channel numbers are yours · {words}" if self.plot.house_numbers else words

    def _plot_page(self, page: _Sheet, pen: Pen, frame: Frame) -> None:
        _, y = draw_plot(pen, self.plot, self._plot_box(page.blocks), feet=self.job.feet)
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
