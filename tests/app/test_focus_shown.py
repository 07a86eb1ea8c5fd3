"""Whatever takes the keyboard shows that it has it, in both faces."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.dialogs.gear_editor import GearEditor
from app.dialogs.house_form import HouseForm
from app.dialogs.lifelines import LifelinesDialog
from app.dialogs.stock_form import StockForm
from app.panes.dress import dress
from app.panes.shelf import Shelf
from app.tables.inputs import InputsSheet
from app.theme import THEMES


def _gear(desk: Desk) -> QWidget:
    editor = GearEditor(desk, THEMES["paper"], desk.catalogue.gear_type("di-active"))
    editor.tabs.setCurrentIndex(1)
    return editor


def _house(desk: Desk) -> QWidget:
    form = HouseForm(desk)
    form.page("sockets")
    return form


MAKERS: dict[str, Callable[[Desk], QWidget]] = {
    "lifelines": LifelinesDialog, "gear": _gear, "house": _house, "stock": StockForm, "inputs": InputsSheet,
    "shelf": lambda desk: Shelf(desk.catalogue),
}  # fmt: skip


def stops(root: QWidget) -> list[QWidget]:
    """Return what the Tab key stops at."""
    return [
        one for one in root.findChildren(QWidget)
        if one.isVisible() and one.isEnabled() and one.focusProxy() is None and one.width() > 2
        and one.focusPolicy() & Qt.FocusPolicy.TabFocus
    ]  # fmt: skip


def looks(qtbot: QtBot, one: QWidget) -> QImage:
    """Return the picture of a widget."""
    qtbot.wait(1)
    return one.grab().toImage()


@pytest.mark.parametrize("face", THEMES)
@pytest.mark.parametrize("name", MAKERS)
def test_what_has_the_keyboard_looks_otherwise(
    desk: Desk, qapp: QApplication, qtbot: QtBot, *, name: str, face: str
) -> None:
    dress(qapp, THEMES[face])
    root = MAKERS[name](desk)
    qtbot.addWidget(root)
    root.resize(900, 600)
    root.show()
    root.activateWindow()
    qtbot.waitUntil(root.isActiveWindow)
    if isinstance(root, LifelinesDialog):
        qtbot.waitUntil(lambda: root.rows is not None)
    found = stops(root)
    assert found
    silent = []
    for one in found:
        if (focused := QApplication.focusWidget()) is not None:
            focused.clearFocus()
        before = looks(qtbot, one)
        one.setFocus(Qt.FocusReason.TabFocusReason)
        assert one.hasFocus()
        if looks(qtbot, one) == before:
            silent.append(f"{type(one).__name__} {one.accessibleName()}")
    assert silent == []
