"""The sample's rig planned with the keyboard alone: shelf, ports, cables, house line, names, a stand, undo.

Every key goes to whatever has the keyboard; nothing is given the focus from here.
"""

from __future__ import annotations

from collections import deque

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.canvas.hits import Hit
from app.canvas.layout import Point
from app.canvas.patch_view import PatchSheet
from app.canvas.walk import DOWN, LEFT, RIGHT, UP, Stop, next_that_way
from app.window import MainWindow
from rigcore.book.file import to_bytes
from rigcore.book.rig import Unit

Key = Qt.Key
CTRL = Qt.KeyboardModifier.ControlModifier
ARROWS = {Key.Key_Up: UP, Key.Key_Down: DOWN, Key.Key_Left: LEFT, Key.Key_Right: RIGHT}
MOST_FIELDS = 12

GEAR = (
    ("stage-piano-88", "stage piano"), ("dynamic-handheld", "dynamic handheld"), ("splitter-1x2", "splitter 1 to 2"),
    ("mixer-in-ear", "in-ear mixer"), ("adapter-trs6m-trs3f", "trs plug to 3.5 mm"), ("earphones", "earphones"),
)  # fmt: skip
CABLES = (
    (("dynamic-handheld", "out"), ("splitter-1x2", "in")),
    (("splitter-1x2", "isolated"), ("mixer-in-ear", "mic-1")),
    (("mixer-in-ear", "phones"), ("adapter-trs6m-trs3f", "in")),
    (("adapter-trs6m-trs3f", "out"), ("earphones", "in")),
)
LANDINGS = ((("splitter-1x2", "direct"), "in-3"),)


