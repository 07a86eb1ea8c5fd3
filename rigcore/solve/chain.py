"""A chain: what lies between a hand-off and a socket of the house, with what it costs.

Only the shape; :mod:`rigcore.solve.chains` finds them.
"""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

from msgspec import Struct

from rigcore.book.gig import Piece
from rigcore.solve.stockroom import Item


class Cost(NamedTuple):
    """What a chain costs, in the order in which it matters.

    ``faults`` and ``risks`` count what is wrong along it, ``price`` is what would have to be bought (in the units of
    the table of prices: an adapter 1), ``mass_kg`` what must be carried, ``pieces`` how many cables and boxes,
    ``loss_db`` what the level loses.
    """

    faults: int
    price: float
    mass_kg: float
    pieces: int
    loss_db: float
    risks: int = 0


class Chain(Struct, frozen=True):
    """One way from port to port, in the order the signal takes it.

    ``pieces`` can be put into a landing as they are; ``items`` says where each comes from, in the same order.
    ``why`` are the faults and risks of it in few words, faults first; ``steps`` are the states in
    between as spoken, for showing.
    """

    pieces: tuple[Piece, ...]
    items: tuple[Item, ...]
    cost: Cost
    why: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()

    @property
    def needs(self) -> Counter[Item]:
        """How many of each thing the chain takes."""
        return Counter(self.items)
