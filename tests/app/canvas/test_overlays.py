"""Overlays of the Stage sheet, one at a time, and the house's things, locked until it is opened."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, Qt
from pytestqt.qtbot import QtBot

from app.canvas.ground import along, cuts, meet
from app.canvas.stage_layout import on_sheet
from app.canvas.stage_view import NOTE_ROOM, StageSheet
from app.canvas.unit_item import rect_of
from app.desk import Desk
from rigcore import resources
from rigcore.catalogue.catalogue import Catalogue
from rigcore.lists.overlays import KINDS, Kind, overlay


def full(catalogue: Catalogue, qtbot: QtBot, sample: str = "ferry") -> StageSheet:
    """A sheet with a sample on it."""
    desk = Desk(catalogue)
    desk.open(Path(resources.samples()) / f"{sample}.loom")
    sheet = StageSheet(desk)
    desk.setParent(sheet)
    qtbot.addWidget(sheet)
    sheet.resize(1000, 640)
    sheet.show()
    return sheet


def test_one_overlay_at_a_time_and_no_plate_on_another(catalogue: Catalogue, qtbot: QtBot) -> None:
    sheet = full(catalogue, qtbot)
    for kind in ("runs", "power", "order"):
        qtbot.keyClick(sheet, Qt.Key.Key_O)
        over = sheet.stage.over
        assert sheet.stage.over_kind == kind
        boxes = [plate.box for plate in over.plates]
        names = [name.box for name in sheet.stage.names.names]
        assert boxes
        assert not any(a.meets(b) for a, b in combinations(boxes, 2))
        assert not any(box.meets(name) for box in boxes for name in names)
    qtbot.keyClick(sheet, Qt.Key.Key_O)
    assert sheet.stage.over_kind is None
    assert not sheet.stage.over.plates


@pytest.mark.parametrize("sample", ["piper", "tandem", "ferry"])
@pytest.mark.parametrize("size", [(846, 506), (1396, 820)], ids=["small", "large"])
def test_lengths_hide_no_gear_nor_the_words_around_the_stage(
    catalogue: Catalogue, qtbot: QtBot, sample: str, size: tuple[int, int]
) -> None:
    sheet = full(catalogue, qtbot, sample)
    sheet.resize(*size)
    sheet.zoom_to_fit()
    sheet.show_overlay("runs")
    stage = sheet.stage
    sheet_box = stage.floor.extent()
    bodies = {name: item.body() for name, item in stage.footprints.items() if not item.waiting}
    around = stage.floor.surroundings(stage._letters).blocked
    assert stage.over.plates
    for plate in stage.over.plates:
        assert not [name for name, body in bodies.items() if plate.box.meets(body)], plate.words
        assert not any(plate.box.meets(box) for box in around), plate.words
        assert sheet_box.contains(rect_of(plate.box)), plate.words


def test_a_length_beside_its_run_is_led_to_it(catalogue: Catalogue, qtbot: QtBot) -> None:
    sheet = full(catalogue, qtbot)
    sheet.show_overlay("runs")
    strokes = [one for one in sheet.stage.over.shown.strokes if one.words]
    led = [plate for plate in sheet.stage.over.plates if plate.leader is not None]
    assert led, "the riser is crowded"
    for stroke, plate in zip(strokes, sheet.stage.over.plates, strict=True):
        ends = [on_sheet(*point) for point in stroke.points]
        points = [point for line in pairwise(ends) for point in along(line)]
        if plate.leader is None:
            assert any(plate.box.grown(6).holds(point) for point in points), plate.words
        else:
            assert plate.leader[0] in points, plate.words
            assert plate.box.grown(0.1).holds(plate.leader[1]), plate.words


@pytest.mark.parametrize("sample", ["piper", "tandem", "ferry", "mistakes"])
@pytest.mark.parametrize("kind", KINDS)
def test_hardly_a_leader_crosses_words_or_another_leader(
    catalogue: Catalogue, qtbot: QtBot, sample: str, kind: Kind
) -> None:
    sheet = full(catalogue, qtbot, sample)
    sheet.show_overlay(kind)
    stage = sheet.stage
    words = [*(name.box for name in stage.names.names), *stage.floor.edge_words(stage._letters)]
    led = [plate for plate in stage.over.plates if plate.leader is not None]
    # What is written beside an outlet may be led past the name of that outlet.
    own = {one.words: on_sheet(*one.at) for one in stage.over.shown.marks if one.beside}
    crossing = [
        one.words
        for one in led
        for box in words
        if one.leader and cuts(one.leader, box) and not box.grown(31).holds(own.get(one.words, (1e6, 1e6)))
    ]
    assert len(crossing) <= 1, "only what stands walled in by words"
    for a, b in combinations(led, 2):
        assert not (a.leader and b.leader and meet(a.leader, b.leader)) or a.words in crossing or b.words in crossing
        assert not (a.leader and cuts(a.leader, b.box)) or a.words in crossing


@pytest.mark.parametrize("sample", ["piper", "tandem", "ferry", "mistakes"])
@pytest.mark.parametrize("kind", ["power", "order"])
def test_a_number_hides_no_small_footprint_nor_a_line(
    catalogue: Catalogue, qtbot: QtBot, sample: str, kind: Kind
) -> None:
    sheet = full(catalogue, qtbot, sample)
    sheet.show_overlay(kind)
    over = sheet.stage.over
    bodies = sheet.stage._plan().bodies
    lines = [[on_sheet(*point) for point in stroke.points] for stroke in over.shown.strokes]
    assert over.plates
    for plate in over.plates:
        size = (plate.box.right - plate.box.left, plate.box.bottom - plate.box.top)
        for name, body in bodies.items():
            if body.right - body.left < size[0] or body.bottom - body.top < size[1] * 0.9:
                assert not plate.box.meets(body), (plate.words, name)
        for line in lines:
            assert not any(cuts(part, plate.box.grown(-1)) for part in pairwise(line)), plate.words


def test_names_make_way_for_what_is_laid_over_the_plan(catalogue: Catalogue, qtbot: QtBot) -> None:
    """The lines of the power circuits cross fewer names than they would if these stayed where they are without."""
    crossed, usual = 0, 0
    for sample in ("piper", "tandem", "ferry", "mistakes"):
        sheet = full(catalogue, qtbot, sample)
        before = [name.box for name in sheet.stage.names.names]
        sheet.show_overlay("power")
        lines = [
            (on_sheet(*a), on_sheet(*b)) for stroke in sheet.stage.over.shown.strokes
            for a, b in pairwise(stroke.points)
        ]  # fmt: skip
        usual += sum(cuts(line, box) for line in lines for box in before)
        crossed += sum(cuts(line, name.box) for line in lines for name in sheet.stage.names.names)
        sheet.show_overlay(None)
        assert [name.box for name in sheet.stage.names.names] == before
    assert crossed <= usual / 2


def test_the_note_leaves_the_plan_free(catalogue: Catalogue, qtbot: QtBot) -> None:
    sheet = full(catalogue, qtbot)
    before = sheet.zoom
    sheet.show_overlay("runs")
    top = sheet.mapFromScene(sheet.content().topLeft()).y()
    assert top >= NOTE_ROOM - 2
    sheet.show_overlay(None)
    assert sheet.zoom == pytest.approx(before)


def test_runs_follow_the_units(catalogue: Catalogue, qtbot: QtBot) -> None:
    from rigcore.book.edits.units import move_on_stage

    sheet = full(catalogue, qtbot)
    sheet.show_overlay("runs")
    before = sheet.stage.over.shown
    assert all(stroke.words.split(",")[0].endswith(" m") for stroke in before.strokes)
    rig = sheet.desk.rig_id
    sheet.desk.edit("Move", lambda book: move_on_stage(book, rig, "keys-1", (-2.0, 1.0, 0.0)))
    assert sheet.stage.over.shown != before


def test_the_order_goes_downstage_with_the_microphones_last(catalogue: Catalogue, qtbot: QtBot) -> None:
    sheet = full(catalogue, qtbot)
    sheet.show_overlay("order")
    marks = sheet.stage.over.shown.marks
    assert [mark.words for mark in marks] == [str(n) for n in range(1, len(marks) + 1)]
    mics = {(u.x_m, u.y_m) for u in sheet.stage.units.values() if "handheld" in u.gear}
    assert {mark.at for mark in marks[-len(mics):]} == mics


def test_the_houses_things_are_locked_until_it_is_opened(
    catalogue: Catalogue, qtbot: QtBot, drag: Callable[..., None]
) -> None:
    sheet = full(catalogue, qtbot)
    name, item = next(iter(sheet.stage.house_units.items()))
    start = item.pos()
    before = sheet.desk.book
    drag(sheet, start, start + QPointF(60, 40))
    assert sheet.desk.book is before
    sheet.open_house(True)
    drag(sheet, start, start + QPointF(60, 40))
    house = sheet.desk.book.house(sheet.desk.book.gig(sheet.desk.gig_id).house)
    unit = house.unit(name)
    assert unit is not None
    assert sheet.stage.house_units[name].pos() != start
    assert (unit.x_m, unit.y_m) != (start.x() / 100, -start.y() / 100)
    sheet.desk.undo()
    assert sheet.desk.book.houses == before.houses


@pytest.mark.parametrize("kind", KINDS)
def test_an_empty_overlay_says_what_to_do(catalogue: Catalogue, kind: Kind) -> None:
    assert overlay(Desk(catalogue).analysis().patch, kind).hint.split(": ")[1].startswith(("drag", "draw"))
