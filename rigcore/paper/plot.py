"""Draws the stage plot as vectors to a stated scale, with a scale bar and the four directions.

Shapes and words come from the lists; here is only how they look.
"""

from __future__ import annotations

import math

from msgspec import Struct

from rigcore.lists.plot import Box, Label, Mark, Outline, OutlineKind, Plot, Point, bounds
from rigcore.paper.nudge import Measure, Placed, Size, place_labels
from rigcore.paper.style import (
    BLACK,
    CELL,
    CELL_STRONG,
    DARK,
    HEADING,
    LIGHT,
    MARGIN_PT,
    MIDDLE,
    PALE,
    SMALL,
    SMALL_DARK,
    STRONG,
    Lettering,
    Pen,
    fitted,
    width_pt,
    wrapped,
)
from rigcore.quantities.geometry import METRES_PER_FOOT, POINTS_PER_METRE, length_words

SCALES = (20, 25, 40, 50, 75, 100, 125, 150, 200, 250, 400, 500, 1000, 2500, 5000, 10000, 25000)
"""Scales in use, largest first; beyond 200 only for fields."""

PLATE = Lettering("condensed-bold", 10, 1.0)
WORDS_ROOM_PT, ONE_LINE_PT = 112.0, 220.0
SIDE_PT, TOP_PT, BELOW_PT = 26.0, 20.0, 64.0
ASIDE_PT = 90.0
"""How far beside the plan words may stand."""
MIC_PT, TRIANGLE_PT = 3.6, 10.0
LINE_PT, DETAIL_LINE_PT = 11.5, 10.5


def scale_for(extent: Box, room_pt: tuple[float, float]) -> int:
    """Return the largest usual scale, as the n of 1 : n, at which a box in m fits a room in points."""
    width, height = extent[2] - extent[0], extent[3] - extent[1]
    for scale in SCALES:
        factor = POINTS_PER_METRE / scale
        if width * factor <= room_pt[0] and height * factor <= room_pt[1]:
            return scale
    return SCALES[-1]


class Sheet(Struct, frozen=True):
    """Where the plan lies on the paper: points per metre, and the point (in points) of the origin."""

    scale: int
    factor: float
    origin: Point
    room: Box

    def at(self, point: Point) -> Point:
        """Return a place of the stage (m) on the paper (points)."""
        return self.origin[0] + point[0] * self.factor, self.origin[1] + point[1] * self.factor


def sheet_for(plot: Plot, box: Box) -> Sheet:
    """Return how a plot lies in a box of the paper (points), its top at the top of the box."""
    room = (box[2] - box[0] - 2 * SIDE_PT, box[3] - box[1] - TOP_PT - BELOW_PT)
    scale = scale_for(plot.extent, room)
    factor = POINTS_PER_METRE / scale
    left, low, right, high = plot.extent
    x = (box[0] + box[2]) / 2 - (left + right) / 2 * factor
    y = box[3] - TOP_PT - high * factor
    bottom = box[3] - TOP_PT - (high - low) * factor
    inner = (
        max(box[0] + SIDE_PT - 8, x + left * factor - ASIDE_PT), bottom - 2,
        min(box[2] - SIDE_PT + 8, x + right * factor + ASIDE_PT), box[3] - TOP_PT + 2,
    )
    return Sheet(scale, factor, (x, y), inner)


def draw_plot(pen: Pen, plot: Plot, box: Box, *, feet: bool = False) -> tuple[Sheet, float]:
    """Draw a plot in a box (points) and return how it lies and where its lowest line is."""
    sheet = sheet_for(plot, box)
    _stage(pen, plot, sheet, feet)
    found = _labels(plot, sheet)
    labels = tuple(placed for placed in found if not placed.lost)
    _outlines(pen, plot, sheet, ("riser",))
    _outlines(pen, plot, sheet, ("gear", "wedge"))
    for placed in labels:
        _leader(pen, placed, sheet)
    for arrow in plot.arrows:
        _arrow(pen, sheet.at(arrow.start), sheet.at(arrow.end))
    for mark in plot.marks:
        _mark(pen, mark, sheet)
    for placed in labels:
        on_riser = any(_within(placed.at, one) for one in plot.outlines if one.kind == "riser")
        _label(pen, placed, sheet, PALE if on_riser else 1.0)
    _directions(pen, plot, sheet)
    low = _below(pen, plot, sheet, feet)
    lost = [placed.label.short or placed.label.words for placed in found if placed.lost]
    if lost:
        words = f"no room for the words: {', '.join(lost)}"
        pen.text((box[2], low + 16), words, SMALL_DARK, room_pt=(box[2] - box[0]) / 2 - 70, align="right")
    return sheet, low


