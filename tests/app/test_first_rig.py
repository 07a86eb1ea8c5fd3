"""The main job by mouse: four units from the shelf, cabled, landed, judged, and all of it undone."""

from __future__ import annotations

from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.gestures.drop_gear import GEAR_MIME
from app.canvas.patch_view import PatchSheet
from app.window import MainWindow
from rigcore.book.file import to_bytes
from rigcore.book.ids import PortRef

LEFT, NO_KEYS = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


def _drop(sheet: PatchSheet, gear: str, at: QPointF) -> str:
    """Drop a gear type as the shelf does and return the id of the unit it became."""
    before = {unit.id for unit in sheet.desk.book.rig("rig").units}
    data = QMimeData()
    data.setData(GEAR_MIME, gear.encode())
    place = sheet.mapFromScene(at)
    for event in (
        QDragEnterEvent(place, Qt.DropAction.CopyAction, data, LEFT, NO_KEYS),
        QDropEvent(QPointF(place), Qt.DropAction.CopyAction, data, LEFT, NO_KEYS),
    ):
        QApplication.sendEvent(sheet.viewport(), event)
    [new] = {unit.id for unit in sheet.desk.book.rig("rig").units} - before
    return new


def _cable(qtbot: QtBot, sheet: PatchSheet, source: PortRef, target: PortRef | str) -> None:
    """Drag from one face to another with the left button."""
    start, end = (sheet.mapFromScene(QPointF(*sheet.patch.face_at(one)[0])) for one in (source, target))
    qtbot.mousePress(sheet.viewport(), LEFT, NO_KEYS, start)
    for share in (0.1, 0.5, 1.0):
        qtbot.mouseMove(sheet.viewport(), start + (end - start) * share)
    qtbot.mouseRelease(sheet.viewport(), LEFT, NO_KEYS, end)


def test_a_four_unit_rig_from_nothing_and_back(window: MainWindow, qtbot: QtBot) -> None:
    with qtbot.waitActive(window):
        window.activateWindow()
    desk = window.desk
    desk.new()
    empty = to_bytes(desk.book)
    sheet = window.sheets.currentWidget()
    assert isinstance(sheet, PatchSheet)
    sheet.set_zoom(1.0)
    sheet.centerOn(sheet.content().center())
    centre = sheet.mapToScene(QPoint(sheet.viewport().width() // 2, sheet.viewport().height() // 2))

    piano = _drop(sheet, "stage-piano-88", centre + QPointF(-200, -200))
    di = _drop(sheet, "di-passive-stereo", centre + QPointF(-200, -20))
    vox = _drop(sheet, "condenser-handheld", centre + QPointF(120, -200))
    ears = _drop(sheet, "mixer-in-ear", centre + QPointF(200, -20))
    assert len(desk.book.rig("rig").units) == 4
    sheet.zoom_to_fit()

    _cable(qtbot, sheet, PortRef(unit=piano, port="out-l"), PortRef(unit=di, port="in-1"))
    _cable(qtbot, sheet, PortRef(unit=piano, port="out-r"), PortRef(unit=di, port="in-2"))
    _cable(qtbot, sheet, PortRef(unit=vox, port="out"), PortRef(unit=ears, port="mic-1"))
    _cable(qtbot, sheet, PortRef(unit=di, port="out-1"), "in-1")
    _cable(qtbot, sheet, PortRef(unit=di, port="out-2"), "in-2")
    assert len(desk.book.rig("rig").links) == 3
    assert [landing.socket for landing in desk.book.gig().landings] == ["in-1", "in-2"]

    # The condenser hangs on the player's own mixer, whose 48 V is off.
    [missing] = [finding for finding in desk.analysis().findings if finding.rule == "phantom.missing"]
    assert missing.things[0].id == vox
    assert desk.edit(missing.remedies[0].words, missing.remedies[0].apply)
    assert "phantom.missing" not in {finding.rule for finding in desk.analysis().findings}

    full = to_bytes(desk.book)
    steps = len(desk.history.past)
    for _ in range(steps):
        qtbot.keyClick(sheet, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert to_bytes(desk.book) == empty
    for _ in range(steps):
        desk.redo()
    assert to_bytes(desk.book) == full
