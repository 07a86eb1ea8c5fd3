"""The editors of fields: lines, notes and numbers that commit when the user is done, and the mark of a wrong one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QEvent, QLocale, QMimeData, QObject, Qt
from PySide6.QtGui import QFontMetrics, QHelpEvent, QKeyEvent, QKeySequence, QTextOption
from PySide6.QtWidgets import (
    QDoubleSpinBox,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QStyle,
    QStyleOptionFrame,
    QWidget,
)

from app.panes.marks import tell_whole

Say = Callable[[Any], object]
MINUS = "\u2212"


class Calm(QObject):
    """Leaves the wheel to the pane unless the field has the focus, and undo to the book if the field has none."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Wheel and isinstance(watched, QWidget) and not watched.hasFocus():
            event.ignore()
            return True
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(watched, QLineEdit):
            undo = event.matches(QKeySequence.StandardKey.Undo) and not watched.isUndoAvailable()
            if undo or (event.matches(QKeySequence.StandardKey.Redo) and not watched.isRedoAvailable()):
                event.ignore()
                return True
        return False


class NoteEdit(QPlainTextEdit):
    """A few lines of plain text, committed when the focus leaves."""

    def __init__(self, text: str, done: Say, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setPlainText(text)
        self.setTabChangesFocus(True)
        self._before = text
        self._done = done
        lines = 2
        self.setFixedHeight(QFontMetrics(self.font()).lineSpacing() * lines + 16)

    def focusOutEvent(self, event: Any) -> None:
        """Commit."""
        super().focusOutEvent(event)
        self.hand_in()

    def hand_in(self) -> None:
        """Commit what differs from before."""
        text = self.toPlainText()
        if text != self._before:
            self._before = text
            self._done(text)


class LongEdit(NoteEdit):
    """One line of text that wraps and grows up to a few lines, so that all of it is read; Enter commits."""

    MOST_LINES = 8

    def __init__(self, text: str, done: Say, parent: QWidget | None = None) -> None:
        super().__init__(" ".join(text.split("\n")), done, parent)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWordWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
        self.document().setDocumentMargin(2)
        self.textChanged.connect(self._grow)
        self._grow()

    def resizeEvent(self, event: Any) -> None:
        """Take the height the new width asks for."""
        super().resizeEvent(event)
        self._grow()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Commit on Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.hand_in()
        else:
            super().keyPressEvent(event)

    def insertFromMimeData(self, source: QMimeData) -> None:
        """Paste as one line."""
        self.insertPlainText(" ".join(source.text().split()))

    def _grow(self) -> None:
        line = QFontMetrics(self.font()).lineSpacing() + 2
        words = self.blockBoundingRect(self.document().firstBlock()).height()
        # The same as the height of the viewport, but see app/viewport.py.
        frame = QStyleOptionFrame()
        self.initStyleOption(frame)
        inside = self.style().subElementRect(QStyle.SubElement.SE_FrameContents, frame, self)
        around = max(self.height() - inside.height(), 0) + 2 * self.document().documentMargin()
        high = round(min(max(words, line), line * self.MOST_LINES) + around + 1)
        if high != self.height():
            self.setFixedHeight(high)


class LineEdit(QLineEdit):
    """A line of text that shows all of itself in a tooltip where it is cut."""

    def event(self, event: QEvent) -> bool:
        """Tell the whole text if it does not fit and nothing else is to be told."""
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent) and not self.toolTip():
            tell_whole(self, event, self.text(), room_px=self.width() - 18)
            return True
        return super().event(event)


class Number(QDoubleSpinBox):
    """A number with its unit, without idle zeros, committed when the typing is done."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setLocale(QLocale.c())
        self.lineEdit().setTextMargins(5, 0, 0, 0)
        self.setKeyboardTracking(False)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def textFromValue(self, value: float) -> str:
        """Show as many places as the value has."""
        text = f"{round(value, self.decimals()) + 0.0:.{self.decimals()}f}"  # plus nought: there is no minus nought
        return _with_minus(text.rstrip("0").rstrip(".") if "." in text else text)

    def valueFromText(self, text: str) -> float:
        """Take a minus sign, or the hyphen of the keyboard."""
        return super().valueFromText(text.replace(MINUS, "-"))

    def validate(self, text: str, place: int) -> object:
        """Let both be typed; what stands there is a minus sign."""
        state, typed, place = super().validate(text.replace(MINUS, "-"), place)
        return state, _with_minus(typed), place


def _with_minus(number: str) -> str:
    return MINUS + number[1:] if number.startswith("-") else number


def mark_wrong(field: QLineEdit | QPlainTextEdit, wrong: bool = True) -> None:
    """Mark a field whose text is refused; typing takes the mark off."""
    if bool(field.property("wrong")) == wrong:
        return
    if field.property("wrong") is None:
        field.textChanged.connect(lambda *_text: mark_wrong(field, False))
    field.setProperty("wrong", wrong)
    field.style().unpolish(field)
    field.style().polish(field)
    field.update()


def send_to(field: QLineEdit | QPlainTextEdit) -> None:
    """Mark a refused field and put the cursor into it, what is typed chosen, so that typing replaces it."""
    mark_wrong(field)
    field.setFocus(Qt.FocusReason.OtherFocusReason)
    field.selectAll()
    around = field.parentWidget()
    while around is not None and not isinstance(around, QScrollArea):
        around = around.parentWidget()
    if around is not None:
        around.ensureWidgetVisible(field)
