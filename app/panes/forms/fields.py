"""The fields forms are made of: labelled rows whose editors commit when the user is done.

A field never writes to the book; it calls the function it was given.
"""

from __future__ import annotations

import datetime as dt
from bisect import bisect_right
from collections.abc import Callable, Sequence
from html import escape
from typing import Any

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QCheckBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QSizePolicy,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from app.panes.forms.editors import Calm, LineEdit, LongEdit, NoteEdit, Number, Say, mark_wrong
from app.panes.marks import Chooser
from rigcore.rules.words import pieces, tied

MOST_HEIGHTS = 16
"""For how many widths a label keeps its height, as when an edge of its pane is dragged."""


class _Wrapped(QLabel):
    """A label that wraps, no number apart from its unit, and asks for no more height than its width needs.

    How high it is at a width is kept: layouts ask ten times over, and each time all its words would be set anew.
    """

    def __init__(self) -> None:
        super().__init__()
        self._said = ""
        self._heights: dict[int, int] = {}

    def setText(self, text: str) -> None:
        """Show a text; what is shown has blanks that do not break."""
        self._said = text
        self._heights.clear()
        super().setText(tied(text))

    def text(self) -> str:
        """The text as it was given."""
        return self._said

    def minimumSizeHint(self) -> QSize:
        return QSize(1, self.fontMetrics().height())

    def heightForWidth(self, width: int) -> int:
        high = self._heights.get(width)
        if high is None:
            if len(self._heights) >= MOST_HEIGHTS:
                self._heights.clear()
            high = self._heights[width] = super().heightForWidth(width)
        return high

    def changeEvent(self, event: QEvent) -> None:
        self._heights.clear()
        super().changeEvent(event)


def plain(text: str, role: str = "", *, wrap: bool = True) -> QLabel:
    """Return a label that shows text as it is, never as markup."""
    label = _Wrapped() if wrap else QLabel()
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setText(text)
    label.setWordWrap(wrap)
    if role:
        label.setProperty("role", role)
    if wrap:
        label.setMinimumWidth(1)
        policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        label.setSizePolicy(policy)
    return label


def button_text(text: str) -> str:
    """Return text safe for a button or menu: an ampersand stays an ampersand."""
    return text.replace("&", "&&")


