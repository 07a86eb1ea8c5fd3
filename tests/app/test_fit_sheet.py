"""The Fit sheet shows what is landed and what is proposed, takes it in one step, and lets the hand overrule it."""

from __future__ import annotations

import pytest
import shiboken6
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.fit_sheet.board_plan import Sizes, lay
from app.fit_sheet.board_rows import Board, board
from app.fit_sheet.sheet import FitSheet
from app.fit_sheet.solving import Proposal
from app.tables.table_sheet import AIR
from app.theme import BLACKOUT, PAPER
from rigcore import resources
from rigcore.book import file as book_file
from rigcore.book.edits.gigs import change_gig, unbind_landing
from rigcore.book.edits.hand_offs import change_hand_off
from rigcore.book.edits.rebuild import checked
from rigcore.catalogue.catalogue import Catalogue
from rigcore.rules.rule import Thing

WAIT_MS = 60_000


def opened(desk: Desk, name: str, gig: str, qtbot: QtBot) -> FitSheet:
    desk.take(book_file.load(resources.samples() / f"{name}.loom", desk.shipped)[0], None)
    desk.show_gig(gig)
    sheet = FitSheet(desk, PAPER)
    qtbot.addWidget(sheet, before_close_func=lambda one: one.solving.drop())
    sheet.resize(900, 560)
    sheet.show()
    return sheet


@pytest.fixture
def sheet(desk: Desk, qtbot: QtBot) -> FitSheet:
    """The tour's gig at the chapel: four hand-offs, nine sockets."""
    return opened(desk, "tour", "chapel", qtbot)


def landed(sheet: FitSheet) -> dict[str, str]:
    gig = sheet.desk.book.gig(sheet.desk.gig_id)
    return {one.hand_off: one.socket for one in gig.landings}


def bands(sheet: FitSheet, state: str) -> dict[str, str]:
    return {band.hand_off: band.socket for row in sheet.board.rows.hand_offs for band in row.bands
            if band.state == state}  # fmt: skip


def solved(sheet: FitSheet, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not sheet.solving.is_busy, timeout=WAIT_MS)


def clear(sheet: FitSheet) -> None:
    gig_id = sheet.desk.gig_id
    sheet.desk.edit("clear", lambda book: change_gig(book, gig_id, landings=()))


def point(box: object) -> object:
    return box.center().toPoint()  # type: ignore[attr-defined]


def test_it_shows_what_is_landed_at_once(sheet: FitSheet, qtbot: QtBot) -> None:
    assert bands(sheet, "landed") == landed(sheet)
    assert bands(sheet, "proposed") == {}
    name = next(iter(landed(sheet)))
    sheet.desk.edit("unbind", lambda book: unbind_landing(book, "chapel", name))
    qtbot.waitUntil(lambda: name not in bands(sheet, "landed"))


def test_a_proposal_is_dashed_until_it_is_taken_and_undone_in_one_step(sheet: FitSheet, qtbot: QtBot) -> None:
    clear(sheet)
    assert not sheet.buttons["take"].isEnabled()
    sheet.fit_it()
    assert sheet.buttons["stop"].isEnabled()
    assert not sheet.buttons["keep"].isEnabled()
    solved(sheet, qtbot)
    proposed = bands(sheet, "proposed")
    assert set(proposed) == {"lead-vox", "keys-l", "keys-r", "ear-feed"}
    assert landed(sheet) == {}
    assert sheet._said.text().startswith("Proven best in all")
    sheet.take_proposal()
    qtbot.waitUntil(lambda: bands(sheet, "landed") == proposed)
    assert bands(sheet, "proposed") == {}
    assert not sheet.can_take
    sheet.desk.undo()
    assert landed(sheet) == {}


def test_pieces_tell_whose_they_are_by_word(sheet: FitSheet, qtbot: QtBot) -> None:
    sheet.fit_afresh()
    solved(sheet, qtbot)
    words = [pill.words for row in sheet.board.rows.hand_offs for band in row.bands for pill in band.pills]
    assert words
    assert all(text.endswith((" · ours", " · yours", " · to buy")) for text in words)


def test_fewer_lines_say_who_goes_without(sheet: FitSheet, qtbot: QtBot) -> None:
    sheet.fit_on_lines(1)
    solved(sheet, qtbot)
    assert sheet.proposal is not None
    lost = set(sheet.proposal.fit.unsettled)
    assert lost
    assert {row.id for row in sheet.board.rows.hand_offs if row.short} == lost
    assert all(sentence in sheet._short.text() for sentence in sheet.proposal.sentences)
    sheet.fit_on_lines(None)
    assert sheet.proposal is None
    assert not any(row.short for row in sheet.board.rows.hand_offs)


def test_a_change_makes_the_proposal_old_and_it_cannot_be_taken(sheet: FitSheet, qtbot: QtBot) -> None:
    clear(sheet)
    sheet.fit_it()
    solved(sheet, qtbot)
    assert sheet.can_take
    sheet.desk.edit("rename", lambda book: change_hand_off(book, sheet.desk.rig_id, "lead-vox", name="Other"))
    qtbot.waitUntil(lambda: "before the last change" in sheet._said.text())
    assert not sheet.can_take
    assert bands(sheet, "proposed")
    sheet.take_proposal()
    assert landed(sheet) == {}


