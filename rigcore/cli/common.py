"""What several commands share: the file and gig they are given, and how they count."""

from __future__ import annotations

from pathlib import Path

import click

from rigcore.analysis import Analysis, analyse
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.catalogue.loader import shipped

FAULTS = 1
"""Exit code of a command that found something wrong with the gig."""

UNUSABLE = 2
"""Exit code of a command that could not use what it was given."""

FILE = click.argument("file", type=click.Path(path_type=Path))
GIG = click.option("--gig", "gig_id", default=None, help="Id or name of the gig; the first one if not given.")


def load(file: Path) -> Book:
    """Return the book in a file."""
    return book_file.load(file, shipped())[0]


def analysis_of(file: Path, gig_id: str | None) -> Analysis:
    """Return the analysis of a gig in a file; the first gig if none is named."""
    return analyse(load(file), gig_id, shipped())


def many(number: int, word: str) -> str:
    """Return a number with its word, in the plural where it needs one."""
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
