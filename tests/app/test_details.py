"""The details: the right form for what is selected, and one undoable edit for each field."""

from __future__ import annotations

from typing import TypeVar

import pytest
from PySide6.QtCore import QMimeData, Qt
from PySide6.QtWidgets import QCheckBox, QComboBox, QDoubleSpinBox, QLabel, QLineEdit, QPlainTextEdit, QWidget
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.panes.details import DetailsPane, ManyForm
from app.panes.forms.editors import LongEdit
from app.panes.forms.gig_form import GigForm
from app.panes.forms.hand_off_form import HandOffForm
from app.panes.forms.link_form import LinkForm
from app.panes.forms.socket_form import SocketForm
from app.panes.forms.unit_form import HouseUnitForm, UnitForm
from rigcore.book.rig import HandOff, Unit
from rigcore.rules.rule import Thing

Field = TypeVar("Field", bound=QWidget)


@pytest.fixture
def pane(desk: Desk, qtbot: QtBot) -> DetailsPane:
    pane = DetailsPane(desk)
    pane.resize(310, 600)
    qtbot.addWidget(pane)
    pane.show()
    return pane


def show(pane: DetailsPane, *things: Thing) -> QWidget:
    pane._desk.select(things)
    pane.refresh()
    assert pane.form is not None
    return pane.form


def field(pane: DetailsPane, name: str, kind: type[Field]) -> Field:
    found = pane.form.findChild(kind, name)
    assert found is not None, f"no field {name}"
    return found


def type_in(qtbot: QtBot, edit: QLineEdit, text: str) -> None:
    edit.selectAll()
    qtbot.keyClicks(edit, text)
    qtbot.keyClick(edit, Qt.Key.Key_Return)


def unit(desk: Desk, name: str) -> Unit:
    found = desk.book.rig("rig").unit(name)
    assert found is not None
    return found


def hand_off_of(desk: Desk, unit_id: str) -> HandOff:
    return next(one for one in desk.book.rig("rig").hand_offs if one.unit == unit_id)


@pytest.mark.parametrize(
    ("thing", "form"),
    [
        (Thing("unit", "piano"), UnitForm),
        (Thing("house unit", "stage-box"), HouseUnitForm),
        (Thing("link", "piano-out-l-to-di"), LinkForm),
        (Thing("landing", "lead-b-vox-b"), HandOffForm),
        (Thing("hand-off", "lead-b-vox-b"), HandOffForm),
        (Thing("socket", "in-1"), SocketForm),
        (Thing("gig", "gig"), GigForm),
        (Thing("unit", "gone"), GigForm),
    ],
)
def test_each_thing_has_its_form(pane: DetailsPane, thing: Thing, form: type) -> None:
    assert type(show(pane, thing)) is form


def test_nothing_selected_shows_the_gig_and_what_is_next(pane: DetailsPane) -> None:
    form = show(pane)
    words = [label.text() for label in form.findChildren(QLabel)]
    assert "What to do next" in words


def test_several_things_are_named(pane: DetailsPane) -> None:
    form = show(pane, Thing("unit", "piano"), Thing("socket", "in-1"))
    assert isinstance(form, ManyForm)
    assert "Piano" in [label.text() for label in form.findChildren(QLabel)]


def test_all_text_is_plain(pane: DetailsPane) -> None:
    for thing in (Thing("unit", "vox"), Thing("landing", "lead-b-vox-b"), Thing("socket", "in-1")):
        form = show(pane, thing)
        assert all(one.textFormat() == Qt.TextFormat.PlainText for one in form.findChildren(QLabel))


def test_a_unit_is_renamed_once(pane: DetailsPane, desk: Desk, qtbot: QtBot) -> None:
    show(pane, Thing("unit", "piano"))
    type_in(qtbot, field(pane, "Name", QLineEdit), "Upright & co")
    assert unit(desk, "piano").name == "Upright & co"
    assert len(desk.history.past) == 1
    assert desk.history.undo_words.startswith("Rename")


