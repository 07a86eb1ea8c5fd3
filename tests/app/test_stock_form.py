"""The stock's form: owned, needed and short beside each other, added from the catalogue, kept as one step."""

from __future__ import annotations

from typing import TypeVar

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDoubleSpinBox, QLineEdit, QPushButton, QSpinBox, QWidget
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.dialogs.stock_form import StockForm
from app.dialogs.stock_rows import NOTE, WIDEST_NOTE
from app.window import MainWindow
from rigcore.lists.stock_needs import stock_needs
from rigcore.patch.spares import Thing

Field = TypeVar("Field", bound=QWidget)


def seen(page: QWidget, kind: type[Field], name: str) -> Field:
    """Return the newest field of a name: one that has given way lives until the loop runs."""
    return page.findChildren(kind, name)[-1]


@pytest.fixture
def form(desk: Desk, qtbot: QtBot) -> StockForm:
    form = StockForm(desk)
    qtbot.addWidget(form)
    form.show()
    return form


def shown(form: StockForm) -> dict[str, list[str]]:
    tree = form.panel.list
    items = [tree.topLevelItem(at) for at in range(tree.topLevelItemCount())]
    return {item.text(0): [item.text(column) for column in (1, 2, 3)] for item in items}


def test_what_the_gig_needs_stands_beside_what_is_owned(form: StockForm) -> None:
    assert shown(form)["XLR cable, 5 m"] == ["0", "2", "2"]
    form.panel.catalogue.search.setText("xlr cable")
    form.panel.catalogue.pick()
    row = form.panel.rows[0]
    assert (row["type"], row["length_m"], row["count"]) == ("xlr", 3.0, 1)
    seen(form.panel, QDoubleSpinBox, "Length").setValue(10.0)
    assert shown(form)["XLR cable, 10 m"] == ["1", "", ""]
    assert shown(form)["XLR cable, 5 m"] == ["0", "2", "1"], "a longer one serves"


def test_owning_what_the_gig_needs_is_one_step(form: StockForm, desk: Desk) -> None:
    assert form.own.isEnabled()
    form.own.click()
    assert not form.own.isEnabled()
    form.yes.click()
    assert len(desk.history.past) == 1
    assert not [one for one in stock_needs(desk.analysis().patch, desk.book.stock) if one.short]
    desk.undo()
    assert desk.book.stock == ()


def test_a_thing_added_twice_is_counted(form: StockForm, desk: Desk, qtbot: QtBot) -> None:
    form.panel.catalogue.search.setFocus()
    qtbot.keyClicks(form.panel.catalogue.search, "di passive 4-way")
    for _ in range(2):
        qtbot.keyClick(form.panel.catalogue.search, Qt.Key.Key_Return)
    assert form.isVisible(), "Enter in the search picks and does not close"
    form.panel.catalogue.list.setFocus()
    qtbot.keyClick(form.panel.catalogue.list, Qt.Key.Key_Return)
    seen(form.panel, QLineEdit, "Note").setText("in the grey bag")
    form.yes.click()
    assert [(one.type, one.count, one.note) for one in desk.book.stock] == [("di-passive-4", 3, "in the grey bag")]


def test_a_row_is_counted_and_taken_out(form: StockForm, desk: Desk) -> None:
    form.panel.add("gear", "strip-6")
    form.panel.add("cable", "xlr")
    form.panel.choose(0)
    seen(form.panel, QSpinBox, "Owned").setValue(7)
    form.panel.choose(1)
    seen(form.panel, QPushButton, "Take it out").click()
    form.yes.click()
    assert [(one.type, one.count) for one in desk.book.stock] == [("strip-6", 7)]


def test_what_is_needed_and_not_owned_is_counted_at_once(form: StockForm) -> None:
    form.panel.choose(Thing("cable", "xlr", 5.0))
    seen(form.panel, QPushButton, "Count 2 as owned").click()
    assert shown(form)["XLR cable, 5 m"] == ["2", "2", ""]


def test_only_what_matches_is_shown(form: StockForm) -> None:
    form.panel.add("gear", "strip-6")
    form.panel.find.setText("strip")
    assert list(shown(form)) == ["6-way power strip, BS 1363"]
    form.panel.find.setText("nothing of the kind")
    assert shown(form) == {}


def test_names_take_the_room_that_no_note_needs(form: StockForm) -> None:
    form.panel.add("gear", "strip-6")
    before = form.panel.list.columnWidth(NOTE)
    form.panel.rows[0]["note"] = "in the grey bag behind the seat of the van"
    form.panel.refill()
    assert before < form.panel.list.columnWidth(NOTE) == WIDEST_NOTE


def test_cancel_changes_nothing(form: StockForm, desk: Desk) -> None:
    form.own.click()
    form.reject()
    assert desk.history.past == ()


def test_the_menu_opens_it(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []
    monkeypatch.setattr(StockForm, "exec", lambda self: opened.append(self.windowTitle()) or 0)
    window.actions_by_id["stock"].trigger()
    assert opened == ["Stock"]


def test_long_names_and_notes_take_more_lines_and_none_is_cut(form: StockForm, qtbot: QtBot) -> None:
    tree, note = form.panel.list, "the bass line of the master patch, " * 4
    form.panel.rows.append({"kind": "gear", "type": "di-passive", "note": note})
    form.panel.refill()
    item = next(item for item in form.panel._items() if item.text(NOTE) == note)
    plain_row = next(item for item in form.panel._items() if not item.text(NOTE))

    def lines() -> float:
        wide = tree.fontMetrics().horizontalAdvance(note)
        return wide / tree.columnWidth(NOTE)

    qtbot.waitUntil(lambda: tree.visualItemRect(item).height() > lines() * tree.fontMetrics().height())
    assert tree.visualItemRect(plain_row).height() < tree.visualItemRect(item).height() / 2
    form.resize(1600, 600)
    qtbot.waitUntil(lambda: tree.columnWidth(NOTE) > WIDEST_NOTE + 20)
    qtbot.waitUntil(lambda: tree.visualItemRect(item).height() > lines() * tree.fontMetrics().height())
