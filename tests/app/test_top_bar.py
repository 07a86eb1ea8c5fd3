"""The top bar at any width and size of type: menus and tabs whole, the gig's words elided, never cut."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPoint
from PySide6.QtGui import QFont, QFontMetrics, QHelpEvent
from PySide6.QtWidgets import QApplication, QMenuBar, QStyle, QStyleOptionTab, QToolTip
from pytestqt.qtbot import QtBot

from app.panes.forms.editors import LineEdit
from app.panes.marks import Chooser
from app.panes.top_bar import SheetTabs
from app.sheets import SHEETS
from app.window import MainWindow


@pytest.mark.parametrize("wide", [900, 1024, 1366])
@pytest.mark.parametrize("sheet", [one.id for one in SHEETS])
def test_no_tab_is_cut(window: MainWindow, qtbot: QtBot, wide: int, sheet: str) -> None:
    window.resize(wide, 640)
    window.show_sheet(sheet)
    tabs, bar = window._bar.tabs, window._bar
    qtbot.waitUntil(lambda: bar.width() == wide)
    assert not tabs.usesScrollButtons()
    qtbot.waitUntil(lambda: tabs.width() >= tabs.sizeHint().width())
    last = tabs.mapTo(bar, tabs.tabRect(tabs.count() - 1).topRight())
    assert last.x() < bar.width()
    strong = QFont(tabs.font())
    strong.setWeight(QFont.Weight.DemiBold)
    for index in range(tabs.count()):
        option = QStyleOptionTab()
        tabs.initStyleOption(option, index)
        room = tabs.style().subElementRect(QStyle.SubElement.SE_TabBarTabText, option, tabs).width()
        assert room >= QFontMetrics(strong).horizontalAdvance(tabs.tabText(index))


@pytest.mark.parametrize("wide", [900, 1366])
def test_every_menu_is_in_sight(window: MainWindow, qtbot: QtBot, wide: int) -> None:
    window.resize(wide, 640)
    qtbot.waitUntil(lambda: window._bar.width() == wide)
    menus = window._bar.findChild(QMenuBar)
    last = menus.actionGeometry(menus.actions()[-1])
    assert menus.rect().contains(last)


@pytest.mark.parametrize("wide", [900, 1366])
def test_buttons_and_the_gig_are_always_there(window: MainWindow, qtbot: QtBot, wide: int) -> None:
    window.resize(wide, 640)
    qtbot.waitUntil(lambda: window._bar.width() == wide)
    bar = window._bar
    assert all(tool.isVisible() and tool.geometry().right() < wide for tool in bar._tools)
    assert bar.gigs.width() >= 180
    assert bar.gigs.geometry().right() < wide
    assert bar.gigs.x() >= bar.tabs.geometry().right()


def test_tabs_have_room_for_the_strong_type(qtbot: QtBot) -> None:
    tabs = SheetTabs()
    qtbot.addWidget(tabs)
    tabs.addTab("Changeover")
    strong = QFont(tabs.font())
    strong.setWeight(QFont.Weight.DemiBold)
    assert tabs.tabSizeHint(0).width() > QFontMetrics(strong).horizontalAdvance("Changeover")
    assert tabs.minimumSizeHint() == tabs.sizeHint()


@pytest.mark.parametrize("make", [lambda text: _chooser(text), lambda text: LineEdit(text)])
def test_a_cut_field_tells_all_of_itself_as_plain_text(qtbot: QtBot, make) -> None:
    text = "<b>one</b> line of text that is far too long for its field"
    field = make(text)
    qtbot.addWidget(field)
    field.resize(120, 28)
    field.show()
    QToolTip.hideText()
    ask = QHelpEvent(QEvent.Type.ToolTip, QPoint(5, 5), field.mapToGlobal(QPoint(5, 5)))
    QApplication.sendEvent(field, ask)
    qtbot.waitUntil(lambda: "far too long" in QToolTip.text())
    assert "&lt;b&gt;one" in QToolTip.text()


def _chooser(text: str) -> Chooser:
    box = Chooser()
    box.addItem(text)
    return box
