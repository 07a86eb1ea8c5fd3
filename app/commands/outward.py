"""Commands that take something out of the book: printing, sending under a letter, the mail draft, files for others."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

from app.commands.command import Commands
from rigcore.book.file import replace_file
from rigcore.book.ids import slug
from rigcore.errors import LoomwrightError

FILES: tuple[tuple[str, str, str], ...] = (
    ("Input list (*.csv)", "csv", "inputs"),
    ("All lists (*.xlsx)", "xlsx", ""),
    ("Stage plot (*.svg)", "svg", "plot"),
    ("Stage plot (*.png)", "png", "plot"),
    ("Patch (*.svg)", "svg", "patch"),
    ("Patch (*.png)", "png", "patch"),
    ("Patch as a graph (*.graphml)", "graphml", ""),
    ("Patch as a graph (*.dot)", "dot", ""),
    ("Calendar entry (*.ics)", "ics", ""),
    ("Questions for the house (*.csv)", "questions", ""),
    ("Draft of the mail to the house (*.eml)", "mail", ""),
)
"""What can be written beside the packet: words of the file dialog, kind and part."""


class OutwardCommands(Commands):
    """The outward part of the Book menu."""

    def send(self) -> None:
        """Note that the packet goes out under its letter, and write it."""
        from app.dialogs.send_form import SendForm

        if self.run(SendForm(self.desk, self.window)):
            self.window.books.export_packet()

    def print_packet(self) -> None:
        """Print the packet's pages."""
        from app.dialogs.printing import print_pages

        self.window.commit_typing()
        settings = self.window.settings
        print_pages(self.desk.analysis(), settings.paper, settings.feet, self.window)

    def export(self) -> None:
        """Write a list, a drawing or a mail draft to a file the user names."""
        from PySide6.QtWidgets import QFileDialog

        self.window.commit_typing()
        gig = self.desk.book.gig(self.desk.gig_id)
        start = str(Path(self.window.settings.folder or Path.home()) / f"{slug(gig.act or gig.name)}.csv")
        kinds = ";;".join(self.tr(words) for words, _, _ in FILES)
        name, chosen = QFileDialog.getSaveFileName(self.window, self.tr("Write for another program"), start, kinds)
        if name:
            place = [self.tr(words) for words, _, _ in FILES].index(chosen) if chosen else 0
            self.write(Path(name), place)

    def write(self, path: Path, place: int) -> bool:
        """Write one of the files of the table; says how it went."""
        words, kind, part = FILES[place]
        ending = words.rpartition("*")[2].rstrip(")")
        if path.suffix.lower() != ending:
            path = path.with_suffix(ending)
        try:
            replace_file(path, self._maker(kind, part)())
        except OSError as error:
            say = self.tr("{} could not be written: {}; choose another place").format(path, error.strerror or error)
            self.window.strip.say(say, "refused")
            return False
        except LoomwrightError as refusal:
            self.window.strip.say(refusal.sentence, "refused")
            return False
        self.window.settings.folder = str(path.absolute().parent)
        self.window.strip.say(self.tr("It lies at {}").format(path))
        return True

    def _maker(self, kind: str, part: str) -> Callable[[], bytes]:
        analysis, today = self.desk.analysis(), dt.date.today()
        settings = self.window.settings
        if kind == "mail":
            from rigcore.paper.mail import mail_draft

            return lambda: mail_draft(analysis, today, paper=settings.paper, feet=settings.feet, extra=["answers"])
        from rigcore.paper.outward import made

        return lambda: made(analysis, (kind, part), today, options=(True, settings.feet))
