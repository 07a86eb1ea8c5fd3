"""What is taken and what is left: the cables and boxes a gig uses, against those somebody owns.

Counted by type and length: a longer cable may serve a shorter need. Which of the
two should lie where is not decided here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Literal, NamedTuple

from rigcore.book.gig import CablePiece
from rigcore.book.rig import Owner
from rigcore.book.stock import StockItem
from rigcore.patch.build import Patch
from rigcore.patch.once import once_a_patch


class Thing(NamedTuple):
    """One kind of thing that is counted; ``length_m`` is 0 for gear and for cables of any length."""

    kind: Literal["cable", "gear"]
    type: str
    length_m: float = 0.0


Served = tuple[Counter[Thing], Counter[Thing]]
"""What is left of the things owned, and what was needed and not there."""


def owned(stock: Iterable[StockItem]) -> Counter[Thing]:
    """Return a stock as counts; what is owned none of is left out."""
    found: Counter[Thing] = Counter()
    for one in stock:
        if one.count:
            found[Thing(one.kind, one.type, one.length_m or 0.0)] += one.count
    return found


@once_a_patch
def needs(patch: Patch) -> dict[Owner, Counter[Thing]]:
    """Return the cables and landing pieces of a gig, by who brings them. Units of the rig are not counted here."""
    found: dict[Owner, Counter[Thing]] = {"rig": Counter(), "house": Counter()}
    for link in patch.rig.links:
        if link.cable is not None:
            length_m = link.length_m or min(patch.catalogue.cable_type(link.cable).stock_lengths_m)
            found[link.owner][Thing("cable", link.cable, length_m)] += 1
    for landing in patch.gig.landings:
        for piece in landing.chain:
            if isinstance(piece, CablePiece):
                found[piece.owner][Thing("cable", piece.cable, piece.length_m)] += 1
            else:
                found[piece.owner][Thing("gear", piece.gear)] += 1
    return found


def serve(have: Mapping[Thing, int], want: Mapping[Thing, int]) -> Served:
    """Return what is left of some things when needs are served, and what of the needs is not.

    Each need takes the shortest cable of its type that reaches, the shortest need first: as many are
    served as can be.

    Examples
    --------
    >>> xlr = lambda length_m: Thing("cable", "xlr", length_m)
    >>> left, short = serve({xlr(5.0): 1, xlr(10.0): 1}, {xlr(3.0): 1, xlr(10.0): 2})
    >>> dict(left), [(one.length_m, count) for one, count in short.items()]
    ({}, [(10.0, 1)])
    """
    left, short = Counter(dict(have)), Counter[Thing]()
    for thing in sorted(want):
        for _ in range(want[thing]):
            taken = reaching(left, thing)
            if taken is None:
                short[thing] += 1
            else:
                left[taken] -= 1
    return +left, short


def reaching(left: Mapping[Thing, int], wanted: Thing) -> Thing | None:
    """Return the shortest of the things that would do for what is wanted, or None."""
    would_do = [
        one for one, count in left.items() if count and one[:2] == wanted[:2] and one.length_m >= wanted.length_m
    ]
    return min(would_do, key=lambda one: one.length_m, default=None)


@once_a_patch
def spares(patch: Patch) -> dict[Owner, Counter[Thing]]:
    """Return what is left of the player's stock and of the house's when everything is patched.

    Both stocks count the boxes that stand in the rig as units, too: those are taken off.
    """
    found: dict[Owner, Counter[Thing]] = {}
    stocks: dict[Owner, tuple[StockItem, ...]] = {"rig": patch.book.stock, "house": patch.house.stock}
    for owner, stock in stocks.items():
        units = Counter(Thing("gear", unit.gear) for unit in patch.rig.units if unit.owner == owner)
        found[owner], _ = serve(owned(stock), needs(patch)[owner] + units)
    return found
