"""A list of rows with a form for the chosen one: ports and ways of a gear type."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QModelIndex, QSize, Qt, QTimer
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QListWidget,
    QPushButton,
    QScrollArea,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from app.panes.forms.fields import Form, plain
from app.panes.marks import tell_whole

Row = dict[str, Any]
Fill = Callable[[Form, Row, Callable[[], None]], None]


def scrolled(form: QWidget) -> QScrollArea:
    """Return a form in a column that scrolls."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # its fields take the keyboard, and scroll it
    area.setWidget(form)
    form.setAutoFillBackground(False)
    area.viewport().setAutoFillBackground(False)
    return area


class Telling(QStyledItemDelegate):
    """Cells that tell the whole text where it is cut."""

    def helpEvent(
        self, event: QHelpEvent, view: QAbstractItemView, option: QStyleOptionViewItem, index: QModelIndex
    ) -> bool:
        """Tell the whole text where it is cut."""
        text = str(index.data() or "")
        tell_whole(view, event, text, room_px=option.rect.width() - 12)
        return True


class _AsWideAsTheList(Telling):
    """Rows that take the width there is, and elide."""

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex) -> QSize:
        """Ask for the height only."""
        return QSize(1, super().sizeHint(option, index).height())


def elide(rows: QListWidget) -> None:
    """Let the rows of a list elide, and tell the whole in a tooltip, instead of scrolling sideways."""
    rows.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    rows.setItemDelegate(_AsWideAsTheList(rows))


class RowsEditor(QWidget):
    """Rows to add, remove and put in order. They live in the list it was given; ``done`` follows every change."""

    def __init__(
        self, rows: list[Row], *, new: Callable[[], Row], words: Callable[[Row], str], fill: Fill,
        done: Callable[[], object], stays: Callable[[Row], str] | None = None,
    ) -> None:
        """Take the rows; ``stays`` says in a sentence why a row cannot be taken out, or nothing."""
        super().__init__()
        self._stays = stays
        self._rows, self._new, self._words, self._fill, self._done = rows, new, words, fill, done
        self.list = QListWidget()
        self.list.setAccessibleName(self.tr("Rows"))
        elide(self.list)
        self.list.currentRowChanged.connect(lambda _row: self._show())
        buttons = QHBoxLayout()
        for text, tip, do in (
            (self.tr("Add"), self.tr("Add a row"), self.add),
            (self.tr("Take out"), self.tr("Take the chosen row out"), self.take_out),
            ("↑", self.tr("One up"), lambda: self.move(-1)),
            ("↓", self.tr("One down"), lambda: self.move(1)),
        ):
            button = QPushButton(text)
            button.setAutoDefault(False)
            button.setToolTip(tip)
            button.setAccessibleName(tip)
            button.clicked.connect(lambda _on=False, do=do: do())
            buttons.addWidget(button)
        left = QVBoxLayout()
        left.addWidget(self.list, 1)
        left.addLayout(buttons)
        self.why = plain("", "soft")
        self.why.hide()
        left.addWidget(self.why)
        self._right = QVBoxLayout()
        row = QHBoxLayout(self)
        row.addLayout(left, 2)
        row.addLayout(self._right, 3)
        self._page: QWidget | None = None
        self._fill_list(0)

    def add(self) -> None:
        """Add a row at the end and choose it."""
        self._rows.append(self._new())
        self._changed(len(self._rows) - 1)

    def take_out(self) -> None:
        """Take the chosen row out."""
        at = self.list.currentRow()
        why = self._stays(self._rows[at]) if self._stays is not None and at >= 0 else ""
        self.why.setText(why)
        self.why.setVisible(bool(why))
        if at >= 0 and not why:
            del self._rows[at]
            self._changed(min(at, len(self._rows) - 1))

    def move(self, step: int) -> None:
        """Move the chosen row up or down."""
        at = self.list.currentRow()
        if 0 <= at < len(self._rows) and 0 <= at + step < len(self._rows):
            self._rows.insert(at + step, self._rows.pop(at))
            self._changed(at + step)

    def retitle(self) -> None:
        """Name the chosen row anew after a change of its fields."""
        at = self.list.currentRow()
        if 0 <= at < len(self._rows):
            self.list.item(at).setText(self._words(self._rows[at]))
        self._done()

    def refill(self) -> None:
        """Show the rows anew, the last one chosen: somebody else has changed them."""
        self._changed(len(self._rows) - 1)

    def _changed(self, chosen: int) -> None:
        self._fill_list(chosen)
        self._done()

    def _fill_list(self, chosen: int) -> None:
        self.list.blockSignals(True)
        self.list.clear()
        self.list.ensurePolished()  # rows keep the height they are first measured with
        self.list.addItems([self._words(row) for row in self._rows])
        self.list.setCurrentRow(chosen)
        self.list.blockSignals(False)
        self._show()

    def _show(self) -> None:
        self.why.hide()
        if self._page is not None:
            self._right.removeWidget(self._page)
            self._page.hide()
            self._page.deleteLater()
        at = self.list.currentRow()
        form = Form(label_px=104)
        if 0 <= at < len(self._rows):
            self._fill(form, self._rows[at], self._again)
        else:
            form.add(plain(self.tr("Nothing here yet: press Add."), "soft"))
        form.finish()
        self._page = scrolled(form)
        self._right.addWidget(self._page)

    def _again(self) -> None:
        """Build the form anew once the field that asked for it is done."""
        QTimer.singleShot(0, self, lambda: self._changed(self.list.currentRow()))
