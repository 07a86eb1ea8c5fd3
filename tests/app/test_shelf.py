"""The shelf: every gear type is on it, can be found, dragged and taken by keyboard."""

from __future__ import annotations

from typing import get_args

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QDrag, QFont, QFontMetricsF
from pytestqt.qtbot import QtBot

from app.panes.shelf import GEAR, HEADINGS, MIME, Shelf, beside_count, in_lines, matches, tip_of
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import Category
from rigcore.catalogue.record import changed


@pytest.fixture
def shelf(catalogue: Catalogue, qtbot: QtBot) -> Shelf:
    shelf = Shelf(catalogue)
    qtbot.addWidget(shelf)
    shelf.resize(210, 600)
    shelf.show()
    return shelf


def test_every_category_has_exactly_one_heading() -> None:
    listed = [category for _, categories in HEADINGS for category in categories]
    assert sorted(listed) == sorted(get_args(Category))


def test_every_gear_type_is_on_the_shelf(shelf: Shelf, catalogue: Catalogue) -> None:
    assert sorted(shelf.shown()) == sorted(catalogue.gear)


def test_words_narrow_the_shelf_in_any_order(shelf: Shelf, catalogue: Catalogue) -> None:
    shelf.search.setText("piano STAGE")
    shown = shelf.shown()
    assert "stage-piano-88" in shown
    assert all(matches(catalogue.gear[name], "stage piano") for name in shown)
    shelf.search.setText("zzzz")
    assert shelf.shown() == []
    shelf.search.clear()
    assert len(shelf.shown()) == len(catalogue.gear)


def test_a_name_beats_a_description(shelf: Shelf, catalogue: Catalogue) -> None:
    shelf.search.setText("passive di")
    assert "di-passive" in shelf.shown()
    assert all("passive" in catalogue.gear[name].name.casefold() for name in shelf.shown())
    assert "electric-piano-vintage" not in shelf.shown()


def test_headings_fall_back_to_how_they_were(shelf: Shelf) -> None:
    before = [shelf.tree.topLevelItem(at).isExpanded() for at in range(shelf.tree.topLevelItemCount())]
    shelf.search.setText("di")
    shelf.search.clear()
    after = [shelf.tree.topLevelItem(at).isExpanded() for at in range(shelf.tree.topLevelItemCount())]
    assert after == before


def test_a_drag_carries_the_id(shelf: Shelf) -> None:
    drags: list[QDrag] = []
    shelf.tree.drag_runner = drags.append
    item = shelf.tree.topLevelItem(0).child(0)
    shelf.tree.setCurrentItem(item)
    shelf.tree.startDrag(Qt.DropAction.CopyAction)
    assert bytes(drags[0].mimeData().data(MIME).data()).decode() == item.data(0, GEAR)


def test_a_heading_is_not_dragged(shelf: Shelf) -> None:
    drags: list[QDrag] = []
    shelf.tree.drag_runner = drags.append
    shelf.tree.setCurrentItem(shelf.tree.topLevelItem(0))
    shelf.tree.startDrag(Qt.DropAction.CopyAction)
    assert drags == []


def test_search_down_and_enter_take_gear(shelf: Shelf, qtbot: QtBot) -> None:
    shelf.search.setFocus()
    qtbot.keyClicks(shelf.search, "stage piano")
    qtbot.keyClick(shelf.search, Qt.Key.Key_Down)
    first = shelf.shown()[0]
    with qtbot.waitSignal(shelf.wanted) as told:
        qtbot.keyClick(shelf.tree, Qt.Key.Key_Return)
    assert told.args == [first]


def test_enter_in_the_search_takes_the_first(shelf: Shelf, qtbot: QtBot) -> None:
    shelf.search.setText("accordion")
    with qtbot.waitSignal(shelf.wanted) as told:
        qtbot.keyClick(shelf.search, Qt.Key.Key_Return)
    assert told.args == [shelf.shown()[0]]


def test_tips_are_escaped(catalogue: Catalogue) -> None:
    gear = changed(catalogue.gear["stage-piano-88"], name="<img src=x>", about="a & b")
    tip = tip_of(gear)
    assert "<img" not in tip
    assert "a &amp; b" in tip
    assert "kg" in tip


def test_own_gear_appears(shelf: Shelf, catalogue: Catalogue) -> None:
    mine = changed(catalogue.gear["stage-piano-88"], id="mine", name="My own piano")
    shelf.stock(catalogue.with_gear([mine]))
    shelf.search.setText("own piano")
    assert shelf.shown() == ["mine"]


@pytest.mark.parametrize("room_px", [120, 180, 400])
def test_no_heading_runs_into_its_count(shelf: Shelf, room_px: int) -> None:
    metrics = QFontMetricsF(shelf.font())
    for words, _ in HEADINGS:
        shown = beside_count(words, "120", metrics, room_px)
        assert metrics.horizontalAdvance(shown) + metrics.horizontalAdvance("120") < room_px
        assert room_px < 400 or shown == words


def test_a_long_name_goes_into_lines(qtbot: QtBot) -> None:
    metrics = QFontMetricsF(QFont())
    room = metrics.horizontalAdvance("Dynamic handheld mic")
    assert in_lines("Short", metrics, room) == ["Short"]
    assert in_lines("Dynamic handheld microphone", metrics, room) == ["Dynamic handheld", "microphone"]
    whole = "Dynamic handheld microphone with a switch"
    assert " ".join(in_lines(whole, metrics, room)) == whole
    lines = in_lines(f"{whole} and more words than anybody wants to read on a shelf", metrics, room)
    assert len(lines) == 3
    assert lines[2].endswith("…")
    assert all(metrics.horizontalAdvance(line) <= room for line in lines)
    assert len(in_lines("Unbreakableunbreakableunbreakable", metrics, room)) == 1
