"""The list of gigs, rigs and houses: each button one step, what is needed stays, names edited in place."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.dialogs.plans import PlansDialog
from app.window import MainWindow
from rigcore import resources
from rigcore.book import file as book_file
from rigcore.catalogue.loader import shipped


@pytest.fixture
def dialog(desk: Desk, qtbot: QtBot) -> PlansDialog:
    desk.take(book_file.load(resources.samples() / "tour.loom", shipped())[0], None)
    dialog = PlansDialog(desk)
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog


def test_the_gig_in_view_is_chosen(dialog: PlansDialog, desk: Desk) -> None:
    assert dialog.chosen == ("gig", desk.gig_id)


def test_copy_then_remove_are_two_steps(dialog: PlansDialog, desk: Desk) -> None:
    before = desk.book
    dialog.choose("house", "chapel")
    dialog.copy_it.click()
    assert dialog.chosen is not None
    assert dialog.chosen[1] not in ("chapel",)
    assert len(desk.book.houses) == len(before.houses) + 1
    dialog.remove_it.click()
    assert desk.book == before
    assert len(desk.history.past) == 2


def test_what_is_needed_cannot_be_removed_and_says_why(dialog: PlansDialog) -> None:
    dialog.choose("house", "chapel")
    assert not dialog.remove_it.isEnabled()
    assert "Thursday" in dialog._reason.text()


def test_a_name_is_changed_in_place_and_an_empty_one_refused(dialog: PlansDialog, desk: Desk) -> None:
    dialog.choose("rig", desk.rig_id)
    dialog.list.currentItem().setText(0, "Small rig")
    assert desk.book.rig(desk.rig_id).name == "Small rig"
    dialog.list.currentItem().setText(0, "  ")
    assert desk.book.rig(desk.rig_id).name == "Small rig"
    assert "needs a name" in dialog._reason.text()


def test_a_gig_put_away_leaves_the_chooser_of_the_bar(window: MainWindow, qtbot: QtBot) -> None:
    window.desk.take(book_file.load(resources.samples() / "tour.loom", shipped())[0], None)
    dialog = PlansDialog(window.desk)
    qtbot.addWidget(dialog)
    count = window._bar.gigs.count()
    dialog.choose("gig", "festival")
    dialog.away.click()
    assert window._bar.gigs.count() == count - 1
    dialog.choose("gig", "festival")
    dialog.show_it.click()
    assert window.desk.gig_id == "festival"
    assert window._bar.gigs.count() == count


def test_a_new_rig_and_a_new_house_come_into_view(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(window.gigs, "edit_house", lambda: None)
    window.gigs.new_rig()
    assert window.desk.book.rig(window.desk.rig_id).units == ()
    window.gigs.new_house()
    assert window.desk.book.house(window.desk.book.gig(window.desk.gig_id).house).name == "New house"
    window.desk.undo()
    window.desk.undo()
    assert len(window.desk.book.gigs) == 1
