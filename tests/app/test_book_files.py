"""Files: exporting off the interface thread, recent books, and work kept after a fall."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.dialogs.book_files import Job
from app.dialogs.kept_work import KeptWork, forget
from app.window import MainWindow
from rigcore.book import file as book_file
from rigcore.book.edits.units import rename_unit
from rigcore.errors import PacketNotWritten


def test_the_packet_is_written_off_the_interface_thread(window: MainWindow, tmp_path: Path, qtbot: QtBot) -> None:
    window.files.ask.path = tmp_path / "out"
    with qtbot.waitSignal(window.files.exported, timeout=20_000) as told:
        window.books.export_packet()
        assert window.files.is_busy
        assert window.strip.is_busy
        assert not window.actions_by_id["packet"].isEnabled()
    assert Path(told.args[0]).read_bytes().startswith(b"%PDF")
    assert not window.strip.is_busy
    assert window.actions_by_id["packet"].isEnabled()


def test_a_packet_that_cannot_be_written_is_one_sentence(window: MainWindow, tmp_path: Path, qtbot: QtBot) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way", encoding="utf-8")
    window.files.ask.path = blocked / "out"
    window.books.export_packet()
    qtbot.waitUntil(lambda: not window.files.is_busy, timeout=20_000)
    assert window.strip.tone == "refused"
    assert "Traceback" not in window.strip.words


def test_no_folder_no_packet(window: MainWindow) -> None:
    window.books.export_packet()
    assert not window.files.is_busy


@pytest.mark.parametrize(
    ("error", "said"), [(PacketNotWritten("the disk is full"), "the disk is full"), (ZeroDivisionError("x"), "(x)")]
)
def test_a_job_that_fails_says_why(qtbot: QtBot, error: Exception, said: str) -> None:
    def work() -> None:
        raise error

    job = Job(work)
    with qtbot.waitSignal(job.answer.failed) as told:
        job.run()
    assert said in told.args[0]


def test_recent_books_are_listed_latest_first_and_lost_ones_forgotten(window: MainWindow, tmp_path: Path) -> None:
    for name in ("one", "two"):
        window.files.ask.path = tmp_path / f"{name}.loom"
        window.books.save_as()
    assert [path.stem for path in window.settings.recent] == ["two", "one"]
    assert [action.text() for action in window.menus["recent"].actions()] == ["two.loom", "one.loom"]
    (tmp_path / "one.loom").unlink()
    assert not window.books.open_path(tmp_path / "one.loom")
    assert [path.stem for path in window.settings.recent] == ["two"]


def test_unsaved_work_is_kept_and_let_go_when_saved(desk: Desk, tmp_path: Path) -> None:
    kept = KeptWork(desk, tmp_path / "state")
    assert kept.keep() is None
    desk.edit("rename", lambda book: rename_unit(book, "rig", "piano", "Upright"))
    path = kept.keep()
    assert path is not None
    assert book_file.load(path, desk.shipped)[0] == desk.book
    desk.save(tmp_path / "plan.loom")
    assert not path.exists()


def test_work_of_a_fallen_program_is_found_that_of_a_running_one_is_not(desk: Desk, tmp_path: Path) -> None:
    state = tmp_path / "state"
    state.mkdir()
    left = state / "kept-1.loom"
    book_file.save(desk.book, left)
    running = KeptWork(desk, state)
    desk.edit("rename", lambda book: rename_unit(book, "rig", "piano", "Upright"))
    running.keep()
    assert KeptWork(desk, state).orphan() == left
    forget(left)
    assert KeptWork(desk, state).orphan() is None
    running.drop()
    assert list(state.glob("*.loom*")) == []


def test_keeping_never_raises(desk: Desk, tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way", encoding="utf-8")
    desk.edit("rename", lambda book: rename_unit(book, "rig", "piano", "Upright"))
    assert KeptWork(desk, blocked / "state").keep() is None
