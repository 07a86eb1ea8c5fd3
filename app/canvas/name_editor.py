"""Writing a name in place: a line laid over the tape strip."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from app.canvas.fonts import font


class NameEditor(QLineEdit):
    """Takes a name and hands it on once: Enter or leaving keeps it, Esc drops it."""

    def __init__(self, parent: QWidget, area: QRect, name: str, keep: Callable[[str], None]) -> None:
        super().__init__(name, parent)
        self._keep: Callable[[str], None] | None = keep
        self._before = name
        self.setObjectName("name-editor")
        self.setAccessibleName(self.tr("Name of the unit"))
        self.setMaxLength(120)
        self.setFont(font("name"))
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.setGeometry(area.adjusted(-2, -2, 2, 2))
        self.editingFinished.connect(self._finish)
        self.selectAll()
        self.show()
        self.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._keep = None
            self._close()
            return
        super().keyPressEvent(event)

    def _finish(self) -> None:
        keep, self._keep = self._keep, None
        name = self.text().strip()
        if keep is not None and name and name != self._before:
            keep(name)
        self._close()

    def _close(self) -> None:
        self._keep = None
        parent = self.parentWidget()
        if self.hasFocus() and parent is not None:
            parent.setFocus()
        self.hide()
        self.deleteLater()
