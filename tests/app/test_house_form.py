"""The house's form: every page edits one draft, what does not hold is said, and all of it is one step."""

from __future__ import annotations

import datetime as dt
from typing import TypeVar

import pytest
from PySide6.QtWidgets import QComboBox, QDoubleSpinBox, QLabel, QLineEdit, QPushButton, QSpinBox, QWidget
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.dialogs.gear_rows import RowsEditor
from app.dialogs.house_form import HouseForm
from app.dialogs.house_pages import SocketsPage
from app.dialogs.stock_rows import StockPanel
from rigcore.book.edits.houses import change_house

Field = TypeVar("Field", bound=QWidget)


def seen(page: QWidget, kind: type[Field], name: str) -> Field:
    """Return the newest field of a name: one that has given way lives until the loop runs."""
    return page.findChildren(kind, name)[-1]


@pytest.fixture
def form(desk: Desk, qtbot: QtBot) -> HouseForm:
    form = HouseForm(desk)
    qtbot.addWidget(form)
    form.show()
    return form


def choose(box: QComboBox, words: str) -> None:
    box.activated.emit(box.findText(words))


def test_a_riser_and_a_power_drop_are_kept_in_one_step(form: HouseForm, desk: Desk) -> None:
    risers = form.page("risers")
    assert isinstance(risers, RowsEditor)
    risers.add()
    seen(risers, QDoubleSpinBox, "Across").setValue(-1.5)
    seen(risers, QLineEdit, "Name").setText("Drums")
    drops = form.page("power")
    assert isinstance(drops, RowsEditor)
    drops.add()
    seen(drops, QSpinBox, "Outlets").setValue(4)
    seen(drops, QDoubleSpinBox, "Breaker").setValue(16)
    seen(drops, QLineEdit, "Shared with").setText("the bar")
    choose(seen(drops, QComboBox, "Connector"), "BS 1363 outlet")
    choose(seen(drops, QComboBox, "Sound limiter"), "cuts these outlets")
    form.yes.click()
    stage = desk.book.house("house").stage
    assert [(one.name, one.x_m) for one in stage.risers] == [("Drums", -1.5)]
    drop = stage.power[0]
    assert (drop.outlets, drop.circuit_a, drop.rcd_ma, drop.connector) == (4, 16.0, None, "bs1363.f")
    assert (drop.limiter, drop.shared_with) == (True, "the bar")
    assert len(desk.history.past) == 1


def test_a_box_is_added_with_a_socket_for_each_port(form: HouseForm, desk: Desk) -> None:
    boxes = form.page("boxes")
    assert isinstance(boxes, RowsEditor)
    boxes.add()
    choose(seen(boxes, QComboBox, "Type"), "Wall box, 4 inputs")
    sockets = form.page("sockets")
    assert isinstance(sockets, SocketsPage)
    sockets.box.setCurrentIndex(1)
    sockets.each.click()
    sockets.start.setValue(21)
    sockets.number.click()
    form.yes.click()
    house = desk.book.house("house")
    unit = house.units[-1]
    assert (unit.gear, unit.owner) == ("wall-box-4", "house")
    assert [(one.number, one.label, one.block) for one in house.sockets if one.unit == unit.id] == [
        (number, f"{number}", unit.name) for number in (21, 22, 23, 24)
    ]


def test_a_box_with_sockets_stays_and_says_why(form: HouseForm) -> None:
    boxes = form.page("boxes")
    assert isinstance(boxes, RowsEditor)
    boxes.take_out()
    assert "carries the sockets" in boxes.why.text()
    assert len(form.draft["units"]) == 1


def test_a_socket_is_set_by_its_port(form: HouseForm, desk: Desk) -> None:
    page = form.page("sockets")
    assert isinstance(page, SocketsPage)
    page.rows.add()
    choose(seen(page.rows, QComboBox, "Port"), "Return 4 · out")
    row = form.draft["sockets"][-1]
    assert (row["ports"], row["direction"]) == (["out-4"], "out")


def test_a_landed_socket_is_named_before_it_goes(form: HouseForm, desk: Desk) -> None:
    page = form.page("sockets")
    assert isinstance(page, SocketsPage)
    page.rows.list.setCurrentRow(0)
    page.rows.take_out()
    form.check()
    assert "vox" in form.wrong
    assert "on 1" in form.wrong
    form.yes.click()
    assert desk.history.past == ()
    assert form.unplug.isVisible()
    form.unplug.setChecked(True)
    form.yes.click()
    assert desk.book.house("house").socket("in-1") is None
    assert len(desk.book.gig("gig").landings) == 2
    desk.undo()
    assert len(desk.book.gig("gig").landings) == 3


