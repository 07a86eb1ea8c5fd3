"""Commands on the sheet in view: arrange, copy, trace, find, overlays. What a sheet cannot do, it says."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from app.commands.command import Commands


class SheetCommands(Commands):
    """The Sheet menu."""

    def patch(self, name: str) -> None:
        """Do something on the Patch sheet, brought to the front for it."""
        self._on("patch", name)

    def arrange(self, how: str) -> None:
        """Align or spread the chosen cards."""
        verb, _, where = how.partition(" ")
        self.window.show_sheet("patch")
        getattr(self.window.sheets.page("patch").commands, verb)(where)

    def edit(self, name: str) -> None:
        """Copy, cut, paste, duplicate or tidy on the Patch sheet."""
        self.window.commit_typing()
        self.window.show_sheet("patch")
        getattr(self.window.sheets.page("patch").commands, name)()

    def fold(self, name: str) -> None:
        """Fold or unfold what is chosen on the Patch sheet."""
        self.window.commit_typing()
        self.window.show_sheet("patch")
        getattr(self.window.sheets.page("patch").folding, name)()

    def fit(self, name: str) -> None:
        """Do something on the Fit sheet, brought to the front for it."""
        self._on("fit", name)

    def overview(self, on: bool) -> None:
        """Show the whole Patch sheet small in a corner, or put that away."""
        self.window.show_sheet("patch")
        self.window.sheets.page("patch").show_overview(on)

    def overlay(self, kind: str) -> None:
        """Lay one thing over the Stage sheet, or none."""
        self.window.show_sheet("stage")
        self.window.sheets.page("stage").show_overlay(None if kind == "none" else kind)

    def open_house(self, on: bool) -> None:
        """Let the house's own things be moved on the Stage sheet, or lock them again."""
        self.window.show_sheet("stage")
        self.window.sheets.page("stage").open_house(on)

    def print_view(self, on: bool) -> None:
        """Show the plot page as it will be printed on the Stage sheet, or the plan again."""
        self.window.show_sheet("stage")
        self.window.sheets.page("stage").show_print(on)

    def _on(self, sheet: str, name: str) -> None:
        self.window.show_sheet(sheet)
        method: Callable[[], Any] = getattr(self.window.sheets.page(sheet), name)
        method()
