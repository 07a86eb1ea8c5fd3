"""Commands on what is in view: sheets, panes, faces, and the help that goes with them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from app.commands.command import Commands
from app.settings import FaceChoice

if TYPE_CHECKING:
    from app.window import MainWindow


class ViewCommands(Commands):
    """The View and Help menus."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._guide: QWidget | None = None

    def sheet(self, name: str) -> None:
        """Bring a sheet to the front."""
        self.window.show_sheet(name)

    def widen_sheet(self, on: bool) -> None:
        """Give the whole window to the sheet, or show the panes again."""
        for pane in (self.window.shelf, self.window.details, self.window.findings):
            pane.setVisible(not on)

    def findings(self) -> None:
        """Put the focus on the worst finding."""
        self.window.actions_by_id["wide"].setChecked(False)
        self.window.findings.focus_first()

    def details(self) -> None:
        """Put the focus in the details."""
        form = self.window.details.form
        if form is not None:
            form.setFocus(Qt.FocusReason.ShortcutFocusReason)
            form.focusNextChild()

    def focus_sheet(self) -> None:
        """Put the focus on the sheet."""
        self.window.sheets.currentWidget().setFocus(Qt.FocusReason.ShortcutFocusReason)

    def face(self, face: FaceChoice) -> None:
        """Choose a face."""
        self.window.wardrobe.choose(face)
        self.window.actions_by_id[f"face-{face}"].setChecked(True)

    def first_steps(self) -> None:
        """Show three sentences of what to try above the sheet."""
        self.window.welcome.first_steps(self.window.settings)

    def guide(self) -> None:
        """Open the guide beside the window; it stays while one works."""
        from app.dialogs.guide import Guide

        if self._guide is None:
            self._guide = Guide(self.window.wardrobe, self.window)
        self._guide.show()
        self._guide.raise_()
        self._guide.activateWindow()

    def about(self) -> None:
        """Show what the program is and does not vouch for."""
        from app.dialogs.about import About

        self.run(About(self.window))