def test_an_empty_name_is_refused_in_words(pane: DetailsPane, desk: Desk, qtbot: QtBot) -> None:
    show(pane, Thing("unit", "piano"))
    edit = field(pane, "Name", QLineEdit)
    edit.clear()
    with qtbot.waitSignal(desk.refused):
        qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert unit(desk, "piano").name == "Piano"


def test_a_microphone_has_a_stand_and_a_piano_has_none(pane: DetailsPane, desk: Desk) -> None:
    show(pane, Thing("unit", "piano"))
    assert pane.form.findChild(QComboBox, "Stand") is None
    show(pane, Thing("unit", "vox"))
    box = field(pane, "Stand", QComboBox)
    box.activated.emit(box.findText("tall boom"))
    assert unit(desk, "vox").stand.kind == "tall boom"


def test_the_supplier_is_chosen(pane: DetailsPane, desk: Desk) -> None:
    show(pane, Thing("unit", "di"))
    field(pane, "Supplied", QComboBox).activated.emit(1)
    assert unit(desk, "di").owner == "house"


@pytest.mark.parametrize(
    ("unit_id", "port", "has", "has_not"),
    [
        ("di", "in-1", {"Pad"}, {"48 V", "Gain", "Ground lift"}),
        ("di", "out-1", {"Ground lift"}, {"Pad", "48 V", "Gain"}),
        ("mixer", "mic-1", {"48 V", "Gain"}, {"Pad"}),
        ("vox", "out", set(), {"Pad", "48 V", "Gain", "Ground lift"}),
    ],
)
def test_a_port_shows_what_its_type_has(
    pane: DetailsPane, unit_id: str, port: str, *, has: set[str], has_not: set[str]
) -> None:
    form = show(pane, Thing("unit", unit_id, port))
    names = {one.objectName() for one in form.findChildren(QWidget)}
    assert has <= names
    assert not has_not & names


def test_pad_gain_and_48_v_are_set(pane: DetailsPane, desk: Desk) -> None:
    show(pane, Thing("unit", "di", "in-1"))
    field(pane, "Pad", QCheckBox).click()
    assert unit(desk, "di").setting("in-1").pad
    show(pane, Thing("unit", "mixer", "mic-1"))
    field(pane, "48 V", QCheckBox).click()
    pane.refresh()
    field(pane, "Gain", QDoubleSpinBox).setValue(12.0)
    setting = unit(desk, "mixer").setting("mic-1")
    assert (setting.phantom, setting.gain_db) == (True, 12.0)
    pane.refresh()
    box = field(pane, "Gain", QDoubleSpinBox)
    box.setValue(box.minimum())
    assert unit(desk, "mixer").setting("mic-1").gain_db is None


def test_a_unit_is_put_on_stage_and_moved(pane: DetailsPane, desk: Desk) -> None:
    show(pane, Thing("unit", "piano"))
    field(pane, "Put it centre stage", QWidget).click()
    pane.refresh()
    field(pane, "Across", QDoubleSpinBox).setValue(-1.5)
    assert (unit(desk, "piano").x_m, unit(desk, "piano").y_m) == (-1.5, 2.0)


def test_numbers_carry_units(pane: DetailsPane) -> None:
    show(pane, Thing("link", "piano-out-l-to-di"))
    assert field(pane, "Length", QDoubleSpinBox).text() == "3 m"


def test_a_cable_is_chosen_and_measured(pane: DetailsPane, desk: Desk) -> None:
    show(pane, Thing("link", "piano-out-l-to-di"))
    field(pane, "Length", QDoubleSpinBox).setValue(6.0)
    assert desk.book.rig("rig").links[0].length_m == 6.0
    pane.refresh()
    box = field(pane, "Cable", QComboBox)
    box.activated.emit(1)
    assert desk.book.rig("rig").links[0].cable != "no such"
    assert len(desk.history.past) == 2