def grid_m(plot: Plot, feet: bool) -> float:
    """Return the step of the grid in m: 1 m, or 2 feet, more on fields."""
    step = 2 * METRES_PER_FOOT if feet else 1.0
    while max(plot.stage.width_m, plot.stage.depth_m) / step > 60:
        step *= 5
    return step


def _stage(pen: Pen, plot: Plot, sheet: Sheet, feet: bool) -> None:
    half, depth = plot.stage.width_m / 2, plot.stage.depth_m
    left, low = sheet.at((-half, 0.0))
    wide, high = 2 * half * sheet.factor, depth * sheet.factor
    step = grid_m(plot, feet)
    for number in range(-math.floor(half / step), math.floor(half / step) + 1):
        x = sheet.at((number * step, 0.0))[0]
        if number:
            pen.line((x, low), (x, low + high), grey=LIGHT, weight=0.35)
    for number in range(1, math.ceil(depth / step)):
        y = sheet.at((0.0, number * step))[1]
        pen.line((left, y), (left + wide, y), grey=LIGHT, weight=0.35)
    centre = sheet.at((0.0, 0.0))[0]
    pen.line((centre, low), (centre, low + high), grey=MIDDLE, weight=0.7, dash=(8, 2.5, 1.5, 2.5))
    pen.frame((left, low, wide, high), weight=1.6)


def _outlines(pen: Pen, plot: Plot, sheet: Sheet, kinds: tuple[OutlineKind, ...]) -> None:
    for outline in plot.outlines:
        if outline.kind not in kinds:
            continue
        shape = tuple(sheet.at(point) for point in outline.corners)
        if outline.kind == "riser":
            pen.shape(shape, weight=1.0, grey=DARK, fill=PALE, dash=(4, 2.5))
        else:
            pen.shape(shape, weight=1.1, fill=1.0)


def _leader(pen: Pen, placed: Placed, sheet: Sheet) -> None:
    if placed.leader is None:
        return
    start = sheet.at(placed.leader[0])
    pen.line(start, sheet.at(placed.leader[1]), weight=0.6, grey=DARK)
    if placed.label.plate:
        pen.frame((start[0] - 2.5, start[1] - 2.5, 5, 5), fill=BLACK, weight=0)


def _arrow(pen: Pen, start: Point, end: Point) -> None:
    pen.line(start, end, weight=1.0)
    angle = math.atan2(end[1] - start[1], end[0] - start[0])
    for turn in (2.6, -2.6):
        pen.line(end, (end[0] + 5 * math.cos(angle + turn), end[1] + 5 * math.sin(angle + turn)), weight=1.0)


def _mark(pen: Pen, mark: Mark, sheet: Sheet) -> None:
    x, y = sheet.at(mark.at)
    if mark.kind == "mic":
        pen.disc((x, y), MIC_PT)
    elif mark.kind == "far":
        pen.shape(((x, y + 4), (x + 4, y), (x, y - 4), (x - 4, y)), fill=1.0)
    else:
        r = TRIANGLE_PT
        shape = ((x - r * 0.87, y - r * 0.5), (x + r * 0.87, y - r * 0.5), (x, y + r))
        pen.shape(shape, fill=1.0, weight=1.1, dash=(2.5, 1.5) if mark.kind == "power wanted" else ())
        pen.text((x, y - r * 0.36), "~", STRONG.at(11), align="centre")


def _lines(label: Label, variant: int) -> list[tuple[str, Lettering]]:
    """Return the lines of a label: the words, then the detail; in the second variant short or all on one."""
    strong = PLATE if label.plate else CELL_STRONG
    plain = Lettering(CELL.face, 9.0, 1.0 if label.plate else DARK)
    if variant and label.short:
        return [fitted(label.short, strong, WORDS_ROOM_PT)]
    if variant:
        words = f"{label.words} · {label.detail}" if label.detail else label.words
        return [fitted(words, strong.at(9.5), ONE_LINE_PT)]
    lines = [(line, strong) for line in wrapped(label.words, strong, WORDS_ROOM_PT, 2)]
    return lines + [(line, plain) for line in wrapped(label.detail, plain, WORDS_ROOM_PT, 2)]


def _size_pt(lines: list[tuple[str, Lettering]], plate: bool) -> Size:
    width = max((width_pt(words, lettering) for words, lettering in lines), default=0.0)
    height = sum(LINE_PT if lettering.size > 9 else DETAIL_LINE_PT for _, lettering in lines)
    return width + (10.0 if plate else 3.0), height + (4.0 if plate else 0.5)


