"""Cables needed at a gig against cables owned: what is short, and which runs go without.

Who lists one length of a type is taken to have counted all of that type (a line with a count of 0 says there
is none). Of a type a stock does not list at all nothing is known, and nothing is short.
"""

from __future__ import annotations

from collections import Counter

from msgspec import Struct

from rigcore.book.gig import CablePiece, Landing
from rigcore.book.rig import Link, Owner
from rigcore.book.stock import StockItem
from rigcore.patch.build import Patch
from rigcore.patch.once import once_a_patch
from rigcore.patch.spares import Thing, needs, owned, serve

OWNERS: tuple[Owner, ...] = ("rig", "house")


class Shortfall(Struct, frozen=True):
    """So many cables of one type and length more needed than somebody has; ``without`` are the runs that go without.

    ``needed`` counts those of this length, ``have`` how many of them the stock serves, a longer one included.
    """

    owner: Owner
    cable: str
    length_m: float
    needed: int
    short: int
    without: tuple[Link | Landing, ...]

    @property
    def have(self) -> int:
        """How many of the needed ones there are."""
        return self.needed - self.short


def stock_of(patch: Patch, owner: Owner) -> tuple[StockItem, ...]:
    """Return the stock of the player, or of the house of this gig."""
    return patch.book.stock if owner == "rig" else patch.house.stock


@once_a_patch
def counted(patch: Patch) -> dict[Owner, frozenset[str]]:
    """Return the cable types each owner counts."""
    return {owner: frozenset(one.type for one in stock_of(patch, owner) if one.kind == "cable") for owner in OWNERS}


def is_counted(patch: Patch, owner: Owner, cable: str) -> bool:
    """Return whether an owner counts cables of a type."""
    return cable in counted(patch)[owner]


@once_a_patch
def shortfalls(patch: Patch) -> tuple[Shortfall, ...]:
    """Return what is short of the player's cables, then of the house's, by type and length."""
    found = []
    for owner in OWNERS:
        if not counted(patch)[owner]:
            continue
        wanted = Counter({
            thing: count for thing, count in needs(patch)[owner].items()
            if thing.kind == "cable" and is_counted(patch, owner, thing.type)
        })  # fmt: skip
        _, short = serve(owned(stock_of(patch, owner)), wanted)
        for thing, count in sorted(short.items()):
            without = _least_missed(patch, owner, thing)[:count]
            found.append(Shortfall(owner, thing.type, thing.length_m, wanted[thing], count, without))
    return tuple(found)


def _least_missed(patch: Patch, owner: Owner, thing: Thing) -> tuple[Link | Landing, ...]:
    """Return the runs a cable of this type and length is planned for, those first that are missed least.

    What is only nice to have goes without first, then what survives shortest; the rig's own links last.
    """
    landings = [
        one for one in patch.gig.landings for piece in one.chain
        if isinstance(piece, CablePiece)
        and (piece.cable, piece.length_m, piece.owner) == (thing.type, thing.length_m, owner)
    ]  # fmt: skip
    landings.sort(key=lambda one: _rank(patch, one), reverse=True)
    links = [
        link for link in patch.rig.links
        if (link.cable, link.owner) == (thing.type, owner) and _length_m(patch, link) == thing.length_m
    ]  # fmt: skip
    return (*landings, *reversed(links))


def _rank(patch: Patch, landing: Landing) -> tuple[bool, int]:
    hand_off = patch.hand_off(landing)
    return hand_off.importance == "nice", hand_off.order


def _length_m(patch: Patch, link: Link) -> float:
    """Return the length of a link's cable as it is counted: the shortest in the trade if none is chosen."""
    return link.length_m or min(patch.catalogue.cable_type(link.cable or "").stock_lengths_m)
