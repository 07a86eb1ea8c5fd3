"""Command search: type a few letters of what you want to do, press Enter, and it is done."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QDialog, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from app.panes.forms.fields import plain

ACTION = Qt.ItemDataRole.UserRole
SIZE = (520, 380)


def spoken(action: QAction) -> str:
    """Return the words of an action without the marks of its access key."""
    return action.text().replace("&&", "\0").replace("&", "").replace("\0", "&").rstrip("…")


def fitting(words: Sequence[str], query: str) -> list[int]:
    """Return the places of the texts that hold every word of a query: those that begin with it first.

    >>> fitting(["Save as", "Undo", "New book", "Book as is"], "book")
    [3, 2]
    >>> fitting(["Save as", "Save"], "")
    [0, 1]
    """
    asked = query.casefold().split()
    found = [place for place, text in enumerate(words) if all(word in text.casefold() for word in asked)]
    return sorted(found, key=lambda place: not words[place].casefold().startswith(" ".join(asked)))


class CommandSearch(QDialog):
    """A line to type in and the commands that fit. ``chosen`` is the command after Enter, None after Escape."""

    def __init__(self, actions: Iterable[QAction], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Find a command"))
        self.chosen: QAction | None = None
        self._actions = [one for one in actions if one.isEnabled()]
        self._words = [f"{spoken(one)} {_tip(one)}" for one in self._actions]
        self.query = QLineEdit()
        self.query.setPlaceholderText(self.tr("type what you want to do"))
        self.query.setAccessibleName(self.tr("Command"))
        self.query.textChanged.connect(self._fill)
        self.found = QListWidget()
        self.found.setAccessibleName(self.tr("Commands that fit"))
        self.found.itemActivated.connect(lambda _item: self._choose())
        self.found.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._none = plain(self.tr("No command fits; try another word."), "soft")
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 12, 12, 12)
        column.setSpacing(8)
        for part in (self.query, self._none, self.found):
            column.addWidget(part)
        self.resize(*SIZE)
        self._fill("")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows walk the list while the line keeps the focus; Enter takes."""
        key = event.key()
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(key), 0)
        if step:
            row = min(max(self.found.currentRow() + step, 0), self.found.count() - 1)
            self.found.setCurrentRow(row)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._choose()
        else:
            super().keyPressEvent(event)

    def _fill(self, query: str) -> None:
        self.found.clear()
        for place in fitting(self._words, query):
            action = self._actions[place]
            keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            item = QListWidgetItem(f"{spoken(action)}   {keys}" if keys else spoken(action))
            item.setToolTip(_tip(action))
            item.setData(ACTION, place)
            self.found.addItem(item)
        self.found.setCurrentRow(0)
        self._none.setVisible(not self.found.count())

    def _choose(self) -> None:
        item = self.found.currentItem()
        if item is not None:
            self.chosen = self._actions[item.data(ACTION)]
            self.accept()


def _tip(action: QAction) -> str:
    return action.toolTip()
