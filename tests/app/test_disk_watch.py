"""A book changed by somebody else is noticed, offered to be read again, and never loses what is on the desk."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.dialogs.dropped import book_among, sheets_among
from app.window import MainWindow
from rigcore import resources
from rigcore.book import file as book_file
from rigcore.book.edits.units import rename_unit


def rename(window: MainWindow, name: str) -> None:
    window.desk.edit("rename", lambda book: rename_unit(book, "rig", "piano", name))


def test_a_foreign_change_is_offered_and_read_again(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "duo.loom"
    window.desk.save(path)
    other = rename_unit(window.desk.book, "rig", "piano", "Their piano")
    with qtbot.waitSignal(window.watch.changed):
        book_file.save(other, path)
    assert "changed by somebody else" in window.welcome.hint.words.text()
    assert window.desk.book.rig("rig").unit("piano").name == "Piano"
    window.welcome.hint.acted.emit()
    assert window.desk.book.rig("rig").unit("piano").name == "Their piano"
    assert window.welcome.hint is None


def test_our_own_saving_is_no_news(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "duo.loom"
    window.desk.save(path)
    rename(window, "Upright")
    with qtbot.assertNotEmitted(window.watch.changed, wait=600):
        window.desk.save(path)


def test_a_vanished_file_is_no_news_and_saving_makes_it_again(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "duo.loom"
    window.desk.save(path)
    with qtbot.assertNotEmitted(window.watch.changed, wait=600):
        path.unlink()
    rename(window, "Upright")
    window.desk.save(path)
    assert path.is_file()


def test_dropped_files_are_told_apart(tmp_path: Path) -> None:
    folder = resources.samples() / "ferry"
    assert set(sheets_among(sorted(folder.iterdir()))) == {"units", "patch", "gear", "house"}
    assert sheets_among([folder / "units.csv"]) == {"units": folder / "units.csv"}
    assert sheets_among([folder / "units.csv", tmp_path / "photo.png"]) == {}
    assert book_among([resources.samples() / "tandem.loom"]) is not None
    assert book_among([tmp_path / "a.loom", tmp_path / "b.loom"]) is None
    assert sheets_among([]) == {}


def test_dropped_spreadsheets_open_the_import_filled_in(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    seen = {}

    def look(dialog: object) -> bool:
        seen.update({part: field.path for part, field in dialog.files.items()})
        return False

    monkeypatch.setattr(window.books, "run", look)
    folder = resources.samples() / "ferry"
    window.books.import_sheets({"units": folder / "units.csv", "patch": folder / "patch.csv"})
    assert seen["units"] == folder / "units.csv"
    assert seen["gear"] is None
