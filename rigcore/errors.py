"""Every refusal the core can make, named after the situation it describes.

One base class. Each carries one clear sentence for the person in front of the
screen and the ids of the things concerned. No texts for developers here: those
are ordinary Python exceptions.
"""

from __future__ import annotations

from collections.abc import Sequence


class LoomwrightError(Exception):
    """A situation the user can understand and mend.

    Parameters
    ----------
    sentence
        What is wrong, where, and what to do, in one sentence.
    things
        Ids of the units, links, rows or files concerned.
    """

    def __init__(self, sentence: str, things: Sequence[str] = ()) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.things = tuple(things)


class _Listed(LoomwrightError):
    """A refusal made of several sentences, all reported together."""

    def __init__(self, heading: str, problems: Sequence[str]) -> None:
        self.problems = tuple(problems)
        shown = "; ".join(self.problems[:6])
        more = len(self.problems) - 6
        tail = f"; and {more} more" if more > 0 else ""
        super().__init__(f"{heading}: {shown}{tail}")


class CatalogueDamaged(_Listed):
    """A catalogue table does not hold; each problem names file, row and field."""


class ImportRefused(_Listed):
    """A spreadsheet cannot be taken in; each problem names file, row and column."""


class EditRefused(LoomwrightError):
    """An edit asks for something impossible; the book stays as it was."""


class UnknownThing(EditRefused):
    """A name or id does not exist in this book or catalogue."""


class BookUnreadable(LoomwrightError):
    """A file is not a book, or is damaged."""


class BookTooNew(BookUnreadable):
    """A file was written by a newer Loomwright; it is left untouched."""


class BookNotSaved(LoomwrightError):
    """Saving failed; the file on disk is still the old one."""


class BookChangedOnDisk(BookNotSaved):
    """Somebody else wrote the file since it was opened; saving would lose that."""


class PacketNotWritten(LoomwrightError):
    """The packet could not be written to its folder."""
