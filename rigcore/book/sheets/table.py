"""Reads a spreadsheet's text file into rows: encoding, delimiter, headings, nothing of its meaning.

Takes UTF-8 with or without a byte order mark, UTF-16 with one, and Windows-1252;
comma, semicolon or tab; headings in any case with spaces, underscores or
hyphens. What cannot be read goes to a list of problems, all together.
"""

from __future__ import annotations

import csv
import difflib
import io
import os
import re
import stat
import tomllib
from collections.abc import Collection, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from msgspec import Struct, field

LARGEST_BYTES = 5_000_000
"""A larger file is refused unread: 20,000 rows of a patch are under 3 MB."""

MOST_ROWS = 20_000
"""More rows than this are not the plan of a rig."""

MOST_COMPARISONS = 20_000
"""After so many names compared no nearest ones are looked up any more; it would only take time."""


class Problems(Struct):
    """What is wrong with some files, gathered in the order it was met."""

    sentences: list[str] = field(default_factory=list)
    _compared: int = 0

    def add(self, where: str, sentence: str) -> None:
        """Note one problem: where it stands, and what is wrong."""
        self.sentences.append(f"{where}: {sentence}")

    def nearest(self, wanted: str, known: Collection[str]) -> str:
        """Return the three nearest names as the tail of a sentence, or nothing where there is none."""
        self._compared += len(known)
        if not known or self._compared > MOST_COMPARISONS:
            return ""
        return "; nearest: " + ", ".join(three_nearest(wanted, known))


def three_nearest(wanted: str, known: Collection[str], *, most: int = 3) -> list[str]:
    """Return the three known names most like the one wanted, or as many as asked for, likest first.

    >>> three_nearest("Piono", ["Piano", "Organ", "Bass", "Pianola"])
    ['Piano', 'Pianola', 'Organ']
    """
    alike = {}
    for name in sorted(known):
        match = difflib.SequenceMatcher(None, wanted.casefold()[:120], name.casefold())
        alike[name] = match.ratio()
    return sorted(alike, key=lambda name: -alike[name])[:most]


class Row(Struct, frozen=True):
    """One row: its number in the spreadsheet and its cells by column."""

    number: int
    cells: Mapping[str, str]


class Table(Struct, frozen=True):
    """A table as read. ``headings`` gives each column as the file words it."""

    file: str
    headings: Mapping[str, str]
    rows: tuple[Row, ...]

    def where(self, row: Row, column: str) -> str:
        """Return the place of a cell in words."""
        return f"{self.file}, row {row.number}, column {self.headings.get(column, column)}"


class Columns(Struct, frozen=True):
    """The columns a table may have, each with other words for it, and those it must have."""

    words: Mapping[str, tuple[str, ...]]
    required: tuple[str, ...]

    def known(self) -> dict[str, str]:
        """Return every accepted heading, squeezed, with the column it names."""
        return {
            squeezed(word): column
            for column, others in self.words.items()
            for word in (column, *others)
        }


@lru_cache(maxsize=4096)
def squeezed(text: str) -> str:
    """Return a text by its letters and figures alone, lower case; itself where it has none.

    >>> squeezed("Stand_Owner "), squeezed("x (m)"), squeezed("–")
    ('standowner', 'xm', '–')
    """
    plain = re.sub(r"[\W_]+", "", text.casefold())
    return plain or text.strip()


def read_bytes(path: Path, problems: Problems) -> bytes | None:
    """Return what a file holds, or None with a problem noted: missing, no file, too large."""
    name = path.name or str(path)
    try:
        about = os.stat(path)
        if not stat.S_ISREG(about.st_mode):
            problems.add(name, "is not a file")
            return None
        if about.st_size > LARGEST_BYTES:
            problems.add(name, f"is too large ({about.st_size / 1e6:.0f} MB; at most {LARGEST_BYTES / 1e6:.0f} MB)")
            return None
        with path.open("rb") as file:
            return file.read(LARGEST_BYTES)
    except OSError as error:
        problems.add(str(path), f"cannot be read ({error.strerror or error})")
    except ValueError:
        problems.add(name, "is not a path")
    return None


