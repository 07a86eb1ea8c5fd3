"""Undo and redo as a list of snapshots with words; the window and the command line share it.

Frozen books share their unchanged parts, so a snapshot costs little more than
the part that changed.
"""

from __future__ import annotations

from msgspec import Struct, field

from rigcore.book.book import Book

LIMIT = 1000
"""Steps kept; the oldest fall off."""


class Step(Struct, frozen=True):
    """A book as it was, and the words of the edit that left it."""

    book: Book
    words: str


class History(Struct, frozen=True):
    """The present book with its past and its future. Immutable: each method returns another history."""

    present: Book
    past: tuple[Step, ...] = field(default=())
    future: tuple[Step, ...] = field(default=())

    def after(self, book: Book, words: str) -> History:
        """Return the history after an edit; an edit that changes nothing leaves it alone."""
        if book == self.present:
            return self
        return History(book, (*self.past, Step(self.present, words))[-LIMIT:], ())

    def undone(self) -> History:
        """Return the history one step back; itself where there is no past."""
        if not self.past:
            return self
        step = self.past[-1]
        return History(step.book, self.past[:-1], (Step(self.present, step.words), *self.future))

    def redone(self) -> History:
        """Return the history one step on; itself where there is no future."""
        if not self.future:
            return self
        step = self.future[0]
        return History(step.book, (*self.past, Step(self.present, step.words)), self.future[1:])

    @property
    def undo_words(self) -> str:
        """Words of the edit an undo takes back, or nothing."""
        return self.past[-1].words if self.past else ""

    @property
    def redo_words(self) -> str:
        """Words of the edit a redo brings back, or nothing."""
        return self.future[0].words if self.future else ""