def test_beginning_as_a_kind_fills_what_is_empty_in_one_step(form: HouseForm, desk: Desk) -> None:
    before = desk.book.house("house")
    form.findChild(QPushButton, "begin festival").click()
    told = [label.text() for label in form.form.findChildren(QLabel)]
    assert any(words.startswith("Filled: stage size, power drops") for words in told)
    form.yes.click()
    house = desk.book.house("house")
    assert (house.kind, house.stage.width_m) == ("festival", 10.0)
    assert house.units == before.units, "the plan lands there"
    assert len(desk.history.past) == 1
    desk.undo()
    assert desk.book.house("house") == before


def test_what_is_known_keeps_who_said_it_and_when(form: HouseForm, desk: Desk) -> None:
    row = next(row for row in form.facts if row.key == "outlets")
    assert not row.said_by.isEnabled()
    assert "two outlets" in row.assumed.text()
    row.state.setCurrentIndex(0)
    row.value.setText("4")
    row.said_by.setText("Wren, stage manager")
    row.said_on.setText("2027-05-32")
    form.yes.click()
    assert "2027-05-32" in form.wrong
    assert form.tabs.currentIndex() == 1, "the page of the wrong date is turned to"
    assert form.focusWidget() is row.said_on
    assert row.said_on.property("wrong")
    row.said_on.setText("2027-05-30")
    form.yes.click()
    fact = desk.book.house("house").fact("outlets")
    assert fact is not None
    assert (fact.value, fact.said_by, fact.said_on) == ("4", "Wren, stage manager", dt.date(2027, 5, 30))


def test_a_new_answer_was_said_today(form: HouseForm, desk: Desk) -> None:
    row = next(row for row in form.facts if row.key == "channels")
    row.state.setCurrentIndex(0)
    row.value.setText("16")
    form.yes.click()
    fact = desk.book.house("house").fact("channels")
    assert fact is not None
    assert fact.said_on == dt.date.today()


def test_the_house_lends_from_its_stock(form: HouseForm, desk: Desk) -> None:
    page = form.page("stock")
    assert isinstance(page, StockPanel)
    page.catalogue.search.setText("passive di box")
    page.catalogue.pick()
    form.yes.click()
    assert [(one.type, one.count) for one in desk.book.house("house").stock] == [("di-passive", 1)]


def test_cancel_changes_nothing_and_keeping_nothing_is_no_step(form: HouseForm, desk: Desk, qtbot: QtBot) -> None:
    form.form.findChild(QLineEdit, "Crew").setText("two hands")
    form.no.click()
    assert desk.history.past == ()
    again = HouseForm(desk)
    qtbot.addWidget(again)
    again.yes.click()
    assert desk.history.past == ()
    assert again.result() == again.DialogCode.Accepted


def test_what_does_not_hold_is_said_while_one_types(form: HouseForm) -> None:
    risers = form.page("risers")
    assert isinstance(risers, RowsEditor)
    risers.add()
    name = seen(risers, QLineEdit, "Name")
    name.clear()
    name.editingFinished.emit()
    form.check()
    assert form.wrong == "Riser 1, name must not be empty."
    assert name.property("wrong")
    name.setText("Drums")
    name.editingFinished.emit()
    form.check()
    assert form.wrong == ""


def test_crew_and_notes_are_kept(form: HouseForm, desk: Desk) -> None:
    form.form.findChild(QLineEdit, "Crew").setText("two hands")
    form.form.findChild(QWidget, "Notes").setPlainText("Load in by the yard.\nRing twice.")
    form.yes.click()
    house = desk.book.house("house")
    assert (house.crew, house.notes) == ("two hands", "Load in by the yard.\nRing twice.")


def test_a_house_without_boxes_says_what_comes_first(desk: Desk, qtbot: QtBot) -> None:
    from rigcore.book.edits.gigs import unbind_landing

    for landing in desk.book.gig("gig").landings:
        desk.edit("x", lambda book, one=landing.hand_off: unbind_landing(book, "gig", one))
    assert desk.edit("x", lambda book: change_house(book, "house", units=(), sockets=()))
    form = HouseForm(desk)
    qtbot.addWidget(form)
    page = form.page("sockets")
    assert "add a box first" in page.findChild(QLabel).text()
    form.findChild(QPushButton, "begin club").click()
    form.yes.click()
    assert len(desk.book.house("house").sockets) == 24
