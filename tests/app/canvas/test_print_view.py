"""The print view of the Stage sheet: the page of the PDF dot for dot, to look at and not to touch."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.print_view import PLOT, PrintView
from app.canvas.stage_view import StageSheet
from app.desk import Desk
from app.pages import Wanted, page_images, pdf_of
from app.settings import Settings
from app.theme import BLACKOUT, PAPER, Theme
from rigcore.book.edits.units import rename_unit
from rigcore.paper.packet import HOUSE_PAGES


@pytest.fixture
def page(qtbot: QtBot, stage: StageSheet) -> PrintView:
    """The print view of the small rig, drawn."""
    stage.show_print(True)
    stage.settle()
    assert stage.print_view is not None
    return stage.print_view


def printed(desk: Desk, wide: int, *, paper: str = "A4") -> QImage:
    """Return the plot's page of the packet as the PDF draws it."""
    pages = page_images(pdf_of(desk.analysis(), Wanted(paper, Settings().feet, HOUSE_PAGES)), wide)
    assert len(pages) == 2
    return pages[1].convertToFormat(QImage.Format.Format_RGB32)


def shown(page: PrintView) -> tuple[QImage, QRect]:
    """Return what the window shows, and where in it the page lies, as far as it is in view."""
    picture = page.viewport().grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    corner = page.mapFromScene(page.page.area.topLeft())
    return picture, QRect(corner, page.image.size()) & picture.rect()


@pytest.mark.parametrize("theme", [PAPER, BLACKOUT], ids=["paper", "blackout"])
@pytest.mark.parametrize("zoom", [None, 0.5, 2.0])
def test_the_screen_shows_the_page_of_the_pdf_dot_for_dot(
    stage: StageSheet, page: PrintView, *, theme: Theme, zoom: float | None
) -> None:
    stage.set_theme(theme)
    if zoom is not None:
        page.set_zoom(zoom)
    stage.settle()
    picture, where = shown(page)
    assert where.width() > 300
    assert where.height() > 400
    paper = printed(stage.desk, page.image.width())
    corner = page.mapFromScene(page.page.area.topLeft())
    assert picture.copy(where) == paper.copy(where.translated(-corner))
    if not where.contains(picture.rect()):
        outside = QPoint(3, 3) if not where.contains(3, 3) else picture.rect().bottomRight() - QPoint(3, 3)
        assert picture.pixelColor(outside) == QColor(theme.sheet)


def test_the_page_follows_every_edit(desk: Desk, stage: StageSheet, page: PrintView) -> None:
    before = page.image
    desk.edit("Rename", lambda book: rename_unit(book, "rig", desk.book.rig("rig").units[0].id, "Harmonium"))
    desk.check_now()
    stage.settle()
    assert page.image != before
    assert page.image.convertToFormat(QImage.Format.Format_RGB32) == printed(desk, page.image.width())


def test_the_page_is_on_the_paper_chosen(desk: Desk, stage: StageSheet, page: PrintView) -> None:
    tall = page.image.height() / page.image.width()
    page._settings.paper = "Letter"
    stage.paper_changed()
    stage.settle()
    assert page.image.height() / page.image.width() < tall - 0.1
    whole = printed(desk, page.image.width(), paper="Letter")
    assert page.image.convertToFormat(QImage.Format.Format_RGB32) == whole


def test_nothing_gets_through_to_the_plan(
    stage: StageSheet, page: PrintView, *, qtbot: QtBot, drag: Callable[..., None],
    drop: Callable[..., bool],
) -> None:
    desk = stage.desk
    before = desk.book
    desk.select(tuple(stage.stage.things_in(stage.content())))
    assert desk.selection
    chosen = desk.selection
    for key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace, Qt.Key.Key_R, Qt.Key.Key_Left, Qt.Key.Key_O):
        qtbot.keyClick(page, key)
    drag(page, QPointF(300.0, 300.0), QPointF(420.0, 380.0))
    assert not drop(page, "di-passive", QPoint(300, 300))
    assert desk.book is before
    assert desk.selection == chosen
    assert stage.stage.over_kind is None


def test_the_page_moves_under_the_hand_and_by_the_arrows(
    page: PrintView, qtbot: QtBot, drag: Callable[..., None]
) -> None:
    page.set_zoom(2.0)
    bar = page.verticalScrollBar()
    bar.setValue(bar.minimum() + 400)
    at = bar.value()
    qtbot.keyClick(page, Qt.Key.Key_Down)
    assert bar.value() > at
    at = bar.value()
    middle = page.mapToScene(page.viewport().rect().center())
    drag(page, middle, middle + QPointF(0.0, 40.0))
    assert bar.value() < at


def test_escape_goes_back_to_the_plan(stage: StageSheet, page: PrintView, qtbot: QtBot) -> None:
    said: list[bool] = []
    stage.printed.connect(said.append)
    stage.activateWindow()
    qtbot.keyClick(page, Qt.Key.Key_Escape)
    assert said == [False]
    assert not stage.is_printed
    assert not page.isVisible()
    QApplication.processEvents()
    stage.show_print(True)
    assert said == [False, True]
    assert stage.focusProxy() is page


def test_what_is_shown_on_the_plan_brings_the_plan_back(stage: StageSheet, page: PrintView) -> None:
    for step in (lambda: stage.reveal(()), lambda: stage.show_overlay("power"), lambda: stage.open_house(True)):
        stage.show_print(True)
        step()
        assert not stage.is_printed


def test_only_the_pages_of_a_title_are_drawn(desk: Desk) -> None:
    data = pdf_of(desk.analysis(), Wanted("A4", False, HOUSE_PAGES))
    assert [len(page_images(data, 200, title=title)) for title in ("", PLOT, "Input list", "Nowhere")] == [2, 1, 1, 0]
