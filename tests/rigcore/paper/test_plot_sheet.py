"""The stage plot measured on the finished page: vectors read back against the stated scale."""

from __future__ import annotations

import datetime as dt
import io
import re
from collections.abc import Callable

import pypdf
import pytest

from rigcore.analysis import Analysis
from rigcore.book.edits.houses import change_house
from rigcore.book.edits.units import add_unit
from rigcore.book.file import load
from rigcore.book.house import Stage
from rigcore.book.rig import Unit
from rigcore.catalogue.loader import shipped
from rigcore.lists.plot import Box, bounds, stage_plot
from rigcore.paper.nudge import Measure, Placed, place_labels
from rigcore.paper.packet import packet_bytes
from rigcore.paper.plot import SCALES, _labels, _lines, _size_pt, scale_for, sheet_for
from rigcore.patch.build import build_patch
from rigcore.resources import samples

ISSUED = dt.date(2026, 7, 31)
POINTS_PER_METRE = 72 / 0.0254


def plot_page(data: bytes) -> tuple[str, int, list[tuple[float, ...]]]:
    """Return the text, the stated scale and the closed polygons of the page that holds the plot."""
    for page in pypdf.PdfReader(io.BytesIO(data)).pages:
        text = page.extract_text()
        if "AUDIENCE" in text:
            contents = page.get_contents()
            assert contents is not None
            stated = re.search(r"scale 1 : (\d+)", text)
            assert stated is not None
            return text, int(stated[1]), list(polygons(contents.get_data().decode("latin-1")))
    raise AssertionError("no plot")


def polygons(stream: str) -> list[tuple[float, ...]]:
    """Return bounds (x0, y0, x1, y1) of every rectangle and closed polygon, in points."""
    found = []
    number = r"(-?[\d.]+)"
    for rect in re.finditer(rf"{number} {number} {number} {number} re", stream):
        x, y, wide, high = map(float, rect.groups())
        found.append((x, y, x + wide, y + high))
    for shape in re.finditer(rf"n {number} {number} m((?: {number} {number} l)+) h", stream.replace("\n", " ")):
        values = [float(value) for value in re.findall(r"-?[\d.]+", shape[0])]
        found.append((min(values[::2]), min(values[1::2]), max(values[::2]), max(values[1::2])))
    return found


def has(shapes: list[tuple[float, ...]], size_m: tuple[float, float], scale: int) -> bool:
    """Return whether a shape of that size in m is on the page, within 0.5 %."""
    wide, high = (one * POINTS_PER_METRE / scale for one in size_m)
    return any(
        abs((x1 - x0) / wide - 1) < 0.005 and abs((y1 - y0) / high - 1) < 0.005 for x0, y0, x1, y1 in shapes
    )


def test_the_plot_keeps_its_stated_scale(ferry: Analysis) -> None:
    _, scale, shapes = plot_page(packet_bytes(ferry, issued=ISSUED))
    assert scale == 50
    assert has(shapes, (8.0, 6.5), scale)
    assert has(shapes, (2.2, 2.0), scale)
    piano = shipped().gear_type("stage-piano-88")
    laptop = shipped().gear_type("laptop-interface-4")
    assert has(shapes, (piano.width_m, piano.depth_m), scale)
    assert has(shapes, (laptop.depth_m, laptop.width_m), scale), "turned by a quarter"
    assert not has(shapes, (8.0, 6.4), scale)


@pytest.mark.parametrize("stage", [(2.6, 1.8), (4.0, 3.0), (12.0, 8.0), (16.0, 20.0), (60.0, 40.0)])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_any_stage_is_to_scale(many: Callable[..., Analysis], stage: tuple[float, float], paper: str) -> None:
    analysis = many(["One"])
    book = change_house(analysis.book, "hall", stage=Stage(width_m=stage[0], depth_m=stage[1]))
    patch = build_patch(book, "gig", shipped())
    _, scale, shapes = plot_page(packet_bytes(Analysis(book, patch.gig, patch, ()), paper=paper, issued=ISSUED))
    assert has(shapes, stage, scale)


