"""A rack folded into one card on the Patch sheet: what it shows, and that everything works on it as on any card."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QAccessible, QContextMenuEvent
from PySide6.QtWidgets import QApplication, QLineEdit, QMenu
from pytestqt.qtbot import QtBot

from app.canvas.find import entries, ranked
from app.canvas.hits import Hit
from app.canvas.patch_view import PatchSheet
from app.canvas.placed import PlacedRack
from app.canvas.speaking import spoken
from app.canvas.tips import tip_lines
from app.desk import Desk
from app.theme import BLACKOUT
from app.window import MainWindow
from rigcore.book.book import Book
from rigcore.book.edits.cases import pack, pack_in_new_case
from rigcore.book.edits.folds import move_racks
from rigcore.book.edits.gigs import land_port
from rigcore.book.edits.links import plug
from rigcore.book.edits.units import add_unit, unit_of
from rigcore.book.file import from_bytes, to_bytes
from rigcore.book.ids import PortRef
from rigcore.book.rig import Rig
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.record import changed
from rigcore.rules.rule import Thing

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
CTRL = Qt.KeyboardModifier.ControlModifier
RACK = "rack/keys-rack"
PIANO, DI, VOX, STRIP = "88-key-stage-piano", "passive-di-box-stereo", "dynamic-handheld-microphone", "strip"
Drag = Callable[..., None]


@pytest.fixture
def racked(desk: Desk, patch: PatchSheet, catalogue: Catalogue) -> Desk:
    """The piano and the DI in one rack, joined inside; the voice outside. The DI lands, the piano has power."""

    def wire(book: Book) -> Book:
        strip = changed(unit_of(book, "rig", "strip-6", catalogue), id=STRIP, card_x=-400.0, card_y=40.0)
        book = add_unit(book, "rig", strip, catalogue)
        for side, number in (("l", 1), ("r", 2)):
            book = plug(book, "rig", (_ref(PIANO, f"out-{side}"), _ref(DI, f"in-{number}")), catalogue)
        book = plug(book, "rig", (_ref(STRIP, "outlet-1"), _ref(PIANO, "mains")), catalogue)
        for ref, socket in ((_ref(DI, "out-1"), "in-2"), (_ref(VOX, "out"), "in-5")):
            book = land_port(book, "gig", ref, socket, catalogue=catalogue)
        book = pack_in_new_case(book, "rig", PIANO, "Keys rack")
        return pack(book, "rig", DI, "keys-rack")

    assert desk.edit("Wire", wire)
    return desk


@pytest.fixture
def folded(racked: Desk, patch: PatchSheet) -> Desk:
    """The same, folded, with nothing chosen."""
    racked.select((Thing("unit", PIANO),))
    patch.folding.fold_rack()
    racked.select(())
    return racked


def _ref(unit_id: str, port_id: str) -> PortRef:
    return PortRef(unit=unit_id, port=port_id)


def rig_of(desk: Desk) -> Rig:
    return desk.book.rig("rig")


def rack(patch: PatchSheet) -> PlacedRack:
    placed = patch.patch.plan.cards[RACK]
    assert isinstance(placed, PlacedRack)
    return placed


def tape(patch: PatchSheet, card: str = RACK) -> QPointF:
    item = patch.patch.units[card]
    box = item.placed.card.tape
    return item.pos() + QPointF((box.left + box.right) / 2, (box.top + box.bottom) / 2)


def face(patch: PatchSheet, end: PortRef | str) -> QPointF:
    return QPointF(*patch.patch.face_at(end)[0])


def link_between(desk: Desk, source: PortRef) -> Thing:
    return Thing("link", next(link.id for link in rig_of(desk).links if link.source == source))


def places(desk: Desk) -> dict[str, tuple[float | None, float | None]]:
    return {unit.id: (unit.card_x, unit.card_y) for unit in rig_of(desk).units}


def test_a_folded_rack_is_one_card_with_the_ports_that_lead_out(patch: PatchSheet, folded: Desk) -> None:
    assert set(patch.patch.units) == {RACK, VOX, STRIP}
    sides = {spot.port: spot.side for spot in rack(patch).card.spots}
    assert sides == {f"{PIANO}/mains": "left", f"{DI}/out-1": "bottom"}
    inside = {link_between(folded, _ref(PIANO, f"out-{side}")) for side in "lr"}
    assert inside & set(patch.patch.cables) == set()
    landing = next(thing for thing in patch.patch.cables if thing.kind == "landing" and thing.id.startswith("di"))
    start = patch.patch.cables[landing].way[0]
    assert (start.x, start.y) == (face(patch, _ref(DI, "out-1")).x(), rack(patch).box.bottom)


def test_inputs_lie_at_the_top_and_a_loop_through_the_outside_shows_both_its_ends(
    patch: PatchSheet, racked: Desk, catalogue: Catalogue
) -> None:
    racked.edit("Take the piano out", lambda book: pack(book, "rig", PIANO, None))
    racked.select((Thing("unit", DI),))
    patch.folding.fold_rack()
    sides = {spot.port: spot.side for spot in rack(patch).card.spots}
    assert sides == {f"{DI}/in-1": "top", f"{DI}/in-2": "top", f"{DI}/out-1": "bottom"}
    assert [words for words, _ in rack(patch).card.groups] == ["DI", "DI"]


def test_folding_is_one_step_with_words_and_is_undone_exactly(patch: PatchSheet, racked: Desk) -> None:
    before, steps = racked.book, len(racked.history.past)
    racked.select((Thing("unit", DI),))
    patch.folding.fold_rack()
    assert racked.history.undo_words == "Fold Keys rack"
    assert {one.id for one in racked.selection} == {PIANO, DI}
    patch.folding.unfold()
    assert racked.history.undo_words == "Unfold Keys rack"
    assert racked.book == before
    racked.undo()
    racked.undo()
    assert racked.book is before
    assert len(racked.history.past) == steps
    assert set(patch.patch.units) == {PIANO, DI, VOX, STRIP}


def test_the_fold_is_kept_in_the_file(patch: PatchSheet, folded: Desk, catalogue: Catalogue) -> None:
    assert from_bytes(to_bytes(folded.book), "book", catalogue) == folded.book
    folded.take(from_bytes(to_bytes(folded.book), "book", catalogue), None)
    assert RACK in patch.patch.units


def test_findings_stay_the_same_and_are_told_on_the_card(
    patch: PatchSheet, racked: Desk, qtbot: QtBot, catalogue: Catalogue
) -> None:
    pair = (_ref(PIANO, "out-l"), _ref(PIANO, "out-r"))
    racked.edit("Plug", lambda book: plug(book, "rig", pair, catalogue))
    link = Thing("link", rig_of(racked).links[-1].id)
    before = racked.analysis().findings
    racked.select((Thing("unit", PIANO),))
    with qtbot.waitSignal(racked.analysed):
        patch.folding.fold_rack()
    assert racked.analysis().findings == before
    inside = {one.sentence for one in before if link in one.things}
    badge = patch.patch.units[RACK].state.badge
    assert badge is not None
    assert badge.severity == "fault"
    assert inside
    assert inside <= set(badge.sentences)
    assert any(one.about == Thing("unit", RACK) for one in patch.patch.badges_shown)
    assert inside <= set(patch.patch.lights.words(Hit("unit", RACK)))
    assert inside <= set(tip_lines(patch.patch, catalogue, tape(patch)))


def test_a_cable_inside_is_shown_by_the_card(patch: PatchSheet, folded: Desk) -> None:
    patch.reveal([link_between(folded, _ref(PIANO, "out-l"))])
    assert patch.patch.units[RACK].state.selected
    assert patch.patch.units[RACK].state.pulsing
    assert patch.patch.area_of(folded.selection[0]) == patch.patch.place_of(Hit("unit", RACK))


def test_a_drag_moves_all_inside_by_the_same_in_one_step(patch: PatchSheet, folded: Desk, drag: Drag) -> None:
    before, steps, book = places(folded), len(folded.history.past), folded.book
    at = rack(patch).place
    drag(patch, tape(patch), tape(patch) + QPointF(80, 48))
    assert len(folded.history.past) == steps + 1
    assert folded.history.undo_words == "Move rack"
    moved = {name for name, place in places(folded).items() if place != before[name]}
    assert moved == {PIANO, DI}
    assert {
        (places(folded)[name][0] - before[name][0], places(folded)[name][1] - before[name][1]) for name in moved
    } == {(rack(patch).place.x - at.x, rack(patch).place.y - at.y)} != {(0.0, 0.0)}
    folded.undo()
    assert folded.book is book
    assert patch.patch.units[RACK].pos() == QPointF(*at)


def test_its_cables_go_along_in_the_hand(patch: PatchSheet, folded: Desk, qtbot: QtBot) -> None:
    start = patch.mapFromScene(tape(patch))
    qtbot.mousePress(patch.viewport(), LEFT, NONE, start)
    qtbot.mouseMove(patch.viewport(), start + QPoint(30, 0))
    qtbot.mouseMove(patch.viewport(), start + QPoint(64, 0))
    thing = next(one for one in patch.patch.cables if one.kind == "landing" and one.id.startswith("di"))
    assert patch.patch.cables[thing].way[0].x == face(patch, _ref(DI, "out-1")).x()
    assert not patch.grab().isNull()
    qtbot.keyClick(patch, Qt.Key.Key_Escape)
    assert patch.patch.units[RACK].pos() == QPointF(*rack(patch).place)


def test_a_click_chooses_all_inside_and_ctrl_takes_them_out_again(
    patch: PatchSheet, folded: Desk, qtbot: QtBot
) -> None:
    at = patch.mapFromScene(tape(patch))
    qtbot.mouseClick(patch.viewport(), LEFT, NONE, at)
    assert set(folded.selection) == {Thing("unit", PIANO), Thing("unit", DI)}
    assert patch.patch.units[RACK].state.selected
    qtbot.mouseClick(patch.viewport(), LEFT, CTRL, patch.mapFromScene(tape(patch, VOX)))
    qtbot.mouseClick(patch.viewport(), LEFT, CTRL, at)
    assert folded.selection == (Thing("unit", VOX),)
    qtbot.mouseClick(patch.viewport(), LEFT, NONE, at)
    qtbot.keyClick(patch, Qt.Key.Key_Delete)
    assert {unit.id for unit in rig_of(folded).units} == {VOX, STRIP}
    assert RACK not in patch.patch.units


def test_a_rubber_band_takes_all_inside(patch: PatchSheet, folded: Desk, drag: Drag) -> None:
    box = rack(patch).box
    drag(patch, QPointF(box.left - 12, box.top - 12), QPointF(box.left + 8, box.top + 8))
    assert {one.id for one in folded.selection} == {PIANO, DI}


def test_find_shows_the_card_of_what_is_inside(patch: PatchSheet, folded: Desk, qtbot: QtBot) -> None:
    found = ranked("DI", entries(patch.patch.plan))
    assert found[0].things == (Thing("unit", DI),)
    assert set(ranked("keys rack", entries(patch.patch.plan))[0].things) == {Thing("unit", PIANO), Thing("unit", DI)}
    field = patch.open_find()
    qtbot.keyClicks(field.line, "passive")
    qtbot.keyClick(field.line, Qt.Key.Key_Return)
    assert folded.selection == (Thing("unit", DI),)
    assert patch.keys.here == Hit("unit", RACK)
    assert patch.patch.units[RACK].state.selected
    assert patch.patch.units[RACK].state.pulsing
    patch.keys.go_to_thing(Thing("unit", DI, "out-1"))
    assert patch.keys.here == Hit("port", DI, "out-1")


@pytest.mark.parametrize("thing", [Thing("unit", DI), Thing("unit", PIANO, "out-l")])
def test_a_finding_inside_shows_the_card(patch: PatchSheet, folded: Desk, thing: Thing) -> None:
    patch.set_zoom(3.0)
    patch.centerOn(QPointF(-2000, 2000))
    patch.reveal([thing])
    seen = patch.mapToScene(patch.viewport().rect()).boundingRect()
    assert patch.patch.area_of(thing) == patch.patch.place_of(Hit("unit", RACK))
    assert seen.contains(patch.patch.area_of(thing).center())
    assert patch.patch.units[RACK].state.selected


def test_a_trace_passes_the_card(patch: PatchSheet, folded: Desk) -> None:
    folded.select((Thing("unit", PIANO),))
    patch.show_trace(True)
    assert not patch.patch.units[RACK].state.faded
    assert patch.patch.units[VOX].state.faded
    assert patch.tags()
    folded.select((Thing("unit", VOX),))
    assert patch.patch.units[RACK].state.faded


def test_the_keyboard_walks_to_it_and_along_its_faces(patch: PatchSheet, folded: Desk, qtbot: QtBot) -> None:
    patch.setFocus()
    patch.keys.go_to(Hit("unit", RACK))
    qtbot.keyClick(patch, Qt.Key.Key_Return)
    assert patch.keys.here.kind == "port"
    assert patch.patch.plan.home(patch.keys.here.id) == RACK
    assert patch.patch.units[RACK].state.focused_port
    qtbot.keyClick(patch, Qt.Key.Key_Down)
    patch.keys.go_to_thing(Thing("unit", DI, "out-1"))
    assert patch.accessibleDescription().startswith("DI Out 1: output")
    qtbot.keyClick(patch, Qt.Key.Key_Tab)
    qtbot.keyClick(patch, Qt.Key.Key_Backtab)
    assert patch.keys.here == Hit("unit", RACK)
    assert {one.id for one in folded.selection} == {PIANO, DI}
    children = QAccessible.queryAccessibleInterface(patch)
    names = [children.child(n).text(QAccessible.Text.Name) for n in range(children.childCount())]
    assert "Keys rack · 2 units" in names
    assert "DI" not in names
    assert "Piano, DI" in spoken(patch, Hit("unit", RACK))[1]
    assert children.focusChild().state().selected


def test_a_cable_is_drawn_from_a_face_as_from_the_port(patch: PatchSheet, folded: Desk, drag: Drag) -> None:
    drag(patch, face(patch, _ref(DI, "out-1")), face(patch, "in-7"))
    sockets = {one.hand_off: one.socket for one in folded.book.gig("gig").landings}
    assert "in-7" in sockets.values()
    assert "in-2" not in sockets.values()
    assert any(one.unit == DI and one.port == "out-1" for one in rig_of(folded).hand_offs)


def test_its_faces_answer_a_cable_in_the_hand(patch: PatchSheet, folded: Desk, qtbot: QtBot) -> None:
    patch.keys.go_to(Hit("port", STRIP, "outlet-2"))
    qtbot.keyClick(patch, Qt.Key.Key_Return)
    state = patch.patch.units[RACK].state
    assert f"{DI}/out-1" in state.dimmed
    assert f"{PIANO}/mains" in state.dimmed, "has a cable already"
    qtbot.keyClick(patch, Qt.Key.Key_Escape)


def test_the_tip_says_unit_and_port(patch: PatchSheet, folded: Desk, catalogue: Catalogue) -> None:
    assert tip_lines(patch.patch, catalogue, face(patch, _ref(PIANO, "mains")))[0] == "Piano · Mains"
    assert tip_lines(patch.patch, catalogue, tape(patch))[:2] == ("Keys rack · 2 units", "Piano, DI")


@pytest.mark.parametrize("line", ["left", "top", "centre"])
def test_aligning_lays_it_as_one(patch: PatchSheet, folded: Desk, line: str) -> None:
    before = places(folded)
    folded.select([Thing("unit", unit.id) for unit in rig_of(folded).units])
    patch.commands.align(line)
    boxes = [card.box for card in patch.patch.plan.cards.values()]
    edge = {"left": lambda box: box.left, "top": lambda box: box.top, "centre": lambda box: box.left + box.right}[line]
    assert len({round(edge(box), 6) for box in boxes}) == 1
    shift = [tuple(now - was for now, was in zip(places(folded)[n], before[n], strict=True)) for n in (PIANO, DI)]
    assert shift[0] == shift[1]


def test_tidying_and_the_overview_take_it_as_one_card(patch: PatchSheet, folded: Desk) -> None:
    patch.show_overview(True)
    steps = len(folded.history.past)
    patch.commands.tidy()
    patch.end_glide()
    assert len(folded.history.past) == steps + 1
    boxes = [card.box for card in patch.patch.plan.cards.values()]
    assert not any(a.meets(b) for n, a in enumerate(boxes) for b in boxes[:n])
    assert sorted(patch.overview._boxes) == sorted(boxes)
    folded.select((Thing("unit", DI),))
    assert patch.overview._chosen == {rack(patch).box}


def test_a_duplicate_is_a_second_folded_rack(patch: PatchSheet, folded: Desk, qtbot: QtBot) -> None:
    qtbot.mouseClick(patch.viewport(), LEFT, NONE, patch.mapFromScene(tape(patch)))
    before = folded.book
    patch.commands.duplicate()
    assert [case.name for case in rig_of(folded).cases] == ["Keys rack", "Keys rack 2"]
    assert {RACK, "rack/keys-rack-2"} <= set(patch.patch.units)
    second = patch.patch.plan.cards["rack/keys-rack-2"]
    assert [one.unit.name for one in second.members] == ["Piano 2", "DI 2"]
    assert second.place != rack(patch).place
    assert patch.patch.units["rack/keys-rack-2"].state.selected
    folded.undo()
    assert folded.book is before


def test_one_unit_out_of_it_is_pasted_loose_where_it_is_seen(patch: PatchSheet, folded: Desk) -> None:
    folded.select((Thing("unit", DI),))
    patch.commands.duplicate()
    assert rig_of(folded).units[-1].case is None
    assert rig_of(folded).units[-1].id in patch.patch.units


def test_double_clicks_fold_and_unfold(patch: PatchSheet, racked: Desk, qtbot: QtBot) -> None:
    item = patch.patch.units[DI]
    below = item.pos() + QPointF(item.placed.card.width / 2, item.placed.card.gear_line.bottom - 4)
    qtbot.mouseDClick(patch.viewport(), LEFT, NONE, patch.mapFromScene(below))
    assert RACK in patch.patch.units
    qtbot.mouseDClick(patch.viewport(), LEFT, NONE, patch.mapFromScene(tape(patch)))
    assert {PIANO, DI} <= set(patch.patch.units)
    qtbot.mouseDClick(patch.viewport(), LEFT, NONE, patch.mapFromScene(tape(patch, DI)))
    assert patch.findChild(QLineEdit, "name-editor"), "on the tape of a unit it renames"


def test_the_keys_fold_unfold_and_rename(patch: PatchSheet, racked: Desk, qtbot: QtBot) -> None:
    patch.keys.go_to(Hit("port", DI, "in-1"))
    racked.select((Thing("unit", DI, "in-1"),))
    qtbot.keyClick(patch, Qt.Key.Key_J, CTRL)
    assert RACK in patch.patch.units
    assert patch.keys.here == Hit("unit", RACK), "where the keyboard was is inside now"
    qtbot.keyClick(patch, Qt.Key.Key_F2)
    editor = patch.findChild(QLineEdit, "name-editor")
    editor.setText("Top rack")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert rig_of(racked).cases[0].name == "Top rack"
    qtbot.keyClick(patch, Qt.Key.Key_U, CTRL)
    assert {PIANO, DI} <= set(patch.patch.units)


def test_what_cannot_be_folded_is_said(patch: PatchSheet, racked: Desk) -> None:
    told: list[str] = []
    racked.refused.connect(told.append)
    racked.select((Thing("unit", VOX),))
    steps = len(racked.history.past)
    patch.folding.fold_rack()
    patch.folding.unfold()
    assert len(told) == 2
    assert "case" in told[0]
    assert len(racked.history.past) == steps


def _menu(patch: PatchSheet, at: QPoint, reason: QContextMenuEvent.Reason) -> list[str]:
    event = QContextMenuEvent(reason, at, patch.viewport().mapToGlobal(at))
    QApplication.sendEvent(patch.viewport(), event)
    menu = patch.findChild(QMenu, "sheet-menu")
    return [action.text() for action in menu.actions()] if menu else []


def test_the_menu_on_the_sheet_folds_and_unfolds(patch: PatchSheet, racked: Desk, qtbot: QtBot) -> None:
    at = patch.mapFromScene(tape(patch, DI))
    assert _menu(patch, at, QContextMenuEvent.Reason.Mouse)[0] == "Fold Keys rack"
    menu = patch.findChild(QMenu, "sheet-menu")
    menu.actions()[0].trigger()
    menu.close()
    QApplication.processEvents()
    assert RACK in patch.patch.units
    patch.keys.go_to(Hit("unit", RACK))
    assert "Unfold Keys rack" in _menu(patch, QPoint(1, 1), QContextMenuEvent.Reason.Keyboard)


def test_there_is_no_menu_where_nothing_can_be_done(patch: PatchSheet, racked: Desk) -> None:
    racked.select(())
    assert not _menu(patch, QPoint(2, 2), QContextMenuEvent.Reason.Mouse)


def test_the_window_folds_and_unfolds_by_its_commands(window: MainWindow) -> None:
    desk = window.desk
    unit_id = desk.book.rig(desk.rig_id).units[0].id
    desk.edit("Pack", lambda book: pack_in_new_case(book, desk.rig_id, unit_id, "Bag"))
    desk.select((Thing("unit", unit_id),))
    window.actions_by_id["fold-rack"].trigger()
    sheet = window.sheets.page("patch")
    assert "rack/bag" in sheet.patch.units
    window.actions_by_id["unfold"].trigger()
    assert unit_id in sheet.patch.units
    window.actions_by_id["fold-loom"].trigger()
    assert window.strip.tone == "refused"


def test_a_unit_packed_into_a_folded_rack_goes_in(patch: PatchSheet, folded: Desk) -> None:
    folded.edit("Pack", lambda book: pack(book, "rig", VOX, "keys-rack"))
    assert VOX not in patch.patch.units
    assert f"{VOX}/out" in {spot.port for spot in rack(patch).card.spots}


def test_what_nobody_has_laid_keeps_off_the_card(patch: PatchSheet, folded: Desk, catalogue: Catalogue) -> None:
    for _ in range(3):
        folded.edit("Add", lambda b: add_unit(b, "rig", unit_of(b, "rig", "dynamic-handheld", catalogue), catalogue))
    plan = patch.patch.plan
    first, *_ = plan.unplaced
    at = plan.cards[first].place
    folded.edit("Into its way", lambda book: move_racks(book, "rig", {"keys-rack": at}))
    boxes = [card.box for name, card in patch.patch.plan.cards.items() if name in (*plan.unplaced, RACK)]
    assert rack(patch).place == at
    assert len(boxes) == 4
    assert not any(a.meets(b) for n, a in enumerate(boxes) for b in boxes[:n])


def test_it_is_painted_in_both_faces_at_every_scale(patch: PatchSheet, folded: Desk) -> None:
    folded.select((Thing("unit", DI),))
    for theme in (patch.theme, BLACKOUT):
        patch.set_theme(theme)
        for zoom in (0.2, 0.45, 0.55, 1.0):
            patch.set_zoom(zoom)
            assert not patch.grab().isNull()
