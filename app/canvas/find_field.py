"""The small field for finding things on the sheet: typed in, walked with the arrows, left with Enter or Esc."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from app.canvas.find import Entry, ranked

_WIDE, _MARGIN, _ROWS = 380, 12, 8


class FindField(QFrame):
    """Shows what fits while it is typed; ``show`` gets each entry come to, ``done`` whether one was taken."""

    def __init__(
        self, parent: QWidget, among: Sequence[Entry], show: Callable[[Entry], None], done: Callable[[bool], None]
    ) -> None:
        super().__init__(parent)
        self._among = among
        self._show = show
        self._done: Callable[[bool], None] | None = done
        self.setObjectName("find-field")
        self.setAutoFillBackground(True)
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.line = QLineEdit()
        self.line.setPlaceholderText(self.tr("Find a unit, port, channel or finding"))
        self.line.setAccessibleName(self.tr("Find on the sheet"))
        self.line.setClearButtonEnabled(True)
        self.hits = QListWidget()
        self.hits.setAccessibleName(self.tr("Found"))
        self.hits.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.hits.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.hits.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 6, 6, 6)
        column.setSpacing(4)
        column.addWidget(self.line)
        column.addWidget(self.hits)
        self.line.textChanged.connect(self._look)
        self.hits.itemClicked.connect(lambda _item: self._leave(taken=True))
        self.hits.currentRowChanged.connect(self._come_to)
        self.found: list[Entry] = []
        self._look("")
        self.show()
        self.raise_()
        self.line.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def place(self) -> None:
        """Lie at the top in the middle of the sheet, as high as the list is long."""
        parent = self.parentWidget()
        wide = min(_WIDE, parent.width() - 2 * _MARGIN)
        rows = min(len(self.found), _ROWS)
        row = self.hits.sizeHintForRow(0) if self.found else 0
        self.hits.setVisible(bool(self.found) or bool(self.line.text().strip()))
        self.hits.setFixedHeight(max(row * rows, self.fontMetrics().height()) + 6)
        self.adjustSize()
        self.setGeometry((parent.width() - wide) // 2, _MARGIN, wide, self.sizeHint().height())

    def _look(self, asked: str) -> None:
        self.found = ranked(asked, self._among)
        self.hits.blockSignals(True)
        self.hits.clear()
        for entry in self.found:
            item = QListWidgetItem(f"{entry.words}   {entry.aside}".rstrip())
            item.setToolTip("")
            self.hits.addItem(item)
        if not self.found and asked.strip():
            nothing = QListWidgetItem(self.tr("Nothing on this sheet fits"))
            nothing.setFlags(Qt.ItemFlag.NoItemFlags)
            self.hits.addItem(nothing)
        self.hits.blockSignals(False)
        self.place()
        if self.found:
            self.hits.setCurrentRow(0)
            self._come_to(0)

    def _come_to(self, row: int) -> None:
        if 0 <= row < len(self.found):
            self._show(self.found[row])

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, row = event.key(), self.hits.currentRow()
        if key == Qt.Key.Key_Down:
            self.hits.setCurrentRow(min(row + 1, len(self.found) - 1))
        elif key == Qt.Key.Key_Up:
            self.hits.setCurrentRow(max(row - 1, 0))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._leave(taken=bool(self.found))
        elif key == Qt.Key.Key_Escape:
            self._leave(taken=False)
        else:
            super().keyPressEvent(event)
            return
        event.accept()

    def _leave(self, *, taken: bool) -> None:
        done, self._done = self._done, None
        if done is None:
            return
        # The sheet takes the focus first: a field that hides with the focus sends it on to the next card.
        done(taken)
        self.hide()
        self.deleteLater()
