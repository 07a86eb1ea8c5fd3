"""Starting: the book asked for, the sample on a first start, and falling softly."""

from __future__ import annotations

import builtins
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app import __main__ as start
from app.window import MainWindow
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.book.edits.units import rename_unit


@pytest.fixture
def book_path(plan: Book, tmp_path: Path) -> Path:
    path = tmp_path / "plan.loom"
    book_file.save(plan, path)
    return path


def opened(qtbot: QtBot, path: Path | None, *, sample: bool = False) -> MainWindow:
    app = start.application()
    window = start.open_window(app, path, sample)
    qtbot.addWidget(window)
    return window


def test_a_book_is_opened_by_path(qtbot: QtBot, book_path: Path, plan: Book) -> None:
    window = opened(qtbot, book_path)
    assert window.desk.path == book_path
    assert window.desk.book == plan
    assert window.isVisible()


def test_a_book_that_is_missing_leaves_an_empty_plan_and_says_why(qtbot: QtBot, tmp_path: Path) -> None:
    window = opened(qtbot, tmp_path / "nothing.loom")
    assert window.desk.path is None
    assert "nothing.loom" in window.strip.words


def test_a_first_start_opens_a_copy_of_the_sample_with_first_steps(qtbot: QtBot) -> None:
    window = opened(qtbot, None)
    assert window.desk.path is None
    assert window.desk.book.rig(window.desk.rig_id).units
    assert window.welcome.hint is not None


def test_the_sample_is_opened_on_demand(qtbot: QtBot, samples_folder: Path) -> None:
    before = (samples_folder / "tandem.loom").read_bytes()
    window = opened(qtbot, None, sample=True)
    assert window.desk.book.rig(window.desk.rig_id).units
    assert window.desk.path is None
    assert (samples_folder / "tandem.loom").read_bytes() == before


def test_an_exception_nobody_caught_is_one_sentence_and_keeps_the_work(qtbot: QtBot, book_path: Path) -> None:
    window = opened(qtbot, book_path)
    window.desk.edit("rename", lambda book: rename_unit(book, "rig", "piano", "Upright"))
    hook = start.hook_for(window)
    try:
        raise ZeroDivisionError("oh")
    except ZeroDivisionError as error:
        hook(type(error), error, error.__traceback__)
    assert "Traceback" not in window.strip.words
    assert str(window.kept.file) in window.strip.words
    assert book_file.load(window.kept.file, window.desk.shipped)[0] == window.desk.book
    assert (window.kept.folder / start.TROUBLE).is_file()
    window.kept.drop()
    window.desk.undo()


def test_work_left_behind_is_offered_and_opened(qtbot: QtBot, plan: Book) -> None:
    from app.dialogs.kept_work import state_folder

    state_folder().mkdir(parents=True)
    left = state_folder() / "kept-1.loom"
    book_file.save(plan, left)
    window = opened(qtbot, None)
    window.welcome.hint.acted.emit()
    assert window.desk.book == plan
    assert not window.desk.is_saved
    assert not left.exists()
    window.kept.drop()
    window.desk.take(plan, None)


def test_imports_are_watched_again_once_the_window_is_there() -> None:
    watched = builtins.__import__
    with start.plain_imports():
        assert builtins.__import__ is not watched
    assert builtins.__import__ is watched


def test_what_is_checked_before_anybody_looks_is_there_with_the_window(qtbot: QtBot) -> None:
    window = opened(qtbot, None, sample=True)
    assert window.findings.rows
    assert window.details.form is not None


def test_running_ends_with_the_last_window(qtbot: QtBot, book_path: Path) -> None:
    def close_all() -> None:
        for window in QApplication.topLevelWidgets():
            if isinstance(window, MainWindow):
                window.close()

    again = QTimer()
    again.timeout.connect(close_all)
    again.start(20)
    assert start.main([str(book_path)]) == 0
