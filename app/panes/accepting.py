"""Accepting a risk with a reason, inside its row, and the row of one that has been accepted."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from app.panes.forms.editors import mark_wrong
from app.panes.forms.fields import plain
from rigcore.book.book import AcceptedRisk
from rigcore.rules.rule import Finding

LONGEST_REASON = 120


class AcceptField(QWidget):
    """A button that becomes a line for the reason. ``given(reason)`` when one is entered."""

    given = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.button = QPushButton(self.tr("Accept this risk, because…"))
        self.button.setProperty("role", "link")
        self.button.clicked.connect(self._ask)
        self.reason = QLineEdit()
        self.reason.setMaxLength(LONGEST_REASON)
        self.reason.setPlaceholderText(self.tr("because… (Enter accepts, Esc leaves it)"))
        self.reason.setAccessibleName(self.tr("Reason for accepting this risk"))
        self.reason.setMinimumWidth(320)
        self.reason.returnPressed.connect(self._give)
        self.reason.hide()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.button)
        row.addWidget(self.reason)
        row.addStretch(1)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape leaves the line."""
        if event.key() == Qt.Key.Key_Escape and self.reason.isVisible():
            self.reason.hide()
            self.button.show()
            self.button.setFocus()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.reason.isVisible():
            event.accept()
        else:
            super().keyPressEvent(event)

    def _ask(self) -> None:
        self.button.hide()
        self.reason.show()
        self.reason.setFocus()

    def _give(self) -> None:
        reason = " ".join(self.reason.text().split())
        if reason:
            self.given.emit(reason)
        else:
            mark_wrong(self.reason)


class AcceptedRow(QFrame):
    """An accepted risk, or an acceptance that covers nothing any more. ``taken_back(risk)`` on its button."""

    taken_back = Signal(object)

    def __init__(self, risk: AcceptedRisk, finding: Finding | None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "row")
        if finding is not None:
            sentence, button = finding.sentence, self.tr("Take back")
        else:
            words = self.tr("What was accepted (rule {}) meets nothing with those numbers any more")
            sentence = words.format(risk.rule)
            button = self.tr("Forget it")
        self.setAccessibleName(self.tr("Accepted: {}").format(sentence))
        back = QPushButton(button)
        back.setProperty("role", "remedy")
        back.setAccessibleName(self.tr("{}: {}").format(button, sentence))
        back.clicked.connect(lambda: self.taken_back.emit(risk))
        words = QVBoxLayout()
        words.setSpacing(1)
        words.addWidget(plain(sentence, "soft"))
        words.addWidget(plain(self.tr("accepted, because {}").format(risk.reason), "soft"))
        row = QHBoxLayout(self)
        row.setContentsMargins(10, 7, 10, 7)
        row.addLayout(words, 1)
        row.addWidget(back, 0, Qt.AlignmentFlag.AlignVCenter)
