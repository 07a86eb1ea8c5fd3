"""Finding a command, going back many steps, and the guide."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from app.dialogs.command_search import CommandSearch, spoken
from app.dialogs.guide import Guide, chapters
from app.window import MainWindow
from rigcore import resources
from rigcore.book.edits.units import rename_unit


def test_a_command_is_found_by_its_words_and_taken_with_enter(window: MainWindow, qtbot: QtBot) -> None:
    search = CommandSearch(window.actions_by_id.values(), window)
    qtbot.addWidget(search)
    search.show()
    qtbot.keyClicks(search.query, "levels")
    qtbot.keyClick(search.query, Qt.Key.Key_Return)
    assert search.chosen is window.actions_by_id["levels"]


def test_arrows_walk_and_nothing_is_taken_where_nothing_fits(window: MainWindow, qtbot: QtBot) -> None:
    search = CommandSearch(window.actions_by_id.values(), window)
    qtbot.addWidget(search)
    search.show()
    qtbot.keyClick(search.query, Qt.Key.Key_Down)
    assert search.found.currentRow() == 1
    qtbot.keyClicks(search.query, "no such words at all")
    assert search.found.count() == 0
    qtbot.keyClick(search.query, Qt.Key.Key_Return)
    assert search.chosen is None


def test_only_what_can_be_done_is_offered(window: MainWindow, qtbot: QtBot) -> None:
    search = CommandSearch(window.actions_by_id.values(), window)
    qtbot.addWidget(search)
    shown = [search.found.item(row).text() for row in range(search.found.count())]
    assert not any(text.startswith("Undo") for text in shown)
    assert len(shown) == sum(action.isEnabled() for action in window.actions_by_id.values())
    assert "&" not in spoken(window.actions_by_id["save"])


def test_many_steps_are_taken_back_at_once(window: MainWindow) -> None:
    before = window.desk.book
    for name in ("One", "Two & three", "Four"):
        window.desk.edit(f"Rename to {name}", lambda book, name=name: rename_unit(book, "rig", "piano", name))
    window.steps.fill_steps()
    listed = window.menus["steps"].actions()
    assert [one.text() for one in listed] == ["Rename to Four", "Rename to Two && three", "Rename to One"]
    listed[2].trigger()
    assert window.desk.book == before
    window.steps.fill_steps()
    assert not window.menus["steps"].actions()[0].isEnabled()


def test_every_chapter_has_its_picture_and_its_words(window: MainWindow, qtbot: QtBot) -> None:
    guide = Guide(window.wardrobe, window)
    qtbot.addWidget(guide)
    guide.show()
    for row, chapter in enumerate(chapters()):
        guide.list.setCurrentRow(row)
        assert not guide._picture.pixmap().isNull(), chapter.title
        texts = [label.text() for label in guide.findChildren(QLabel) if label.isVisible()]
        assert set(chapter.text) <= set(texts)


def test_the_chapter_of_the_house_shows_the_house() -> None:
    assert next(one.picture for one in chapters() if one.title.startswith("The house")) == "house"


@pytest.mark.parametrize("face", ["paper", "blackout"])
def test_pictures_exist_in_both_faces(face: str) -> None:
    screens = resources.assets() / "screens"
    for chapter in chapters():
        assert (screens / f"{chapter.picture}-{face}.png").is_file() or (screens / f"{chapter.picture}.png").is_file()