class Elided(QLabel):
    """One line of plain text, or a few, that elides and then shows all of itself in a tooltip."""

    def __init__(self, text: str = "", role: str = "", parent: QWidget | None = None, *, lines: int = 1) -> None:
        super().__init__(parent)
        self._lines = lines
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setProperty("role", role)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.setMinimumWidth(1)
        self._whole = ""
        self._room = -1
        self._widths: dict[str, int] = {}
        self.say(text)

    @property
    def whole(self) -> str:
        """The text before eliding."""
        return self._whole

    def say(self, text: str) -> None:
        """Show a text."""
        self._whole = text
        self._widths.clear()
        self.setAccessibleName(text)
        if self._room < 0:
            self.setText(text)
        else:
            self._elide()

    def resizeEvent(self, event: Any) -> None:
        """Elide anew: until a layout has given it a width there is nothing to go by."""
        super().resizeEvent(event)
        room = max(self.width() - 2, 0)
        if room != self._room:
            self._room = room
            self._elide()

    def changeEvent(self, event: QEvent) -> None:
        """Elide anew in another type."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._widths.clear()
            if self._room >= 0:
                self._elide()

    def _wide(self, words: str) -> int:
        """Return the width of words, kept while text and type are the same: a layout asks many times over."""
        wide = self._widths.get(words)
        if wide is None:
            wide = self._widths[words] = self.fontMetrics().horizontalAdvance(words)
        return wide

    def _elide(self) -> None:
        shown, rest, room = [], self._whole, self._room
        while rest and len(shown) < self._lines - 1 and self._wide(rest) > room:
            words = pieces(rest)
            counts = range(1, len(words))
            fits = bisect_right(counts, room, key=lambda n: self._wide(" ".join(words[:n])))
            if not fits:
                break
            shown.append(" ".join(words[:fits]))
            rest = " ".join(words[fits:])
        last = self.fontMetrics().elidedText(rest, Qt.TextElideMode.ElideRight, room)
        text = "\n".join([*shown, last])
        if text != self.text():
            self.setText(text)
        self.setToolTip("" if last == rest else f"<span>{escape(self._whole)}</span>")


class Form(QWidget):
    """A column of headings, labelled fields and buttons."""

    def __init__(self, parent: QWidget | None = None, *, label_px: int = 84) -> None:
        super().__init__(parent)
        self._label_px = label_px
        self.setProperty("role", "column")
        self._calm = Calm(self)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(14, 10, 12, 14)
        self._column.setSpacing(6)
        self._grid: QGridLayout | None = None
        self._keys: dict[str, int] = {}

    def hand_in(self) -> None:
        """Commit whatever is typed and not yet committed, wherever the focus is."""
        for box in self.findChildren(QAbstractSpinBox):
            box.interpretText()
        for edit in self.findChildren(QLineEdit):
            edit.editingFinished.emit()
        for note in self.findChildren(NoteEdit):
            note.hand_in()

    def add(self, widget: QWidget) -> QWidget:
        """Add a widget over the whole width."""
        self._grid = None
        self._column.addWidget(widget)
        return widget

    def title(self, text: str, sub: str = "") -> None:
        """Add the title of the form."""
        self.add(plain(text, "title"))
        if sub:
            self.add(plain(sub, "soft"))

    def heading(self, text: str) -> None:
        """Begin a group."""
        self._grid = None
        self._column.addSpacing(8)
        line = QFrame()
        line.setProperty("role", "rule")
        self._column.addWidget(line)
        self._column.addSpacing(2)
        self.add(plain(text, "heading"))

    def say(self, text: str, role: str = "") -> QLabel:
        """Add a line of text."""
        label = plain(text, role)
        self.add(label)
        return label

    def finish(self) -> None:
        """Close the column: what is left stays empty below."""
        self._column.addStretch(1)

    def row(self, label: str, field: QWidget, key: str = "") -> QWidget:
        """Add a labelled field; ``key`` names it, so that the focus finds it again."""
        if self._grid is None:
            self._grid = QGridLayout()
            self._grid.setContentsMargins(0, 0, 0, 0)
            self._grid.setHorizontalSpacing(10)
            self._grid.setVerticalSpacing(6)
            self._grid.setColumnMinimumWidth(0, self._label_px)
            self._grid.setColumnStretch(1, 1)
            self._column.addLayout(self._grid)
        line = self._grid.rowCount()
        words = plain(label, "soft")
        words.setFixedWidth(max(self._label_px, self.fontMetrics().averageCharWidth() * 12))
        words.setBuddy(field)
        tall = isinstance(field, (QPlainTextEdit, QLabel))
        top = Qt.AlignmentFlag.AlignTop if tall else Qt.AlignmentFlag.AlignVCenter
        self._grid.addWidget(words, line, 0, top)
        self._grid.addWidget(field, line, 1)
        self._name(field, key or label, label)
        field.installEventFilter(self._calm)
        for edit in field.findChildren(QLineEdit):
            edit.installEventFilter(self._calm)
        return field

    def fact(self, label: str, text: str) -> QLabel:
        """Add a labelled text that cannot be edited."""
        value = plain(text)
        value.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.row(label, value, f"fact {label}")
        return value

    def told(self, label: str, words: str, *, act: str = "", press: Callable[[], object] | None = None) -> QLabel:
        """Add a labelled text with a button beside it."""
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        value = plain(words)
        value.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        value.setObjectName(f"told {label}")
        row.addWidget(value, 1)
        self.row(label, holder, f"row {label}")
        if press is not None:
            button = QPushButton(button_text(act))
            button.clicked.connect(lambda: press())
            row.addWidget(button)
            self._name(button, act, f"{act}: {label} {words}")
        return value

    def text(
        self, label: str, value: str, done: Say, *, hint: str = "", most: int = 200, needed: bool = False
    ) -> QLineEdit:
        """Add a line of text, of no more than so many characters; one that is ``needed`` is marked when it is emptied.
        """
        edit = LineEdit(value)
        edit.setMaxLength(most)
        edit.setPlaceholderText(hint)
        edit.setCursorPosition(0)

        def commit() -> None:
            if needed and not edit.text().strip():
                mark_wrong(edit)
            if edit.text() != edit.property("before"):
                edit.setProperty("before", edit.text())
                done(edit.text())

        edit.setProperty("before", value)
        edit.editingFinished.connect(commit)
        self.row(label, edit)
        return edit

    def long_text(self, label: str, value: str, done: Say) -> LongEdit:
        """Add a text that grows with what is written, up to a few lines."""
        edit = LongEdit(value, done)
        self.row(label, edit)
        return edit

    def note(self, label: str, value: str, done: Say) -> NoteEdit:
        """Add a few lines of text."""
        edit = NoteEdit(value, done)
        self.row(label, edit)
        return edit

    def number(
        self, label: str, value: float | None, done: Say, *, unit: str, span: tuple[float, float],
        step: float = 0.1, places: int = 2, empty: str = "",
    ) -> Number:
        """Add a number with its unit; with ``empty`` words, the bottom of the span means "nothing set"."""
        box = Number()
        box.setDecimals(places)
        bottom = span[0] - step if empty else span[0]
        box.setRange(bottom, span[1])
        box.setSingleStep(step)
        box.setSuffix(unit if unit == "°" else f" {unit}")
        box.setSpecialValueText(empty)
        box.setValue(bottom if value is None else value)
        box.valueChanged.connect(lambda new: done(None if empty and new <= bottom + step / 2 else round(new, 4)))
        self.row(label, box)
        return box

    def whole(self, label: str, value: int, done: Say, *, span: tuple[int, int], unit: str = "") -> QSpinBox:
        """Add a whole number."""
        box = QSpinBox()
        box.lineEdit().setTextMargins(5, 0, 0, 0)
        box.setRange(*span)
        box.setSuffix(f" {unit}" if unit else "")
        box.setKeyboardTracking(False)
        box.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        box.setValue(value)
        box.valueChanged.connect(done)
        self.row(label, box)
        return box

    def choice(self, label: str, options: Sequence[tuple[str, Any]], now: Any, done: Say) -> Chooser:
        """Add a chooser among options, each words and value."""
        box = Chooser()
        for words, _ in options:
            box.addItem(words)
        values = [value for _, value in options]
        box.setCurrentIndex(values.index(now) if now in values else -1)
        box.setToolTip("")
        box.activated.connect(lambda index: done(values[index]))
        self.row(label, box)
        return box

    def tick(self, label: str, on: bool, done: Say, *, words: str = "") -> QCheckBox:
        """Add a tick box."""
        box = QCheckBox(button_text(words or label))
        box.setChecked(on)
        box.toggled.connect(done)
        self.row(label if words else "", box, key=label)
        box.setAccessibleName(f"{label} {words}".strip())
        return box

    def button(self, words: str, press: Callable[[], object], *, role: str = "") -> QPushButton:
        """Add a button over the whole width."""
        button = QPushButton(button_text(words))
        button.setProperty("role", role)
        button.clicked.connect(lambda: press())
        self.add(button)
        self._name(button, words, words)
        return button

    def _name(self, field: QWidget, key: str, label: str) -> None:
        self._keys[key] = self._keys.get(key, 0) + 1
        count = self._keys[key]
        field.setObjectName(key if count == 1 else f"{key} {count}")
        if not isinstance(field, QLabel):
            field.setAccessibleName(label)


def date_words(date: dt.date | None) -> str:
    """Return a date as typed: year-month-day, or nothing."""
    return date.isoformat() if date else ""


def date_from(text: str) -> dt.date | None:
    """Return the date typed as year-month-day, None for nothing.

    Raises
    ------
    ValueError
        If it is no date.
    """
    return dt.date.fromisoformat(text.strip()) if text.strip() else None

