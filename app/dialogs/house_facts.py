"""The facts of a house as rows: known with value, who said it and when, or assumed, with the assumption in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from html import escape
from typing import Any, get_args

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QCompleter, QGridLayout, QWidget

from app.panes.forms.editors import LineEdit, mark_wrong
from app.panes.forms.fields import date_from, date_words, plain
from app.panes.marks import Chooser
from rigcore.book.assumptions import assumptions
from rigcore.book.house import FACT_CHOICES, Fact, FactKey, House, fact_words

FACTS: tuple[FactKey, ...] = get_args(FactKey)


def _tr(text: str) -> str:
    return QCoreApplication.translate("facts", text)


class FactRow:
    """One fact: known with its value, or assumed. ``done`` follows every change."""

    def __init__(self, key: FactKey, fact: Fact | None, done: Callable[[], object]) -> None:
        self.key = key
        self.before = fact
        self._done = done
        what = fact_words(key)
        self.state = Chooser()
        self.state.addItems([_tr("known"), _tr("assumed")])
        self.state.setMinimumContentsLength(8)
        self.state.setCurrentIndex(0 if fact else 1)
        self.state.setAccessibleName(_tr("{}: known or assumed").format(what))
        self.value = self._line(fact.value if fact else "", what, 300)
        self.said_by = self._line(fact.said_by if fact else "", _tr("{}: who said it").format(what), 120)
        self.said_on = self._line(date_words(fact.said_on) if fact else "", _tr("{}: when").format(what), 10)
        self.said_by.setPlaceholderText(_tr("who"))
        self.said_on.setPlaceholderText(_tr("year-month-day"))
        self.assumed = plain("", "soft")
        self._ask()
        self.state.currentIndexChanged.connect(lambda _at: self._show())
        self.value.textEdited.connect(self._typed)
        self._show()

    def _line(self, text: str, name: str, most: int) -> LineEdit:
        line = LineEdit(text)
        line.setMaxLength(most)
        line.setCursorPosition(0)
        line.setAccessibleName(name)
        line.editingFinished.connect(lambda: self._done())
        return line

    def _ask(self) -> None:
        """Say what is assumed and how to ask; offer the answers there are."""
        asked = next((one for one in assumptions() if one.key == self.key), None)
        if asked is not None:
            self.assumed.setText(_tr("Taken to be so: {}").format(asked.words))
            self.value.setPlaceholderText(asked.words)
            self.value.setToolTip(escape(asked.question))
            self.value.setAccessibleDescription(asked.question)
        else:
            self.assumed.setText(_tr("Nothing is assumed."))
        choices = FACT_CHOICES.get(self.key)
        if choices:
            completer = QCompleter(list(choices), self.value)
            # in the line itself: a list that pops up swallows the click into the next field
            completer.setCompletionMode(QCompleter.CompletionMode.InlineCompletion)
            completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
            self.value.setCompleter(completer)
            self.value.setPlaceholderText(" · ".join(choices))

    @property
    def is_known(self) -> bool:
        """Whether the house has said it."""
        return self.state.currentIndex() == 0

    @property
    def wrong(self) -> str:
        """What keeps the row from being kept, in one sentence, or nothing."""
        if not self.is_known:
            return ""
        if not self.value.text().strip():
            return _tr("Say what is known about '{}', or set it to assumed.").format(fact_words(self.key))
        try:
            date_from(self.said_on.text())
        except ValueError:
            words = _tr("'{}' is no date for '{}'; write year-month-day in figures.")
            return words.format(self.said_on.text(), fact_words(self.key))
        return ""

    def mark(self) -> None:
        """Mark the field that keeps the row from being kept."""
        wrong, has_value = bool(self.wrong), bool(self.value.text().strip())
        mark_wrong(self.value, wrong and not has_value)
        mark_wrong(self.said_on, wrong and has_value)

    def draft(self) -> dict[str, Any] | None:
        """Return the fact as plain values, None if it is only assumed; what is new was said today."""
        if not self.is_known:
            return None
        value = self.value.text().strip()
        if self.key in FACT_CHOICES:
            value = value.lower()
        on = self.said_on.text().strip()
        is_new = self.before is None or self.before.value != value
        if is_new and on == date_words(self.before.said_on if self.before else None):
            on = dt.date.today().isoformat()
        return {"key": self.key, "value": value, "said_by": self.said_by.text().strip(), "said_on": on or None}

    def _typed(self, text: str) -> None:
        self.state.setCurrentIndex(0 if text.strip() else 1)

    def _show(self) -> None:
        self.said_by.setEnabled(self.is_known)
        self.said_on.setEnabled(self.is_known)
        self.assumed.setVisible(not self.is_known)
        self._done()


def fact_rows(house: House, done: Callable[[], object]) -> list[FactRow]:
    """Return a row for each fact a house may have said."""
    return [FactRow(key, house.fact(key), done) for key in FACTS]


def fact_grid(rows: list[FactRow]) -> QWidget:
    """Return the rows one below the other, each with what is assumed under it."""
    holder = QWidget()
    grid = QGridLayout(holder)
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(8)
    grid.setVerticalSpacing(3)
    grid.setColumnStretch(2, 3)
    grid.setColumnStretch(3, 2)
    for place, row in enumerate(rows):
        line = 2 * place
        words = plain(fact_words(row.key, upper=True), "soft", wrap=False)
        words.setBuddy(row.value)
        grid.addWidget(words, line, 0)
        grid.addWidget(row.state, line, 1)
        grid.addWidget(row.value, line, 2)
        grid.addWidget(row.said_by, line, 3)
        grid.addWidget(row.said_on, line, 4)
        row.said_on.setFixedWidth(row.said_on.fontMetrics().horizontalAdvance("0000-00-00 year") + 18)
        grid.addWidget(row.assumed, line + 1, 2, 1, 3, Qt.AlignmentFlag.AlignTop)
    return holder
