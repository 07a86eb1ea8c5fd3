"""The chain of a landing in the details: one undoable edit for each change, and the fields of rig, case and loom."""

from __future__ import annotations

from typing import TypeVar

import pytest
from PySide6.QtWidgets import QCheckBox, QComboBox, QDoubleSpinBox, QLabel, QLineEdit, QToolButton, QWidget
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.panes.details import DetailsPane
from rigcore.book.gig import CablePiece, Landing
from rigcore.book.rig import HandOff
from rigcore.rules.rule import Thing

Field = TypeVar("Field", bound=QWidget)


@pytest.fixture
def pane(desk: Desk, qtbot: QtBot) -> DetailsPane:
    pane = DetailsPane(desk)
    pane.resize(310, 600)
    qtbot.addWidget(pane)
    pane.show()
    return pane


def show(pane: DetailsPane, thing: Thing) -> None:
    pane._desk.select((thing,))
    pane.refresh()


def field(pane: DetailsPane, name: str, kind: type[Field]) -> Field:
    assert pane.form is not None
    found = pane.form.findChild(kind, name)
    assert found is not None, f"no field {name}"
    return found


def choose(pane: DetailsPane, name: str, words: str) -> None:
    box = field(pane, name, QComboBox)
    at = box.findText(words)
    assert at >= 0, [box.itemText(n) for n in range(box.count())][:20]
    box.activated.emit(at)
    pane.refresh()


def press(pane: DetailsPane, name: str, kind: type[QWidget] = QWidget) -> None:
    field(pane, name, kind).click()  # type: ignore[attr-defined]
    pane.refresh()


def hand_off(desk: Desk, unit_id: str) -> HandOff:
    return next(one for one in desk.book.rig("rig").hand_offs if one.unit == unit_id)


def landing(desk: Desk, unit_id: str = "vox") -> Landing:
    found = desk.book.gig("gig").landing(hand_off(desk, unit_id).id)
    assert found is not None
    return found


def kinds(desk: Desk, unit_id: str = "vox") -> list[str]:
    return [one.cable if isinstance(one, CablePiece) else one.gear for one in landing(desk, unit_id).chain]


@pytest.fixture
def vox(pane: DetailsPane, desk: Desk) -> DetailsPane:
    show(pane, Thing("landing", hand_off(desk, "vox").id))
    return pane


def test_a_chain_is_built_moved_and_taken_apart(vox: DetailsPane, desk: Desk) -> None:
    choose(vox, "Add a box", "Microphone splitter, 1 to 2")
    press(vox, "Add a cable")
    assert kinds(desk) == ["xlr", "splitter-1x2", "xlr"]
    press(vox, "Move piece 2 towards the source", QToolButton)
    assert kinds(desk) == ["splitter-1x2", "xlr", "xlr"]
    press(vox, "Take piece 3 out", QToolButton)
    assert kinds(desk) == ["splitter-1x2", "xlr"]
    press(vox, "Move piece 1 away from the source", QToolButton)
    assert kinds(desk) == ["xlr", "splitter-1x2"]
    assert len(desk.history.past) == 5
    for _ in range(5):
        desk.undo()
    assert kinds(desk) == ["xlr"]


def test_the_ends_of_a_chain_cannot_be_left(vox: DetailsPane) -> None:
    assert not field(vox, "Move piece 1 towards the source", QToolButton).isEnabled()
    assert not field(vox, "Move piece 1 away from the source", QToolButton).isEnabled()


def test_a_box_is_exchanged_and_its_ports_chosen(vox: DetailsPane, desk: Desk) -> None:
    choose(vox, "Add a box", "Passive DI box, stereo")
    choose(vox, "Enters at", "In 2")
    choose(vox, "Leaves at", "Out 2")
    piece = landing(desk).chain[1]
    assert (piece.enter, piece.leave) == ("in-2", ("out-2",))
    choose(vox, "And at", "Out 1")
    assert landing(desk).chain[1].leave == ("out-2", "out-1")
    choose(vox, "Box", "Passive DI box")
    piece = landing(desk).chain[1]
    assert (piece.gear, piece.enter, piece.leave) == ("di-passive", "in-1", ("out-1",))


def test_a_box_is_padded_and_lifted(vox: DetailsPane, desk: Desk) -> None:
    choose(vox, "Add a box", "Passive DI box")
    field(vox, "Pad", QCheckBox).click()
    vox.refresh()
    field(vox, "Ground lift", QCheckBox).click()
    vox.refresh()
    settings = {one.port: one for one in landing(desk).chain[1].settings}
    assert settings["in-1"].pad
    assert settings["out-1"].lift
    field(vox, "Pad", QCheckBox).click()
    assert [one.port for one in landing(desk).chain[1].settings] == ["out-1"], "what is neutral is not kept"


