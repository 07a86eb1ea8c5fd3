"""Commands that step through the history, and find gear."""

from __future__ import annotations

from app.commands.command import Commands
from app.panes.forms.fields import button_text

MOST_STEPS = 30
"""Steps listed in the menu."""


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

    def fill_steps(self) -> None:
        """List the steps taken, latest first; picking one takes back everything since, and that step too."""
        menu = self.window.menus["steps"]
        menu.clear()
        for back, step in enumerate(reversed(self.desk.history.past[-MOST_STEPS:]), start=1):
            action = menu.addAction(button_text(step.words))
            action.setObjectName(f"step-{back}")
            action.triggered.connect(lambda _on=False, back=back: self.take_back(back))
        if not self.desk.history.past:
            menu.addAction(self.tr("Nothing to take back yet")).setEnabled(False)

    def take_back(self, steps: int) -> None:
        """Take several steps back at once."""
        self.window.commit_typing()
        for _ in range(steps):
            self.desk.undo()
        self.window.strip.say(self.tr("Taken back: {} steps; Redo brings them again").format(steps))

    def find_command(self) -> None:
        """Ask for a command by its words, and do it."""
        from app.dialogs.command_search import CommandSearch

        search = CommandSearch(self.window.actions_by_id.values(), self.window)
        if self.run(search) and search.chosen is not None:
            search.chosen.trigger()

    def find_gear(self) -> None:
        """Go to the shelf's search."""
        self.window.actions_by_id["wide"].setChecked(False)
        self.window.shelf.focus_search()
