"""What anyone at a venue can lend, and what nobody can: common practice, no source.

The keyboard's own supply, an odd adapter or somebody's earphones are lent by nobody;
a microphone lead is. Instruments and mixers are carried once: they have no spare.
"""

from __future__ import annotations

from rigcore.patch.build import Patch
from rigcore.patch.lifelines import Item, Lifeline, lifelines
from rigcore.patch.plugs import is_strip
from rigcore.patch.spares import Thing, reaching, spares

LENT_GEAR = ("microphone", "di", "pad", "monitor", "loudspeaker", "stage box", "multicore", "desk", "furniture")
LENT_CABLES = ("xlr", "ts", "trs", "speaker")
DOUBLED = ("adapter", "splitter", "isolator", "pedal", "in-ear", "power")
"""Small things, of which one more is easily carried."""


def is_lent(patch: Patch, item: Item) -> bool:
    """Return whether a house or another act lends such a thing: microphones, DIs, strips, common leads."""
    if item.kind == "cable":
        cable = patch.catalogue.cable_type(item.type)
        return item.type in LENT_CABLES or cable.medium == "mains"
    gear = patch.catalogue.gear_type(item.type)
    return gear.category in LENT_GEAR or is_strip(gear)


def has_spare(patch: Patch, item: Item) -> bool:
    """Return whether the player packs one more of a thing than is used; a longer cable is one."""
    return reaching(spares(patch)["rig"], wanted(item)) is not None


def wanted(item: Item) -> Thing:
    """Return what would replace an item."""
    return Thing("cable" if item.kind == "cable" else "gear", item.type, item.length_m)


def without_spare(patch: Patch) -> tuple[Lifeline, ...]:
    """Return the single points of the player's own that are small, lent by nobody and packed once.

    Nothing is said of a player who counts no stock: what is packed is not known then.
    """
    if not patch.book.stock:
        return ()
    return tuple(
        one for one in lifelines(patch)
        if one.item.owner == "rig" and _is_small(patch, one.item)
        and not is_lent(patch, one.item) and not has_spare(patch, one.item)
    )  # fmt: skip


def _is_small(patch: Patch, item: Item) -> bool:
    return item.kind == "cable" or patch.catalogue.gear_type(item.type).category in DOUBLED
