"""A cable dropped where it does not go in: adapters are offered, and one is taken as one step."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from pytestqt.qtbot import QtBot

from app.canvas import offering
from app.canvas.gestures.draw_cable import DrawCable
from app.canvas.gestures.gesture import Pointer
from app.canvas.hits import Hit
from app.canvas.patch_view import PatchSheet
from app.desk import Desk
from rigcore import resources
from rigcore.book.gig import GearPiece
from rigcore.catalogue.catalogue import Catalogue
from rigcore.solve.offers import Offer


@pytest.fixture
def sheet(catalogue: Catalogue, qtbot: QtBot) -> PatchSheet:
    desk = Desk(catalogue)
    desk.open(Path(resources.samples()) / "tandem.loom")
    view = PatchSheet(desk)
    desk.setParent(view)
    qtbot.addWidget(view)
    view.resize(900, 600)
    view.show()
    return view


def drop(sheet: PatchSheet, start: Hit, end: Hit) -> None:
    """Draw a cable from one port to another, as the keyboard does."""
    pointer = Pointer(QPointF(), QPoint())
    gesture = DrawCable(sheet.desk, sheet.patch, start, sheet.theme)
    sheet.begin(gesture, pointer)
    gesture.hold_over(end, QPointF())
    sheet.gesture = None
    gesture.end(pointer)


PAIR = (Hit("port", "piano", "out-l"), Hit("port", "earphones", "in"))


@pytest.fixture(autouse=True)
def _one_box(monkeypatch: pytest.MonkeyPatch) -> None:
    """The search has tests of its own and takes its time; here it finds one adapter at once."""
    piece = GearPiece(kind="gear", gear="di-passive", enter="in-1", leave=("out-1",))
    found = (Offer((piece,), "DI box", ("DI box",), ()),)
    monkeypatch.setattr(offering, "offers", lambda patch, ends: found)


def test_the_first_offer_is_taken_by_enter_as_one_step(sheet: PatchSheet, qtbot: QtBot) -> None:
    desk = sheet.desk
    before = desk.book.rig(desk.rig_id)
    drop(sheet, *PAIR)
    assert sheet.offered is not None
    assert desk.book.rig(desk.rig_id) is before, "nothing is plugged before one is chosen"
    assert sheet.offered.item(0).text().startswith("Plug ")
    qtbot.waitUntil(lambda: "to buy: DI box" in sheet.offered.item(0).text(), timeout=3000)
    qtbot.keyClick(sheet.offered, Qt.Key.Key_Return)
    rig = desk.book.rig(desk.rig_id)
    assert len(rig.units) == len(before.units) + 1
    assert len(rig.links) == len(before.links) + 2
    assert len(desk.history.past) == 1
    desk.undo()
    assert desk.book.rig(desk.rig_id) == before


def test_esc_plugs_nothing_and_the_last_line_plugs_it_as_it_is(sheet: PatchSheet, qtbot: QtBot) -> None:
    desk = sheet.desk
    before = desk.book
    for key in (Qt.Key.Key_Escape, Qt.Key.Key_Return):
        drop(sheet, *PAIR)
        assert sheet.offered is not None
        qtbot.waitUntil(lambda: sheet.offered.count() == 2 and "DI" in sheet.offered.item(0).text(), timeout=3000)
        sheet.offered.setCurrentRow(1)
        assert desk.book is before
        qtbot.keyClick(sheet.offered, key)
    rig = desk.book.rig(desk.rig_id)
    assert len(rig.links) == len(before.rig(desk.rig_id).links) + 1
    assert len(rig.units) == len(before.rig(desk.rig_id).units)