def _labels(plot: Plot, sheet: Sheet) -> tuple[Placed, ...]:
    def sizes(label: Label) -> list[Size]:
        found = [_size_pt(_lines(label, variant), label.plate) for variant in (0, 1)]
        return [(width / sheet.factor, height / sheet.factor) for width, height in found]

    def mark(label: Label) -> float:
        points = {"mic": MIC_PT + 0.5, "far": 5.0}.get(label.mark or "", TRIANGLE_PT)
        return points / sheet.factor

    low, high = sheet.room[:2], sheet.room[2:]
    room = tuple((value - zero) / sheet.factor for value, zero in zip((*low, *high), sheet.origin * 2, strict=True))
    return place_labels(plot, Measure(sizes, mark, 2.2 / sheet.factor, (room[0], room[1], room[2], room[3])))


def _label(pen: Pen, placed: Placed, sheet: Sheet, ground: float) -> None:
    label = placed.label
    lines = _lines(label, placed.variant)
    width, height = _size_pt(lines, label.plate)
    x, y = sheet.at(placed.at)
    if label.plate:
        pen.frame((x - width / 2, y - height / 2, width, height), fill=BLACK, weight=0, radius=2)
    top = y + height / 2 - (2.0 if label.plate else 0.2)
    for words, lettering in lines:
        step = LINE_PT if lettering.size > 9 else DETAIL_LINE_PT
        if placed.over and not label.plate:
            wide = width_pt(words, lettering)
            pen.frame((x - wide / 2 - 1, top - step * 1.04, wide + 2, step * 0.94), fill=ground, weight=0)
        pen.text((x, top - step * 0.8), words, lettering, align="centre")
        top -= step


def _within(point: Point, outline: Outline) -> bool:
    left, low, right, high = bounds(outline.corners)
    return left <= point[0] <= right and low <= point[1] <= high


def _directions(pen: Pen, plot: Plot, sheet: Sheet) -> None:
    middle = sheet.at((0.0, 0.0))[0]
    pen.text((middle, sheet.room[3] + 6), "UPSTAGE", STRONG, align="centre")
    height = sheet.at((0.0, plot.stage.depth_m / 2))[1]
    pen.upright((sheet.room[0] - 8, height), "STAGE RIGHT", STRONG, turn=90)
    pen.upright((sheet.room[2] + 8, height), "STAGE LEFT", STRONG, turn=-90)


def _below(pen: Pen, plot: Plot, sheet: Sheet, feet: bool) -> float:
    """Draw the width of the stage, the audience and the scale bar; return the lowest line in points."""
    y = sheet.room[1] - 9
    left, right = sheet.at((-plot.stage.width_m / 2, 0.0))[0], sheet.at((plot.stage.width_m / 2, 0.0))[0]
    middle = (left + right) / 2
    words = (
        f"stage {length_words(plot.stage.width_m, feet=feet)} wide, "
        f"{length_words(plot.stage.depth_m, feet=feet)} deep"
    )
    words, lettering = fitted(words, SMALL_DARK, 400.0)
    half = width_pt(words, lettering) / 2 + 5
    for start, end in ((left, middle - half), (right, middle + half)):
        if (end - start) * (1 if start == left else -1) > 0:
            pen.line((start, y + 3), (end, y + 3), grey=DARK)
            pen.line((start, y), (start, y + 6), grey=DARK)
    pen.text((middle, y), words, lettering, align="centre")
    pen.text((middle, y - 19), "AUDIENCE", HEADING.at(14), align="centre")
    _scale_bar(pen, sheet, (left, middle - 56.0, y - 24), feet)
    return y - 44


def _scale_bar(pen: Pen, sheet: Sheet, place: tuple[float, float, float], feet: bool) -> None:
    """Draw the scale bar at a left edge, but ending before another one, at a height (points)."""
    left, before, y = place
    unit = METRES_PER_FOOT if feet else 1.0
    steps = (0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000)
    part = next((one for one in steps if one * unit * sheet.factor >= 40), steps[-1])
    wide = part * unit * sheet.factor
    at = (max(MARGIN_PT + 4, min(left, before - 2 * wide)), y)
    for number in (0, 1):
        pen.frame((at[0] + number * wide, at[1], wide, 5), weight=0.7, fill=BLACK if number == 0 else 1.0)
    for number in (0, 1, 2):
        words = f"{number * part:g}" + (" ft" if feet else " m") * (number == 2)
        pen.text((at[0] + number * wide, at[1] - 11), words, SMALL, align="centre")
