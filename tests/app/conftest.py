"""A desk with a small plan on it, and a window whose questions answer themselves."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.dialogs.questions import Answer, Questions
from app.settings import Settings
from app.window import MainWindow
from rigcore.book.book import Book
from rigcore.book.edits.gigs import land_port
from rigcore.book.edits.houses import new_plan
from rigcore.book.edits.links import plug
from rigcore.book.edits.units import add_unit
from rigcore.book.ids import PortRef
from rigcore.book.rig import Unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.loader import shipped


class Answers(Questions):
    """Answers at once, and remembers what was asked."""

    def __init__(self) -> None:
        self.answer: Answer = "cancel"
        self.path: Path | None = None
        self.asked: list[str] = []

    def unsaved(self, parent: object, name: str) -> Answer:
        self.asked.append("unsaved")
        return self.answer

    def book_to_open(self, parent: object, folder: str) -> Path | None:
        self.asked.append("open")
        return self.path

    def book_to_save(self, parent: object, suggestion: str) -> Path | None:
        self.asked.append("save")
        return self.path

    def folder(self, parent: object, folder: str) -> Path | None:
        self.asked.append("folder")
        return self.path


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    """The shipped catalogue."""
    return shipped()


@pytest.fixture
def plan(catalogue: Catalogue) -> Book:
    """A piano into a DI, a DI and a voice into the house, and the piano's right side without a DI."""
    book = new_plan(catalogue)
    for unit_id, name, gear in (
        ("piano", "Piano", "stage-piano-88"),
        ("di", "DI", "di-passive"),
        ("vox", "Lead & <b>vox</b>", "dynamic-handheld"),
        ("mixer", "Ears", "mixer-in-ear"),
    ):
        book = add_unit(book, "rig", Unit(id=unit_id, name=name, gear=gear), catalogue)
    ends = (PortRef(unit="piano", port="out-l"), PortRef(unit="di", port="in-1"))
    book = plug(book, "rig", ends, catalogue)
    for ref, socket in (
        (PortRef(unit="vox", port="out"), "in-1"),
        (PortRef(unit="di", port="out-1"), "in-2"),
        (PortRef(unit="piano", port="out-r"), "in-3"),
    ):
        book = land_port(book, "gig", ref, socket, catalogue=catalogue)
    return book


@pytest.fixture
def desk(qapp: object, catalogue: Catalogue, plan: Book) -> Desk:
    """A desk with the plan on it, saved nowhere but unchanged."""
    desk = Desk(catalogue)
    desk.take(plan, None)
    return desk


@pytest.fixture
def make_window(qtbot: QtBot, catalogue: Catalogue, plan: Book, tmp_path: Path) -> Callable[[], MainWindow]:
    """A maker of windows that share one settings file."""

    def make() -> MainWindow:
        desk = Desk(catalogue)
        desk.take(plan, None)
        store = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
        window = MainWindow(desk, Settings(store), state=tmp_path / "state")
        desk.setParent(window)
        window.files.ask = Answers()
        qtbot.addWidget(window, before_close_func=_let_go)
        window.show()
        return window

    return make


@pytest.fixture
def window(make_window: Callable[[], MainWindow]) -> MainWindow:
    """The window on the plan."""
    return make_window()


def _let_go(window: MainWindow) -> None:
    window.files.ask.answer = "discard"
