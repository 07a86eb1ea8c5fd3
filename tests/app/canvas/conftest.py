"""What the canvas tests share: a small rig made by edits, a desk that holds it, sheets that show it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.gestures.drop_gear import GEAR_MIME
from app.canvas.patch_view import PatchSheet
from app.canvas.sheet_view import SheetView
from app.canvas.stage_view import StageSheet
from app.desk import Desk
from app.theme import load_fonts
from rigcore.book.book import Book
from rigcore.book.edits.houses import new_plan
from rigcore.book.edits.units import add_unit, unit_of
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.loader import shipped
from rigcore.catalogue.record import changed


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    """The shipped catalogue."""
    return shipped()


@pytest.fixture(scope="session", autouse=True)
def _fonts(qapp: QApplication) -> None:
    load_fonts()


@pytest.fixture
def book(catalogue: Catalogue) -> Book:
    """A microphone above a DI box, both laid, on an empty plan of eight lines."""
    book = new_plan(catalogue)
    for gear, name, card, place in (
        ("stage-piano-88", "Piano", (40.0, 40.0), (-1.0, 2.0)),
        ("di-passive-stereo", "DI", (48.0, 240.0), None),
        ("dynamic-handheld", "Lead vox", (480.0, 40.0), (0.0, 1.0)),
    ):
        unit = changed(unit_of(book, "rig", gear, catalogue), name=name, card_x=card[0], card_y=card[1])
        if place is not None:
            unit = changed(unit, x_m=place[0], y_m=place[1])
        book = add_unit(book, "rig", unit, catalogue)
    return book


@pytest.fixture
def desk(qapp: QApplication, catalogue: Catalogue, book: Book) -> Desk:
    """A desk with the small rig."""
    desk = Desk(catalogue)
    desk.take(book, None)
    return desk


@pytest.fixture
def patch(qtbot: QtBot, desk: Desk) -> PatchSheet:
    """The Patch sheet at 100 %."""
    sheet = PatchSheet(desk)
    qtbot.addWidget(sheet)
    sheet.resize(900, 640)
    sheet.show()
    sheet.set_zoom(1.0)
    sheet.centerOn(sheet.content().center())
    return sheet


@pytest.fixture
def stage(qtbot: QtBot, desk: Desk) -> StageSheet:
    """The Stage sheet."""
    sheet = StageSheet(desk)
    qtbot.addWidget(sheet)
    sheet.resize(1000, 640)
    sheet.show()
    return sheet


@pytest.fixture
def drag(qtbot: QtBot) -> Callable[..., None]:
    """Press, move in steps, and release the left button between two places of a sheet."""

    def go(sheet: SheetView, start: QPointF, end: QPointF, *, keys: Qt.KeyboardModifier | None = None) -> None:
        held = keys or Qt.KeyboardModifier.NoModifier
        left, port = Qt.MouseButton.LeftButton, sheet.viewport()
        first, last = sheet.mapFromScene(start), sheet.mapFromScene(end)
        qtbot.mousePress(port, left, held, first)
        for share in (0.1, 0.5, 1.0):
            qtbot.mouseMove(port, first + (last - first) * share)
        qtbot.mouseRelease(port, left, held, last)

    return go


@pytest.fixture
def drop() -> Callable[[SheetView, str, QPoint], bool]:
    """Drop gear on a sheet as the shelf does; return whether it was taken."""

    def go(sheet: SheetView, gear_id: str, at: QPoint) -> bool:
        data = QMimeData()
        data.setData(GEAR_MIME, gear_id.encode())
        enter = QDragEnterEvent(
            at, Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
        )
        QApplication.sendEvent(sheet.viewport(), enter)
        event = QDropEvent(
            QPointF(at), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
        )
        QApplication.sendEvent(sheet.viewport(), event)
        return enter.isAccepted()

    return go
