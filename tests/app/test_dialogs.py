"""The dialogs: one edit each, everything wrong said at once, nothing half done."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QDoubleSpinBox, QLabel, QLineEdit, QScrollArea
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.dialogs.about import About
from app.dialogs.gig_form import GigDialog
from app.dialogs.house_form import HouseForm
from app.dialogs.import_wizard import ImportWizard
from app.dialogs.questions import with_ending
from app.panes.forms.fields import Form
from rigcore.book.book import Book
from rigcore.book.edits.houses import learn
from rigcore.book.house import Fact
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import ImportRefused


def test_the_house_is_changed_in_one_step(desk: Desk, qtbot: QtBot) -> None:
    form = HouseForm(desk)
    qtbot.addWidget(form)
    edit = form.form.findChild(QLineEdit, "Name")
    edit.setFocus()
    edit.selectAll()
    qtbot.keyClicks(edit, "Harbour hall")
    form.form.findChild(QDoubleSpinBox, "Stage width").setValue(9.5)
    form.form.findChild(QDoubleSpinBox, "Changeover").setValue(20)
    fact = next(row for row in form.facts if row.key == "pa")
    qtbot.keyClicks(fact.value, "mono")
    form.yes.click()
    house = desk.book.house("house")
    assert (house.name, house.stage.width_m, house.stage.depth_m) == ("Harbour hall", 9.5, 4.0)
    assert house.changeover_min == 20
    assert house.fact("pa").value == "mono"
    assert len(desk.history.past) == 1
    assert form.result() == form.DialogCode.Accepted


def test_a_fact_is_assumed_again(desk: Desk, qtbot: QtBot) -> None:
    desk.edit("learn", lambda book: learn(book, "house", Fact(key="pa", value="mono")))
    form = HouseForm(desk)
    qtbot.addWidget(form)
    fact = next(row for row in form.facts if row.key == "pa")
    assert fact.is_known
    fact.state.setCurrentIndex(1)
    form.yes.click()
    assert desk.book.house("house").fact("pa") is None


def test_a_known_fact_needs_a_value(desk: Desk, qtbot: QtBot) -> None:
    form = HouseForm(desk)
    qtbot.addWidget(form)
    form.facts[0].state.setCurrentIndex(0)
    form.yes.click()
    assert "PA" in form.wrong
    assert desk.history.past == ()


def test_a_number_below_nothing_has_a_minus_sign_and_takes_the_hyphen_of_the_keyboard(qtbot: QtBot) -> None:
    taken: list[float | None] = []
    form = Form()
    box = form.number("Level", -10.0, taken.append, unit="dBu", span=(-200.0, 50.0))
    qtbot.addWidget(form)
    form.show()
    assert box.text() == "\N{MINUS SIGN}10 dBu"
    for typed in ("-3.5", "\N{MINUS SIGN}7", "-0"):
        box.selectAll()
        box.lineEdit().insert(typed)
        assert box.text().partition(" ")[0] == typed.replace("-", "\N{MINUS SIGN}")
        box.interpretText()
    assert taken == [-3.5, -7.0, 0.0]
    assert box.text() == "0 dBu"
    box.selectAll()
    qtbot.keyClicks(box.lineEdit(), "-4")
    qtbot.keyClick(box, Qt.Key.Key_Down)
    assert box.value() == pytest.approx(-4.1)


def test_the_gig_is_changed(desk: Desk, qtbot: QtBot) -> None:
    form = GigDialog(desk)
    qtbot.addWidget(form)
    form.act.setText("Ferry")
    form.date.setText("2027-08-21")
    form.yes.click()
    gig = desk.book.gig("gig")
    assert (gig.act, gig.date.isoformat()) == ("Ferry", "2027-08-21")


def test_the_times_of_the_day_are_kept_and_nonsense_is_not(desk: Desk, qtbot: QtBot) -> None:
    form = GigDialog(desk)
    qtbot.addWidget(form)
    form.times["load_in"].setText("9:30")
    form.times["set_start"].setText("at eight")
    form.yes.click()
    assert "at eight" in form.wrong
    form.times["set_start"].setText("20:00")
    form.yes.click()
    assert desk.book.gig("gig").call() == (("load_in", 570), ("set_start", 1200))


def test_a_date_that_is_none_keeps_the_dialog(desk: Desk, qtbot: QtBot) -> None:
    form = GigDialog(desk)
    qtbot.addWidget(form)
    form.show()
    form.date.setText("soon")
    form.yes.click()
    assert "soon" in form.wrong
    assert desk.history.past == ()
    assert form.focusWidget() is form.date
    assert (form.date.property("wrong"), form.date.selectedText()) == (True, "soon")
    assert not form.until.property("wrong")
    form.date.setText("2027-09-01")
    assert not form.date.property("wrong")


def test_an_emptied_name_is_marked_until_something_is_typed(desk: Desk, qtbot: QtBot) -> None:
    form = GigDialog(desk)
    qtbot.addWidget(form)
    form.name.clear()
    form.yes.click()
    assert form.wrong == "A gig needs a name."
    assert form.name.property("wrong")
    form.name.setText("Pier")
    assert not form.name.property("wrong")


def test_what_is_wrong_gets_room_of_its_own(desk: Desk, qtbot: QtBot) -> None:
    dialog = GigDialog(desk)
    qtbot.addWidget(dialog)
    dialog.show()
    scroll = dialog.findChild(QScrollArea)
    before = scroll.height()
    dialog.date.setText("14 of August")
    dialog.yes.click()
    assert dialog.wrong
    qtbot.waitUntil(lambda: scroll.height() >= before)


def test_a_new_gig_is_made_and_shown(desk: Desk, qtbot: QtBot) -> None:
    form = GigDialog(desk, new=True)
    qtbot.addWidget(form)
    assert form.form.findChild(QComboBox, "Rig").currentText() == "My rig"
    form.date.setText("2027-09-01")
    form.yes.click()
    assert len(desk.book.gigs) == 2
    assert desk.gig_id == desk.book.gigs[1].id
    assert desk.book.gigs[1].date.isoformat() == "2027-09-01"


def test_the_import_lists_every_problem_and_takes_nothing(catalogue: Catalogue, qtbot: QtBot) -> None:
    problems = [f"units.csv, row {row}: no such gear <b>" for row in range(2, 12)]

    def refuse(*_files: object, catalogue: object) -> Book:
        raise ImportRefused("cannot", problems)

    wizard = ImportWizard(catalogue, importer=refuse)
    qtbot.addWidget(wizard)
    wizard.files["units"].edit.setText("units.csv")
    wizard.files["patch"].edit.setText("patch.csv")
    wizard.yes.click()
    assert wizard.book is None
    assert wizard.problems.toPlainText().splitlines() == problems
    assert wizard.wrong.startswith("10 problems")


def test_the_import_needs_its_two_files(catalogue: Catalogue, qtbot: QtBot) -> None:
    wizard = ImportWizard(catalogue, importer=lambda *_files: pytest.fail("must not run"))
    qtbot.addWidget(wizard)
    wizard.yes.click()
    assert "units" in wizard.wrong


@pytest.mark.parametrize("name", ["ferry", "piper", "tandem"])
def test_the_samples_spreadsheets_come_in(catalogue: Catalogue, qtbot: QtBot, samples_folder: Path, name: str) -> None:
    wizard = ImportWizard(catalogue)
    qtbot.addWidget(wizard)
    for part, ending in (("units", "csv"), ("patch", "csv"), ("gear", "toml"), ("house", "toml")):
        wizard.files[part].edit.setText(str(samples_folder / name / f"{part}.{ending}"))
    wizard.yes.click()
    assert wizard.wrong == ""
    assert wizard.book is not None
    assert wizard.book.gigs


def test_about_is_plain_text(qtbot: QtBot) -> None:
    about = About()
    qtbot.addWidget(about)
    labels = about.findChildren(QLabel)
    assert any(label.text() == "Cautions" for label in labels)
    assert all(label.textFormat() == Qt.TextFormat.PlainText for label in labels)


@pytest.mark.parametrize(("name", "ended"), [("duo", "duo.loom"), ("a.b", "a.b.loom"), ("DUO.LOOM", "DUO.LOOM")])
def test_a_book_gets_its_ending(name: str, ended: str) -> None:
    assert with_ending(Path(name)).name == ended


def test_a_fact_with_fixed_answers_is_refused_in_one_sentence(desk: Desk, qtbot: QtBot) -> None:
    form = HouseForm(desk)
    qtbot.addWidget(form)
    row = next(row for row in form.facts if row.key == "phantom")
    row.state.setCurrentIndex(0)
    row.value.setText("maybe")
    form.yes.click()
    assert "must be" in form.wrong
    assert desk.history.past == ()
    row.value.setText("Per channel")
    form.yes.click()
    assert desk.book.house(desk.book.gig().house).fact("phantom").value == "per channel"
