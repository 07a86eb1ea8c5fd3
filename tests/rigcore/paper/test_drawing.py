"""SVG parsed as XML and measured in mm, PNG read back by another library; hostile text stays text."""

from __future__ import annotations

import io
from collections.abc import Callable
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from PIL import Image

from rigcore.analysis import Analysis
from rigcore.paper.drawing import SVG, Drawing, SvgPen, plot_drawing, png_bytes, svg_bytes
from rigcore.paper.patch_sheet import patch_drawing
from rigcore.paper.style import Pen, clean
from tests.rigcore.paper.hostile import hostile, texts

DRAWINGS = (plot_drawing, patch_drawing)
MM_PER_POINT = 25.4 / 72
ALLOWED = {"svg", "title", "rect", "line", "polygon", "circle", "text"}


def read(data: bytes) -> ElementTree.Element:
    """Parse an SVG and check that it holds nothing but shapes and text."""
    root = ElementTree.fromstring(data)
    for element in root.iter():
        space, _, name = element.tag.rpartition("}")
        assert space == "{" + SVG
        assert name in ALLOWED
        assert not [key for key in element.attrib if key.startswith("on") or "href" in key or "style" in key]
    return root


@pytest.mark.parametrize("make", DRAWINGS)
def test_a_drawing_is_measured_in_mm(ferry: Analysis, make: Callable[[Analysis], Drawing]) -> None:
    drawing = make(ferry)
    root = read(svg_bytes(drawing))
    wide, high = drawing.size
    left, top, right, low = (float(part) for part in root.attrib["viewBox"].split())
    assert (left, top) == (0, 0)
    assert right == pytest.approx(wide * MM_PER_POINT, abs=0.01)
    assert low == pytest.approx(high * MM_PER_POINT, abs=0.01)
    assert root.attrib["width"] == root.attrib["viewBox"].split()[2] + "mm"


def test_the_plot_is_true_to_its_scale(ferry: Analysis) -> None:
    """The stage of 8 m by 6.5 m, drawn 1 : n, is 8000 / n mm wide."""
    root = read(svg_bytes(plot_drawing(ferry)))
    caption = next(one.text or "" for one in root.iter("{" + SVG + "}text") if "scale 1 :" in (one.text or ""))
    scale = int(caption.split("scale 1 : ")[1].split()[0])
    sizes = [(float(one.attrib["width"]), float(one.attrib["height"])) for one in root.iter("{" + SVG + "}rect")]
    assert any(abs(w - 8000 / scale) < 0.01 and abs(h - 6500 / scale) < 0.01 for w, h in sizes)


def test_the_patch_names_units_ports_cables_and_both_numbers(ferry: Analysis) -> None:
    words = [one.text or "" for one in read(svg_bytes(patch_drawing(ferry))).iter("{" + SVG + "}text")]
    for row in ferry.inputs:
        assert any(f"yours {row.house} (ours {row.act}) · {row.socket} · {row.name}" in one for one in words)
    for hop in ferry.patch.hops:
        assert {hop.source.name, hop.target.name} <= {*words}
        for cable, length in hop.cables:
            assert any(cable.name in one and f"{length:g} m" in one for one in words)


def test_every_wire_of_the_patch_begins_and_ends_at_its_ports(ferry: Analysis) -> None:
    root = read(svg_bytes(patch_drawing(ferry)))
    arrows = list(root.iter("{" + SVG + "}polygon"))
    assert len(arrows) == len(ferry.patch.hops)


@pytest.mark.parametrize("make", DRAWINGS)
def test_a_picture_has_the_size_asked_for(ferry: Analysis, make: Callable[[Analysis], Drawing]) -> None:
    drawing = make(ferry)
    data = png_bytes(drawing, 100)
    with Image.open(io.BytesIO(data)) as picture:
        picture.load()
        assert picture.format == "PNG"
        for got, points in zip(picture.size, drawing.size, strict=True):
            assert got == pytest.approx(points * 100 / 72, abs=1.5)
        dark = sum(picture.convert("L").histogram()[:64])
    assert dark > 1000
    assert png_bytes(drawing, 100) == data
    assert svg_bytes(drawing) == svg_bytes(make(ferry))


def test_a_huge_drawing_makes_a_coarser_picture() -> None:
    huge = Drawing("huge", (20_000.0, 30.0), lambda pen: pen.frame((0, 0, 10, 10), fill=0.0))
    with Image.open(io.BytesIO(png_bytes(huge, 300))) as picture:
        assert max(picture.size) <= 12_001


def test_the_pens_draw_the_same_words(ferry: Analysis) -> None:
    from reportlab.pdfgen.canvas import Canvas

    drawing = patch_drawing(ferry)
    widths = []
    for pen in (SvgPen(drawing.size), Pen(Canvas(io.BytesIO(), pagesize=drawing.size))):
        drawing.draw(pen)
        widths.append(sorted(pen.missing))
    assert widths[0] == widths[1] == []


@settings(max_examples=20, deadline=None)
@given(texts)
def test_hostile_text_stays_text(text: str) -> None:
    analysis = hostile(text)
    for make in DRAWINGS:
        root = read(svg_bytes(make(analysis)))
        assert root.find("{" + SVG + "}title") is not None
        assert clean(text) in (root.findtext("{" + SVG + "}title") or "")
    png_bytes(patch_drawing(analysis), 20)
