"""What a patch wants and does not have: an adapter where two plugs do not meet, a strip where outlets are short.

Only the small ones, found plug by plug. Whole chains, levels and prices are a
matter of ``solve``; where no single adapter helps, or nothing is planned at all,
the line is named as open.
"""

from __future__ import annotations

from msgspec import Struct

from rigcore.catalogue.connectors import Consequence
from rigcore.catalogue.gear import GearType
from rigcore.patch.build import Hop, Patch
from rigcore.patch.joints import joints
from rigcore.patch.plugs import is_strip, suits
from rigcore.patch.power import Place, places


class Wanted(Struct, frozen=True):
    """What one connection lacks: the adapters, and how it is called; ``open`` where that is not enough."""

    line: str
    adapters: tuple[GearType, ...]
    length_m: float | None
    open: bool


def missing(patch: Patch) -> tuple[Wanted, ...]:
    """Return what each audio connection with plugs that do not meet lacks, in the order of the book."""
    found = []
    for hop in patch.along:
        if hop.is_audio:
            failing = [one for one in joints(patch, hop) if one.consequence is Consequence.DOES_NOT_FIT]
            if failing:
                found.append(_wanted(patch, hop, [(one.one, one.other) for one in failing]))
    return tuple(found)


def _wanted(patch: Patch, hop: Hop, gaps: list[tuple[str, str]]) -> Wanted:
    line = patch.hand_off(hop.landing).name if hop.landing else f"{hop.source.words} to {hop.target.words}"
    empty = hop.landing is not None and not hop.landing.chain
    fitting = [] if empty else [_adapter(patch, *gap) for gap in gaps]
    adapters = tuple(one for one in fitting if one is not None)
    return Wanted(line, adapters, hop.length_m, empty or len(adapters) < len(gaps))


def _adapter(patch: Patch, one: str, other: str) -> GearType | None:
    """Return the first adapter of the catalogue that goes between two plugs and meets both in full."""
    meets = patch.catalogue.mating.consequence
    for gear in patch.catalogue.gear.values():
        for path in gear.paths if gear.category == "adapter" and len(gear.ports) == 2 else ():
            enter, leave = gear.port(path.source), gear.port(path.target)
            if enter is None or leave is None or meets(one, enter.connector) is not Consequence.FITS:
                continue
            if meets(leave.connector, other) is Consequence.FITS:
                return gear
    return None


def strips_wanted(patch: Patch) -> tuple[GearType, ...]:
    """Return a strip for each place with fewer wall outlets than plugs: the player's own kind if one goes in there."""
    short = [place for place in places(patch) if place.given is not None and len(place.in_wall) > place.given]
    found = [_strip(patch, place) for place in short]
    return tuple(one for one in found if one is not None)


def _strip(patch: Patch, place: Place) -> GearType | None:
    own = [one.type for one in patch.book.stock if one.kind == "gear" and one.count]
    outlet = place.drop.connector if place.drop is not None else None
    strips = [gear for gear in patch.catalogue.gear.values() if is_strip(gear)]
    for gear in sorted(strips, key=lambda one: one.id not in own):
        if outlet is None or any(suits(patch, outlet, inlet.connector) for inlet in gear.mains_inlets()):
            return gear
    return None
