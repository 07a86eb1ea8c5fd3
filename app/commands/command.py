"""What all commands share: the window they serve, its desk, and running a dialog."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

if TYPE_CHECKING:
    from PySide6.QtWidgets import QDialog

    from app.window import MainWindow


class Commands(QObject):
    """A group of commands of one window."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self.window = window
        self.desk = window.desk

    def run(self, dialog: QDialog) -> bool:
        """Show a dialog until it is answered; returns whether with yes. What was typed before is handed in first."""
        self.window.commit_typing()
        accepted = dialog.exec() == dialog.DialogCode.Accepted
        dialog.deleteLater()
        return accepted
