"""The tables a house fills or sends: which columns they have, and what its lines and its mains then are.

A row names what it is about by our key, by what is written at the socket, or by its number. A cell
left empty says nothing.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from typing import Any, TypeVar

from pydantic import ValidationError

from rigcore.book.edits.rebuild import sentence_of
from rigcore.book.edits.reply import LineSaid, doubled
from rigcore.book.house import House, PowerDrop, Socket
from rigcore.book.ids import new_id
from rigcore.book.sheets.cells import FLAGS, number
from rigcore.book.sheets.table import Columns, Problems, squeezed, three_nearest
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.record import changed

Found = TypeVar("Found", Socket, PowerDrop)

OUR_KEY = "our key"
_OURS = ("key", "id", "our key, leave as it is")
QUESTIONS = Columns(
    {
        OUR_KEY: (*_OURS, "subject", "item", "fact", "no"), "question": ("asked", "questions"),
        "answer": ("answers", "your answer", "reply", "value"), "until then we assume": ("assumed", "we assume"),
    },
    ("answer",),
)  # fmt: skip
LINES = Columns(
    {
        OUR_KEY: _OURS, "direction": ("way", "in/out", "in or out"),
        "number": ("no", "nr", "#", "channel", "ch", "line", "input", "channel number", "mix"),
        "label": ("name", "socket", "labelled", "written at it"), "type": ("connector", "plug", "socket type"),
        "level": ("takes", "mic/line", "mic or line"), "block": ("group",),
    },
    ("number", "label"),
)  # fmt: skip
POWER = Columns(
    {
        OUR_KEY: _OURS, "place": ("drop", "location", "position", "where", "name", "power"),
        "outlets": ("number of outlets", "how many", "sockets"), "connector": ("type", "outlet type"),
        "circuit": ("circuit name", "phase"), "breaker A": ("breaker", "rating", "amps", "circuit a", "A"),
        "RCD mA": ("rcd", "residual current device", "gfci"), "limiter": ("sound limiter",),
        "shared with": ("shared", "what else hangs on it"),
    },
    ("place", "outlets"),
)  # fmt: skip
TABLES = (QUESTIONS, POWER, LINES)


def columns_of(cells: Sequence[str]) -> Columns | None:
    """Return the table some cells are the headings of, or None: most of them and all it must have are known."""
    heads = [squeezed(cell) for cell in cells if cell]
    best: tuple[int, Columns | None] = (1, None)
    for table in TABLES:
        known = table.known()
        named = [known[head] for head in heads if head in known]
        if set(table.required) <= set(named) and len(set(named)) == len(named) and 2 * len(named) > len(heads):
            best = max(best, (len(named), table), key=lambda one: one[0])
    return best[1]


class Lines:
    """What is said of the house's lines, row by row."""

    def __init__(self, house: House, catalogue: Catalogue, problems: Problems) -> None:
        self.house, self.catalogue, self.problems = house, catalogue, problems
        self._said: dict[str, LineSaid] = {}
        self._where: dict[str, str] = {}
        self._levels: dict[str, str] = {}

    def take(self, cells: Mapping[str, str], where: str) -> None:
        """Take one row in."""
        said_number = None
        if cells.get("number"):
            plain = re.fullmatch(r"#?(\d{1,4})", cells["number"])
            if plain is None:
                self.problems.add(f"{where}, column number", f"'{cells['number'][:60]}' is no line number")
                return
            said_number = int(plain[1])
        socket = self._socket(cells, said_number)
        if socket is None:
            told = cells.get("label") or cells.get("number") or cells.get(OUR_KEY, "")
            near = self.problems.nearest(told, [one.label for one in self.house.sockets])
            self.problems.add(f"{where}, column label", f"{self.house.name} has no line '{told[:60]}'{near}")
            return
        self._check_type(socket, cells.get("type", ""), where)
        if cells.get("level") and socket.direction == "in":
            self._levels[socket.id] = " ".join(cells["level"].casefold().split())
        label = " ".join(cells.get("label", "").split())
        label = socket.label if not label or alike(label, socket.label) else label
        new_number = socket.number if said_number is None else said_number
        if len(label) > 120:
            self.problems.add(f"{where}, column label", f"'{label[:60]}…' is longer than 120 characters")
        elif (new_number, label) != (socket.number, socket.label):
            self._said[socket.id] = LineSaid(socket.id, new_number, label)
            self._where[socket.id] = where

    def _socket(self, cells: Mapping[str, str], said_number: int | None) -> Socket | None:
        """Return the line a row is about: by our key, by its label, else by its number; never one of several."""
        ways = {"in": "in", "input": "in", "out": "out", "output": "out", "send": "out", "return": "out"}
        way = ways.get(squeezed(cells.get("direction", "")), "")
        here = [one for one in self.house.sockets if not way or one.direction == way]
        label, key = cells.get("label", ""), cells.get(OUR_KEY, "")
        for found in (
            [one for one in here if key and one.id == key],
            [one for one in here if label and alike(one.label, label)],
            [one for one in here if one.number == said_number and one.direction == (way or "in")],
        ):
            if len(found) == 1:
                return found[0]
        return None

    def _check_type(self, socket: Socket, said: str, where: str) -> None:
        connector = self.connector(socket)
        names = (squeezed(connector), connector.casefold())
        if said and squeezed(said) not in names[0] and said.casefold() not in names[1]:
            self.problems.add(
                f"{where}, column type",
                f"line {socket.label} is said to be '{said[:60]}', but its unit has {connector}; "
                "give the house the unit it really has",
            )

    def connector(self, socket: Socket) -> str:
        """Return the name of the connector at a line."""
        unit = self.house.unit(socket.unit)
        port = self.catalogue.gear_type(unit.gear).port(socket.ports[0]) if unit is not None else None
        return self.catalogue.connectors[port.connector].name if port is not None else ""

    def level(self) -> str:
        """Return the level all inputs take, if it is said of all the same; notes where it is not."""
        told = sorted(set(self._levels.values()))
        if len(told) > 1:
            self.problems.add("column level", f"lines take different levels ({', '.join(told)[:80]}); none was kept")
        return told[0] if len(told) == 1 else ""

    def said(self) -> tuple[LineSaid, ...]:
        """Return what is new about the lines; those that would share a number are noted and left as they are."""
        lines = tuple(self._said.values())
        clash = doubled(self.house, lines)
        while clash:
            for socket_id in clash:
                line = self._said.pop(socket_id)
                where = f"{self._where[socket_id]}, column number"
                self.problems.add(where, f"two lines would have the number {line.number}")
            lines = tuple(self._said.values())
            clash = doubled(self.house, lines)
        return lines

    def words(self) -> list[str]:
        """Return what is new, in words."""
        was = {one.id: one for one in self.house.sockets}
        return [f"line {was[one.socket].number} {was[one.socket].label}: now {one.number} {one.label}"
                for one in self._said.values()]