def test_an_answer_about_an_older_book_is_dropped(sheet: FitSheet, qtbot: QtBot) -> None:
    clear(sheet)
    sheet.fit_it()
    sheet.desk.edit("rename", lambda book: change_hand_off(book, sheet.desk.rig_id, "lead-vox", name="Other"))
    assert not sheet.solving.is_busy
    qtbot.waitUntil(lambda: not sheet.solving._beside.is_busy, timeout=WAIT_MS)
    assert sheet.proposal is None


def test_stopping_ends_the_work_and_keeps_the_book(desk: Desk, qtbot: QtBot) -> None:
    sheet = opened(desk, "tandem", "sunday-at-fenwold-chapel", qtbot)
    before = desk.book
    sheet.fit_afresh()
    sheet.stop()
    solved(sheet, qtbot)
    assert "topped" in sheet._said.text()
    assert desk.book is before
    assert sheet.buttons["fresh"].isEnabled()


def test_another_gig_shows_no_proposal_of_this_one(sheet: FitSheet, qtbot: QtBot) -> None:
    sheet.fit_afresh()
    solved(sheet, qtbot)
    assert isinstance(sheet.proposal, Proposal)
    sheet.desk.show_gig("bar")
    qtbot.waitUntil(lambda: bands(sheet, "landed") == landed(sheet))
    assert sheet.proposal is None


