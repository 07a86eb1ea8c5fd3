"""What several commands share: the file and gig they are given, and how they count."""

from __future__ import annotations

from pathlib import Path

import click

from rigcore.analysis import Analysis, analyse
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.catalogue.loader import shipped
from rigcore.errors import PacketNotWritten

FILE = click.argument("file", type=click.Path(path_type=Path))
GIG = click.option("--gig", "gig_id", default=None, help="Id or name of the gig; the first one if not given.")

ISSUED = click.option(
    "--issued", type=click.DateTime(["%Y-%m-%d"]), default=None, help="Issue date, as 2027-08-31; today if not given."
)


def load(file: Path) -> Book:
    """Return the book in a file."""
    return book_file.load(file, shipped())[0]


def analysis_of(file: Path, gig_id: str | None) -> Analysis:
    """Return the analysis of a gig in a file; the first gig if none is named."""
    return analyse(load(file), gig_id, shipped())


def write_file(path: Path, data: bytes) -> None:
    """Write a file in one step; its folder is made if it is missing."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        book_file.replace_file(path, data)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise PacketNotWritten(f"{path} could not be written: {reason}; choose another place", [str(path)]) from None


def many(number: int, word: str) -> str:
    """Return a number with its word, in the plural where it needs one."""
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
