"""Commands that step through the history, and find gear."""

from __future__ import annotations

from app.commands.command import Commands


def inside(words: str) -> str:
    """Return the words of a step as they stand inside a sentence."""
    return words[:1].lower() + words[1:] if words[1:2].islower() else words


class StepCommands(Commands):
    """The Edit menu."""

    def undo(self) -> None:
        """Take the last step back and say which."""
        self.window.commit_typing()
        words = self.desk.history.undo_words
        if words:
            self.desk.undo()
            self.window.strip.say(self.tr("Taken back: {}").format(inside(words)))

    def redo(self) -> None:
        """Take the step again and say which."""
        words = self.desk.history.redo_words
        if words:
            self.desk.redo()
            self.window.strip.say(self.tr("Done again: {}").format(inside(words)))

    def find_gear(self) -> None:
        """Go to the shelf's search."""
        self.window.actions_by_id["wide"].setChecked(False)
        self.window.shelf.focus_search()
