"""The two strips: one calm line of news at the bottom, and the first steps at the top, put away for good."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QProgressBar, QPushButton, QWidget

from app.panes.forms.fields import Elided, plain

Tone = Literal["", "done", "refused"]
SHOWN_MS = 12_000
"""How long a sentence stands before the strip falls quiet."""


class Strip(QFrame):
    """One line that says what happened. Never in the way, never modal."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "strip")
        self.setAccessibleName(self.tr("News"))
        self._mark = plain("", "strong", wrap=False)
        self._words = Elided("")
        self._aside = plain("", "soft", wrap=False)
        self._busy = QProgressBar()
        self._busy.setRange(0, 0)
        self._busy.setTextVisible(False)
        self._busy.setFixedWidth(90)
        self._busy.hide()
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 4, 14, 4)
        row.setSpacing(8)
        row.addWidget(self._mark)
        row.addWidget(self._words, 1)
        row.addWidget(self._busy)
        row.addWidget(self._aside)
        self.setFixedHeight(self.fontMetrics().height() + 12)
        self._quiet = QTimer(self)
        self._quiet.setSingleShot(True)
        self._quiet.setInterval(SHOWN_MS)
        self._quiet.timeout.connect(self.clear)

    @property
    def words(self) -> str:
        """The sentence shown."""
        return self._words.whole

    @property
    def tone(self) -> str:
        """Whether it tells of something done or refused."""
        return str(self.property("tone") or "")

    @property
    def is_busy(self) -> bool:
        """Whether the busy mark is shown."""
        return not self._busy.isHidden()

    def say(self, sentence: str, tone: Tone = "done") -> None:
        """Show a sentence, and tell assistive tools."""
        if sentence.partition(" ")[0].isalpha():
            sentence = sentence[:1].upper() + sentence[1:]
        if sentence and sentence[-1] not in ".!?":
            sentence += "."
        self._words.say(sentence)
        self._mark.setText(self.tr("Not done:") if tone == "refused" else "")
        self._mark.setVisible(bool(self._mark.text()))
        self._tint(tone)
        if sentence:
            QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, sentence))
            self._quiet.start()

    def clear(self) -> None:
        """Fall quiet."""
        self._quiet.stop()
        self._words.say("")
        self._mark.setVisible(False)
        self._tint("")

    def aside(self, text: str) -> None:
        """Show a standing remark at the right."""
        self._aside.setText(text)

    def busy(self, on: bool) -> None:
        """Show or hide the busy mark."""
        self._busy.setVisible(on)

    def _tint(self, tone: Tone) -> None:
        if tone != self.tone:
            self.setProperty("tone", tone)
            self.style().unpolish(self)
            self.style().polish(self)


class HintStrip(QFrame):
    """Sentences above the sheet with a button to put them away, and perhaps one to act on them."""

    put_away = Signal()
    acted = Signal()

    def __init__(self, sentences: str, act: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "hint")
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 8, 12, 8)
        row.setSpacing(14)
        self.words = plain(sentences)
        row.addWidget(self.words, 1)
        if act:
            button = QPushButton(act)
            button.clicked.connect(self.acted)
            row.addWidget(button)
        close = QPushButton(self.tr("Put away"))
        close.clicked.connect(self.put_away)
        row.addWidget(close)
