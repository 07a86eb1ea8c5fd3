"""The head of the Fit sheet: its buttons and choosers, in one row, or in two where the room is short."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QPushButton, QWidget

from app.panes.forms.fields import plain
from app.panes.marks import Chooser

MOST_LINES = 8


class FitHead(QWidget):
    """The head. ``pressed(name)`` with the name of a button; the choosers are listened to themselves."""

    pressed = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.buttons: dict[str, QPushButton] = {}
        self.lines = Chooser()
        self.kit = QPushButton(self.tr("Tour kit"))
        self._rows = (self._buttons(), self._choosers())
        self._box = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(6)
        self._box.addLayout(self._rows[0])
        self._box.addStretch(1)
        self._box.addLayout(self._rows[1])

    def light(self, name: str, on: bool) -> None:
        """Let a button stand out while it can be pressed; a dark one that cannot would look as if it could."""
        button, role = self.buttons[name], "primary" if on else ""
        button.setEnabled(on)
        if button.property("role") != role:
            button.setProperty("role", role)
            button.style().unpolish(button)
            button.style().polish(button)
            self._stack()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stack the rows where they do not fit beside each other."""
        super().resizeEvent(event)
        self._stack()

    def _stack(self) -> None:
        is_short = sum(row.sizeHint().width() for row in self._rows) + 12 > self.width()
        way = QBoxLayout.Direction.TopToBottom if is_short else QBoxLayout.Direction.LeftToRight
        if self._box.direction() != way:
            self._box.setDirection(way)

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(6)
        row.addWidget(plain(self.tr("Fit"), "title", wrap=False))
        row.addSpacing(6)
        for name, text, tip in (
            ("keep", self.tr("Fit it"), self.tr("Find lines for what has none; keep the rest")),
            ("fresh", self.tr("Fit afresh"), self.tr("Forget what is landed and find the best")),
            ("take", self.tr("Take the proposal"), self.tr("Land it so; one step, undoable")),
            ("stop", self.tr("Stop"), self.tr("End the work; the best so far is shown")),
        ):
            button = QPushButton(text)
            button.setToolTip(tip)
            button.setAccessibleDescription(tip)
            button.clicked.connect(lambda _on=False, name=name: self.pressed.emit(name))
            self.buttons[name] = button
            row.addWidget(button)
        row.addStretch(1)
        return row

    def _choosers(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(6)
        self.lines.setAccessibleName(self.tr("The rig on so many lines"))
        self.lines.addItem(self.tr("All lines"), None)
        for count in range(1, MOST_LINES + 1):
            self.lines.addItem(self.tr("1 line") if count == 1 else self.tr("{} lines").format(count), count)
        self.lines.setMinimumContentsLength(7)
        self.kit.setCheckable(True)
        self.kit.setToolTip(self.tr("The fewest things that do for all gigs of the book"))
        row.addWidget(self.lines)
        row.addWidget(self.kit)
        row.addStretch(1)
        return row
