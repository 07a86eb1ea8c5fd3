"""The small list that opens where a cable was dropped on a port that does not take it: Enter takes one, Esc none."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

_WIDE, _MARGIN, _APART = 460, 8, 3
_GONE_ELSEWHERE = (
    Qt.FocusReason.MouseFocusReason, Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)  # fmt: skip
"""Why a list is left untaken; not when the window itself goes, for then there is nobody to tell."""


class OfferList(QListWidget):
    """Shows choices near the hand; ``take`` gets the one taken, once, or None."""

    def __init__(
        self, parent: QWidget, first: tuple[str, object], at: QPoint, take: Callable[[object], None]
    ) -> None:
        super().__init__(parent)
        self._take: Callable[[object], None] | None = take
        self._at = at
        self._choices: list[object] = []
        self.setObjectName("offer-list")
        self.setAccessibleName(self.tr("What would join these two"))
        self.setWordWrap(True)
        self.setSpacing(_APART)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._add(*first)
        self.wait = QListWidgetItem(self.tr("Looking for adapters…"))
        self.wait.setFlags(Qt.ItemFlag.NoItemFlags)
        self.addItem(self.wait)
        self.setCurrentRow(0)
        self.itemClicked.connect(lambda item: self._leave(self.row(item)))
        self._place()
        self.show()
        self.raise_()
        self.setFocus(Qt.FocusReason.PopupFocusReason)

    def _add(self, line: str, choice: object, row: int = 0) -> None:
        self.insertItem(row, QListWidgetItem(line))
        self._choices.insert(row, choice)

    def _place(self) -> None:
        """Lie beside the hand, inside the sheet."""
        parent, at = self.parentWidget(), self._at
        wide = min(_WIDE, parent.width() - 2 * _MARGIN)
        self.setFixedWidth(wide)
        room = QRect(0, 0, wide - 28 - 2 * _APART, 1000)
        texts = [self.item(row).text() for row in range(self.count())]
        tall = 10 + sum(
            self.fontMetrics().boundingRect(room, Qt.TextFlag.TextWordWrap, text).height() + 5 + 2 * _APART
            for text in texts
        )
        tall = min(tall, parent.height() - 2 * _MARGIN)
        left = max(_MARGIN, min(at.x() + 12, parent.width() - wide - _MARGIN))
        top = max(_MARGIN, min(at.y() + 12, parent.height() - tall - _MARGIN))
        self.setGeometry(left, top, wide, tall)

    def add_choices(self, more: Sequence[tuple[str, object]]) -> None:
        """Put what was found before what is there, the cheapest first and at hand for Enter."""
        if self._take is None:
            return
        if not more:
            self.wait.setText(self.tr("No chain of adapters joins these two"))
            return
        self.takeItem(self.row(self.wait))
        for row, (line, choice) in enumerate(more):
            self._add(line, choice, row)
        self.setCurrentRow(0)
        self._place()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._leave(self.currentRow())
        elif event.key() == Qt.Key.Key_Escape:
            self._leave(None)
        else:
            super().keyPressEvent(event)
            return
        event.accept()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() in _GONE_ELSEWHERE:
            self._leave(None)

    def _leave(self, row: int | None) -> None:
        take, self._take = self._take, None
        if take is not None:
            take(self._choices[row] if row is not None and 0 <= row < len(self._choices) else None)
            self.hide()
            self.deleteLater()
