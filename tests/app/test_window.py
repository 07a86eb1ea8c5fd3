"""The window: one selection, one way of leaving, nothing lost, and news in one line."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from app.window import MainWindow
from rigcore.book import file as book_file
from rigcore.book.edits.gigs import add_gig
from rigcore.book.edits.units import rename_unit
from rigcore.book.gig import Gig
from rigcore.rules.rule import Thing

MakeWindow = Callable[[], MainWindow]


def change(window: MainWindow, name: str = "Upright") -> None:
    window.desk.edit(f"Rename to {name}", lambda book: rename_unit(book, "rig", "piano", name))


def test_the_title_shows_the_file_and_unsaved_work(window: MainWindow, tmp_path: Path) -> None:
    assert not window.isWindowModified()
    change(window)
    assert window.isWindowModified()
    window.files.ask.path = tmp_path / "duo.loom"
    assert window.books.save()
    assert window.windowTitle().startswith("duo.loom")
    assert not window.isWindowModified()


def test_undo_says_which_step(window: MainWindow) -> None:
    undo, redo = window.actions_by_id["undo"], window.actions_by_id["redo"]
    assert not undo.isEnabled()
    change(window, "A & B")
    assert undo.text() == "&Undo rename to A && B"
    undo.trigger()
    assert not undo.isEnabled()
    assert redo.text() == "&Redo rename to A && B"
    assert window.strip.words == "Taken back: rename to A & B."


def test_a_refusal_is_news_not_a_question(window: MainWindow) -> None:
    window.desk.edit("rename", lambda book: rename_unit(book, "rig", "nobody", "x"))
    assert window.strip.tone == "refused"
    assert "nobody" in window.strip.words
    assert QApplication.activeModalWidget() is None


def test_the_sheets_share_the_selection(window: MainWindow) -> None:
    window.show_things((Thing("unit", "piano"),))
    window.show_sheet("stage")
    assert window.desk.selection == (Thing("unit", "piano"),)


@pytest.mark.parametrize(("name", "index"), [("patch", 0), ("stage", 1), ("inputs", 2)])
def test_each_sheet_has_its_action(window: MainWindow, name: str, index: int) -> None:
    window.actions_by_id[name].trigger()
    assert window._bar.tabs.currentIndex() == index
    assert window.sheet_in_view == name


def test_a_finding_leads_back_to_the_patch(window: MainWindow) -> None:
    window.show_sheet("inputs")
    window.findings.show_things.emit((Thing("unit", "piano"),))
    assert window.sheet_in_view == "patch"
    assert window.desk.selection == (Thing("unit", "piano"),)


@pytest.mark.parametrize("sheet", ["patch", "stage", "inputs"])
def test_gear_is_added_and_selected(window: MainWindow, sheet: str) -> None:
    window.show_sheet(sheet)
    before = len(window.desk.book.rig("rig").units)
    window.shelf.wanted.emit("dynamic-handheld")
    units = window.desk.book.rig("rig").units
    assert len(units) == before + 1
    assert window.desk.selection == (Thing("unit", units[-1].id),)


def test_another_gig_comes_into_view(window: MainWindow) -> None:
    gig = Gig(id="second", name="Second", rig="rig", house="house")
    window.desk.edit("new gig", lambda book: add_gig(book, gig))
    assert window._bar.gigs.count() == 2
    window._bar.gigs.activated.emit(1)
    assert window.desk.gig_id == "second"


def test_closing_unsaved_work_asks_once_and_can_be_stayed(window: MainWindow) -> None:
    change(window)
    window.files.ask.answer = "cancel"
    assert not window.close()
    assert window.files.ask.asked == ["unsaved"]
    assert window.isVisible()


def test_closing_can_save_first(window: MainWindow, tmp_path: Path) -> None:
    change(window)
    window.files.ask.answer, window.files.ask.path = "save", tmp_path / "kept.loom"
    assert window.close()
    book, _ = book_file.load(tmp_path / "kept.loom", window.desk.shipped)
    assert book.rig("rig").unit("piano").name == "Upright"


def test_closing_with_a_save_that_fails_stays(window: MainWindow, tmp_path: Path) -> None:
    change(window)
    window.files.ask.answer, window.files.ask.path = "save", tmp_path / "no such folder" / "kept.loom"
    assert not window.close()
    assert window.strip.tone == "refused"


def test_closing_saved_work_asks_nothing(window: MainWindow) -> None:
    assert window.close()
    assert window.files.ask.asked == []


def test_opening_over_unsaved_work_asks(window: MainWindow, tmp_path: Path) -> None:
    book_file.save(window.desk.book, tmp_path / "other.loom")
    change(window)
    assert not window.books.open_path(tmp_path / "other.loom")
    assert window.desk.book.rig("rig").unit("piano").name == "Upright"
    window.files.ask.answer = "discard"
    assert window.books.open_path(tmp_path / "other.loom")
    assert window.desk.path == tmp_path / "other.loom"
    assert window.settings.recent == (tmp_path / "other.loom",)


def test_what_is_still_being_typed_is_saved(window: MainWindow, tmp_path: Path, qtbot: QtBot) -> None:
    with qtbot.waitActive(window):
        window.activateWindow()
    window.desk.select((Thing("unit", "piano"),))
    window.details.refresh()
    edit = window.details.form.findChild(QLineEdit, "Name")
    edit.setFocus()
    edit.selectAll()
    qtbot.keyClicks(edit, "Typed")
    window.files.ask.path = tmp_path / "typed.loom"
    assert window.books.save()
    book, _ = book_file.load(tmp_path / "typed.loom", window.desk.shipped)
    assert book.rig("rig").unit("piano").name == "Typed"


def test_a_book_dropped_on_the_window_opens(window: MainWindow, tmp_path: Path, qtbot: QtBot) -> None:
    path = tmp_path / "dropped.loom"
    book_file.save(window.desk.book, path)
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    drop = QDropEvent(
        QPointF(20, 20), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    )
    window.dropEvent(drop)
    qtbot.waitUntil(lambda: window.desk.path == path)


def test_a_file_that_is_no_book_is_told_in_one_sentence(window: MainWindow, tmp_path: Path) -> None:
    path = tmp_path / "story.loom"
    path.write_text("once upon a time", encoding="utf-8")
    assert not window.books.open_path(path)
    assert window.strip.tone == "refused"
    assert "story.loom" in window.strip.words


def test_the_sample_is_a_copy(window: MainWindow) -> None:
    window.books.open_sample()
    assert window.desk.path is None
    assert window.desk.is_saved
    assert len(window.desk.book.rigs) >= 1


def test_the_layout_comes_back(make_window: MakeWindow, qtbot: QtBot) -> None:
    first = make_window()
    first.resize(900, 600)  # no larger than the screen there is, or Qt shrinks it when it comes back
    qtbot.waitUntil(lambda: first._across.width() == 900)
    first._across.setSizes([230, 368, 300])
    sizes = first._across.sizes()
    assert first.close()
    second = make_window()
    qtbot.waitUntil(lambda: second._across.sizes() == sizes)


def test_the_window_fits_a_small_screen(window: MainWindow) -> None:
    assert window.minimumSizeHint().width() <= 1366
    assert window.minimumSizeHint().height() <= 768
    window.resize(1366, 768)
    assert (window.width(), window.height()) == (1366, 768)


def test_first_steps_are_three_and_stay_away_once_put_away(make_window: MakeWindow) -> None:
    window = make_window()
    window.view.first_steps()
    assert window.welcome.hint.words.text().count("\n") == 2
    window.welcome.hint.put_away.emit()
    assert window.welcome.hint is None
    assert window.settings.greeted


@pytest.mark.parametrize("face", ["paper", "blackout"])
def test_the_face_is_worn_and_remembered(window: MainWindow, face: str) -> None:
    window.actions_by_id[f"face-{face}"].trigger()
    assert window.wardrobe.theme.name == face
    assert window.settings.face == face
    assert window.sheets.page("patch").theme.name == face
    window.actions_by_id["face-system"].trigger()


def test_the_panes_can_be_put_away(window: MainWindow) -> None:
    window.actions_by_id["wide"].trigger()
    assert not window.shelf.isVisible()
    window.actions_by_id["find"].trigger()
    assert window.shelf.isVisible()


def test_the_inputs_follow_the_patch(window: MainWindow, qtbot: QtBot) -> None:
    page = window.sheets.page("inputs")
    window.show_sheet("inputs")
    qtbot.waitUntil(lambda: len(page.model.rows) == 3)
    page.table.selectRow(0)
    assert window.desk.selection[0].kind == "landing"


def test_undo_from_a_field_takes_the_last_step_back(window: MainWindow, qtbot: QtBot) -> None:
    with qtbot.waitActive(window):
        window.activateWindow()
    change(window)
    window.desk.select((Thing("unit", "piano"),))
    window.details.refresh()
    edit = window.details.form.findChild(QLineEdit, "Name")
    edit.setFocus()
    qtbot.keyClick(edit, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.desk.book.rig("rig").unit("piano").name == "Piano"


@pytest.mark.parametrize(("action", "pane"), [("details", "details"), ("sheet", "sheets"), ("find", "shelf")])
def test_the_keyboard_reaches_every_part(window: MainWindow, qtbot: QtBot, action: str, pane: str) -> None:
    with qtbot.waitActive(window):
        window.activateWindow()
    window.details.refresh()
    window.actions_by_id[action].trigger()
    focus = window.focusWidget()
    part = getattr(window, pane)
    assert focus is part or part.isAncestorOf(focus)


def test_the_print_view_is_switched_by_its_action_and_left_by_escape(window: MainWindow, qtbot: QtBot) -> None:
    action = window.actions_by_id["print-view"]
    action.trigger()
    stage = window.sheets.page("stage")
    assert window.sheet_in_view == "stage"
    assert stage.is_printed
    qtbot.keyClick(stage.print_view, Qt.Key.Key_Escape)
    assert not stage.is_printed
    assert not action.isChecked()
    action.trigger()
    assert stage.is_printed
    action.trigger()
    assert not stage.is_printed
    stage.settle()


def test_the_menu_marks_what_is_laid_over_the_stage(window: MainWindow) -> None:
    window.show_sheet("stage")
    actions, stage = window.actions_by_id, window.sheets.page("stage")
    assert actions["over-none"].isChecked()
    actions["over-power"].trigger()
    assert stage.stage.over_kind == "power"
    assert not actions["over-none"].isChecked()
    stage.show_overlay("runs")
    assert [name for name in actions if name.startswith("over-") and actions[name].isChecked()] == ["over-runs"]


def test_the_print_view_takes_the_paper_chosen(window: MainWindow) -> None:
    window.actions_by_id["print-view"].trigger()
    stage = window.sheets.page("stage")
    stage.settle()
    tall = stage.print_view.image.height() / stage.print_view.image.width()
    window.actions_by_id["letter"].trigger()
    stage.settle()
    assert stage.print_view.image.height() / stage.print_view.image.width() != tall