@pytest.mark.parametrize("scale", SCALES[:9])
def test_positions_read_back_at_every_scale(many: Callable[..., Analysis], scale: int) -> None:
    """Three things far apart: where their middles lie on the stage, measured from the frame of the stage."""
    factor = POINTS_PER_METRE / scale
    wide, deep = 440 / factor, 480 / factor
    places = {"a": (0.25 * wide, 0.8 * deep), "b": (-0.28 * wide, 0.15 * deep), "c": (0.05 * wide, 0.45 * deep)}
    book = change_house(many([]).book, "hall", stage=Stage(width_m=wide, depth_m=deep), units=(), sockets=())
    for name, (x, y) in places.items():
        unit = Unit(id=name, name=name, gear="stage-piano-88", x_m=x, y_m=y, rotation_deg=0.0)
        book = add_unit(book, "rig", unit, shipped())
    patch = build_patch(book, "gig", shipped())
    analysis = Analysis(book, patch.gig, patch, ())
    _, stated, shapes = plot_page(packet_bytes(analysis, issued=ISSUED, pages=("plot",)))
    assert stated == scale
    [stage] = [one for one in shapes if has([one], (wide, deep), scale)]
    piano = shipped().gear_type("stage-piano-88")
    found = [one for one in shapes if has([one], (piano.width_m, piano.depth_m), scale)]
    middles = sorted(
        (((one[0] + one[2]) / 2 - (stage[0] + stage[2]) / 2) / factor, ((one[1] + one[3]) / 2 - stage[1]) / factor)
        for one in found
    )
    assert len(middles) == len(places)
    for (x, y), (want_x, want_y) in zip(middles, sorted(places.values()), strict=True):
        assert abs(x - want_x) < 0.005 * wide
        assert abs(y - want_y) < 0.005 * deep
        assert abs(x - want_x) * factor < 0.1, "and no more than a tenth of a point away"


def test_the_largest_usual_scale_that_fits_is_taken() -> None:
    room = (4.0 * POINTS_PER_METRE / 25, 1000.0)
    assert scale_for((-2.0, 0.0, 2.0, 3.0), room) == 25
    assert scale_for((-2.01, 0.0, 2.0, 3.0), room) == 40
    assert scale_for((0.0, 0.0, 1.0, 1.0), room) == 20


def test_words_never_cover_words(ferry: Analysis, many: Callable[..., Analysis]) -> None:
    for analysis, step in ((ferry, 0.02), (many([f"Voice {n}" for n in range(1, 49)]), 0.02)):
        plot = stage_plot(analysis.patch)
        sizes = {label: [(len(label.words) * 0.07, 0.25), (len(label.short) * 0.07, 0.2)] for label in plot.labels}
        measure = Measure(lambda label: sizes[label], lambda _: 0.07, step, (-6.0, -1.0, 6.0, 7.5))  # noqa: B023
        placed = place_labels(plot, measure)
        assert placed == place_labels(plot, measure)
        boxes = []
        for one in placed:
            wide, high = sizes[one.label][one.variant]
            boxes.append((one.at[0] - wide / 2, one.at[1] - high / 2, one.at[0] + wide / 2, one.at[1] + high / 2))
        for place, one_box in enumerate(boxes):
            for other in boxes[place + 1:]:
                across = min(one_box[2], other[2]) - max(one_box[0], other[0])
                up = min(one_box[3], other[3]) - max(one_box[1], other[1])
                assert min(across, up) <= 1e-6


def test_words_touch_no_thing_beside_them_and_no_label_reads_on_into_another() -> None:
    book = load(samples() / "ferry.loom", shipped())[0]
    plot = stage_plot(build_patch(book, None, shipped()))
    sheet = sheet_for(plot, (42.0, 300.0, 553.0, 760.0))
    found = [one for one in _labels(plot, sheet) if not one.label.plate]
    points = 1 / sheet.factor
    boxes = {
        one.label: around(one, tuple(side * points for side in _size_pt(_lines(one.label, one.variant), plate=False)))
        for one in found
    }
    gear = [bounds(one.corners) for one in plot.outlines if one.kind in ("gear", "wedge")]
    stage = bounds(next(one.corners for one in plot.outlines if one.kind == "stage"))
    for one in found:
        box = boxes[one.label]
        inside = [thing for thing in gear if thing == bounds(one.label.shape)]
        for thing in gear:
            assert thing in inside or apart(box, thing) >= 1.5 * points, one.label.words
        assert stage[0] < box[0] < box[2] < stage[2], "no words across the edge of the stage"
        near = min(apart(box, other) for label, other in boxes.items() if label != one.label)
        assert near >= 1.8 * points, one.label.words


def around(one: Placed, size: tuple[float, ...]) -> Box:
    """Return the box of placed words."""
    (x, y), (wide, high) = one.at, size
    return x - wide / 2, y - high / 2, x + wide / 2, y + high / 2


def apart(one: Box, other: Box) -> float:
    """Return how far two boxes are apart across or up, whichever is more; below zero where they overlap."""
    across = max(one[0], other[0]) - min(one[2], other[2])
    return max(across, max(one[1], other[1]) - min(one[3], other[3]))


def test_feet_change_words_not_sizes(ferry: Analysis) -> None:
    _, scale, shapes = plot_page(packet_bytes(ferry, feet=True, issued=ISSUED))
    assert has(shapes, (8.0, 6.5), scale)
