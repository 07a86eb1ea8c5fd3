"""Sending the packet: what changed since the house last got one, to whom this one goes, and the letter it takes."""

from __future__ import annotations

import datetime as dt

from PySide6.QtWidgets import QWidget

from app.desk import Desk
from app.dialogs.sheet_dialog import SheetDialog, say
from rigcore.book.book import Book
from rigcore.book.edits.letters import letter_after, send_packet
from rigcore.lists.edition import edition
from rigcore.patch.edition import content, held_letter

MOST_CHANGES = 12


class SendForm(SheetDialog):
    """Notes a packet as sent in one step of the history; mailing it is left to the mail program."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(say("Send the packet"), say("Note it and write the PDF…"), parent)
        self._desk = desk
        patch = desk.analysis().patch
        gig, house, held = patch.gig, patch.house, held_letter(patch)
        last = gig.letters[-1].letter if gig.letters else None
        self.letter = held.letter if held is not None else letter_after(last)
        self.form.title(self.tr("Letter {}").format(self.letter), self._told(last, held is not None))
        changes = edition(patch).changes if held is None else ()
        if changes:
            self.form.heading(self.tr("Changes since letter {}").format(last))
            for change in changes[:MOST_CHANGES]:
                self.form.say(change.words)
            if len(changes) > MOST_CHANGES:
                self.form.say(self.tr("and {} more, all on page one").format(len(changes) - MOST_CHANGES), "soft")
        hint = self.tr("a name or address")
        self.to = self.form.text(self.tr("To whom"), house.contact, lambda _text: None, hint=hint)
        if gig.letters:
            self.form.heading(self.tr("Sent before"))
            for one in reversed(gig.letters):
                self.form.fact(self.tr("Letter {}").format(one.letter), f"{one.sent:%Y-%m-%d} · {one.to or '–'}")
        self.form.finish()
        self.fit(460)

    def _told(self, last: str | None, is_held: bool) -> str:
        if is_held:
            return self.tr("Nothing has changed since it was sent: it keeps its letter.")
        if last is None:
            return self.tr("The first packet of this gig.")
        return self.tr("The house holds letter {}.").format(last)

    def commit(self) -> str:
        """Note the letter in the book."""
        said = content(self._desk.analysis().patch)
        gig_id, to = self._desk.gig_id, self.to.text().strip()

        def send(book: Book) -> Book:
            return send_packet(book, gig_id, said, day=dt.date.today(), to=to)[0]

        with self._desk.refusals() as refused:
            self._desk.edit(self.tr("Send the packet, letter {}").format(self.letter), send)
        return refused[0] if refused else ""
