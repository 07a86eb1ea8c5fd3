"""What a gig needs of a stock, beside what the stock counts: the numbers the stock's form shows.

Counted as the carry list does, but for any stock, one being edited too.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from msgspec import Struct

from rigcore.book.rig import Owner
from rigcore.book.stock import StockItem
from rigcore.lists.carry_list import lacking
from rigcore.patch.build import Patch
from rigcore.patch.once import once_a_patch
from rigcore.patch.spares import Thing, needs, owned, serve


class Need(Struct, frozen=True):
    """So many of one thing: needed by the gig, and of these so many short."""

    thing: Thing
    needed: int
    short: int

    @property
    def item(self) -> StockItem | None:
        """What would have to be owned besides; None where nothing is short."""
        if not self.short:
            return None
        length = self.thing.length_m or None
        return StockItem(kind=self.thing.kind, type=self.thing.type, length_m=length, count=self.short)


def stock_needs(patch: Patch, stock: Iterable[StockItem], owner: Owner = "rig") -> tuple[Need, ...]:
    """Return what a gig needs of a stock.

    A box that stands in the rig as a unit is counted where the stock, or another landing, counts its kind.
    """
    stock = tuple(stock)
    want = Counter(_wants(patch) if owner == "rig" else needs(patch)["house"])
    counted = {one.type for one in stock if one.kind == "gear"} | {one.type for one in want if one.kind == "gear"}
    want += Counter(
        Thing("gear", unit.gear) for unit in patch.rig.units if unit.owner == owner and unit.gear in counted
    )
    _, short = serve(owned(stock), want)
    return tuple(Need(thing, want[thing], short[thing]) for thing in sorted(want))


@once_a_patch
def _wants(patch: Patch) -> Counter[Thing]:
    """Return what the player has to bring between the units, what the plan lacks yet too."""
    return needs(patch)["rig"] + lacking(patch)