class Drops:
    """What is said of the places where mains is to be had, row by row."""

    def __init__(self, house: House, catalogue: Catalogue, problems: Problems) -> None:
        self.house, self.catalogue, self.problems = house, catalogue, problems
        self._said: dict[str, PowerDrop] = {}
        self._words: list[str] = []

    def take(self, cells: Mapping[str, str], where: str) -> None:
        """Take one row in; a place not known yet lies upstage centre until it is moved."""
        before = len(self.problems.sentences)
        fields = {field: value for field in _FIELDS if (value := self._cell(cells, field, where)) is not None}
        if len(self.problems.sentences) > before or not fields:
            return
        name = " ".join(cells.get("place", "").split())
        known = {one.id: one for one in self.house.stage.power} | self._said
        drop = known.get(cells.get(OUR_KEY, "")) or next((one for one in known.values() if alike(one.name, name)), None)
        try:
            if drop is not None:
                made = changed(drop, **fields)
            else:
                made = PowerDrop(
                    id=new_id(name, set(known)), name=name, x_m=0.0, y_m=self.house.stage.depth_m, **fields
                )
        except ValidationError as error:
            self.problems.add(where, sentence_of(error))
            return
        if made == drop:
            return
        self._said[made.id] = made
        new = "" if drop is not None else " (new: put it where it is on the Stage sheet)"
        told = ", ".join(f"{_FIELDS[one]} {cells[_FIELDS[one]]}" for one in fields)
        self._words.append(f"power at {made.name}: {told}{new}")

    def _cell(self, cells: Mapping[str, str], field: str, where: str) -> Any:
        """Return a cell as the record has it, or None where it is empty or does not hold."""
        text = cells.get(_FIELDS[field], "")
        if not text:
            return None
        place = f"{where}, column {_FIELDS[field]}"
        if field in ("circuit", "shared_with"):
            return text
        if field == "limiter":
            answer = FLAGS.get(squeezed(text))
            if answer is None:
                self.problems.add(place, f"'{text[:60]}' is neither yes nor no")
            return answer
        if field == "connector":
            return self._connector(text, place)
        try:
            value = number(re.sub(r"(?i)\s*(ma|a|amps?|outlets?)$", "", text))
        except ValueError as error:
            self.problems.add(place, str(error))
            return None
        if field != "outlets":
            return value
        if value != int(value):
            self.problems.add(place, f"'{text[:60]}' is no whole number")
        return int(value)

    def _connector(self, text: str, place: str) -> str | None:
        wanted = squeezed(text)
        every = self.catalogue.connectors.items()
        known = {key: one for key, one in every if one.group == "mains" and one.side == "female"}
        exact = [key for key, one in known.items() if wanted in (squeezed(key), squeezed(one.name))]
        found = exact or [key for key, one in known.items() if wanted in squeezed(one.name)]
        if len(found) == 1:
            return found[0]
        near = ", ".join(three_nearest(text, [one.name for one in known.values()]))
        self.problems.add(place, f"'{text[:60]}' is no outlet we know, or several; nearest: {near}")
        return None

    def said(self) -> tuple[PowerDrop, ...]:
        """Return the places that are new or different."""
        return tuple(self._said.values())

    def words(self) -> list[str]:
        """Return what is new, in words."""
        return list(self._words)


_FIELDS = {
    "outlets": "outlets", "connector": "connector", "circuit": "circuit", "circuit_a": "breaker A", "rcd_ma": "RCD mA",
    "limiter": "limiter", "shared_with": "shared with",
}  # fmt: skip
"""The fields of a place that a house fills in, with their columns."""


def alike(one: str, other: str) -> bool:
    """Return whether two names are the same but for case, blanks and marks that are not seen.

    >>> alike("B 1", "b\\u00a01"), alike("B1", "B 1")
    (True, False)
    """
    return _seen(one) == _seen(other)


def _seen(text: str) -> str:
    words = " ".join(unicodedata.normalize("NFC", text).casefold().split()).split(" ")
    return " ".join("".join(char for char in word if unicodedata.category(char)[0] != "C") for word in words).strip()
