"""Spares: what to pack twice, from the single points of failure and from common practice.

The keyboard's own supply stands first: nobody at a venue can lend that. Whether a
thing is packed is counted in the stock; what no stock counts stays open.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from msgspec import Struct

from rigcore.patch.build import Patch
from rigcore.patch.lending import has_spare, is_lent, wanted
from rigcore.patch.lifelines import Item, lifelines
from rigcore.patch.spares import Thing, reaching, spares

Packed = Literal["yes", "no", "?"]

PRACTICE = "common practice"
_LEADS = ("usb", "footswitch", "expression", "midi", "network", "dc")


class Spare(Struct, frozen=True):
    """One thing to pack twice: whether it is packed ("?" where nothing tells), lent by any house, and why it matters.

    ``thing`` is what is counted, None for what the stock cannot count; ``items`` are the places it would serve.
    """

    what: str
    packed: Packed
    lent: bool
    because: str
    thing: Thing | None = None
    items: tuple[Item, ...] = ()


def spares_list(patches: Sequence[Patch]) -> tuple[Spare, ...]:
    """Return the spares for one gig or several: supplies of keyboards, then single points, then common practice."""
    found: dict[object, Spare] = {}
    for make in (_supplies, _single_points, _practice):
        for patch in patches:
            for one in make(patch):
                key = one.thing[:2] if one.thing is not None else one.what
                known = found.get(key)
                found[key] = one if known is None else _both(known, one)
    return tuple(found.values())


def _both(one: Spare, other: Spare) -> Spare:
    """Return the spare that serves two gigs: as long as the longer, packed only if it is for both."""
    longer = max(one, other, key=lambda spare: spare.thing.length_m if spare.thing else 0.0)
    packed: Packed = "no" if "no" in (one.packed, other.packed) else longer.packed
    items = tuple(dict.fromkeys((*one.items, *other.items)))
    return Spare(longer.what, packed, one.lent, one.because, longer.thing, items)


def _supplies(patch: Patch) -> Iterator[Spare]:
    for unit in patch.units.values():
        gear = patch.catalogue.gear_type(unit.gear)
        powered = any(port.direction == "in" and port.carrier.medium in ("mains", "dc") for port in gear.ports)
        if unit.owner == "rig" and gear.category in ("keys", "controller") and powered:
            yield Spare(f"{unit.name}: its own supply or mains lead", "?", False, f"{unit.name} falls silent")


def _single_points(patch: Patch) -> Iterator[Spare]:
    groups: dict[tuple[str, str], list[tuple[Item, str]]] = {}
    for one in lifelines(patch):
        if one.item.owner == "rig":
            groups.setdefault(wanted(one.item)[:2], []).append((one.item, one.words))
    for here in groups.values():
        item, silent = here[0]
        longest = max((one for one, _ in here), key=lambda one: one.length_m)
        packed: Packed = "yes" if has_spare(patch, longest) else "no"
        more = f" and {len(here) - 1} more" if len(here) > 1 else ""
        yield Spare(
            longest.what, packed if patch.book.stock else "?", is_lent(patch, item),
            f"{item.place}{more}: {silent} silent", wanted(longest), tuple(one for one, _ in here),
        )  # fmt: skip


def _practice(patch: Patch) -> Iterator[Spare]:
    """Yield what carries no sound and stops a show all the same: pedals, and the leads of data and control."""
    for unit in patch.units.values():
        gear = patch.catalogue.gear_type(unit.gear)
        if unit.owner == "rig" and gear.category == "pedal":
            yield _counted(patch, gear.name, Thing("gear", gear.id))
    for link in patch.rig.links:
        if link.cable is not None and link.owner == "rig":
            cable = patch.catalogue.cable_type(link.cable)
            if cable.medium in _LEADS:
                yield _counted(patch, cable.name, Thing("cable", cable.id, link.length_m or 0.0))


def _counted(patch: Patch, what: str, thing: Thing) -> Spare:
    packed: Packed = "yes" if reaching(spares(patch)["rig"], thing) is not None else "no"
    return Spare(what, packed if patch.book.stock else "?", False, PRACTICE, thing)
