"""The few questions the window asks: which file, and whether to keep unsaved work. Replaceable in tests."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from PySide6.QtWidgets import QMessageBox

Answer = Literal["save", "discard", "cancel"]
BOOKS = "Loomwright books (*.loom)"


def _tr(text: str) -> str:
    return QCoreApplication.translate("questions", text)


class Questions:
    """Asks by the system's dialogs."""

    def unsaved(self, parent: QWidget, name: str) -> Answer:
        """Ask what to do with unsaved work. Escape means to stay."""
        box = unsaved_box(parent, name)
        pressed = box.exec()
        if pressed == box.StandardButton.Save:
            return "save"
        return "discard" if pressed == box.StandardButton.Discard else "cancel"

    def book_to_open(self, parent: QWidget, folder: str) -> Path | None:
        """Ask for a book to open."""
        from PySide6.QtWidgets import QFileDialog

        name, _ = QFileDialog.getOpenFileName(parent, _tr("Open a book"), folder, _tr(BOOKS))
        return Path(name) if name else None

    def book_to_save(self, parent: QWidget, suggestion: str) -> Path | None:
        """Ask where to save a book; the ending is added if it is missing."""
        from PySide6.QtWidgets import QFileDialog

        name, _ = QFileDialog.getSaveFileName(parent, _tr("Save the book"), suggestion, _tr(BOOKS))
        return with_ending(Path(name)) if name else None

    def folder(self, parent: QWidget, folder: str) -> Path | None:
        """Ask for the folder the packet goes to."""
        from PySide6.QtWidgets import QFileDialog

        name = QFileDialog.getExistingDirectory(parent, _tr("Where the packet goes"), folder)
        return Path(name) if name else None


def unsaved_box(parent: QWidget, name: str) -> QMessageBox:
    """Return the question what is to become of unsaved work."""
    from PySide6.QtWidgets import QMessageBox

    box = QMessageBox(parent)
    box.setWindowTitle("Loomwright")
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(_tr("{} has changes that are not saved.").format(name))
    box.setInformativeText(_tr("Save them before going on?"))
    buttons = QMessageBox.StandardButton
    box.setStandardButtons(buttons.Save | buttons.Discard | buttons.Cancel)
    box.setDefaultButton(buttons.Save)
    box.setEscapeButton(buttons.Cancel)
    return box


def with_ending(path: Path) -> Path:
    """Return the path with the ending of a book.

    >>> with_ending(Path("duo")).name, with_ending(Path("a.b.loom")).name
    ('duo.loom', 'a.b.loom')
    """
    return path if path.suffix.lower() == ".loom" else path.with_name(path.name + ".loom")