class Keyboard:
    """A hand on the keyboard of one window."""

    def __init__(self, window: MainWindow) -> None:
        self.window = window

    @property
    def sheet(self) -> PatchSheet:
        sheet = self.window.sheets.currentWidget()
        assert isinstance(sheet, PatchSheet)
        return sheet

    def at(self) -> QWidget:
        """Return what has the keyboard."""
        return QApplication.focusWidget() or self.window

    def press(self, key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        """Press a key."""
        QTest.keyClick(self.at(), key, held)
        QApplication.processEvents()

    def type(self, text: str) -> None:
        """Type a text."""
        QTest.keyClicks(self.at(), text)
        QApplication.processEvents()

    def unit(self, gear: str) -> Unit:
        """Return the unit of a gear type."""
        [found] = [one for one in self.window.desk.book.rig("rig").units if one.gear == gear]
        return found

    def walk_to(self, goal: Hit) -> None:
        """Press arrows until the ring is on the goal."""
        for key in self._way(goal):
            self.press(key)
        assert self.sheet.keys.here == goal, f"with the keyboard at {self.at()}, the ring is at {self.sheet.keys.here}"

    def _way(self, goal: Hit) -> list[Qt.Key]:
        """Return the arrows that lead from here to there, the fewest."""
        stops, here = self.sheet.keys._stops(), self.sheet.keys.here
        places = {stop.name: stop.at for stop in stops}
        start = here if here in places else None
        come_from: dict[object, tuple[object, Qt.Key]] = {}
        waiting = deque([start])
        while waiting:
            now = waiting.popleft()
            if now == goal:
                break
            at: Point = places[now] if now is not None else self.sheet.keys._here_at()
            for key, way in ARROWS.items():
                stop: Stop | None = next_that_way(stops, at, way)
                if stop is not None and stop.name not in come_from and stop.name != start:
                    come_from[stop.name] = (now, key)
                    waiting.append(stop.name)  # type: ignore[arg-type]
        assert goal in come_from or goal == start, f"no arrows lead to {goal}"
        keys: list[Qt.Key] = []
        name: object = goal
        while name != start:
            name, key = come_from[name]
            keys.append(key)
        return keys[::-1]

    def cable(self, start: Hit, end: Hit) -> None:
        """Walk to one end, begin a cable, walk to the other, end it."""
        self.walk_to(start)
        self.press(Key.Key_Return)
        self.walk_to(end)
        self.press(Key.Key_Return)

    def tab_to(self, name: str) -> None:
        """Press Tab until a field of that name has the keyboard."""
        for _ in range(MOST_FIELDS):
            if self.at().objectName() == name:
                return
            self.press(Key.Key_Tab)
        raise AssertionError(f"Tab does not lead to {name}; it ended at {self.at().objectName() or self.at()}")

    def find(self, words: str) -> None:
        """Go to what is found on the sheet."""
        self.press(Key.Key_F, CTRL)
        self.type(words)
        self.press(Key.Key_Return)


@pytest.fixture
def keyboard(window: MainWindow, qtbot: QtBot) -> Keyboard:
    """The keyboard over an empty plan."""
    qtbot.waitExposed(window)
    QApplication.processEvents()
    with qtbot.waitActive(window):
        window.activateWindow()
    keyboard = Keyboard(window)
    keyboard.press(Key.Key_N, CTRL)
    qtbot.waitUntil(lambda: not window.desk.book.rig("rig").units)
    return keyboard


def take_gear(keyboard: Keyboard) -> None:
    """Take all the gear from the shelf; Enter takes the first that is found."""
    keyboard.press(Key.Key_F4)
    for gear, words in GEAR:
        keyboard.press(Key.Key_F, CTRL)
        keyboard.type(words)
        keyboard.press(Key.Key_Return)
        assert keyboard.unit(gear)


def hit(keyboard: Keyboard, end: tuple[str, str]) -> Hit:
    return Hit("port", keyboard.unit(end[0]).id, end[1])


def test_the_whole_session_by_keyboard(keyboard: Keyboard, qtbot: QtBot) -> None:
    desk = keyboard.window.desk
    empty = to_bytes(desk.book)
    take_gear(keyboard)
    keyboard.press(Key.Key_F6)
    assert keyboard.at() is keyboard.sheet
    for start, end in CABLES:
        keyboard.cable(hit(keyboard, start), hit(keyboard, end))
    assert len(desk.book.rig("rig").links) == len(CABLES)
    for start, tile in LANDINGS:
        keyboard.cable(hit(keyboard, start), Hit("tile", tile))
    assert [one.socket for one in desk.book.gig().landings] == [tile for _start, tile in LANDINGS]

    vocal = keyboard.unit("dynamic-handheld")
    keyboard.walk_to(Hit("unit", vocal.id))
    keyboard.press(Key.Key_F2)
    keyboard.type("Vocal")
    keyboard.press(Key.Key_Return)
    assert keyboard.unit("dynamic-handheld").name == "Vocal"
    assert keyboard.at() is keyboard.sheet

    keyboard.walk_to(Hit("unit", vocal.id))
    keyboard.press(Key.Key_F4)
    keyboard.tab_to("Stand")
    keyboard.press(Key.Key_Down)
    qtbot.waitUntil(lambda: keyboard.unit("dynamic-handheld").stand is not None)

    [link] = [one for one in desk.book.rig("rig").links if one.source.unit == vocal.id]
    keyboard.press(Key.Key_F6)
    keyboard.find("vocal output microphone splitter")
    assert [one.id for one in desk.selection] == [link.id]
    keyboard.press(Key.Key_F4)
    keyboard.tab_to("Cable")
    for key, other in ((Key.Key_Down, True), (Key.Key_Up, False)):
        keyboard.press(key)
        qtbot.waitUntil(lambda other=other: (desk.book.rig("rig").link(link.id).cable != "xlr") == other)
        keyboard.tab_to("Cable")

    full, steps = to_bytes(desk.book), len(desk.history.past)
    keyboard.press(Key.Key_F6)
    for _ in range(steps):
        keyboard.press(Key.Key_Z, CTRL)
    assert to_bytes(desk.book) == empty
    for _ in range(steps):
        keyboard.press(Key.Key_Z, CTRL | Qt.KeyboardModifier.ShiftModifier)
    assert to_bytes(desk.book) == full


def test_arrows_lead_to_every_port_and_tile(keyboard: Keyboard) -> None:
    take_gear(keyboard)
    keyboard.press(Key.Key_F6)
    for stop in keyboard.sheet.keys._stops():
        assert isinstance(stop.name, Hit)
        keyboard.walk_to(stop.name)
