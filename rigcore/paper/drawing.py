"""Drawings that stand alone: one page drawn once, written as SVG in mm or as PNG.

:class:`SvgPen` draws what the pen of the PDF draws, with the same measures, so every
output shows the same thing. An SVG holds shapes and escaped text only: no scripts, no
links, nothing to load. What is on a drawing is decided elsewhere, but for the plot.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import TYPE_CHECKING
from xml.etree import ElementTree

from msgspec import Struct

from rigcore.lists.plot import Box, stage_plot
from rigcore.paper.page import date_words
from rigcore.paper.plot import draw_plot
from rigcore.paper.style import (
    BLACK,
    MARGIN_PT,
    PAPERS,
    SMALL_DARK,
    Align,
    Lettering,
    Pen,
    clean,
    fitted,
    width_pt,
)

if TYPE_CHECKING:
    from rigcore.analysis import Analysis

MM_PER_PT = 25.4 / 72
SVG = "http://www.w3.org/2000/svg"
DPI = 200
LARGEST_PX, MOST_PX = 12_000, 40_000_000
"""Longest side of a picture and most dots in it; a larger drawing is made coarser."""

CAPTION_PT = 24.0

_FAMILY: dict[str, tuple[str, str]] = {
    "regular": ("Fira Sans, sans-serif", "400"), "bold": ("Fira Sans, sans-serif", "600"),
    "condensed": ("Fira Sans Condensed, sans-serif", "400"),
    "condensed-bold": ("Fira Sans Condensed, sans-serif", "600"),
}  # fmt: skip


class Drawing(Struct, frozen=True):
    """One page: its title, its width and height in points, and how a pen draws it, y upwards."""

    title: str
    size: tuple[float, float]
    draw: Callable[[Pen], None]


def plot_drawing(analysis: Analysis, *, feet: bool = False) -> Drawing:
    """Return the stage plot on a page of its own, to the scale it has in the packet."""
    plot = stage_plot(analysis.patch, feet=feet)
    wide, high = PAPERS["A4"][0] - MARGIN_PT, PAPERS["A4"][1] - 2 * MARGIN_PT
    box: Box = (0.0, 0.0, wide, high)
    sheet, low = draw_plot(SvgPen(box[2:]), plot, box, feet=feet)
    title = title_of(analysis, "stage plot")
    words = f"{title} · scale 1 : {sheet.scale} at 100 %"

    def draw(pen: Pen) -> None:
        up = CAPTION_PT - low
        draw_plot(pen, plot, (0.0, up, wide, high + up), feet=feet)
        pen.text((wide / 2, 9.0), *fitted(words, SMALL_DARK, wide - 20), align="centre")

    return Drawing(title, (wide, high - low + CAPTION_PT), draw)


def title_of(analysis: Analysis, what: str) -> str:
    """Return the title of a drawing: act, house, date and what it is."""
    gig = analysis.gig
    act = gig.act or analysis.book.owner or analysis.patch.rig.name
    when = f", {date_words(gig.date)}" if gig.date else ""
    return clean(f"{act} at {analysis.patch.house.name}{when}: {what}")


def svg_bytes(drawing: Drawing) -> bytes:
    """Return a drawing as SVG 1.1: true size, one user unit is 1 mm on paper."""
    pen = SvgPen(drawing.size)
    drawing.draw(pen)
    wide, high = (_mm(side) for side in drawing.size)
    root = ElementTree.Element("svg", {
        "xmlns": SVG, "version": "1.1", "width": f"{wide}mm", "height": f"{high}mm", "viewBox": f"0 0 {wide} {high}",
        "role": "img",
    })  # fmt: skip
    ElementTree.SubElement(root, "title").text = drawing.title
    ElementTree.SubElement(root, "rect", {"width": wide, "height": high, "fill": "#ffffff"})
    root.extend(pen.shapes)
    made: bytes = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    return made + b"\n"


def png_bytes(drawing: Drawing, dpi: int = DPI) -> bytes:
    """Return a drawing as PNG, so many dots to the inch unless that made it too large."""
    import pypdfium2
    from reportlab.pdfgen.canvas import Canvas

    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=drawing.size, invariant=1)
    drawing.draw(Pen(canvas))
    canvas.showPage()
    canvas.save()
    wide, high = drawing.size
    scale = min(dpi / 72, LARGEST_PX / max(wide, high), (MOST_PX / (wide * high)) ** 0.5)
    document = pypdfium2.PdfDocument(stream.getvalue())
    try:
        picture = document[0].render(scale=scale).to_pil()
    finally:
        document.close()
    made = io.BytesIO()
    picture.save(made, "PNG", dpi=(scale * 72, scale * 72))
    return made.getvalue()


class SvgPen(Pen):
    """A pen whose strokes are the shapes of an SVG, in mm, y downwards from the top of the page."""

    def __init__(self, size: tuple[float, float]) -> None:
        self.high = size[1]
        self.missing = {}
        self.shapes: list[ElementTree.Element] = []

    def text(
        self, at: tuple[float, float], words: str, lettering: Lettering, *,
        room_pt: float | None = None, align: Align = "left",
    ) -> float:
        """As :meth:`Pen.text`; the viewer's font is held to the width of ours."""
        if room_pt is not None:
            words, lettering = fitted(words, lettering, room_pt)
        anchor = {"left": "start", "centre": "middle", "right": "end"}[align]
        return self._words(at, words, lettering, **{"text-anchor": anchor})

    def _words(self, at: tuple[float, float], words: str, lettering: Lettering, **more: str) -> float:
        width = width_pt(words, lettering)
        if not width:
            return width
        family, weight = _FAMILY[lettering.face]
        stretch = "condensed" if lettering.face.startswith("condensed") else "normal"
        self._add(
            "text", x=_mm(at[0]), y=self._down(at[1]), fill=_grey(lettering.grey), **more,
            **{
                "font-family": family, "font-weight": weight, "font-stretch": stretch,
                "font-size": _mm(lettering.size), "textLength": _mm(width), "lengthAdjust": "spacingAndGlyphs",
            },
        )  # fmt: skip
        self.shapes[-1].text = clean(words)
        return width

    def upright(self, at: tuple[float, float], words: str, lettering: Lettering, *, turn: float) -> None:
        """As :meth:`Pen.upright`."""
        around = f"rotate({-turn:g} {_mm(at[0])} {self._down(at[1])})"
        self._words(at, words, lettering, **{"text-anchor": "middle", "transform": around})

    def line(
        self, start: tuple[float, float], end: tuple[float, float], *,
        grey: float = BLACK, weight: float = 0.7, dash: tuple[float, ...] = (),
    ) -> None:
        """As :meth:`Pen.line`."""
        self._add(
            "line", x1=_mm(start[0]), y1=self._down(start[1]), x2=_mm(end[0]), y2=self._down(end[1]),
            **_stroke(grey, weight, dash),
        )

    def frame(
        self, box: tuple[float, float, float, float], *, grey: float = BLACK, weight: float = 0.7,
        fill: float | None = None, radius: float = 0.0,
    ) -> None:
        """As :meth:`Pen.frame`."""
        x, y, wide, high = box
        self._add(
            "rect", x=_mm(x), y=self._down(y + high), width=_mm(wide), height=_mm(high), rx=_mm(radius),
            fill=_grey(fill), **_stroke(grey, weight, ()),
        )

    def shape(
        self, corners: tuple[tuple[float, float], ...], *, grey: float = BLACK, weight: float = 1.0,
        fill: float | None = None, dash: tuple[float, ...] = (),
    ) -> None:
        """As :meth:`Pen.shape`."""
        points = " ".join(f"{_mm(x)},{self._down(y)}" for x, y in corners)
        self._add("polygon", points=points, fill=_grey(fill), **_stroke(grey, weight, dash))

    def disc(self, at: tuple[float, float], radius: float) -> None:
        """As :meth:`Pen.disc`."""
        self._add("circle", cx=_mm(at[0]), cy=self._down(at[1]), r=_mm(radius), fill=_grey(BLACK))

    def _add(self, kind: str, **about: str) -> None:
        self.shapes.append(ElementTree.Element(kind, about))

    def _down(self, y: float) -> str:
        return _mm(self.high - y)


def _mm(length_pt: float) -> str:
    """Return a length in points as mm with three decimals at most."""
    return f"{round(length_pt * MM_PER_PT, 3) + 0.0:g}" if abs(length_pt) < 1e5 else f"{length_pt * MM_PER_PT:.0f}"


def _grey(value: float | None) -> str:
    return "none" if value is None else "#" + f"{round(value * 255):02x}" * 3


def _stroke(grey: float, weight: float, dash: tuple[float, ...]) -> dict[str, str]:
    if not weight:
        return {"stroke": "none"}
    dashes = {"stroke-dasharray": " ".join(_mm(one) for one in dash)} if dash else {}
    return {"stroke": _grey(grey), "stroke-width": _mm(weight), **dashes}
