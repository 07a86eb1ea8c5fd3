"""What the small dialogs share: a form column, a line for what is wrong, and two buttons."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.panes.forms.editors import send_to
from app.panes.forms.fields import Form, plain

TALLEST = 660
"""Height no dialog goes beyond: a small screen shows it whole."""


def say(text: str) -> str:
    """Return a text in the user's language, where there is no dialog yet to ask."""
    return QCoreApplication.translate("dialogs", text)


class SheetDialog(QDialog):
    """A dialog of labelled fields. Override :meth:`commit` and return a sentence if it cannot be done."""

    def __init__(self, title: str, yes: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.form = Form(label_px=104)
        self._wrong = plain("", "strong")
        self._wrong.hide()
        self._at_fault: QLineEdit | QPlainTextEdit | None = None
        scroll = self._scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(self.form)
        self.form.setAutoFillBackground(False)
        scroll.viewport().setAutoFillBackground(False)
        self.buttons = QDialogButtonBox()
        self.yes = self.buttons.addButton(yes, QDialogButtonBox.ButtonRole.AcceptRole)
        self.no = self.buttons.addButton(self.tr("Cancel"), QDialogButtonBox.ButtonRole.RejectRole)
        self.yes.setDefault(True)
        self.no.setAutoDefault(False)
        self.buttons.accepted.connect(self._try)
        self.buttons.rejected.connect(self.reject)
        foot = QVBoxLayout()
        foot.setContentsMargins(16, 6, 16, 14)
        foot.setSpacing(8)
        foot.addWidget(self._wrong)
        foot.addWidget(self.buttons)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(scroll, 1)
        column.addLayout(foot)

    @property
    def wrong(self) -> str:
        """What the dialog says is wrong."""
        return self._wrong.text()

    def commit(self) -> str:
        """Do what the dialog is for; return why not, or nothing."""
        return ""

    def refuse(self, field: QLineEdit | QPlainTextEdit, sentence: str) -> str:
        """Return a sentence for :meth:`commit`, and remember the field it is about: it is marked and gets the focus."""
        self._at_fault = field
        return sentence

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn the page: what is told below the fields is read by keyboard too."""
        step = {Qt.Key.Key_PageUp: -1, Qt.Key.Key_PageDown: 1}.get(Qt.Key(event.key()), 0)
        if step:
            bar = self._scroll.verticalScrollBar()
            bar.setValue(bar.value() + step * bar.pageStep())
        else:
            super().keyPressEvent(event)

    def fit(self, width: int) -> None:
        """Take a width, and the height the fields need, no more than most of the screen."""
        self.form.layout().activate()
        height = self.form.heightForWidth(width - 12)
        foot = self.buttons.sizeHint().height() + 36
        self.resize(width, min(height + foot, TALLEST))
        first = next((one for one in self.form.findChildren(QWidget) if _takes_typing(one)), self.yes)
        first.setFocus(Qt.FocusReason.OtherFocusReason)

    def _try(self) -> None:
        self.form.hand_in()
        self._at_fault = None
        wrong = self.commit()
        before = self._wrong.sizeHint().height() if self._wrong.isVisible() else 0
        self._wrong.setText(wrong)
        self._wrong.setVisible(bool(wrong))
        if wrong:
            # Room of its own: the fields are not pushed under a scroll bar by it.
            more = self._wrong.heightForWidth(self.width() - 32) + 8 - before
            self.resize(self.width(), min(max(self.height(), self.height() + more), TALLEST))
        if self._at_fault is not None:
            send_to(self._at_fault)
        if not wrong:
            self.accept()


def _takes_typing(widget: QWidget) -> bool:
    return bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus) and not isinstance(widget, QLabel)
