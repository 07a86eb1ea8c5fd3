"""The gear editor: live checking, ports and ways, keeping as one step, TOML in and out, no lost use."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.dialogs.gear_editor import GearEditor
from app.dialogs.gear_rows import RowsEditor
from app.panes.forms.record_form import shape_of
from app.theme import PAPER
from rigcore.book.edits.gear import exchange_gear, put_gear
from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.gear import GearType, Port
from rigcore.catalogue.loader import shipped
from rigcore.catalogue.record import changed


def editor(desk: Desk, qtbot: QtBot, gear: GearType | None = None) -> GearEditor:
    made = GearEditor(desk, PAPER, gear)
    qtbot.addWidget(made)
    made.show()
    return made


def typed(made: GearEditor, label: str, text: str) -> None:
    field = made.tabs.widget(0).findChild(QLineEdit, label)
    assert field is not None
    field.setText(text)
    field.editingFinished.emit()
    made.check()


def test_a_new_type_is_refused_until_it_has_a_name_and_then_kept_as_one_step(desk: Desk, qtbot: QtBot) -> None:
    made = editor(desk, qtbot)
    assert not made.keep.isEnabled()
    assert "name" in made.problems
    typed(made, "Name", "Home-made <b>box</b>")
    assert made.keep.isEnabled()
    made.keep.click()
    assert [gear.name for gear in desk.book.gear] == ["Home-made <b>box</b>"]
    assert desk.history.undo_words == "Keep gear type Home-made <b>box</b>"
    desk.undo()
    assert desk.book.gear == ()


def test_ports_and_a_way_between_them_are_made(desk: Desk, qtbot: QtBot) -> None:
    made = editor(desk, qtbot)
    typed(made, "Name", "Little box")
    ports, ways = made.tabs.widget(1), made.tabs.widget(2)
    assert isinstance(ports, RowsEditor)
    ports.add()
    ports.add()
    ways.add()
    names = {row["name"] for row in made.draft["ports"]}
    assert set(ways.list.item(0).text().split(" → ")) <= names, "ports by their names"
    made.check()
    assert "faces the other way" in made.problems
    made.draft["paths"][0].update(source="in", target="out")
    made.check()
    assert made.gear is not None
    assert [port.id for port in made.gear.ports] == ["out", "in"]
    assert made.gear.paths[0].kind == "active"
    assert made.preview.sheet.scene().items()


def test_a_shipped_type_is_kept_as_the_books_own_copy_and_put_on_the_unit(desk: Desk, qtbot: QtBot) -> None:
    piano = shipped().gear["stage-piano-88"]
    made = GearEditor(desk, PAPER, piano, unit_id="piano")
    qtbot.addWidget(made)
    typed(made, "Name", "My piano")
    made.keep.click()
    own = desk.book.gear[0]
    assert own.id != piano.id
    assert own.ports == piano.ports
    assert desk.book.rig(desk.rig_id).unit("piano").gear == own.id
    assert len(desk.history.past) == 1


def test_a_port_in_use_cannot_be_taken_out_of_an_own_type(desk: Desk, qtbot: QtBot) -> None:
    own = changed(shipped().gear["stage-piano-88"], id="my-piano", name="My piano")
    assert desk.edit("own", lambda book: put_gear(book, own, shipped()))
    use_it = lambda book: exchange_gear(book, "rig", "piano", "my-piano", catalogue=shipped())  # noqa: E731
    assert desk.edit("use it", use_it)
    made = editor(desk, qtbot, own)
    made.draft["ports"] = [port for port in made.draft["ports"] if port["id"] != "out-l"]
    made.draft["paths"] = []
    made.keep.click()
    assert made.isVisible()
    assert "out-l" in made.problems


def test_toml_goes_out_and_comes_back(desk: Desk, qtbot: QtBot, tmp_path: Path) -> None:
    made = editor(desk, qtbot, shipped().gear["mixer-small"])
    typed(made, "Name", "Mixer of mine")
    made.write_file(tmp_path / "mine.toml")
    other = editor(desk, qtbot)
    other.take_file(tmp_path / "mine.toml")
    assert other.gear is not None
    assert (other.gear.name, other.gear.ports) == ("Mixer of mine", made.gear.ports)
    (tmp_path / "bad.toml").write_text("[[gear]\n", encoding="utf-8")
    other.take_file(tmp_path / "bad.toml")
    assert "is not TOML" in other.problems
    other.check()
    other.write_file(tmp_path / "no such folder" / "x.toml")
    assert "could not be written" in other.problems


@pytest.mark.parametrize(
    ("kind", "name", "label", "unit"),
    [(Audio, "max_dbu", "Max", "dBu"), (Audio, "ohm", "Ohm", "ohm"), (GearType, "mass_kg", "Mass", "kg")],
)
def test_labels_and_units_come_from_the_names(kind: type, name: str, label: str, unit: str) -> None:
    shape = shape_of(kind, name)
    assert (shape.label, shape.unit, shape.is_number) == (label, unit, True)


def test_choices_come_from_the_record() -> None:
    assert shape_of(Port, "direction").choices == ("in", "out", "both")
    assert shape_of(GearType, "family").may_be_nothing
    assert shape_of(Audio, "ohm").may_be_nothing


def test_an_own_type_is_removed_unless_something_is_of_it(desk: Desk, qtbot: QtBot) -> None:
    own = changed(shipped().gear["di-passive"], id="my-di", name="My DI")
    assert desk.edit("own", lambda book: put_gear(book, own, shipped()))
    assert not editor(desk, qtbot, shipped().gear["di-passive"]).remove.isVisible()
    made = editor(desk, qtbot, own)
    assert desk.edit("use", lambda book: exchange_gear(book, "rig", "di", "my-di", catalogue=shipped()))
    made.remove.click()
    assert made.isVisible()
    assert "my-di" in made.problems
    desk.undo()
    made.remove.click()
    assert desk.book.gear == ()
