"""A house's reply pasted in, and two gigs compared."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QScrollArea
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.dialogs.compare_form import CompareForm
from app.dialogs.reply_form import ReplyForm
from rigcore import resources
from rigcore.book import file as book_file
from rigcore.catalogue.loader import shipped


@pytest.fixture
def reply(desk: Desk, qtbot: QtBot) -> ReplyForm:
    form = ReplyForm(desk)
    qtbot.addWidget(form)
    form.show()
    return form


def test_a_pasted_mail_is_read_shown_and_taken_in_as_one_step(desk: Desk, reply: ReplyForm, qtbot: QtBot) -> None:
    assert not reply.yes.isEnabled()
    reply.said_by.setText("Ada, sound")
    reply.text.setPlainText("Hello,\n48 V: per channel\nDI boxes: 3\nsee you!")
    qtbot.waitUntil(reply.yes.isEnabled)
    assert "Understood: 2" in reply.told.text()
    qtbot.waitUntil(lambda: "Nothing lands otherwise." in reply.told.text() or "fit: " in reply.told.text())
    reply.yes.click()
    house = desk.book.house("house")
    assert house.fact("phantom").value == "per channel"
    assert house.fact("di boxes").said_by == "Ada, sound"
    assert len(desk.history.past) == 1


def test_what_is_not_understood_is_said_and_changes_nothing(desk: Desk, reply: ReplyForm, qtbot: QtBot) -> None:
    before = desk.book
    reply.text.setPlainText("question,answer\npa,not stereo")
    qtbot.waitUntil(lambda: "Not understood" in reply.told.text())
    assert not reply.yes.isEnabled()
    assert reply.commit() != ""
    assert desk.book is before


def test_a_wrong_day_of_the_answer_is_refused_and_marked(desk: Desk, reply: ReplyForm) -> None:
    before = desk.book
    reply.text.setPlainText("DI boxes: 3")
    reply.look()
    reply.said_on.setText("yesterday")
    reply.yes.click()
    assert "'yesterday' is no date" in reply.wrong
    assert reply.said_on.property("wrong")
    assert desk.book is before


def test_words_that_answer_nothing_are_answered_with_how_to_write_them(reply: ReplyForm) -> None:
    reply.text.setPlainText("Hello,\nwe shall see on the day.")
    reply.look()
    assert "48 V: per channel" in reply.told.text()


def test_hostile_text_is_shown_plain(reply: ReplyForm, qtbot: QtBot) -> None:
    reply.text.setPlainText("\x00\x1b[31m<img src=x>\n" * 200)
    reply.look()
    assert not reply.yes.isEnabled()


def test_two_gigs_are_compared_both_ways(desk: Desk, qtbot: QtBot) -> None:
    desk.take(book_file.load(resources.samples() / "tour.loom", shipped())[0], None)
    desk.show_gig("chapel")
    form = CompareForm(desk)
    qtbot.addWidget(form)
    assert "→" in form.told.text() or "+" in form.told.text()
    form._take_old("chapel")
    assert form.told.text().startswith("This is one gig twice")


def test_a_long_comparison_is_read_by_keyboard(desk: Desk, qtbot: QtBot) -> None:
    desk.take(book_file.load(resources.samples() / "tour.loom", shipped())[0], None)
    form = CompareForm(desk)
    qtbot.addWidget(form)
    form.resize(620, 300)
    form.show()
    bar = form.findChild(QScrollArea).verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0)
    form.yes.setFocus()
    qtbot.keyClick(form.yes, Qt.Key.Key_PageDown)
    assert bar.value() > 0
    qtbot.keyClick(form.yes, Qt.Key.Key_PageUp)
    assert bar.value() == 0
