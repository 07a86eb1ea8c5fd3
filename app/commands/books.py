"""Commands on the book as a whole: new, open, save, import, export, paper and units."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from app.commands.command import Commands


class BookCommands(Commands):
    """The Book menu."""

    def new(self) -> None:
        """Begin with an empty plan."""
        self._leaving(self.window.files.new)

    def open(self) -> None:
        """Open a book the user picks."""
        self._leaving(self.window.files.open)

    def open_path(self, path: Path) -> bool:
        """Open a book by path, after asking about unsaved work."""
        return self._leaving(lambda: self.window.files.open(path))

    def open_sample(self) -> None:
        """Open a copy of the shipped book, after asking about unsaved work."""
        self.window.commit_typing()
        if self.window.files.may_leave() and self.window.files.open_sample():
            self.window.strip.say(self.tr("This is a copy of the sample; save it wherever you like"))

    def save(self) -> bool:
        """Save."""
        self.window.commit_typing()
        return self.window.files.save()

    def save_as(self) -> bool:
        """Save somewhere else."""
        self.window.commit_typing()
        return self.window.files.save_as()

    def export_packet(self) -> None:
        """Write the packet."""
        self.window.commit_typing()
        self.window.files.export()

    def import_sheets(self, files: Mapping[str, Path] | None = None) -> None:
        """Make a book from spreadsheets, all or nothing; some may be filled in already."""
        from app.dialogs.import_wizard import ImportWizard

        wizard = ImportWizard(self.desk.shipped, self.window)
        for part, path in (files or {}).items():
            wizard.files[part].edit.setText(str(path))
        if self.run(wizard) and wizard.book is not None and self.window.files.may_leave():
            self.window.files.take_unsaved(wizard.book)
            self.window.strip.say(self.tr("Imported; look it through and save it"))

    def set_letter(self, on: bool) -> None:
        """Choose the packet's paper."""
        self.window.settings.paper = "Letter" if on else "A4"
        self.window.sheets.paper_changed()

    def set_feet(self, on: bool) -> None:
        """Choose the packet's unit of length."""
        self.window.settings.feet = on
        self.window.sheets.paper_changed()

    def _leaving(self, step: Callable[[], object]) -> bool:
        self.window.commit_typing()
        if step() is False:
            return False
        self.window.welcome.put_away()
        return True
