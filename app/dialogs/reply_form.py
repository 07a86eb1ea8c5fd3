"""What a house answers, pasted from a mail or a spreadsheet: what is understood, what not, and what it changes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from app.beside import Beside, Run
from app.desk import Desk
from app.dialogs.sheet_dialog import SheetDialog, say
from app.panes.forms.fields import date_from
from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.edits.reply import take_reply
from rigcore.book.sheets.reply import ReplyRead, read_reply
from rigcore.errors import LoomwrightError
from rigcore.lists.finding_changes import finding_changes
from rigcore.lists.fit_changes import fit_changes
from rigcore.patch.build import build_patch

REST_MS = 250
MOST_LINES = 14


class ReplyForm(SheetDialog):
    """Takes the answers of the house of the gig in view, as one step."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(say("What the house answers"), say("Take it in"), parent)
        self._desk = desk
        self._gig = desk.book.gig(desk.gig_id)
        self._house = desk.book.house(self._gig.house)
        self.read: ReplyRead | None = None
        self.form.title(
            self.tr("What {} answers").format(self._house.name),
            self.tr("Paste the mail, the filled sheet or a table; nothing is taken in before you press the button."),
        )
        self.text = QPlainTextEdit()
        self.text.setAccessibleName(self.tr("Answers"))
        self.text.setPlaceholderText(self.tr("48 V: per channel\nDI boxes: 3\n…"))
        self.text.setMinimumHeight(150)
        self.text.setTabChangesFocus(True)
        self.form.add(self.text)
        self.said_by = self.form.text(self.tr("Said by"), "", lambda _text: None, hint=self.tr("who answered"))
        self.said_on = self.form.text(
            self.tr("On"), dt.date.today().isoformat(), lambda _text: None, hint=self.tr("year-month-day")
        )
        self.form.heading(self.tr("What this says"))
        self.told = self.form.say("", "")
        self.form.finish()
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self.look)
        self.text.textChanged.connect(self._rest.start)
        self._beside = Beside(self)
        self._beside.ended.connect(self._tell_fit)
        self.yes.setEnabled(False)
        self.told.setText(self.tr("Nothing yet."))
        self.fit(620)
        self.resize(620, 640)
        self.text.setFocus()

    def look(self) -> None:
        """Read what is pasted and say what it would do."""
        self.read = None
        try:
            self.read = self._read()
            lines = [*self._understood(self.read), *self._changes(self._taken(self._desk.book))]
        except LoomwrightError as refusal:
            lines = [refusal.sentence]
        self._beside.forget()
        self.yes.setEnabled(self.read is not None and not self.read.reply.is_empty)
        self.told.setText("\n".join(lines))
        if self.yes.isEnabled():
            self._ask_fit()

    def _ask_fit(self) -> None:
        """Work out beside the window what the answers change in the fit of the gig in view."""
        try:
            after = build_patch(self._taken(self._desk.book), self._gig.id, self._desk.shipped)
        except LoomwrightError:
            return  # the book on the desk is another one by now
        before = self._desk.analysis().patch
        self._beside.wish(self.told.text(), lambda: fit_changes(before, after))

    def _tell_fit(self, run: Run[tuple[str, ...]]) -> None:
        if run.error is not None or run.about != self.told.text():
            return
        lines = [self.tr("  fit: {}").format(one) for one in run.result or ()]
        nothing = [self.tr("Nothing lands otherwise.")]
        self.told.setText("\n".join([self.told.text(), *(_cut(lines) if lines else nothing)]))

    def _read(self) -> ReplyRead:
        catalogue = self._desk.catalogue
        try:
            day = date_from(self.said_on.text())
        except ValueError:
            day = None
        data = self.text.toPlainText().encode("utf-8", errors="replace")
        return read_reply(
            data, self.tr("the answers"), self._house, catalogue, said_by=self.said_by.text().strip(), said_on=day
        )

    def _taken(self, book: Book) -> Book:
        assert self.read is not None
        return take_reply(book, self._house.id, self.read.reply, self._gig.id)

    def _understood(self, read: ReplyRead) -> list[str]:
        lines = [self.tr("Understood: {}").format(len(read.understood) or self.tr("nothing yet"))]
        lines += _cut([f"  {line}" for line in read.understood])
        if read.problems:
            lines.append(self.tr("Not understood, left as it was: {}").format(len(read.problems)))
            lines += _cut([f"  {line}" for line in read.problems])
        elif not read.understood:
            lines.append(self.tr("Write one answer a line, as '48 V: per channel'."))
        return lines

    def _changes(self, after: Book) -> list[str]:
        """Say what becomes of the findings of the gig in view."""
        before = self._desk.analysis().findings
        changes = finding_changes(before, analyse(after, self._gig.id, self._desk.shipped).findings)
        if changes.is_empty:
            return [self.tr("No finding of this gig changes.")]
        lines = [self.tr("In the findings of this gig:")]
        lines += _cut([self.tr("  gone: {}").format(one.sentence) for one in changes.gone])
        lines += _cut([self.tr("  new {}: {}").format(one.severity, one.sentence) for one in changes.new])
        lines += _cut([self.tr("  now: {}").format(now.sentence) for _, now in changes.changed])
        return lines

    def commit(self) -> str:
        """Take the answers in."""
        self.look()
        if self.read is None or self.read.reply.is_empty:
            return self.refuse(self.text, self.tr("There is nothing to take in yet."))
        try:
            date_from(self.said_on.text())
        except ValueError:
            words = self.tr("'{}' is no date; write year-month-day in figures.")
            return self.refuse(self.said_on, words.format(self.said_on.text()))
        with self._desk.refusals() as refused:
            self._desk.edit(self.tr("Take in what {} answers").format(self._house.name), self._taken)
        return refused[0] if refused else ""


def _cut(lines: Sequence[str]) -> list[str]:
    """Return the first lines, and how many more there are."""
    shown = list(lines[:MOST_LINES])
    return [*shown, f"  … {len(lines) - MOST_LINES}"] if len(lines) > MOST_LINES else shown
