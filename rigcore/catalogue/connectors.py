"""Connector families and the table of who mates with whom.

A connector is a family and a side. Mating is a list of pairs, each with its
consequence; a pair that is not in the table does not fit. Nothing here knows
what travels over the contacts.
"""

from enum import StrEnum
from typing import Literal

from rigcore.catalogue.record import Id, Name, Positive, Record, Text


class Connector(Record):
    """One side of one connector family.

    ``side`` is the shape of the contacts: ``male`` has pins or is a plug,
    ``female`` receives them. ``rated_a`` and ``rated_v`` are in A and V and
    stand only where a standard gives them; ``north_american_a`` where that
    market rates the same part differently.
    """

    id: Id
    name: Name
    family: Id
    side: Literal["male", "female"]
    contacts: int
    face: Id
    group: Literal["signal", "loudspeaker", "control", "data", "mains", "dc"]
    rated_a: Positive | None = None
    north_american_a: Positive | None = None
    rated_v: Positive | None = None
    source: Text


class Consequence(StrEnum):
    """What comes of putting one connector into another."""

    FITS = "fits"
    RING_SHORTED = "fits, ring shorted to sleeve"
    HALF_THE_CONTACTS = "fits, half the contacts"
    DOES_NOT_FIT = "does not fit"


class Mating(Record):
    """One row of the mating table: ``plug`` goes into ``socket``."""

    plug: Id
    socket: Id
    consequence: Literal[
        "fits", "fits, ring shorted to sleeve", "fits, half the contacts"
    ]
    why: Text = ""
    source: Text


class MatingTable:
    """Looks pairs of connectors up; the order of the pair does not matter."""

    def __init__(self, rows: tuple[Mating, ...]) -> None:
        self.rows = rows
        self._pairs = {(row.plug, row.socket): row for row in rows}
        both_ways = [(row.plug, row.socket, row) for row in rows] + [(row.socket, row.plug, row) for row in rows]
        self._consequences = {(one, other): Consequence(row.consequence) for one, other, row in both_ways}

    def row(self, one: str, other: str) -> Mating | None:
        """Return the row for two connector ids, whichever is the plug, or None."""
        return self._pairs.get((one, other)) or self._pairs.get((other, one))

    def consequence(self, one: str, other: str) -> Consequence:
        """Return what comes of bringing two connectors together."""
        return self._consequences.get((one, other), Consequence.DOES_NOT_FIT)

    def fits(self, one: str, other: str) -> bool:
        """Return whether two connectors go together at all."""
        return (one, other) in self._consequences
