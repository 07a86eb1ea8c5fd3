"""The Packet sheet shows the real pages and follows edits; sending notes a letter; printing prints the same pages."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot

from app.dialogs.printing import print_on, printer_for
from app.dialogs.send_form import SendForm
from app.panes.packet_preview import PacketSheet
from app.window import MainWindow
from rigcore.book.edits.hand_offs import change_hand_off
from rigcore.paper.packet import CHOICES, packet_bytes


@pytest.fixture
def sheet(window: MainWindow, qtbot: QtBot) -> PacketSheet:
    window.show_sheet("packet-sheet")
    page = window.sheets.page("packet-sheet")
    assert isinstance(page, PacketSheet)
    qtbot.waitUntil(lambda: len(page.images) > 0, timeout=20_000)
    return page


def test_the_pages_are_those_of_the_pdf(window: MainWindow, sheet: PacketSheet) -> None:
    pdf = pypdfium2.PdfDocument(packet_bytes(window.desk.analysis()))
    assert len(sheet.images) == len(pdf)
    shapes = [round(page.get_width() / page.get_height(), 2) for page in pdf]
    assert [round(image.width() / image.height(), 2) for image in sheet.images] == shapes


def test_it_follows_an_edit(window: MainWindow, sheet: PacketSheet, qtbot: QtBot) -> None:
    before = sheet.images[0]
    hand_off = window.desk.book.rig("rig").hand_offs[0]
    window.desk.edit("rename", lambda book: change_hand_off(book, "rig", hand_off.id, name="Quite another name"))
    qtbot.waitUntil(lambda: sheet.images[0] != before, timeout=20_000)


def test_what_no_font_prints_is_said(window: MainWindow, sheet: PacketSheet, qtbot: QtBot) -> None:
    hand_off = window.desk.book.rig("rig").hand_offs[0]
    odd = "Keys \U0001333f"
    window.desk.edit("rename", lambda book: change_hand_off(book, "rig", hand_off.id, name=odd))
    qtbot.waitUntil(lambda: "hollow squares" in sheet._said.text(), timeout=20_000)


def test_other_pages_are_chosen(sheet: PacketSheet, qtbot: QtBot) -> None:
    sheet.whose.setCurrentIndex(1)
    sheet.whose.activated.emit(1)
    assert sheet.wanted.pages == tuple(page for page in sheet._ticks if page in CHOICES["player"])
    sheet._ticks["plot"].trigger()
    assert sheet.whose.currentIndex() == 2
    assert "plot" in sheet.wanted.pages
    for tick in sheet._ticks.values():
        tick.setChecked(False)
    sheet.draw()
    qtbot.waitUntil(lambda: "at least one" in sheet._said.text() or sheet._job is not None, timeout=20_000)


def test_more_pages_are_whole_at_once(sheet: PacketSheet) -> None:
    """As soon as they are drawn, before the interface has had a turn: a squeezed label shows the middle of its page."""
    sheet.whose.setCurrentIndex(1)
    sheet.whose.activated.emit(1)
    sheet.settle()
    labels = [label for label in sheet.findChildren(QLabel) if not label.pixmap().isNull()]
    assert len(labels) == len(sheet.images) > 2
    for label, image in zip(labels, sheet.images, strict=True):
        assert label.height() == round(image.height() / sheet.devicePixelRatioF())


def test_plus_makes_the_pages_larger(sheet: PacketSheet, qtbot: QtBot) -> None:
    wide = sheet.images[0].width()
    sheet.zoom(1)
    qtbot.waitUntil(lambda: sheet.images[0].width() > wide, timeout=20_000)


def test_its_buttons_are_actions_of_the_window(window: MainWindow, sheet: PacketSheet, monkeypatch) -> None:
    asked = []
    sheet.asked.connect(asked.append)
    monkeypatch.setattr(window.files.ask, "folder", lambda *_: None)
    button = next(one for one in sheet.findChildren(QPushButton) if one.text() == "Export…")
    button.click()
    assert asked == ["packet"]
    assert set(asked) <= set(window.actions_by_id)


def test_sending_notes_the_letter_and_the_same_again_keeps_it(window: MainWindow, qtbot: QtBot) -> None:
    for letter, name in (("A", ""), ("A", ""), ("B", "Lead")):
        if name:
            window.desk.edit("rename", lambda book: change_hand_off(
                book, "rig", book.rig("rig").hand_offs[0].id, name="Lead"))
        form = SendForm(window.desk, window)
        qtbot.addWidget(form)
        assert form.letter == letter
        form.to.setText("house@example.org")
        assert form.commit() == ""
    assert [one.letter for one in window.desk.book.gig("gig").letters] == ["A", "B"]
    window.desk.undo()
    assert [one.letter for one in window.desk.book.gig("gig").letters] == ["A"]


def test_printing_prints_the_same_pages(window: MainWindow, tmp_path: Path) -> None:
    printer = printer_for("A4")
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    printer.setResolution(100)
    count = print_on(printer, window.desk.analysis(), "A4", False)
    pdf = pypdfium2.PdfDocument(tmp_path / "printed.pdf")
    assert len(pdf) == count == len(pypdfium2.PdfDocument(packet_bytes(window.desk.analysis())))