def read_toml(path: Path, problems: Problems) -> dict[str, Any] | None:
    """Return a TOML file as a table, or None with a problem noted."""
    data = read_bytes(path, problems)
    if data is None:
        return None
    try:
        return tomllib.loads(data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        problems.add(path.name, f"byte {error.start + 1} is not UTF-8; save the file as UTF-8")
    except RecursionError:
        problems.add(path.name, "is nested too deeply")
    except ValueError as error:
        problems.add(path.name, f"is not TOML ({error})")
    return None


def read_table(data: bytes, file: str, columns: Columns, problems: Problems) -> Table | None:
    """Return the table in some bytes, or None with what is wrong noted.

    Parameters
    ----------
    file
        Name of the file, for the words of the problems.
    """
    text = decoded(data, file, problems)
    if text is None:
        return None
    records = _records(text, _delimiter(text, columns), file, problems)
    if records is None:
        return None
    filled = [(number, cells) for number, cells in records if any(cell.strip() for cell in cells)]
    if not filled:
        problems.add(file, "is empty: the first row must name the columns")
        return None
    order = _headings(filled[0], file, columns, problems)
    if order is None:
        return None
    headings = {column: cleaned(filled[0][1][place]) for place, column in order.items()}
    rows = []
    for number, cells in filled[1:]:
        if any(cleaned(cell) for cell in cells[len(filled[0][1]) :]):
            problems.add(
                f"{file}, row {number}",
                "has more cells than the first row; put a value that holds the delimiter in quotation marks",
            )
        rows.append(Row(number, {col: cleaned(cells[at]) for at, col in order.items() if at < len(cells)}))
    return Table(file, headings, tuple(rows))


def decoded(data: bytes, file: str, problems: Problems) -> str | None:
    """Return what some bytes say, or None with a problem noted where they are no plain text."""
    marked = {b"\xef\xbb\xbf": "utf-8-sig", b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}
    mark = next((encoding for start, encoding in marked.items() if data.startswith(start)), None)
    text = None
    for encoding in [mark] if mark else ["utf-8", "cp1252"]:
        try:
            text = data.decode(encoding)
            break
        except UnicodeDecodeError:
            continue
    bad = None if text is None else re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", text)
    if text is None or bad:
        line = f" (line {text.count(chr(10), 0, bad.start()) + 1})" if text is not None and bad else ""
        problems.add(file, f"is not a table in plain text{line}; save the sheet as CSV first")
        return None
    return text


def _delimiter(text: str, columns: Columns) -> str:
    """Return the delimiter under which the first filled row names most columns."""
    known = columns.known()
    first = next((line for line in text.splitlines() if line.strip()), "")
    told = re.fullmatch(r'"?sep=([,;\t])"?\s*', first.strip("\r\n"))
    if told:
        return told[1]

    def score(delimiter: str) -> tuple[int, int]:
        try:
            cells = next(csv.reader([first], delimiter=delimiter, skipinitialspace=True), [])
        except csv.Error:
            return 0, 0
        return sum(squeezed(cell) in known for cell in cells), len(cells)

    return max((",", ";", "\t"), key=score)


def _records(
    text: str, delimiter: str, file: str, problems: Problems
) -> list[tuple[int, list[str]]] | None:
    reader = csv.reader(
        io.StringIO(text, newline=""), delimiter=delimiter, strict=True, skipinitialspace=True
    )
    records: list[tuple[int, list[str]]] = []
    try:
        for number, cells in enumerate(reader, start=1):
            if number > MOST_ROWS + 1:
                problems.add(file, f"has more than {MOST_ROWS:,} rows")
                return None
            if number > 1 or not re.fullmatch(r"sep=.?", "".join(cells).strip()):
                records.append((number, cells))
    except csv.Error as error:
        problems.add(f"{file}, row {len(records) + 1}", f"its quotation marks do not match ({error})")
        return None
    return records


def _headings(
    first: tuple[int, list[str]], file: str, columns: Columns, problems: Problems
) -> dict[int, str] | None:
    """Return which column stands in which place, or None with what is wrong noted."""
    number, cells = first
    known = columns.known()
    order: dict[int, str] = {}
    before = len(problems.sentences)
    for place, cell in enumerate(cells):
        word = cleaned(cell)
        if not word:
            continue
        column = known.get(squeezed(word))
        if column is None:
            problems.add(
                f"{file}, row {number}, column '{word[:60]}'",
                f"there is no such column here{problems.nearest(word, columns.words)}",
            )
        elif column in order.values():
            problems.add(f"{file}, row {number}, column {word}", f"'{column}' stands there twice")
        else:
            order[place] = column
    for column in columns.required:
        if column not in order.values():
            problems.add(f"{file}, row {number}", f"the column '{column}' is missing")
    return order if len(problems.sentences) == before else None


def cleaned(cell: str) -> str:
    """Return a cell without the blanks around it, nor the apostrophes that keep a spreadsheet from computing it.

    >>> cleaned("'=1"), cleaned(" 'tis "), cleaned("pad; '-10 dB")
    ('=1', "'tis", 'pad; -10 dB')
    """
    text = cell.replace("\r\n", "\n").replace("\r", "\n").replace("\xa0", " ").strip()
    return re.sub(r"(^|;)(\s*)'(?=\s*[=+\-@＝＋－＠])", r"\1\2", text)
