"""The Stage sheet by real mouse and keys: moving, turning, snapping, the tray."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.badges import Badge, badges_of
from app.canvas.footprint_item import CHIP_BADGE
from app.canvas.ground import around
from app.canvas.stage_layout import CHIP, on_sheet, tray_box, tray_places
from app.canvas.stage_view import StageSheet
from app.desk import Desk
from app.theme import BLACKOUT
from rigcore import resources
from rigcore.book.edits.gigs import place_here
from rigcore.book.edits.houses import new_plan
from rigcore.book.edits.units import move_on_stage
from rigcore.book.gig import Placement
from rigcore.book.house import Stage
from rigcore.book.rig import Unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.rules.rule import Thing

Drag = Callable[..., None]


def named(desk: Desk, name: str) -> Unit:
    return next(unit for unit in desk.book.rig("rig").units if unit.name == name)


def at(x_m: float, y_m: float) -> QPointF:
    return QPointF(*on_sheet(x_m, y_m))


def steps(desk: Desk) -> int:
    return len(desk.history.past)


def test_a_drag_moves_a_unit_onto_the_grid(stage: StageSheet, desk: Desk, drag: Drag) -> None:
    drag(stage, at(-1.0, 2.0), at(-1.47, 2.52))
    piano = named(desk, "Piano")
    assert (piano.x_m, piano.y_m) == (-1.5, 2.5)
    assert steps(desk) == 1


def test_the_centre_line_catches(stage: StageSheet, desk: Desk, drag: Drag) -> None:
    drag(stage, at(-1.0, 2.0), at(0.08, 2.0))
    assert named(desk, "Piano").x_m == 0.0


def test_alt_lets_a_unit_lie_anywhere(stage: StageSheet, desk: Desk, drag: Drag) -> None:
    drag(stage, at(-1.0, 2.0), at(-1.46, 2.0), keys=Qt.KeyboardModifier.AltModifier)
    assert abs(named(desk, "Piano").x_m + 1.46) < 0.03


def test_a_unit_comes_onto_the_stage_from_the_tray_and_goes_back(stage: StageSheet, desk: Desk, drag: Drag) -> None:
    di = named(desk, "DI")
    item = stage.stage.footprints[di.id]
    assert item.waiting
    drag(stage, item.pos(), at(1.0, 1.0))
    assert (named(desk, "DI").x_m, named(desk, "DI").y_m) == (1.0, 1.0)
    assert not item.waiting
    desk.undo()
    assert stage.stage.footprints[di.id].waiting
    tray = stage.stage.floor.tray
    drag(stage, at(-1.0, 2.0), QPointF(tray.left + 20, tray.top + 20))
    assert named(desk, "Piano").x_m is None


def test_a_drop_stands_a_unit_there(stage: StageSheet, desk: Desk, drop: Callable[..., bool]) -> None:
    assert drop(stage, "wedge-powered", stage.mapFromScene(at(1.5, 0.5)))
    wedge = desk.book.rig("rig").units[-1]
    assert (wedge.x_m, wedge.y_m) == (1.5, 0.5)


def test_the_handle_turns_in_steps(stage: StageSheet, desk: Desk, drag: Drag) -> None:
    piano = named(desk, "Piano")
    desk.select((Thing("unit", piano.id),))
    item = stage.stage.footprints[piano.id]
    drag(stage, item.handle_place(), item.pos() + QPointF(50, 2))
    assert named(desk, "Piano").rotation_deg == 90.0
    assert steps(desk) == 1
    desk.undo()
    assert item.rotation() == 0


def test_keys_turn_and_nudge(stage: StageSheet, desk: Desk, qtbot: QtBot) -> None:
    desk.select((Thing("unit", named(desk, "Piano").id),))
    qtbot.keyClick(stage, Qt.Key.Key_R)
    qtbot.keyClick(stage, Qt.Key.Key_R)
    qtbot.keyClick(stage, Qt.Key.Key_R, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClick(stage, Qt.Key.Key_Up)
    qtbot.keyClick(stage, Qt.Key.Key_Right)
    piano = named(desk, "Piano")
    assert (piano.rotation_deg, piano.x_m, piano.y_m) == (15.0, -0.9, 2.1)
    assert steps(desk) == 5


def test_a_place_for_one_gig_stays_one(stage: StageSheet, desk: Desk, drag: Drag) -> None:
    piano = named(desk, "Piano")
    spot = Placement(unit=piano.id, x_m=1.0, y_m=1.0)
    desk.edit("place", lambda book: place_here(book, "gig", spot))
    drag(stage, at(1.0, 1.0), at(1.5, 1.5))
    (here,) = desk.book.gig().placements
    assert (here.x_m, here.y_m) == (1.5, 1.5)
    assert named(desk, "Piano").x_m == -1.0


def test_delete_and_selection_are_shared(stage: StageSheet, desk: Desk, qtbot: QtBot) -> None:
    qtbot.mouseClick(stage.viewport(), Qt.MouseButton.LeftButton, pos=stage.mapFromScene(at(-1.0, 2.0)))
    assert desk.selection == (Thing("unit", named(desk, "Piano").id),)
    qtbot.keyClick(stage, Qt.Key.Key_Delete)
    assert [unit.name for unit in desk.book.rig("rig").units] == ["DI", "Lead vox"]


def test_backspace_takes_off_the_stage(stage: StageSheet, desk: Desk, qtbot: QtBot) -> None:
    desk.select((Thing("unit", named(desk, "Piano").id),))
    qtbot.keyClick(stage, Qt.Key.Key_Backspace)
    assert named(desk, "Piano").y_m is None


def test_tab_walks_the_footprints(stage: StageSheet, desk: Desk, qtbot: QtBot) -> None:
    stage.setFocus()
    qtbot.keyClick(stage, Qt.Key.Key_Tab)
    first = desk.selection
    qtbot.keyClick(stage, Qt.Key.Key_Tab)
    assert desk.selection != first
    assert stage.stage.footprints[desk.selection[0].id].state.focused


def test_house_units_are_locked(stage: StageSheet, desk: Desk, drag: Drag) -> None:
    drag(stage, at(2.0, 3.5), at(0.5, 1.5))
    assert steps(desk) == 0
    assert stage.stage.house_units["stage-box"].pos() == at(2.0, 3.5)


def test_the_view_follows_the_desk(stage: StageSheet, desk: Desk) -> None:
    vox = named(desk, "Lead vox")
    desk.edit("move", lambda book: move_on_stage(book, "rig", vox.id, (2.0, 1.0, 45.0)))
    item = stage.stage.footprints[vox.id]
    assert item.pos() == at(2.0, 1.0)
    assert item.rotation() == 45
    desk.undo()
    assert item.pos() == at(0.0, 1.0)
    desk.new()
    assert not stage.stage.footprints
    assert stage.hint()


def test_a_drag_says_where_it_is(stage: StageSheet, qtbot: QtBot) -> None:
    first = stage.mapFromScene(at(-1.0, 2.0))
    qtbot.mousePress(stage.viewport(), Qt.MouseButton.LeftButton, pos=first)
    qtbot.mouseMove(stage.viewport(), stage.mapFromScene(at(-1.5, 2.5)))
    assert stage.gesture.words == "1.5 m stage right · 2.5 m upstage"
    assert not stage.grab().isNull()
    qtbot.keyClick(stage, Qt.Key.Key_Escape)
    qtbot.mouseRelease(stage.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(5, 5))


def test_both_themes_and_feet_paint_without_complaint(stage: StageSheet) -> None:
    assert not stage.grab().isNull()
    stage.set_theme(BLACKOUT)
    stage.set_feet(True)
    assert not stage.grab().isNull()


def test_the_tray_takes_the_shape_that_shows_stage_and_tray_largest() -> None:
    stage = Stage(width_m=8.0, depth_m=6.4)
    few, many = tray_box(stage, 3), tray_box(stage, 113)
    assert few.bottom <= 0.0, "a few lie beside the stage"
    assert many.right + 400.0 < 2100.0, "many lie deeper than the stage"
    waiting = [f"unit {n}" for n in range(113)]
    places = tray_places(stage, waiting)
    chips = [around(place, *CHIP) for place in places.values()]
    assert not any(a.meets(b) for a, b in combinations(chips, 2))
    assert all(many.holds((chip.left, chip.top)) and many.holds((chip.right, chip.bottom)) for chip in chips)


def test_a_sheet_made_late_shows_what_was_found_before(desk: Desk, qtbot: QtBot) -> None:
    desk.open(resources.samples() / "piper.loom")
    desk.check_now()
    sheet = StageSheet(desk)
    qtbot.addWidget(sheet)
    found = badges_of(desk.analysis().findings)
    here = {thing.id for thing in found if thing.kind == "unit"}
    assert here
    qtbot.waitUntil(lambda: {one.about for one in sheet.stage.marks.badges} == here)


def test_a_waiting_unit_wears_its_badge_at_its_end(stage: StageSheet, desk: Desk) -> None:
    di = named(desk, "DI")
    stage.stage.show_findings({Thing("unit", di.id): Badge("risk", ("x",))})
    (badge,) = stage.stage.marks.badges
    chip = stage.stage.footprints[di.id].body()
    assert chip.right - CHIP_BADGE <= badge.box.left
    assert badge.box.right <= chip.right


def test_a_small_box_on_a_crowded_riser_is_named_too(desk: Desk, qtbot: QtBot) -> None:
    desk.open(resources.samples() / "ferry.loom")
    sheet = StageSheet(desk)
    qtbot.addWidget(sheet)
    sheet.resize(1400, 640)
    sheet.show()
    named = {name.words for name in sheet.stage.names.names}
    assert {"Tablet", "Riser strip", "Splitter", "Keys 2"} <= named


def test_what_is_no_larger_than_its_badge_is_not_hidden_by_it(desk: Desk, qtbot: QtBot) -> None:
    desk.open(resources.samples() / "ferry.loom")
    sheet = StageSheet(desk)
    qtbot.addWidget(sheet)
    sheet.stage.show_findings(badges_of(desk.analysis().findings))
    (ears,) = [unit.id for unit in desk.book.rig(desk.rig_id).units if unit.name == "Earphones"]
    (badge,) = [one for one in sheet.stage.marks.badges if one.about == ears]
    assert not badge.box.meets(sheet.stage.footprints[ears].body())


def test_the_sentence_of_the_empty_plan_stands_on_a_plate_that_no_line_crosses(
    qtbot: QtBot, qapp: QApplication, catalogue: Catalogue
) -> None:
    desk = Desk(catalogue)
    desk.take(new_plan(catalogue), None)
    sheet = StageSheet(desk)
    qtbot.addWidget(sheet)
    sheet.resize(800, 500)
    sheet.show()
    plate = sheet.hint_plate().toRect()
    assert sheet.mapFromScene(sheet.stage.floor.boundingRect()).boundingRect().contains(plate)
    shown = sheet.grab().toImage()
    for x in range(plate.left() - 8, plate.right() + 8):
        for y in (plate.top() - 3, plate.bottom() + 4):
            assert shown.pixelColor(x, y).name() == sheet.theme.floor
