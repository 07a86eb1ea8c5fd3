"""A house: its stage, what it supplies, its numbered sockets, and what it has told us."""

import datetime as dt
from typing import Annotated, Literal

from pydantic import Field, model_validator

from rigcore.book.rig import Unit, need, once
from rigcore.book.stock import StockItem
from rigcore.catalogue.record import Id, Length, Metres, Name, Record, Text

FactKey = Literal[
    "pa",
    "phantom",
    "input level",
    "di boxes",
    "outlets",
    "circuit",
    "monitor mixes",
    "monitor layout",
    "splitter clip dbu",
    "residual current device",
    "sound limiter",
    "channels",
]


FACT_WORDS: dict[FactKey, str] = {
    "pa": "PA",
    "phantom": "48 V switching",
    "input level": "input levels",
    "di boxes": "DI boxes",
    "splitter clip dbu": "splitter clips at (dBu)",
}
"""Facts whose key is not how one says it."""


HouseKind = Literal["bar", "club", "church", "corporate", "festival"]


FACT_CHOICES: dict[FactKey, tuple[str, ...]] = {
    "pa": ("mono", "stereo"),
    "phantom": ("per channel", "global", "always on", "none"),
    "monitor layout": ("mono", "stereo"),
}
"""Facts the rules decide by: these answers and no others."""


def fact_words(key: FactKey, *, upper: bool = False) -> str:
    """Return what a fact is about, as spoken; ``upper`` for the start of a line."""
    words = FACT_WORDS.get(key, key)
    return words[:1].upper() + words[1:] if upper else words


class Fact(Record):
    """One thing known about a house: its value as text, who said it and when."""

    key: FactKey
    value: Text
    said_by: Text = ""
    said_on: dt.date | None = None

    @model_validator(mode="after")
    def _is_an_answer(self) -> "Fact":
        choices = FACT_CHOICES.get(self.key)
        if choices and self.value not in choices:
            raise ValueError(f"the fact '{fact_words(self.key)}' is '{self.value}'; it must be {_or(choices)}")
        return self


def _or(choices: tuple[str, ...]) -> str:
    return ", ".join(f"'{one}'" for one in choices[:-1]) + f" or '{choices[-1]}'"


class Riser(Record):
    """A riser: rectangle on the stage plan, centre, size and height in m."""

    id: Id
    name: Name
    x_m: Metres
    y_m: Metres
    width_m: Length
    depth_m: Length
    height_m: Annotated[float, Field(ge=0, le=10)] = 0.4


class PowerDrop(Record):
    """A place on the stage where mains is to be had.

    ``circuit`` names the circuit as the house calls it: drops of one name hang on one
    breaker. Where the house has said so: ``circuit_a`` is the breaker in A, ``rcd_ma`` the
    residual-current device in mA, ``limiter`` whether a sound limiter cuts these outlets,
    ``shared_with`` what else hangs on the circuit.
    """

    id: Id
    name: Name
    x_m: Metres
    y_m: Metres
    outlets: Annotated[int, Field(ge=0, le=200)] = 1
    connector: Id | None = None
    circuit: Text = ""
    circuit_a: Annotated[float, Field(gt=0, le=400)] | None = None
    rcd_ma: Annotated[float, Field(gt=0, le=1000)] | None = None
    limiter: bool | None = None
    shared_with: Text = ""


class Stage(Record, defer_build=False):
    """The stage, a rectangle: width across, depth from the downstage edge, in m."""

    width_m: Length = 6.0
    depth_m: Length = 4.0
    height_m: Annotated[float, Field(ge=0, le=10)] = 0.0
    risers: tuple[Riser, ...] = ()
    power: tuple[PowerDrop, ...] = ()


class Socket(Record, defer_build=False):
    """One line of the house as its engineer counts it.

    ``ports`` of a house unit: one, or two that form one line (a phono pair fed
    by a Y). ``number`` is the house's own channel or mix number, ``block`` the
    group of lines it belongs to.
    """

    id: Id
    unit: Id
    ports: tuple[Id, ...] = Field(min_length=1, max_length=2)
    direction: Literal["in", "out"]
    number: Annotated[int, Field(ge=0, le=9999)]
    label: Name
    block: Text = ""


class House(Record, defer_build=False):
    """What one venue has. ``mains_v`` in V; x and y as for :class:`Unit`."""

    id: Id
    name: Name
    place: Text = ""
    kind: HouseKind = "club"
    mains_v: Annotated[float, Field(ge=90, le=260)] = 230.0
    stage: Stage = Field(default_factory=Stage)
    units: tuple[Unit, ...] = ()
    sockets: tuple[Socket, ...] = ()
    stock: tuple[StockItem, ...] = ()
    facts: tuple[Fact, ...] = ()
    contact: Text = ""
    crew: Text = ""
    changeover_min: Annotated[int, Field(ge=1, le=1440)] | None = None
    notes: Text = ""
    archived: bool = False

    @model_validator(mode="after")
    def _nothing_dangles(self) -> "House":
        units = once("unit", self.units)
        once("socket", self.sockets)
        once("riser", self.stage.risers)
        once("power drop", self.stage.power)
        for socket in self.sockets:
            need(units, socket.unit, f"socket '{socket.label}' sits at")
        keys = [fact.key for fact in self.facts]
        for key in keys:
            if keys.count(key) > 1:
                raise ValueError(f"the fact '{key}' appears twice")
        return self

    def unit(self, unit_id: str) -> Unit | None:
        """Return the unit of that id, or None."""
        return next((unit for unit in self.units if unit.id == unit_id), None)

    def socket(self, socket_id: str) -> Socket | None:
        """Return the socket of that id, or None."""
        return next((socket for socket in self.sockets if socket.id == socket_id), None)

    def fact(self, key: FactKey) -> "Fact | None":
        """Return what the house has said on a subject, or None."""
        return next((fact for fact in self.facts if fact.key == key), None)
