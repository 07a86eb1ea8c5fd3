"""The fit as a bare question and its answer: wishes, bids, lines, so many of each thing, and what lands where.

A *wish* is a hand-off that wants a line. A *bid* settles one wish, or several that share
one line, and has for each line it could take the chains it could take. Knows no
catalogue and no book.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Hashable, Mapping
from typing import Any

from msgspec import Struct, field

from rigcore.solve.aims import Stage
from rigcore.solve.chain import Cost

Thing = Hashable


@dataclasses.dataclass(frozen=True)
class Offer:
    """One chain: what it costs, so many of each thing it takes, and whatever the asker wants back."""

    cost: Cost
    needs: tuple[tuple[Thing, int], ...] = ()
    chain: Any = dataclasses.field(default=None, compare=False)


class Wish(Struct, frozen=True):
    """A hand-off that wants a line. ``tier`` 0 is settled before tier 1, and so on; ``right`` names its right half."""

    name: str
    tier: int = 0
    right: str = ""


class Bid(Struct, frozen=True):
    """A way to settle some wishes by one line.

    ``carrier`` is the wish, or stand-in, whose port leaves the stage; ``fallen`` how many
    wishes are settled less well than by a line of their own; ``place`` where it stands
    in the act's order from 1 (0: no matter); ``kind`` what it plays; ``counts`` whether
    it takes one of a budget of lines; a ``held`` bid must win.
    """

    carrier: str
    settles: tuple[str, ...]
    offers: Mapping[str, tuple[Offer, ...]]
    fallen: int = 0
    place: int = 0
    kind: str = ""
    counts: bool = True
    held: bool = False


class Line(Struct, frozen=True):
    """A socket. ``place`` is its own among lines in order, from 1; ``kinds`` what it is meant for, if that is said."""

    name: str
    number: int = 0
    block: str = ""
    place: int = 0
    kinds: frozenset[str] = frozenset()


class Question(Struct, frozen=True):
    """Everything to decide by. Things that no supply names can be had without end."""

    wishes: tuple[Wish, ...]
    bids: tuple[Bid, ...]
    lines: tuple[Line, ...]
    supply: Mapping[Thing, int] = field(default_factory=dict)
    most_lines: int | None = None


class Placed(Struct, frozen=True):
    """A bid that won, with its line and chain."""

    bid: Bid
    line: str
    offer: Offer


class Answer(Struct, frozen=True):
    """The best fit: what lands where, what stays without a line, and the proof, aim by aim."""

    placed: tuple[Placed, ...]
    unsettled: tuple[str, ...]
    stages: tuple[Stage, ...]
    seconds: float
    stopped: bool = False

    @property
    def proven(self) -> bool:
        """Whether every aim is proven best."""
        return all(stage.gap == 0 for stage in self.stages)

    def value(self, aim: str) -> int:
        """Return the value of an aim by name."""
        return next(stage.value for stage in self.stages if stage.aim == aim)


PRICE, MASS, PIECES, LOSS, RISKS = "to buy", "to carry", "pieces", "loss", "risks"
FAULTS, FALLEN = "faults", "fallen back"
ELSEWHERE, SPLIT, EVEN, ORDER = "outside their block", "pairs split", "pairs on even", "out of order"
MISSING = ("musts without a line", "others without a line")
UNITS: Mapping[str, float] = {PRICE: 100.0, MASS: 1000.0, LOSS: 100.0}
"""How many whole units an aim is counted in: hundredths of a price, grams, hundredths of a dB; the rest is counted."""


def whole(cost: Cost) -> tuple[int, int, int, int, int, int]:
    """Return a cost in whole numbers: faults, price in hundredths, g, pieces, hundredths of a dB, risks."""
    return (
        cost.faults, round(cost.price * UNITS[PRICE]), round(cost.mass_kg * UNITS[MASS]), cost.pieces,
        round(cost.loss_db * UNITS[LOSS]), cost.risks,
    )  # fmt: skip
