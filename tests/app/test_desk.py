"""The desk: edits, undo, saving, refusals, and telling everybody."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.desk import Desk
from rigcore.book import file as book_file
from rigcore.book.book import Book, empty_book
from rigcore.book.edits.gigs import change_gig
from rigcore.book.edits.houses import add_rig
from rigcore.book.edits.units import rename_unit
from rigcore.book.rig import Rig
from rigcore.errors import BookChangedOnDisk, BookUnreadable
from rigcore.rules.rule import Thing


def rename(desk: Desk, name: str) -> bool:
    return desk.edit(f"rename to {name}", lambda book: rename_unit(book, "rig", "piano", name))


def name(desk: Desk) -> str:
    unit = desk.book.rig("rig").unit("piano")
    assert unit is not None
    return unit.name


def test_an_edit_can_be_taken_back_and_done_again(desk: Desk) -> None:
    assert rename(desk, "Upright")
    assert (name(desk), desk.history.undo_words) == ("Upright", "rename to Upright")
    desk.undo()
    assert (name(desk), desk.history.redo_words) == ("Piano", "rename to Upright")
    desk.redo()
    assert name(desk) == "Upright"


def test_a_refused_edit_leaves_the_book_and_says_why(desk: Desk, qtbot: QtBot) -> None:
    before = desk.book
    with qtbot.waitSignal(desk.refused) as told:
        assert not desk.edit("rename", lambda book: rename_unit(book, "rig", "nobody", "x"))
    assert desk.book is before
    assert "nobody" in told.args[0]


def test_everybody_hears_old_and_new_then_the_analysis(desk: Desk, qtbot: QtBot) -> None:
    before, heard = desk.book, []
    desk.changed.connect(lambda old, new: heard.append((old, new)))
    with qtbot.waitSignal(desk.analysed) as told:
        rename(desk, "Upright")
    assert heard == [(before, desk.book)]
    assert told.args[0].book is desk.book


def test_many_edits_are_analysed_once(desk: Desk, qtbot: QtBot) -> None:
    desk.analysis()
    heard = []
    desk.analysed.connect(heard.append)
    for number in range(5):
        rename(desk, f"Piano {number}")
    qtbot.waitUntil(lambda: bool(heard))
    assert len(heard) == 1


def test_saving_and_opening_give_the_same_book(desk: Desk, tmp_path: Path, catalogue: object) -> None:
    path = tmp_path / "plan.loom"
    rename(desk, "Upright")
    assert not desk.is_saved
    desk.save(path)
    assert desk.is_saved
    other = Desk(desk.shipped)
    other.open(path)
    assert other.book == desk.book
    assert other.path == path


def test_undoing_to_what_is_on_disk_is_saved_again(desk: Desk, tmp_path: Path) -> None:
    desk.save(tmp_path / "plan.loom")
    rename(desk, "Upright")
    assert not desk.is_saved
    desk.undo()
    assert desk.is_saved


def test_a_file_changed_by_somebody_else_is_not_overwritten(desk: Desk, tmp_path: Path) -> None:
    path = tmp_path / "plan.loom"
    desk.save(path)
    theirs = change_gig(desk.book, "gig", act="Somebody else")
    book_file.save(theirs, path)
    rename(desk, "Upright")
    with pytest.raises(BookChangedOnDisk):
        desk.save(path)
    assert not desk.is_saved
    assert book_file.load(path, desk.shipped)[0] == theirs


def test_a_file_that_is_no_book_leaves_the_desk_as_it_was(desk: Desk, tmp_path: Path) -> None:
    path = tmp_path / "plan.loom"
    path.write_text("once upon a time", encoding="utf-8")
    before = desk.book
    with pytest.raises(BookUnreadable):
        desk.open(path)
    assert desk.book is before


def test_a_book_without_a_gig_keeps_what_it_has(desk: Desk) -> None:
    book = add_rig(empty_book(), Rig(id="mine", name="Mine"))
    desk.take(book, None)
    assert [rig.id for rig in desk.book.rigs] == ["mine"]
    assert desk.rig_id == "mine"


def test_a_book_that_would_be_missed_counts_as_unsaved(desk: Desk, plan: Book) -> None:
    desk.take(plan, None, saved=False)
    assert not desk.is_saved


def test_the_selection_is_told_once(desk: Desk) -> None:
    heard = []
    desk.selected.connect(heard.append)
    desk.select([Thing("unit", "piano")])
    desk.select((Thing("unit", "piano"),))
    assert heard == [(Thing("unit", "piano"),)]
