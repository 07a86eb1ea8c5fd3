"""A strip that died: what hung on it goes into other outlets, as far as there are any, what matters most first."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from rigcore.book.book import Book
from rigcore.book.edits.units import remove_units
from rigcore.patch.build import Patch
from rigcore.patch.lifelines import Item, lifelines
from rigcore.patch.plugs import Plug, free_outlets, is_strip, plugs
from rigcore.patch.power import hanging_on, places


def ways(patch: Patch, item: Item) -> Iterator[tuple[tuple[str, ...], Callable[[Book], Book]]]:
    """Yield the way past a strip: wall outlets and other strips at the same place; what finds none stays dark."""
    strip = plugs(patch).get(("rig", item.unit))
    if item.kind != "unit" or strip is None or not is_strip(strip.inlet.gear):
        return
    fed = sorted((one for one in hanging_on(patch, strip) if not one.feeds_only), key=_rank(patch))
    room = _room(patch, strip)
    saved, dark = fed[:room], [one.key[1] for one in fed[room:] if one.key[0] == "rig"]
    if saved:
        names = ", ".join(one.name for one in saved)
        steps = [f"plug {names} into the {room} other outlet{'s' * (room != 1)}"]
        steps += ["leave the rest dark"] if dark else []
        yield tuple(steps), lambda book: remove_units(book, patch.rig.id, [item.unit, *dark])


def _room(patch: Patch, strip: Plug) -> int:
    """Return how many outlets are left at a strip's place without it, its own in the wall come free."""
    place = next(one for one in places(patch) if one.drop is strip.drop)
    wall = max(0, place.given - len(place.in_wall) + (strip.up is None)) if place.given is not None else 0
    others = [one for one in place.strips if one.key not in (strip.key, strip.up) and one.up != strip.key]
    return wall + sum(len(free_outlets(patch, one.key, one.inlet.gear)) for one in others)


def _rank(patch: Patch) -> Callable[[Plug], int]:
    """Return the order in which things get an outlet: as they stand among the lifelines, the rest last."""
    place = {one.item.unit: number for number, one in enumerate(lifelines(patch)) if one.item.kind == "unit"}
    return lambda plug: place.get(plug.key[1], len(place))