def test_a_cable_of_the_chain_is_exchanged_and_asked_for(vox: DetailsPane, desk: Desk) -> None:
    choose(vox, "Kind", "XLR female to 6.35 mm TRS plug")
    choose(vox, "Supplied", "the house supplies it")
    piece = landing(desk).chain[0]
    assert (piece.cable, piece.owner) == ("xlr-trs", "house")


def test_a_measured_cable_comes_along_to_another_socket(vox: DetailsPane, desk: Desk) -> None:
    field(vox, "Length", QDoubleSpinBox).setValue(12.5)
    vox.refresh()
    choose(vox, "Socket", "7")
    assert (landing(desk).socket, landing(desk).chain[0].length_m) == ("in-7", 12.5)
    choose(vox, "Socket", "nowhere yet")
    assert desk.book.gig("gig").landing(hand_off(desk, "vox").id) is None


def test_what_runs_from_the_house_reads_from_the_house(pane: DetailsPane, desk: Desk) -> None:
    from rigcore.book.edits.gigs import land_port
    from rigcore.book.ids import PortRef

    ref = PortRef(unit="mixer", port="line-1")
    desk.edit("x", lambda book: land_port(book, "gig", ref, "mix-1", catalogue=desk.shipped))
    show(pane, Thing("landing", hand_off(desk, "mixer").id))
    words = [label.text() for label in pane.form.findChildren(QLabel)]
    assert words[words.index("Signal from") + 1] == "house Mix 1"


def test_hand_offs_are_paired_and_parted(vox: DetailsPane, desk: Desk) -> None:
    other = hand_off(desk, "di")
    choose(vox, "Pair with", other.name)
    assert (hand_off(desk, "vox").side, hand_off(desk, "di").side) == ("L", "R")
    choose(vox, "Side", "right")
    assert (hand_off(desk, "vox").side, hand_off(desk, "di").side) == ("R", "L")
    choose(vox, "Pair with", "by itself")
    assert (hand_off(desk, "vox").group, hand_off(desk, "di").group) == (None, None)
    choose(vox, "Falls back to", other.name)
    assert hand_off(desk, "vox").falls_back_to == other.id


def test_a_cable_goes_into_a_new_loom_with_a_name(pane: DetailsPane, desk: Desk) -> None:
    show(pane, Thing("link", "piano-out-l-to-di"))
    choose(pane, "Loom", "a new loom")
    edit = field(pane, "Loom's name", QLineEdit)
    edit.setText("Keys loom")
    edit.editingFinished.emit()
    rig = desk.book.rig("rig")
    assert rig.looms[0].name == "Keys loom"
    pane.refresh()
    choose(pane, "Loom", "lies by itself")
    assert desk.book.rig("rig").looms == ()


def test_a_unit_is_packed_in_a_new_case(pane: DetailsPane, desk: Desk) -> None:
    show(pane, Thing("unit", "piano"))
    choose(pane, "Case", "a new case")
    field(pane, "Case empty", QDoubleSpinBox).setValue(9.5)
    pane.refresh()
    field(pane, "Case rack", QDoubleSpinBox).setValue(2.0)
    case = desk.book.rig("rig").cases[0]
    assert (case.mass_kg, case.rack_u, desk.book.rig("rig").unit("piano").case) == (9.5, 2.0, case.id)
    show(pane, Thing("unit", "di"))
    choose(pane, "Case", case.name)
    assert "Piano" in [label.text() for label in pane.form.findChildren(QLabel)]
    press(pane, "Do without this case")
    assert desk.book.rig("rig").cases == ()


def test_a_source_is_given_another_family(pane: DetailsPane, desk: Desk) -> None:
    show(pane, Thing("unit", "piano"))
    choose(pane, "Family", "playback")
    assert desk.book.rig("rig").unit("piano").family == "playback"
    show(pane, Thing("unit", "di"))
    assert pane.form.findChild(QComboBox, "Family") is None


def test_a_box_of_the_house_is_moved(pane: DetailsPane, desk: Desk) -> None:
    show(pane, Thing("house unit", "stage-box"))
    field(pane, "Across", QDoubleSpinBox).setValue(-2.0)
    assert desk.book.house("house").unit("stage-box").x_m == -2.0