def test_dragging_onto_another_socket_lands_there_in_one_step(sheet: FitSheet, qtbot: QtBot) -> None:
    before = landed(sheet)
    free = next(one.id for one in sheet.board.rows.sockets if one.is_in and not one.landed)
    start = point(sheet.board.plan.hand_offs["lead-vox"])
    end = point(sheet.board.plan.sockets[free])
    QTest.mousePress(sheet.board, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
    QTest.mouseMove(sheet.board, end)
    assert sheet.board.aimed == free
    QTest.mouseRelease(sheet.board, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, end)
    qtbot.waitUntil(lambda: landed(sheet).get("lead-vox") == free, timeout=WAIT_MS)
    gig = sheet.desk.book.gig("chapel")
    assert gig.landing("lead-vox").chain
    sheet.desk.undo()
    assert landed(sheet) == before


def test_keys_alone_choose_move_land_and_unbind(sheet: FitSheet, qtbot: QtBot) -> None:
    held = sheet.board
    held.setFocus()
    key = Qt.Key
    QTest.keyClick(held, key.Key_Home)
    QTest.keyClick(held, key.Key_Down)
    first, second = [row.id for row in held.rows.hand_offs][:2]
    assert held.row is not None
    assert held.row.id == second
    QTest.keyClick(held, key.Key_Up)
    assert held.row.id == first
    assert sheet.desk.selection == (Thing("landing", first),)
    where = landed(sheet)[first]
    QTest.keyClick(held, key.Key_Return)
    assert held.aimed == where
    QTest.keyClick(held, key.Key_Down)
    aimed = held.aimed
    assert aimed is not None
    assert aimed != where
    QTest.keyClick(held, key.Key_Escape)
    assert held.aimed is None
    assert landed(sheet)[first] == where
    QTest.keyClick(held, key.Key_Return)
    QTest.keyClick(held, key.Key_Down)
    QTest.keyClick(held, key.Key_Return)
    qtbot.waitUntil(lambda: landed(sheet).get(first) == aimed, timeout=WAIT_MS)
    QTest.keyClick(held, key.Key_Delete)
    assert first not in landed(sheet)


def test_a_taken_socket_changes_hands_and_says_who_lost_it(sheet: FitSheet, qtbot: QtBot) -> None:
    there = landed(sheet)["keys-l"]
    sheet.land("lead-vox", there)
    qtbot.waitUntil(lambda: landed(sheet).get("lead-vox") == there, timeout=WAIT_MS)
    assert "keys-l" not in landed(sheet)
    assert "Keys L had that line" in sheet._said.text()


def test_what_a_landing_by_hand_needs_bought_is_said(sheet: FitSheet, qtbot: QtBot) -> None:
    sheet.desk.edit("sell it all", lambda book: checked(book, stock=()))
    free = next(one.id for one in sheet.board.rows.sockets if one.is_in and not one.landed)
    sheet.land("lead-vox", free)
    qtbot.waitUntil(lambda: landed(sheet).get("lead-vox") == free, timeout=WAIT_MS)
    assert "To buy: XLR cable" in sheet._said.text()


def test_sockets_of_the_other_direction_do_not_take_it(sheet: FitSheet) -> None:
    out = next(one.id for one in sheet.board.rows.sockets if not one.is_in)
    sheet.board.choose("lead-vox")
    QTest.keyClick(sheet.board, Qt.Key.Key_Return)
    sheet.board._aim(out)
    assert sheet.board.aimed is None


def test_the_reasons_are_told_by_pointer_and_keys_and_stay_plain(sheet: FitSheet, qtbot: QtBot) -> None:
    sheet.desk.edit("rename", lambda book: change_hand_off(book, sheet.desk.rig_id, "lead-vox", name="<b>Lead</b>"))
    sheet.fit_afresh()
    solved(sheet, qtbot)
    told = sheet.board.told_at(QPointF(sheet.board.plan.hand_offs["lead-vox"].center()))
    assert told[0].startswith("<b>Lead</b>")
    assert any("kg" in line and "dB lost" in line for line in told)
    sheet.board.choose("lead-vox")
    assert "It costs" in sheet._why.text()
    assert "<b>Lead</b>" in sheet.board.accessibleDescription()
    assert sheet._why.textFormat() == Qt.TextFormat.PlainText


def test_rows_and_sockets_are_children_for_assistive_tools(sheet: FitSheet) -> None:
    voice = QAccessible.queryAccessibleInterface(sheet.board)
    rows = sheet.board.rows
    assert voice.childCount() == len(rows.hand_offs) + len(rows.sockets)
    names = [voice.child(place).text(QAccessible.Text.Name) for place in range(voice.childCount())]
    assert names[: len(rows.hand_offs)] == [row.name for row in rows.hand_offs]
    sheet.board.choose("keys-l")
    assert voice.focusChild().text(QAccessible.Text.Name) == "Keys L"
    QTest.keyClick(sheet.board, Qt.Key.Key_Return)
    assert voice.focusChild().text(QAccessible.Text.Name).startswith("house ")
    assert sheet.board.accessibleDescription().startswith("Move Keys L to house ")


def test_the_tour_kit_stands_in_a_table_with_a_column_for_each_gig(sheet: FitSheet, qtbot: QtBot) -> None:
    sheet.show_tour(True)
    solved(sheet, qtbot)
    assert sheet.tour is not None
    model = sheet.table.model()
    assert sheet.table.isVisible()
    assert model.rowCount() == len(sheet.tour.kit) > 0
    head = sheet.table.horizontalHeader()
    for place, (name, _) in enumerate(sheet.tour.gigs, start=2):
        heading = model.headerData(place, Qt.Orientation.Horizontal)
        assert "…" not in heading, name
        wide = [head.fontMetrics().horizontalAdvance(line) for line in heading.split("\n")]
        assert max(wide) <= head.sectionSize(place)
    heads = [model.headerData(place, Qt.Orientation.Horizontal) for place in range(model.columnCount())]
    assert [" ".join(one.split("\n")) for one in heads[2:-1]] == [gig.name for gig in sheet.desk.book.gigs]
    lines = sheet.table.fontMetrics().lineSpacing()
    assert all(sheet.table.rowHeight(row) >= lines + AIR for row in range(model.rowCount()))
    sheet.show_tour(False)
    assert not sheet.table.isVisible()


def test_it_can_go_in_the_middle_of_its_work(desk: Desk, qtbot: QtBot) -> None:
    sheet = opened(desk, "tandem", "sunday-at-fenwold-chapel", qtbot)
    sheet.fit_afresh()
    shiboken6.delete(sheet)
    desk.undo()
    desk.new()


def test_an_empty_book_says_what_to_do(desk: Desk, qtbot: QtBot) -> None:
    desk.new()
    sheet = FitSheet(desk, BLACKOUT)
    qtbot.addWidget(sheet)
    sheet.show()
    assert "drag from an output" in sheet._empty.text()
    assert not any(button.isEnabled() for button in sheet.buttons.values())


def test_everything_to_press_has_a_name(sheet: FitSheet) -> None:
    for widget in sheet.findChildren(QWidget):
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisible():
            assert widget.accessibleName() or getattr(widget, "text", str)(), widget


@pytest.mark.parametrize("width", [420, 800, 1600])
@pytest.mark.parametrize("name", ["tour", "tandem", "piper", "ferry"])
def test_nothing_on_the_board_overlaps(desk: Desk, catalogue: Catalogue, name: str, width: int) -> None:
    desk.take(book_file.load(resources.samples() / f"{name}.loom", catalogue)[0], None)
    for gig in desk.book.gigs:
        desk.show_gig(gig.id)
        rows: Board = board(desk.analysis(), None, is_stale=False)
        plan = lay(rows, float(width), Sizes(18.0, 15.0, lambda text: 7.0 * len(text)))
        boxes = [*plan.hand_offs.values(), *plan.sockets.values()]
        boxes += [box for laid in plan.bands for box in (*laid.pills, *([laid.remark] if laid.remark else []))]
        assert len(plan.bands) == len(gig.landings)
        assert len(plan.sockets) == len(rows.sockets)
        for place, box in enumerate(boxes):
            assert box.left() >= 0
            assert box.right() <= width
            assert box.bottom() <= plan.height
            assert not any(box.intersects(other) for other in boxes[place + 1 :])
