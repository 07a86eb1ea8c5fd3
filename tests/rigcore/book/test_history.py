"""Undo and redo: exact, with words, and without a trace of what changed nothing."""

from __future__ import annotations

from rigcore.book.book import Book, empty_book
from rigcore.book.history import History
from rigcore.catalogue.record import changed


def _titled(title: str) -> Book:
    return changed(empty_book(), title=title)


def test_steps_back_and_forth() -> None:
    history = History(_titled("a")).after(_titled("b"), "Title b").after(_titled("c"), "Title c")
    assert history.undo_words == "Title c"
    back = history.undone().undone()
    assert back.present == _titled("a")
    assert back.redo_words == "Title b"
    assert back.redone().redone() == history


def test_an_edit_after_an_undo_forgets_the_future() -> None:
    history = History(_titled("a")).after(_titled("b"), "b").undone().after(_titled("c"), "c")
    assert history.future == ()
    assert history.undone().present == _titled("a")


def test_changing_nothing_leaves_no_step() -> None:
    history = History(_titled("a"))
    assert history.after(_titled("a"), "nothing") is history
    assert history.undone() is history
    assert history.redone() is history
