"""What there is to build with: the player's stock, the house's, and what would have to be bought.

The stock of a book counts every cable and box the player owns, those inside the
rig too; what the rig's own links use is taken off first.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Literal, NamedTuple

from rigcore.book.gig import CablePiece, GearPiece, Piece
from rigcore.book.rig import Rig
from rigcore.book.stock import StockItem

From = Literal["rig", "house", "buy"]
"""Where a piece comes from: the player's stock, the house's, or a shop."""


class Item(NamedTuple):
    """One kind of thing to build with; ``length_m`` is 0 for gear."""

    kind: Literal["cable", "gear"]
    type: str
    length_m: float
    comes_from: From


Supply = Mapping[Item, int]
"""So many of each thing. What would have to be bought stands in no supply: there is no end of it."""


def supply(own: Iterable[StockItem], theirs: Iterable[StockItem] = (), rig: Rig | None = None) -> Supply:
    """Return what is left to build with once the rig's own links have their cables.

    A link takes the shortest cable of its kind that is at least as long as planned.

    Parameters
    ----------
    own, theirs
        The player's stock and the house's.
    rig
        The rig whose links are served first; None takes nothing off.

    Returns
    -------
    Supply
        Counts above zero; in the order of the stock.
    """
    found: Counter[Item] = Counter()
    for stock, comes_from in ((own, "rig"), (theirs, "house")):
        for one in stock:
            found[Item(one.kind, one.type, one.length_m or 0.0, comes_from)] += one.count  # type: ignore[arg-type]
    for link in rig.links if rig is not None else ():
        if link.cable is not None and link.owner == "rig":
            enough = [
                item for item, count in found.items()
                if count and item[:2] == ("cable", link.cable) and item.comes_from == "rig"
                and item.length_m >= (link.length_m or 0.0)
            ]  # fmt: skip
            if enough:
                found[min(enough, key=lambda item: item.length_m)] -= 1
    return {item: count for item, count in found.items() if count > 0}


def item_of(piece: Piece, comes_from: From) -> Item:
    """Return the kind of thing a piece of a landing's chain is."""
    if isinstance(piece, CablePiece):
        return Item("cable", piece.cable, piece.length_m, comes_from)
    assert isinstance(piece, GearPiece)
    return Item("gear", piece.gear, 0.0, comes_from)
