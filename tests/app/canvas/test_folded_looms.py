"""A loom folded into one trunk on the Patch sheet: what is drawn, what is chosen, how it goes with cards and racks."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from pytestqt.qtbot import QtBot

from app.canvas.cable_item import longest_middle
from app.canvas.find import entries, ranked
from app.canvas.hits import Hit
from app.canvas.layout import Box
from app.canvas.patch_view import PatchSheet
from app.canvas.routes import Way, Wire, plain_ways
from app.canvas.tips import tip_lines
from app.canvas.trunk_item import TrunkItem, plate_box, plate_words
from app.canvas.trunks import lay_all
from app.desk import Desk
from app.theme import BLACKOUT
from rigcore.book.book import Book
from rigcore.book.edits.cases import pack, pack_in_new_case
from rigcore.book.edits.gigs import land_port
from rigcore.book.edits.links import bundle, plug, remove_links, rename_loom
from rigcore.book.edits.units import add_unit, unit_of
from rigcore.book.ids import PortRef
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.record import changed
from rigcore.rules.rule import Thing

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
PIANO, DI, VOX, STRIP = "88-key-stage-piano", "passive-di-box-stereo", "dynamic-handheld-microphone", "strip"
TRUNK = Thing("loom", "keys-loom")
Drag = Callable[..., None]


@pytest.fixture
def tied(desk: Desk, patch: PatchSheet, catalogue: Catalogue) -> Desk:
    """Both outputs of the piano into the DI in one loom, the DI into the house; a strip that could feed the piano."""

    def wire(book: Book) -> Book:
        strip = changed(unit_of(book, "rig", "strip-6", catalogue), id=STRIP, card_x=-400.0, card_y=40.0)
        book = add_unit(book, "rig", strip, catalogue)
        for side, number in (("l", 1), ("r", 2)):
            book = plug(book, "rig", (_ref(PIANO, f"out-{side}"), _ref(DI, f"in-{number}")), catalogue)
        book = bundle(book, "rig", [link.id for link in book.rig("rig").links], "Keys loom")
        return land_port(book, "gig", _ref(DI, "out-1"), "in-2", catalogue=catalogue)

    assert desk.edit("Wire", wire)
    return desk


@pytest.fixture
def folded(tied: Desk, patch: PatchSheet) -> Desk:
    """The same, folded, with nothing chosen."""
    tied.select(links(tied))
    patch.folding.fold_loom()
    tied.select(())
    return tied


def _ref(unit_id: str, port_id: str) -> PortRef:
    return PortRef(unit=unit_id, port=port_id)


def links(desk: Desk) -> list[Thing]:
    return [Thing("link", link.id) for link in desk.book.rig("rig").links if link.loom]


def trunk(patch: PatchSheet) -> TrunkItem:
    item = patch.patch.cables[TRUNK]
    assert isinstance(item, TrunkItem)
    return item


def on_trunk(patch: PatchSheet) -> QPoint:
    return patch.mapFromScene(QPointF(*longest_middle(trunk(patch).way)[0]))


def face(patch: PatchSheet, end: PortRef) -> tuple[float, float]:
    at, _ = patch.patch.face_at(end)
    return tuple(at)


def test_a_folded_loom_is_one_trunk_with_a_plate_and_tails(patch: PatchSheet, folded: Desk) -> None:
    drawn = set(patch.patch.cables)
    assert TRUNK in drawn
    assert drawn.isdisjoint(links(folded))
    assert plate_words(trunk(patch).cable) == "Keys loom · 2 cables"
    ends = {tuple(way[0]) for _, way in trunk(patch).fan.tails}
    ports = [_ref(PIANO, "out-l"), _ref(PIANO, "out-r"), _ref(DI, "in-1"), _ref(DI, "in-2")]
    assert ends == {face(patch, port) for port in ports}
    joints = {tuple(way[-1]) for _, way in trunk(patch).fan.tails}
    assert joints == {tuple(trunk(patch).way[0]), tuple(trunk(patch).way[-1])}
    assert not patch.patch.looms.ties


def test_folding_is_one_step_with_words_and_is_undone_exactly(patch: PatchSheet, tied: Desk) -> None:
    before = tied.book
    tied.select(links(tied)[:1])
    patch.folding.fold_loom()
    assert tied.history.undo_words == "Fold Keys loom"
    patch.folding.unfold()
    assert tied.history.undo_words == "Unfold Keys loom"
    assert tied.book == before
    tied.undo()
    tied.undo()
    assert tied.book is before
    assert set(links(tied)) <= set(patch.patch.cables)
    assert patch.patch.looms.ties


def test_a_click_chooses_its_cables(patch: PatchSheet, folded: Desk, qtbot: QtBot) -> None:
    qtbot.mouseClick(patch.viewport(), LEFT, NONE, on_trunk(patch))
    assert set(folded.selection) == set(links(folded))
    assert trunk(patch).state.selected
    steps = len(folded.history.past)
    qtbot.keyClick(patch, Qt.Key.Key_Delete)
    assert not links(folded)
    assert TRUNK not in patch.patch.cables
    assert len(folded.history.past) == steps + 1


def test_pulling_at_it_takes_no_end_out(patch: PatchSheet, folded: Desk, drag: Drag) -> None:
    book = folded.book
    at = trunk(patch).way[0]
    drag(patch, QPointF(at.x, at.y + 4), QPointF(at.x + 90, at.y + 40))
    assert folded.book is book


def test_a_double_click_unfolds_and_folds(patch: PatchSheet, folded: Desk, qtbot: QtBot) -> None:
    qtbot.mouseDClick(patch.viewport(), LEFT, NONE, on_trunk(patch))
    assert set(links(folded)) <= set(patch.patch.cables)
    way = patch.patch.cables[links(folded)[0]].way
    qtbot.mouseDClick(patch.viewport(), LEFT, NONE, patch.mapFromScene(QPointF(*longest_middle(way)[0])))
    assert TRUNK in patch.patch.cables


def test_the_keys_fold_it_from_a_port_or_a_unit(patch: PatchSheet, tied: Desk, qtbot: QtBot) -> None:
    for thing in (Thing("unit", PIANO, "out-l"), Thing("unit", DI)):
        tied.select((thing,))
        qtbot.keyClick(patch, Qt.Key.Key_J, CTRL | SHIFT)
        assert TRUNK in patch.patch.cables
        qtbot.keyClick(patch, Qt.Key.Key_U, CTRL)
        assert TRUNK not in patch.patch.cables
    told: list[str] = []
    tied.refused.connect(told.append)
    tied.select((Thing("unit", VOX),))
    qtbot.keyClick(patch, Qt.Key.Key_J, CTRL | SHIFT)
    assert len(told) == 1
    assert "loom" in told[0]


def test_the_badges_of_its_cables_stand_on_it(
    patch: PatchSheet, tied: Desk, qtbot: QtBot, catalogue: Catalogue
) -> None:
    def mistake(book: Book) -> Book:
        book = plug(book, "rig", (_ref(STRIP, "outlet-1"), _ref(PIANO, "mains")), catalogue)
        mains = book.rig("rig").links[-1]
        return bundle(book, "rig", [link.id for link in book.rig("rig").links if link.loom] + [mains.id], "Keys loom")

    tied.edit("Tie the mains in", mistake)
    before = tied.analysis().findings
    about = {one.sentence for one in before if set(links(tied)) & set(one.things)}
    assert about
    tied.select(links(tied))
    with qtbot.waitSignal(tied.analysed):
        patch.folding.fold_loom()
    assert tied.analysis().findings == before
    (item,) = [one for one in patch.patch.cables.values() if isinstance(one, TrunkItem)]
    assert item.state.badge is not None
    assert about <= set(item.state.badge.sentences)
    (placed,) = [one for one in patch.patch.badges_shown if one.about == item.cable.thing]
    assert not placed.box.meets(plate_box(item.cable, item.way)), "the plate can still be read"
    lines = tip_lines(patch.patch, catalogue, QPointF(*longest_middle(item.way)[0]))
    assert lines[0] == "Keys loom · 3 cables"
    assert about <= set(lines)


def test_a_tail_from_another_edge_is_laid_to_the_bar(patch: PatchSheet, tied: Desk, catalogue: Catalogue) -> None:
    ends = (_ref(STRIP, "outlet-1"), _ref(PIANO, "mains"))

    def tie(book: Book) -> Book:
        book = plug(book, "rig", ends, catalogue)
        return bundle(book, "rig", [link.id for link in book.rig("rig").links], "All")

    tied.edit("Tie", tie)
    tied.select(links(tied))
    patch.folding.fold_loom()
    (item,) = [one for one in patch.patch.cables.values() if isinstance(one, TrunkItem)]
    starts = {tuple(way[0]): way for _, way in item.fan.tails}
    for ref in ends:
        way = starts[face(patch, ref)]
        assert any(tuple(way[-1]) in map(tuple, bar) for bar in item.fan.bars)


def test_other_cables_are_to_keep_off_its_bars(patch: PatchSheet, folded: Desk) -> None:
    asked = []

    def lay(wires: list[Wire[object]], bars: list[Box]) -> dict[object, Way]:
        asked.extend(bars)
        return plain_ways(wires)

    plan = patch.patch.plan
    _, fans = lay_all(plan.trunks.values(), plan.cards, plan.rows, lay)
    assert len(asked) == 2
    for bar, box in zip(fans[TRUNK].bars, asked, strict=True):
        assert all(box.holds(point) for point in bar)


def test_it_goes_along_when_its_cards_are_moved(patch: PatchSheet, folded: Desk, qtbot: QtBot, drag: Drag) -> None:
    item = patch.patch.units[DI]
    tape = item.pos() + QPointF(item.placed.card.width / 2, item.placed.card.tape.top + 8)
    start = patch.mapFromScene(tape)
    qtbot.mousePress(patch.viewport(), LEFT, NONE, start)
    for step in (30, 80):
        qtbot.mouseMove(patch.viewport(), start + QPoint(step, step))
    ends = {tuple(way[0]) for _, way in trunk(patch).fan.tails}
    assert face(patch, _ref(DI, "in-1")) in ends
    assert not patch.grab().isNull()
    qtbot.mouseRelease(patch.viewport(), LEFT, NONE, start + QPoint(80, 80))
    assert face(patch, _ref(DI, "in-2")) in {tuple(way[0]) for _, way in trunk(patch).fan.tails}
    folded.select([Thing("unit", PIANO), Thing("unit", DI)])
    before = trunk(patch).way
    qtbot.keyClick(patch, Qt.Key.Key_Right, CTRL)
    assert trunk(patch).way[0].x == before[0].x + 8


def test_a_trace_and_a_finding_light_it(patch: PatchSheet, folded: Desk) -> None:
    folded.select((Thing("unit", PIANO),))
    patch.show_trace(True)
    assert not trunk(patch).state.dimmed
    folded.select((Thing("unit", VOX),))
    assert trunk(patch).state.dimmed
    patch.show_trace(False)
    assert set(ranked("keys loom", entries(patch.patch.plan))[0].things) == set(links(folded))
    patch.reveal(links(folded)[:1])
    assert trunk(patch).state.selected
    assert trunk(patch).state.pulsing
    assert patch.patch.area_of(links(folded)[0]) == trunk(patch).boundingRect()


def test_a_rubber_band_round_it_takes_its_cables(patch: PatchSheet, folded: Desk) -> None:
    whole = trunk(patch).boundingRect()
    assert set(links(folded)) <= set(patch.patch.things_in(whole))
    way = trunk(patch).way
    part = QPointF(way[0].x, way[0].y), QPointF(way[-1].x, way[-1].y)
    inner = patch.patch.things_in(whole.adjusted(0, part[0].y() - whole.top() - 2, 0, part[1].y() - whole.bottom() + 2))
    assert not set(links(folded)) & set(inner), "its tails reach further"


def test_it_ends_at_a_folded_rack_and_vanishes_inside_one(patch: PatchSheet, folded: Desk) -> None:
    folded.edit("Pack", lambda book: pack_in_new_case(book, "rig", DI, "Rack"))
    folded.select((Thing("unit", DI),))
    patch.folding.fold_rack()
    assert face(patch, _ref(DI, "in-1")) in {tuple(way[0]) for _, way in trunk(patch).fan.tails}
    patch.commands.tidy()
    patch.end_glide()
    assert TRUNK in patch.patch.cables
    folded.edit("Pack", lambda book: pack(book, "rig", PIANO, "rack"))
    assert TRUNK not in patch.patch.cables
    assert patch.patch.area_of(links(folded)[0]) == patch.patch.place_of(Hit("unit", "rack/rack"))


def test_one_cable_left_is_drawn_as_itself(patch: PatchSheet, folded: Desk) -> None:
    gone = links(folded)[0]
    folded.edit("Unplug", lambda book: remove_links(book, "rig", [gone.id]))
    assert set(links(folded)) <= set(patch.patch.cables)
    assert TRUNK not in patch.patch.cables


def test_it_is_painted_in_both_faces_and_follows_its_name(patch: PatchSheet, folded: Desk) -> None:
    before = trunk(patch).boundingRect().width()
    folded.edit("Rename", lambda book: rename_loom(book, "rig", "keys-loom", "All the keys on the riser"))
    assert trunk(patch).boundingRect().width() > before
    folded.select(links(folded))
    for theme in (patch.theme, BLACKOUT):
        patch.set_theme(theme)
        for zoom in (0.2, 0.35, 0.5, 1.0):
            patch.set_zoom(zoom)
            assert not patch.grab().isNull()
