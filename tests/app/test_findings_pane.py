"""The findings pane: order, counting, opening, remedies, and keeping its place."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.panes.accepting import AcceptedRow, AcceptField
from app.panes.finding_row import FindingRow, even_lines
from app.panes.findings import AT_ONCE, LATER, FindingsPane, count_words, worst_first
from app.panes.forms.fields import plain
from rigcore.book.edits.units import rename_unit
from rigcore.rules.rule import Finding, Remedy, Thing
from rigcore.rules.rulebook import RULES


def finding(severity: str, sentence: str = "It hums.", *, remedies: tuple[Remedy, ...] = ()) -> Finding:
    return Finding(
        RULES[0].id,
        severity,
        sentence,
        (Thing("unit", "piano"),),
        ("1 + 1 = 2", "so 2"),
        remedies,  # type: ignore[arg-type]
    )


@pytest.fixture
def pane(desk: Desk, qtbot: QtBot) -> FindingsPane:
    pane = FindingsPane(desk)
    pane.resize(700, 200)
    qtbot.addWidget(pane)
    pane.show()
    return pane


@pytest.mark.parametrize(
    ("severities", "words"),
    [
        (("fault", "risk", "note", "note", "note"), "1 fault · 1 risk · 3 notes"),
        (("risk", "risk"), "2 risks"),
        ((), "nothing found"),
    ],
)
def test_findings_are_counted(severities: tuple[str, ...], words: str) -> None:
    assert count_words(tuple(finding(one) for one in severities)) == words


def test_the_worst_stands_first() -> None:
    order = worst_first((finding("note"), finding("fault"), finding("risk")))
    assert [one.severity for one in order] == ["fault", "risk", "note"]


def test_a_row_shows_user_text_as_it_is(pane: FindingsPane) -> None:
    pane.show_findings((finding("fault", "<img src=/etc/passwd> & <b>x</b>"),))
    row = pane.rows[0]
    row.open(True)
    labels = row.findChildren(QLabel)
    assert all(label.textFormat() == Qt.TextFormat.PlainText for label in labels)
    assert row.accessibleName() == "fault: <img src=/etc/passwd> & <b>x</b>"


def test_a_row_opens_to_working_and_basis(pane: FindingsPane) -> None:
    pane.show_findings((finding("fault"),))
    row = pane.rows[0]
    row.open(True)
    text = "\n".join(label.text() for label in row.findChildren(QLabel))
    assert "1 + 1 = 2" in text
    assert RULES[0].basis[0] in text
    row.open(False)
    assert not row.is_open


def test_a_click_and_enter_show_the_place(pane: FindingsPane, qtbot: QtBot) -> None:
    pane.show_findings((finding("fault"),))
    with qtbot.waitSignal(pane.show_things) as told:
        qtbot.mouseClick(pane.rows[0], Qt.MouseButton.LeftButton)
    assert told.args[0] == (Thing("unit", "piano"),)
    with qtbot.waitSignal(pane.show_things):
        qtbot.keyClick(pane.rows[0], Qt.Key.Key_Return)


def test_a_remedy_is_one_undoable_edit(desk: Desk, pane: FindingsPane, qtbot: QtBot) -> None:
    remedy = Remedy("Call it Harp & Co", lambda book: rename_unit(book, "rig", "piano", "Harp"))
    pane.show_findings((finding("fault", remedies=(remedy,)),))
    button = pane.rows[0].buttons[0]
    assert button.text() == "Call it Harp && Co"
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert desk.book.rig("rig").unit("piano").name == "Harp"
    assert desk.history.undo_words == "Call it Harp & Co"


def test_the_latest_remedy_is_applied_not_the_first(desk: Desk, pane: FindingsPane) -> None:
    first = Remedy("Name it", lambda book: rename_unit(book, "rig", "piano", "Old"))
    later = Remedy("Name it", lambda book: rename_unit(book, "rig", "piano", "New"))
    pane.show_findings((finding("fault", remedies=(first,)),))
    row = pane.rows[0]
    pane.show_findings((finding("fault", remedies=(later,)),))
    assert pane.rows[0] is row
    row.buttons[0].click()
    assert desk.book.rig("rig").unit("piano").name == "New"


def test_rows_that_stay_keep_their_state_and_the_scroll_its_place(pane: FindingsPane, qtbot: QtBot) -> None:
    many = tuple(finding("risk", f"Thing {number} hums.") for number in range(20))
    pane.show_findings(many)
    qtbot.waitUntil(lambda: len(pane.rows) == 20)
    pane.rows[10].open(True)
    bar = pane._scroll.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 300)
    bar.setValue(250)
    kept = pane.rows[10]
    pane.show_findings((*many[:15], *many[16:]))
    assert bar.value() == 250
    assert kept in pane.rows
    assert kept.is_open


def test_rows_below_the_pane_follow_later_and_are_counted_at_once(pane: FindingsPane, qtbot: QtBot) -> None:
    many = tuple(finding("risk", f"Thing {number} hums.") for number in range(2 * AT_ONCE + LATER))
    pane.show_findings(many)
    first = pane.rows
    assert len(first) == AT_ONCE
    assert first[-1].geometry().bottom() > pane._scroll.viewport().height()
    assert pane.words == f"{len(many)} risks"
    qtbot.waitUntil(lambda: len(pane.rows) == len(many))
    assert [row.finding for row in pane.rows] == list(many)
    assert pane.rows[:AT_ONCE] == first


def test_arrows_walk_and_open(pane: FindingsPane, qtbot: QtBot) -> None:
    pane.show_findings((finding("fault", "One."), finding("risk", "Two.")))
    qtbot.waitUntil(lambda: pane.rows[1].isVisible())
    pane.focus_first()
    qtbot.keyClick(pane.rows[0], Qt.Key.Key_Right)
    assert pane.rows[0].is_open
    qtbot.keyClick(pane.rows[0], Qt.Key.Key_Down)
    assert pane.focusWidget() is pane.rows[1]


def test_the_pane_follows_the_desk(desk: Desk, pane: FindingsPane, qtbot: QtBot) -> None:
    with qtbot.waitSignal(desk.analysed):
        desk.edit("rename", lambda book: rename_unit(book, "rig", "piano", "Grand"))
    shown = [row.finding for row in pane.rows]
    assert shown == worst_first(desk.analysis().findings)
    assert all(isinstance(row, FindingRow) for row in pane.rows)


LONG = "Bass, Keys 2 L, Keys 2 R, Tracks L and Tracks R come within 6 dB of the clipping of a splitter: pads on. " * 2


@pytest.mark.parametrize("wide", [420, 700, 830])
def test_a_long_sentence_is_never_cut(pane: FindingsPane, qtbot: QtBot, wide: int) -> None:
    remedy = Remedy("Put the pads of all these lines in, one after the other", lambda book: book)
    pane.show_findings((finding("fault", LONG, remedies=(remedy,)),))
    pane.resize(wide, 400)
    row = pane.rows[0]
    label = row._sentence
    qtbot.waitUntil(lambda: label.height() >= label.heightForWidth(label.width()) > 0)
    assert label.text() == LONG
    assert row.height() >= row.heightForWidth(row.width())


def test_remedies_go_under_the_working_where_the_row_is_narrow(pane: FindingsPane, qtbot: QtBot) -> None:
    remedy = Remedy("Engage the pad", lambda book: book)
    pane.show_findings((finding("fault", LONG, remedies=(remedy,)),))
    row = pane.rows[0]
    button = row.buttons[0]
    pane.resize(900, 300)
    qtbot.waitUntil(lambda: row.width() > 800 and button.x() > row._sentence.geometry().right())
    pane.resize(430, 300)
    qtbot.waitUntil(lambda: button.isVisible() and button.y() > row._brief.geometry().bottom())
    assert row._sentence.width() > row.width() - 100
    pane.resize(900, 300)
    qtbot.waitUntil(lambda: button.x() > row._sentence.geometry().right())


def test_a_long_remedy_stands_in_two_lines(pane: FindingsPane) -> None:
    remedy = Remedy("Use XLR female to 6.35 mm TRS plug, 5 m, here", lambda book: book)
    pane.show_findings((finding("fault", remedies=(remedy,)),))
    button = pane.rows[0].buttons[0]
    assert button.text().replace("\n", " ") == remedy.words
    assert button.text().count("\n") == 1
    assert even_lines("short", button.fontMetrics(), 200) == "short"
    assert even_lines("W" * 60, button.fontMetrics(), 100).endswith("…")


def test_a_risk_is_accepted_with_a_reason_and_taken_back(desk: Desk, pane: FindingsPane, qtbot: QtBot) -> None:
    with qtbot.waitSignal(desk.analysed):
        desk.edit("rename", lambda book: rename_unit(book, desk.rig_id, "piano", "Upright"))
    row = next(one for one in pane.rows if one.finding.severity != "fault")
    sentence, count = row.finding.sentence, len(pane.rows)
    row.open(True)
    field = row.findChild(AcceptField)
    assert field is not None
    qtbot.mouseClick(field.button, Qt.MouseButton.LeftButton)
    qtbot.keyClicks(field.reason, "heard it, it is quiet")
    with qtbot.waitSignal(desk.analysed):
        qtbot.keyClick(field.reason, Qt.Key.Key_Return)
    assert sentence not in [one.finding.sentence for one in pane.rows]
    assert len(pane.rows) == count - 1
    accepted = pane.findChild(AcceptedRow)
    assert accepted is not None
    assert "heard it, it is quiet" in [label.text().split(", because ")[-1] for label in accepted.findChildren(QLabel)]
    with qtbot.waitSignal(desk.analysed):
        accepted.taken_back.emit(desk.book.accepted[0])
    assert sentence in [one.finding.sentence for one in pane.rows]


def test_a_fault_cannot_be_accepted(pane: FindingsPane) -> None:
    pane.show_findings((finding("fault"),))
    pane.rows[0].open(True)
    assert pane.rows[0].findChild(AcceptField) is None


def test_a_sentence_is_shown_with_no_number_apart_from_its_unit_and_read_as_it_was_written(qtbot: QtBot) -> None:
    label = plain("XLR cable 5 m")
    qtbot.addWidget(label)
    assert QLabel.text(label) == "XLR cable 5\N{NO-BREAK SPACE}m"
    assert label.text() == "XLR cable 5 m"
