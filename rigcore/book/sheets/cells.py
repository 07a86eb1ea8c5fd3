"""Reads single cells: numbers, lengths, owners, yes and no, gear and ports by name.

A cell that does not hold is noted with file, row and column, and stands for its
default so that the rest of the table is still read.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import Literal, TypeVar

from msgspec import Struct
from pydantic import ValidationError

from rigcore.book.edits.rebuild import sentence_of
from rigcore.book.rig import Owner
from rigcore.book.sheets.table import Problems, Row, Table, squeezed
from rigcore.catalogue.cables import CableType
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType, Port
from rigcore.quantities.geometry import METRES_PER_FOOT

Answer = TypeVar("Answer")

OWNERS: dict[str, Owner] = {
    **dict.fromkeys(("rig", "own", "ours", "our", "mine", "me", "us", "player", "act", "band"), "rig"),
    **dict.fromkeys(("house", "venue", "theirs", "yours", "please supply", "supplied", "hire"), "house"),
}
FLAGS: dict[str, bool] = {
    **dict.fromkeys(("yes", "y", "true", "x", "1", "on", "✓", "ears only"), True),
    **dict.fromkeys(("no", "n", "false", "0", "off", "-", "–"), False),
}
UNITS_M = {
    **dict.fromkeys(("", "m", "metre", "metres", "meter", "meters"), 1.0),
    **dict.fromkeys(("ft", "foot", "feet", "'", "′"), METRES_PER_FOOT),
    "cm": 0.01,
    "mm": 0.001,
}


def metres(text: str) -> float:
    """Return a length in m from what a person typed.

    Raises
    ------
    ValueError
        If it is no length.

    >>> metres("1,5 m"), metres("5"), metres("15 ft")
    (1.5, 5.0, 4.572)
    """
    match = re.fullmatch(r"([+-]?[0-9]{1,9}(?:[.,][0-9]{1,9})?)\s*([^\s0-9]*?)\.?", text.strip())
    if match is None or match[2].casefold() not in UNITS_M:
        raise ValueError(f"'{text[:40]}' is no length; write it as 5, 1.5 m or 15 ft")
    return round(float(match[1].replace(",", ".")) * UNITS_M[match[2].casefold()], 4)


def number(text: str) -> float:
    """Return a plain number, with a decimal point or comma.

    Raises
    ------
    ValueError
        If it is none.

    >>> number("90°"), number("-1,25")
    (90.0, -1.25)
    """
    match = re.fullmatch(r"([+-]?[0-9]{1,9}(?:[.,][0-9]{1,9})?)\s*(?:°|deg|degrees)?", text.strip())
    if match is None:
        raise ValueError(f"'{text[:40]}' is no number")
    return float(match[1].replace(",", "."))


class Cells(Struct, frozen=True):
    """The cells of one row, read one by one into values."""

    table: Table
    row: Row
    problems: Problems

    def note(self, column: str, sentence: str) -> None:
        """Note that a cell does not hold."""
        self.problems.add(self.table.where(self.row, column), sentence)

    def text(self, column: str) -> str:
        """Return a cell as typed; nothing where the column is not there."""
        return self.row.cells.get(column, "")

    def line(self, column: str) -> str:
        """Return a cell as one line: a name."""
        return " ".join(self.text(column).split())

    def metres(self, column: str) -> float | None:
        """Return a length in m, or None where the cell is empty or no length."""
        if not self.text(column):
            return None
        try:
            return metres(self.text(column))
        except ValueError as error:
            self.note(column, str(error))
            return None

    def number(self, column: str) -> float | None:
        """Return a number, or None where the cell is empty or no number."""
        if not self.text(column):
            return None
        try:
            return number(self.text(column))
        except ValueError as error:
            self.note(column, str(error))
            return None

    def choice(self, column: str, words: Mapping[str, Answer], default: Answer) -> Answer:
        """Return what a word of a closed list stands for; the default for an empty cell."""
        if not self.text(column):
            return default
        known = {squeezed(word): answer for word, answer in words.items()}
        wanted = squeezed(self.text(column))
        if wanted not in known:
            near = self.problems.nearest(self.line(column), words)
            self.note(column, f"'{self.line(column)[:60]}' is not known here{near}")
        return known.get(wanted, default)

    def flag(self, column: str) -> bool:
        """Return yes or no; no for an empty cell."""
        return self.choice(column, FLAGS, False)

    def refused(self, error: ValidationError, columns: Mapping[str, str]) -> None:
        """Note what a record refuses, at the column its field comes from."""
        field = next((str(part) for part in error.errors()[0]["loc"]), "")
        sentence = sentence_of(error).removeprefix(f"{field}: ")
        self.note(columns.get(field, field or next(iter(columns.values()))), sentence)


class Names:
    """Gear types, ports and cable types as people call them."""

    def __init__(self, catalogue: Catalogue, problems: Problems) -> None:
        self.catalogue = catalogue
        self.problems = problems
        self._known: dict[str, GearType | None] = {}

    @cached_property
    def _gear_called(self) -> list[tuple[tuple[str, ...], tuple[set[str], ...], GearType]]:
        """Each gear type with what it may be called whole, and with the words that may describe it."""
        return [
            (
                (gear.id, squeezed(gear.name), squeezed(gear.id), squeezed(gear.about)),
                (_words(f"{gear.id} {gear.name}"), _words(f"{gear.id} {gear.name} {gear.about}")),
                gear,
            )
            for gear in self.catalogue.gear.values()
        ]

    @cached_property
    def _cable_called(self) -> dict[str, CableType]:
        cables = reversed(self.catalogue.cables.values())
        return {squeezed(word): cable for cable in cables for word in (cable.name, cable.id)}

    def gear(self, text: str) -> GearType | None:
        """Return the gear type of that id, that name, or the only one its words describe; else None."""
        if text not in self._known:
            self._known[text] = self._find_gear(text)
        return self._known[text]

    def _find_gear(self, text: str) -> GearType | None:
        wanted, words = squeezed(text), _words(text)
        called = self._gear_called
        for place, whole in enumerate((text.casefold().strip(), wanted, wanted, wanted)):
            found = [gear for names, _, gear in called if names[place] == whole]
            if len(found) == 1:
                return found[0]
        for place in range(2):
            found = [gear for _, told, gear in called if words <= told[place]]
            if len(found) == 1:
                return found[0]
        return None

    def no_gear(self, text: str) -> str:
        """Return the sentence for a gear type that does not exist, with the three nearest."""
        known = [f"{gear.id} ({gear.name})" for gear in self.catalogue.gear.values()]
        return f"there is no gear type '{text[:60]}'{self.problems.nearest(text, known)}"

    def port(self, gear: GearType, text: str, way: Literal["in", "out"]) -> Port | str:
        """Return the port of a gear type by id or name, or the sentence that says why there is none.

        Where nothing is given, the only audio port that runs the wanted way.
        """
        facing = [one for one in gear.ports if one.direction in (way, "both")]
        if not text:
            sound = [one for one in facing if one.carrier.medium == "audio"] or facing
            if len(sound) == 1:
                return sound[0]
            names = ", ".join(one.id for one in sound[:12]) or "none"
            return f"the port is missing; {gear.name} has {names}"
        wanted = squeezed(text)
        for ports in (facing, gear.ports):
            for found in (
                [one for one in ports if squeezed(one.id) == wanted],
                [one for one in ports if squeezed(one.name) == wanted],
            ):
                if len(found) == 1:
                    return found[0]
        near = self.problems.nearest(text, [one.id for one in gear.ports])
        return f"{gear.name} has no port '{text[:60]}'{near}"

    def cable(self, text: str) -> CableType | None:
        """Return the cable type of that id or name; None where there is none."""
        return self._cable_called.get(squeezed(text))

    def no_cable(self, text: str) -> str:
        """Return the sentence for a cable type that does not exist, with the three nearest."""
        near = self.problems.nearest(text, self.catalogue.cables)
        return f"there is no cable type '{text[:60]}'{near}"


def folded(name: str) -> str:
    """Return a name as it is compared: lower case, single blanks."""
    return " ".join(name.casefold().split())


def _words(text: str) -> set[str]:
    return set(re.findall(r"[^\W_]+", text.casefold())) or {text}


def literal_words(options: Iterable[Answer]) -> dict[str, Answer]:
    """Return the words of a closed list, each standing for itself."""
    return {str(option): option for option in options}
