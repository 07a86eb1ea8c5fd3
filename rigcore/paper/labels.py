"""Cable labels: flags to wrap round a cable, two for each, on a sheet whose geometry is data.

A flag has two faces that say the same and a strip between them that goes round the cable.
Number first, then the two ends; the colours of the number stand as bands and as words.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from msgspec import Struct

from rigcore.lists.label_list import CableLabel, label_list
from rigcore.paper.leaf import Job, Leaf
from rigcore.paper.page import Frame
from rigcore.paper.style import BLACK, CELL, LIGHT, SMALL_DARK, Lettering, Pen, width_pt, wrapped
from rigcore.quantities.geometry import length_words

POINTS_PER_MM = 72 / 25.4
NUMBER = Lettering("bold", 15)
THIS_END = Lettering("condensed-bold", 9.5)
FAINT = Lettering("condensed", 9.0, SMALL_DARK.grey)
OTHER_END = CELL.at(9.0)
BAND_PT, PAD_PT, HEAD_PT, FOOT_PT = 7.0, 3.0, 18.0, 2.5
STEPS = ((THIS_END, 10.0), (THIS_END.at(9.0), 9.5), (THIS_END.at(9.0), 8.8))
"""How this end is written and how far lines lie apart, the second where the first would cut words, and so on."""
Size = tuple[float, float]
INK: dict[str, tuple[float, float, float]] = {
    "black": (0.0, 0.0, 0.0), "brown": (0.45, 0.26, 0.12), "red": (0.84, 0.1, 0.1), "orange": (0.95, 0.52, 0.0),
    "yellow": (0.98, 0.88, 0.1), "green": (0.1, 0.58, 0.24), "blue": (0.1, 0.3, 0.75),
    "violet": (0.5, 0.2, 0.62), "grey": (0.55, 0.55, 0.55), "white": (1.0, 1.0, 1.0),
}  # fmt: skip
"""The colours of IEC 60062 as a printer mixes them; the shades are ours."""


class LabelSheet(Struct, frozen=True):
    """How labels lie on a sheet: columns, rows, outer margins and gaps in mm; ``wrap_mm`` goes round the cable.

    A wrap of 14 mm goes round a cable of up to 4.4 mm, one of 24 mm round one of up to 7.6 mm (length over pi).
    """

    columns: int
    rows: int
    side_mm: float = 8.0
    end_mm: float = 13.0
    gap_across_mm: float = 2.0
    gap_down_mm: float = 0.0
    wrap_mm: float = 14.0

    def __post_init__(self) -> None:
        if not (1 <= self.columns <= 6 and 1 <= self.rows <= 30):
            raise ValueError("a sheet of labels has 1 to 6 columns and 1 to 30 rows")
        if min(self.side_mm, self.end_mm, self.gap_across_mm, self.gap_down_mm, self.wrap_mm) < 0:
            raise ValueError("margins, gaps and the wrap of a sheet of labels must not be negative")

    def boxes(self, size: tuple[float, float]) -> tuple[tuple[float, float, float, float], ...]:
        """Return the labels of one sheet of a size as left, bottom, width and height, all in points.

        Raises
        ------
        ValueError
            If nothing is left of the faces.
        """
        side, end, across, down = (
            one * POINTS_PER_MM for one in (self.side_mm, self.end_mm, self.gap_across_mm, self.gap_down_mm)
        )
        wide = (size[0] - 2 * side - across * (self.columns - 1)) / self.columns
        high = (size[1] - 2 * end - down * (self.rows - 1)) / self.rows
        if wide - self.wrap_mm * POINTS_PER_MM < 90 or high < 40:
            raise ValueError("these labels leave no room for words: take fewer columns or rows")
        return tuple(
            (side + column * (wide + across), size[1] - end - high - row * (high + down), wide, high)
            for row in range(self.rows)
            for column in range(self.columns)
        )


SHEETS: dict[str, LabelSheet] = {
    "small": LabelSheet(columns=3, rows=9),
    "large": LabelSheet(columns=2, rows=8, wrap_mm=24.0),
}
"""Two usual divisions of a sheet."""


def label_leaves(job: Job) -> tuple[Leaf, ...]:
    """Return the sheets of cable labels, two labels for each cable of ours, side by side."""
    sheet = job.labels or SHEETS["small"]
    boxes = sheet.boxes(job.frame.size)
    flags = [(label, turned) for label in label_list(job.analysis.patch) for turned in (False, True)]
    return tuple(
        Leaf(
            "Cable labels" if not start else "Cable labels, continued",
            partial(_draw, flags[start:start + len(boxes)], (sheet, job.feet)), bare=True,
        )
        for start in range(0, len(flags), len(boxes))
    )


def _draw(flags: Sequence[tuple[CableLabel, bool]], how: tuple[LabelSheet, bool], pen: Pen, frame: Frame) -> None:
    sheet, feet = how
    for (label, turned), box in zip(flags, sheet.boxes(frame.size), strict=False):
        left, bottom, wide, high = box
        pen.frame((left + 1, bottom + 1, wide - 2, high - 2), weight=0.4, grey=LIGHT)
        wrap = sheet.wrap_mm * POINTS_PER_MM
        face = (wide - wrap) / 2
        for x in (left + face, left + face + wrap):
            pen.line((x, bottom + 1), (x, bottom + high - 1), weight=0.4, grey=LIGHT, dash=(2, 2))
        for x in (left, left + face + wrap):
            _face(pen, label, (x, bottom, face, high), (turned, feet))


def _face(pen: Pen, label: CableLabel, box: tuple[float, float, float, float], how: tuple[bool, bool]) -> None:
    """Draw one face: number, bands and their names, this end, the other end, the cable."""
    left, bottom, wide, high = box
    x, y, room = left + PAD_PT, bottom + high - PAD_PT, wide - 2 * PAD_PT
    used = pen.text((x, y - 13), label.mark, NUMBER, room_pt=room * 0.6)
    colours = label.colours[:6]
    bands = x + used + 4
    for number, colour in enumerate(colours):
        _band(pen, (bands + number * (BAND_PT + 1), y - 13), colour)
    names_at = bands + len(colours) * (BAND_PT + 1) + 2
    beside = _beside(label.colours, left + wide - 2 - names_at)
    for words, lettering, rise in beside:
        pen.text((names_at, y - 13 + rise), words, lettering)
    y -= HEAD_PT
    above = [] if beside else [(", ".join(label.colours), SMALL_DARK.narrower())]
    lines, lead = _words(label, how, (room, y - bottom - FOOT_PT), above)
    for words, lettering in lines:
        y -= lead
        pen.text((x, y), words, lettering, room_pt=room)


def _beside(colours: Sequence[str], room: float) -> list[tuple[str, Lettering, float]]:
    """Return the names of the colours beside their bands, each line with how far it is raised; nothing if no room."""
    narrow = SMALL_DARK.narrower()
    if width_pt(", ".join(colours), narrow) <= room:
        return [(", ".join(colours), SMALL_DARK if width_pt(", ".join(colours), SMALL_DARK) <= room else narrow, 0.0)]
    if len(colours) != 2 or max(width_pt(f"{colours[0]},", narrow), width_pt(colours[1], narrow)) > room:
        return []
    return [(f"{colours[0]},", narrow, 6.5), (colours[1], narrow, -2.5)]


def _words(
    label: CableLabel, how: tuple[bool, bool], room: Size, above: list[tuple[str, Lettering]]
) -> tuple[list[tuple[str, Lettering]], float]:
    """Return the lines of a face and how far apart they lie: closer before anything is cut."""
    turned, feet = how
    here, there = (label.other_end, label.one_end) if turned else (label.one_end, label.other_end)
    # The length stands first: where there is room for one line only, it is what is needed to find the cable.
    size = f"{length_words(label.length_m, feet=feet)}, " if label.length_m is not None else ""
    cable = f"{size}{label.cable}"
    for this_end, lead in STEPS:
        most = max(3, int(room[1] / lead)) - len(above)
        texts = ((here, this_end), (f"to {there}", OTHER_END), (cable, FAINT))
        whole = [wrapped(words, lettering, room[0]) for words, lettering in texts]
        if sum(map(len, whole)) <= most:
            break
    # What it is comes last and may be cut to one line; the ends share the rest, one takes what the other leaves.
    ends = max(2, most - 1)
    first = min(len(whole[0]), max(ends // 2, ends - len(whole[1])))
    second = min(len(whole[1]), max(1, ends - first))
    counts = (first, second, max(1, most - first - second))
    lines = [
        (line, lettering)
        for (words, lettering), count in zip(texts, counts, strict=True)
        for line in wrapped(words, lettering, room[0], count)
    ]
    return above + lines, lead


def _band(pen: Pen, at: tuple[float, float], colour: str) -> None:
    pen.canvas.setFillColorRGB(*INK[colour])
    pen.canvas.setStrokeGray(BLACK)
    pen.canvas.setLineWidth(0.6)
    pen.canvas.setDash([])
    pen.canvas.rect(*at, BAND_PT, 11.0, stroke=1, fill=1)
