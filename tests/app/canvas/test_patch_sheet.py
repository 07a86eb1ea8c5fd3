"""The Patch sheet by real mouse and keys: every gesture is one step that can be undone."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.canvas.hits import Hit
from app.canvas.patch_view import PatchSheet
from app.desk import Desk
from app.theme import BLACKOUT
from rigcore.book.edits.gigs import land_port
from rigcore.book.edits.links import plug
from rigcore.book.edits.units import add_unit, move_cards, rename_unit, unit_of
from rigcore.book.ids import PortRef
from rigcore.book.rig import Rig
from rigcore.catalogue.catalogue import Catalogue
from rigcore.rules.rule import Thing

LEFT = Qt.MouseButton.LeftButton
Drag = Callable[..., None]

PIANO = "88-key-stage-piano"


def rig_of(desk: Desk) -> Rig:
    return desk.book.rig("rig")


def unit_id(desk: Desk, name: str) -> str:
    return next(unit.id for unit in rig_of(desk).units if unit.name == name)


def ref(desk: Desk, catalogue: Catalogue, name: str, *, direction: str, nth: int = 0) -> PortRef:
    unit = next(unit for unit in rig_of(desk).units if unit.name == name)
    ports = [
        port
        for port in catalogue.gear[unit.gear].ports
        if port.direction == direction and port.carrier.medium == "audio"
    ]
    return PortRef(unit=unit.id, port=ports[nth].id)


def face(patch: PatchSheet, end: PortRef | str) -> QPointF:
    return QPointF(*patch.patch.face_at(end)[0])


def tape(patch: PatchSheet, name: str) -> QPointF:
    item = patch.patch.units[unit_id(patch.desk, name)]
    box = item.placed.card.tape
    return item.pos() + QPointF((box.left + box.right) / 2, (box.top + box.bottom) / 2)


def steps(desk: Desk) -> int:
    return len(desk.history.past)


def test_a_drop_adds_a_unit_where_it_falls(patch: PatchSheet, desk: Desk, drop: Callable[..., bool]) -> None:
    at = QPoint(450, 300)
    assert drop(patch, "wedge-powered", at)
    unit = rig_of(desk).units[-1]
    card = patch.patch.units[unit.id].placed.card
    assert unit.gear == "wedge-powered"
    assert abs(unit.card_x + card.width / 2 - patch.mapToScene(at).x()) <= 4.5
    assert steps(desk) == 1
    assert desk.selection == (Thing("unit", unit.id),)


def test_foreign_data_is_not_taken(patch: PatchSheet, desk: Desk, drop: Callable[..., bool]) -> None:
    assert not drop(patch, "", QPoint(450, 300))
    with_unknown = []
    desk.refused.connect(with_unknown.append)
    drop(patch, "no-such-gear", QPoint(450, 300))
    assert steps(desk) == 0
    assert len(with_unknown) == 1


def test_a_drag_moves_a_card_in_one_step(patch: PatchSheet, desk: Desk, drag: Drag) -> None:
    start = tape(patch, "Lead vox")
    drag(patch, start, start + QPointF(80, 40))
    unit = rig_of(desk).unit(unit_id(desk, "Lead vox"))
    assert (unit.card_x, unit.card_y) == (560.0, 80.0)
    assert steps(desk) == 1
    desk.undo()
    assert patch.patch.units[unit.id].pos() == QPointF(480, 40)
    desk.redo()
    assert patch.patch.units[unit.id].pos() == QPointF(560, 80)


def test_escape_takes_a_move_back(patch: PatchSheet, desk: Desk, qtbot: QtBot) -> None:
    start = patch.mapFromScene(tape(patch, "Lead vox"))
    qtbot.mousePress(patch.viewport(), LEFT, pos=start)
    qtbot.mouseMove(patch.viewport(), start + QPoint(90, 90))
    qtbot.keyClick(patch, Qt.Key.Key_Escape)
    qtbot.mouseRelease(patch.viewport(), LEFT, pos=start + QPoint(90, 90))
    assert steps(desk) == 0
    assert patch.patch.units[unit_id(desk, "Lead vox")].pos() == QPointF(480, 40)


def test_a_cable_by_mouse_from_port_to_port(patch: PatchSheet, desk: Desk, drag: Drag, catalogue: Catalogue) -> None:
    out, into = (ref(desk, catalogue, "Piano", direction="out"), ref(desk, catalogue, "DI", direction="in"))
    drag(patch, face(patch, into), face(patch, out))
    (link,) = rig_of(desk).links
    assert (link.source, link.target) == (out, into)
    assert link.cable is not None
    assert Thing("link", link.id) in patch.patch.cables
    assert steps(desk) == 1


def test_takers_are_lit_while_a_cable_is_in_the_hand(
    patch: PatchSheet, desk: Desk, qtbot: QtBot, catalogue: Catalogue
) -> None:
    out, into = (ref(desk, catalogue, "Piano", direction="out"), ref(desk, catalogue, "DI", direction="in"))
    other = ref(desk, catalogue, "Piano", direction="out", nth=1)
    qtbot.mousePress(patch.viewport(), LEFT, pos=patch.mapFromScene(face(patch, out)))
    assert into.port in patch.patch.units[into.unit].state.takers
    assert other.port in patch.patch.units[other.unit].state.dimmed
    qtbot.mouseMove(patch.viewport(), patch.mapFromScene(face(patch, other)))
    assert patch.gesture.words == "Piano · R: both are outputs"
    refused = []
    desk.refused.connect(refused.append)
    qtbot.mouseRelease(patch.viewport(), LEFT, pos=patch.mapFromScene(face(patch, other)))
    assert refused == ["both are outputs"]
    assert not patch.patch.units[into.unit].state.takers


def test_a_cable_to_a_house_tile_and_back(patch: PatchSheet, desk: Desk, drag: Drag, catalogue: Catalogue) -> None:
    vox = ref(desk, catalogue, "Lead vox", direction="out")
    drag(patch, face(patch, vox), face(patch, "in-3"))
    (landing,) = desk.book.gig().landings
    assert landing.socket == "in-3"
    assert patch.patch.plan.rows.tile("in-3").text.name == "Lead vox"
    drag(patch, face(patch, "in-5"), face(patch, vox))
    (landing,) = desk.book.gig().landings
    assert landing.socket == "in-5"
    assert steps(desk) == 2


def test_two_house_sockets_are_not_joined(patch: PatchSheet, desk: Desk, drag: Drag) -> None:
    drag(patch, face(patch, "in-1"), face(patch, "mix-1"))
    assert steps(desk) == 0


def test_delete_takes_units_links_and_landings_in_one_step(
    patch: PatchSheet, desk: Desk, qtbot: QtBot, catalogue: Catalogue
) -> None:
    pair = (ref(desk, catalogue, "Piano", direction="out"), ref(desk, catalogue, "DI", direction="in"))
    vox = ref(desk, catalogue, "Lead vox", direction="out")
    desk.edit("plug", lambda book: plug(book, "rig", pair, catalogue))
    desk.edit("land", lambda book: land_port(book, "gig", vox, "in-1", catalogue=catalogue))
    link = rig_of(desk).links[0].id
    hand_off = rig_of(desk).hand_offs[0].id
    desk.select([Thing("unit", pair[1].unit), Thing("link", link), Thing("landing", hand_off)])
    before = steps(desk)
    qtbot.keyClick(patch, Qt.Key.Key_Delete)
    assert steps(desk) == before + 1
    assert not rig_of(desk).links
    assert not desk.book.gig().landings
    assert len(rig_of(desk).units) == 2
    assert desk.selection == ()
    desk.undo()
    assert len(patch.patch.cables) == 2


def test_a_click_on_a_cable_selects_it(patch: PatchSheet, desk: Desk, qtbot: QtBot, catalogue: Catalogue) -> None:
    pair = (ref(desk, catalogue, "Piano", direction="out"), ref(desk, catalogue, "DI", direction="in"))
    desk.edit("plug", lambda book: plug(book, "rig", pair, catalogue))
    (thing,) = patch.patch.cables
    way = patch.patch.cables[thing].way
    middle = QPointF((way[0].x + way[1].x) / 2, way[0].y + 22)
    qtbot.mouseClick(patch.viewport(), LEFT, pos=patch.mapFromScene(middle))
    assert desk.selection == (thing,)
    assert patch.patch.cables[thing].state.selected


def test_a_rubber_band_selects_what_it_touches(patch: PatchSheet, desk: Desk, drag: Drag) -> None:
    drag(patch, QPointF(20, 20), QPointF(400, 460))
    assert {thing.id for thing in desk.selection} == {unit_id(desk, "Piano"), unit_id(desk, "DI")}
    drag(patch, tape(patch, "DI"), tape(patch, "DI") + QPointF(16, 16))
    assert patch.patch.units[unit_id(desk, "Piano")].pos() == QPointF(56, 56)
    assert steps(desk) == 1


def test_a_cable_by_keyboard(patch: PatchSheet, desk: Desk, qtbot: QtBot, catalogue: Catalogue) -> None:
    out, into = (ref(desk, catalogue, "Piano", direction="out"), ref(desk, catalogue, "DI", direction="in"))
    patch.setFocus()
    patch.keys.go_to(Hit("port", out.unit, out.port))
    qtbot.keyClick(patch, Qt.Key.Key_Return)
    assert into.port in patch.patch.units[into.unit].state.takers
    qtbot.keyClick(patch, Qt.Key.Key_Down)
    assert patch.keys.here == Hit("port", into.unit, into.port)
    qtbot.keyClick(patch, Qt.Key.Key_Return)
    assert [(link.source, link.target) for link in rig_of(desk).links] == [(out, into)]


def test_escape_drops_a_cable_in_the_hand(patch: PatchSheet, desk: Desk, qtbot: QtBot, catalogue: Catalogue) -> None:
    out = ref(desk, catalogue, "Piano", direction="out")
    patch.keys.go_to(Hit("port", out.unit, out.port))
    qtbot.keyClick(patch, Qt.Key.Key_Return)
    qtbot.keyClick(patch, Qt.Key.Key_Down)
    qtbot.keyClick(patch, Qt.Key.Key_Escape)
    qtbot.keyClick(patch, Qt.Key.Key_Return)
    assert steps(desk) == 0


def test_tab_walks_the_units_and_ends(patch: PatchSheet, desk: Desk, qtbot: QtBot) -> None:
    patch.setFocus()
    seen = []
    for _ in range(3):
        qtbot.keyClick(patch, Qt.Key.Key_Tab)
        seen.append(desk.selection[0].id)
    assert seen == [unit_id(desk, name) for name in ("Piano", "Lead vox", "DI")]
    assert patch.patch.units[seen[-1]].state.focused
    qtbot.keyClick(patch, Qt.Key.Key_Backtab)
    assert desk.selection[0].id == unit_id(desk, "Lead vox")


def test_ctrl_and_arrows_nudge_a_card(patch: PatchSheet, desk: Desk, qtbot: QtBot) -> None:
    desk.select((Thing("unit", unit_id(desk, "DI")),))
    qtbot.keyClick(patch, Qt.Key.Key_Right, Qt.KeyboardModifier.ControlModifier)
    assert rig_of(desk).unit(unit_id(desk, "DI")).card_x == 56.0


def test_a_double_click_on_the_tape_renames(patch: PatchSheet, desk: Desk, qtbot: QtBot) -> None:
    qtbot.mouseDClick(patch.viewport(), LEFT, pos=patch.mapFromScene(tape(patch, "DI")))
    editor = patch.findChild(QLineEdit, "name-editor")
    editor.setText("  <b>DI & co</b> ")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert [unit.name for unit in rig_of(desk).units if unit.gear == "di-passive-stereo"] == ["<b>DI & co</b>"]
    assert steps(desk) == 1


def test_the_view_follows_the_desk(patch: PatchSheet, desk: Desk, catalogue: Catalogue) -> None:
    untouched = patch.patch.units[unit_id(desk, "Piano")].placed
    vox = unit_id(desk, "Lead vox")
    desk.edit("rename", lambda book: rename_unit(book, "rig", vox, "Voice"))
    assert patch.patch.units[vox].placed.unit.name == "Voice"
    assert patch.patch.units[unit_id(desk, "Piano")].placed is untouched
    desk.edit("move", lambda book: move_cards(book, "rig", {vox: (600.0, 90.0)}))
    assert patch.patch.units[vox].pos() == QPointF(600, 90)
    desk.undo()
    desk.undo()
    assert patch.patch.units[vox].placed.unit.name == "Lead vox"
    desk.new()
    assert not patch.patch.units
    assert patch.hint()


def test_plugging_leaves_cards_nobody_laid_where_they_lie(
    patch: PatchSheet, desk: Desk, drag: Drag, catalogue: Catalogue
) -> None:
    for gear in ("synth-61", "di-passive"):
        desk.edit(
            "add", lambda book, gear=gear: add_unit(book, "rig", unit_of(book, "rig", gear, catalogue), catalogue)
        )
    places = {name: item.pos() for name, item in patch.patch.units.items()}
    patch.zoom_to_fit()
    synth = rig_of(desk).units[-2]
    out = ref(desk, catalogue, synth.name, direction="out")
    into = ref(desk, catalogue, rig_of(desk).units[-1].name, direction="in")
    drag(patch, face(patch, out), face(patch, into))
    assert len(rig_of(desk).links) == 1
    assert {name: item.pos() for name, item in patch.patch.units.items()} == places


def test_zoom_stays_about_the_cursor_and_in_bounds(patch: PatchSheet) -> None:
    at = QPoint(300, 200)
    before = patch.mapToScene(at)
    patch.set_zoom(1.7, at)
    after = patch.mapToScene(at)
    assert (after - before).manhattanLength() < 3
    patch.set_zoom(99.0)
    assert patch.zoom <= 4.0
    patch.zoom_to_fit()
    assert patch.zoom <= 1.0


def test_the_middle_button_pans(patch: PatchSheet, qtbot: QtBot) -> None:
    patch.set_zoom(1.5)
    before = patch.mapToScene(QPoint(0, 0))
    qtbot.mousePress(patch.viewport(), Qt.MouseButton.MiddleButton, pos=QPoint(300, 300))
    qtbot.mouseMove(patch.viewport(), QPoint(240, 270))
    qtbot.mouseRelease(patch.viewport(), Qt.MouseButton.MiddleButton, pos=QPoint(240, 270))
    moved = patch.mapToScene(QPoint(0, 0)) - before
    assert (round(moved.x()), round(moved.y())) == (40, 20)


def test_reveal_selects_and_pulses(patch: PatchSheet, desk: Desk) -> None:
    thing = Thing("unit", unit_id(desk, "DI"))
    patch.reveal([thing])
    assert desk.selection == (thing,)
    assert patch.patch.units[thing.id].state.pulsing
    patch.light(())
    assert not patch.patch.units[thing.id].state.pulsing


def test_findings_are_marked_where_they_belong(
    patch: PatchSheet, desk: Desk, catalogue: Catalogue, qtbot: QtBot
) -> None:
    pair = (ref(desk, catalogue, "Piano", direction="out"), ref(desk, catalogue, "Piano", direction="out", nth=1))
    with qtbot.waitSignal(desk.analysed):
        desk.edit("plug", lambda book: plug(book, "rig", pair, catalogue))
    marked = [item for item in patch.patch.cables.values() if item.state.badge is not None]
    assert marked
    assert all(item.state.badge.sentences for item in marked)


def test_both_themes_paint_without_complaint(patch: PatchSheet) -> None:
    for zoom in (0.25, 0.5, 1.0):
        patch.set_zoom(zoom)
        assert not patch.grab().isNull()
    patch.set_theme(BLACKOUT)
    assert not patch.grab().isNull()


def test_a_fitted_sheet_stays_fitted_until_it_is_touched(patch: PatchSheet) -> None:
    patch.zoom_to_fit()
    before = patch.zoom
    patch.resize(500, 400)
    assert patch.zoom < before
    patch.set_zoom(0.9)
    patch.resize(900, 640)
    assert patch.zoom == 0.9
