"""The table of actions: every row works, no shortcut stands twice, every menu is filled from it."""

from __future__ import annotations

from collections import Counter

from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QWidget

from app.actions import MENUS, ROWS, TOOLS, bound
from app.window import MainWindow


def test_ids_and_shortcuts_stand_once() -> None:
    assert max(Counter(row.id for row in ROWS).values()) == 1
    shortcuts = Counter(row.shortcut for row in ROWS if row.shortcut)
    assert max(shortcuts.values()) == 1


def test_every_shortcut_can_be_pressed() -> None:
    for row in ROWS:
        if row.shortcut:
            assert QKeySequence(row.shortcut)[0].key() != 0, row.id


def test_every_row_calls_what_the_window_has(window: MainWindow) -> None:
    for row in ROWS:
        if row.calls:
            assert callable(bound(window, row.calls)), row.id


def test_menus_are_made_from_the_table(window: MainWindow) -> None:
    for menu_id, _ in MENUS:
        shown = [action.objectName() for action in window.menus[menu_id].actions() if action.objectName()]
        assert shown == [row.id for row in ROWS if row.menu == menu_id and row.calls]


def test_every_action_says_what_it_does(window: MainWindow) -> None:
    assert all(action.toolTip() and action.text() for action in window.actions_by_id.values())
    assert set(TOOLS) <= set(window.actions_by_id)


def test_what_takes_the_focus_has_a_name(window: MainWindow) -> None:
    window.details.refresh()
    nameless = [
        one
        for one in window.findChildren(QWidget)
        if one.isVisible()
        and one.focusPolicy()
        and not one.accessibleName()
        and not hasattr(one, "text")
        and one.metaObject().className() not in ("QMenuBar", "QScrollArea", "QLineEdit", "QWidget", "QMenu")
    ]
    assert [one.metaObject().className() for one in nameless] == []
