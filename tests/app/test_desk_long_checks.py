"""A check that takes long: made beside the interface thread, told once, and never of a book that is gone."""

from __future__ import annotations

import gc
import sys
import threading
import time

import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from pytestqt.qtbot import QtBot

from app import desk as desk_module
from app.desk import Desk
from app.panes.findings import FindingsPane
from rigcore.analysis import Analysis, analyse
from rigcore.book.book import Book
from rigcore.book.edits.units import rename_unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import LoomwrightError


@pytest.fixture
def threads(monkeypatch: pytest.MonkeyPatch) -> list[threading.Thread]:
    """Let every check count as long, and remember which thread each was made in."""
    found: list[threading.Thread] = []

    def watched(book: Book, gig_id: str | None, catalogue: Catalogue, before: Analysis | None) -> Analysis:
        found.append(threading.current_thread())
        time.sleep(0.02)
        return analyse(book, gig_id, catalogue, before)

    monkeypatch.setattr(desk_module, "analyse", watched)
    monkeypatch.setattr(desk_module, "LONG_S", -1.0)
    monkeypatch.setattr(desk_module, "LARGE", 0)
    return found


@pytest.fixture
def long_desk(threads: list[threading.Thread], desk: Desk, qtbot: QtBot) -> Desk:
    """A desk whose book has been checked once, beside."""
    with qtbot.waitSignal(desk.analysed):
        rename(desk, "Piano one")
    threads.clear()
    return desk


def rename(desk: Desk, name: str) -> None:
    assert desk.edit("rename", lambda book: rename_unit(book, desk.rig_id, "piano", name))


def test_a_long_check_is_made_beside_and_frames_an_edit(
    long_desk: Desk, threads: list[threading.Thread], qtbot: QtBot
) -> None:
    heard: list[bool] = []
    long_desk.checking.connect(heard.append)
    with qtbot.waitSignal(long_desk.analysed) as told:
        rename(long_desk, "Upright")
    assert told.args[0].book is long_desk.book
    assert heard == [True, False]
    assert threads
    assert threading.main_thread() not in threads


def test_a_short_check_is_made_where_one_is(desk: Desk, qtbot: QtBot) -> None:
    desk.analysis()
    heard: list[bool] = []
    desk.checking.connect(heard.append)
    with qtbot.waitSignal(desk.analysed):
        rename(desk, "Upright")
    assert heard == [False]


def test_answers_about_a_book_that_is_gone_are_not_told(long_desk: Desk, qtbot: QtBot) -> None:
    told: list[Analysis] = []
    long_desk.analysed.connect(told.append)
    for number in range(4):
        rename(long_desk, f"Piano {number + 2}")
        qtbot.wait(8)
    qtbot.waitUntil(lambda: bool(told))
    qtbot.wait(80)
    assert [one.book for one in told] == [long_desk.book]


def test_who_cannot_wait_gets_the_answer_at_once(
    long_desk: Desk, threads: list[threading.Thread], qtbot: QtBot
) -> None:
    before = long_desk.latest()
    rename(long_desk, "Upright")
    assert long_desk.latest() is before
    qtbot.wait(5)
    now = long_desk.analysis()
    assert now.book is long_desk.book
    assert long_desk.latest() is now
    with qtbot.waitSignal(long_desk.analysed) as told:
        pass
    assert told.args[0] is now
    assert len(threads) == 1


def test_another_book_is_never_shown_with_the_findings_of_the_last(long_desk: Desk, plan: Book) -> None:
    long_desk.take(rename_unit(plan, "rig", "piano", "Other"), None)
    assert long_desk.latest().book is long_desk.book


def test_what_goes_wrong_beside_is_raised_here(
    long_desk: Desk, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    def falls(*_: object) -> Analysis:
        raise LoomwrightError("the rules fell over")

    monkeypatch.setattr(desk_module, "analyse", falls)
    with qtbot.capture_exceptions() as caught:
        rename(long_desk, "Upright")
        qtbot.waitUntil(lambda: bool(caught))
    assert "fell over" in str(caught[0][1])


def test_a_desk_that_goes_waits_for_its_check_and_leaves_the_interpreter_as_it_was(
    threads: list[threading.Thread], catalogue: Catalogue, plan: Book, qtbot: QtBot
) -> None:
    before = sys.getswitchinterval()
    desk = Desk(catalogue)
    desk.take(plan, None)
    qtbot.waitUntil(lambda: bool(threads))
    assert not gc.isenabled()
    desk.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert not threads[0].is_alive()
    assert gc.isenabled()
    assert sys.getswitchinterval() == before


def test_the_findings_say_while_they_are_being_checked(long_desk: Desk, qtbot: QtBot) -> None:
    pane = FindingsPane(long_desk)
    qtbot.addWidget(pane)
    pane.show()

    def says() -> bool:
        return pane._checking.isVisible()

    with qtbot.waitSignal(long_desk.analysed):
        rename(long_desk, "Upright")
        qtbot.waitUntil(says)
    assert not says()