def test_a_cable_is_unplugged_and_the_form_gives_way(pane: DetailsPane, desk: Desk) -> None:
    show(pane, Thing("link", "piano-out-l-to-di"))
    field(pane, "Unplug it", QWidget).click()
    pane.refresh()
    assert desk.book.rig("rig").links == ()
    assert isinstance(pane.form, GigForm)


def test_a_hand_off_moves_to_another_socket_and_away(pane: DetailsPane, desk: Desk) -> None:
    name = hand_off_of(desk, "vox").id
    show(pane, Thing("landing", name))
    box = field(pane, "Socket", QComboBox)
    box.activated.emit(box.findText("5"))
    assert desk.book.gig("gig").landing(name).socket == "in-5"
    pane.refresh()
    field(pane, "Socket", QComboBox).activated.emit(0)
    assert desk.book.gig("gig").landing(name) is None


def test_ears_only_and_length_of_a_landing(pane: DetailsPane, desk: Desk) -> None:
    name = hand_off_of(desk, "vox").id
    show(pane, Thing("landing", name))
    field(pane, "Ears only", QCheckBox).click()
    pane.refresh()
    field(pane, "Length", QDoubleSpinBox).setValue(12.5)
    assert desk.book.rig("rig").hand_off(name).ears_only
    assert desk.book.gig("gig").landing(name).chain[0].length_m == 12.5


def test_a_socket_is_renumbered(pane: DetailsPane, desk: Desk, qtbot: QtBot) -> None:
    show(pane, Thing("socket", "in-4"))
    type_in(qtbot, field(pane, "Block", QLineEdit), "drop B")
    house = desk.book.house("house")
    assert house.socket("in-4").block == "drop B"


def test_a_date_that_is_none_is_refused(pane: DetailsPane, desk: Desk, qtbot: QtBot) -> None:
    show(pane)
    with qtbot.waitSignal(desk.refused) as told:
        type_in(qtbot, field(pane, "Date", QLineEdit), "next Friday")
    assert "next Friday" in told.args[0]
    pane.refresh()
    type_in(qtbot, field(pane, "Date", QLineEdit), "2027-08-21")
    assert desk.book.gig("gig").date.isoformat() == "2027-08-21"


def test_what_was_typed_is_handed_in_when_the_selection_goes(pane: DetailsPane, desk: Desk) -> None:
    show(pane, Thing("unit", "piano"))
    note = field(pane, "Note", QPlainTextEdit)
    note.setFocus()
    note.setPlainText("handle with care")
    show(pane, Thing("unit", "vox"))
    assert unit(desk, "piano").note == "handle with care"


def test_the_focus_stays_in_its_field_over_an_edit(pane: DetailsPane, desk: Desk, qtbot: QtBot) -> None:
    show(pane, Thing("unit", "piano"))
    edit = field(pane, "Name", QLineEdit)
    edit.setFocus()
    with qtbot.waitSignal(desk.analysed):
        type_in(qtbot, edit, "Grand")
    pane.refresh()
    assert field(pane, "Name", QLineEdit).hasFocus()


def test_a_long_contact_is_read_whole_and_stays_one_line(pane: DetailsPane, desk: Desk, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not pane._soon.isActive())
    show(pane)
    edit = field(pane, "Contact", LongEdit)
    low = edit.height()
    edit.setFocus()
    qtbot.keyClicks(edit, "Maren Oswick, maren@rigs.example, +00 555 0103 0104")
    assert edit.height() > low
    qtbot.waitUntil(lambda: edit.verticalScrollBar().maximum() == 0)
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert desk.book.gig("gig").contact == "Maren Oswick, maren@rigs.example, +00 555 0103 0104"
    assert len(desk.history.past) == 1
    pasted = QMimeData()
    pasted.setText("two\nlines")
    edit.selectAll()
    edit.insertFromMimeData(pasted)
    assert edit.toPlainText() == "two lines"
