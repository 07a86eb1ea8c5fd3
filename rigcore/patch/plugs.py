"""Which mains plug sits in which outlet, from each unit of the rig to the wall, and the load through it.

A unit plugged in by links or by a landing is fed through them. One without a
mains link is taken to be plugged in at the power drop nearest to it on the
stage: into a free outlet of a strip that stands there, if there is one, else
straight into the wall. Only what the rig brings is counted, or is fed by it.
"""

from __future__ import annotations

import heapq
import math
from typing import NamedTuple

from msgspec import Struct

from rigcore.book.house import PowerDrop
from rigcore.book.rig import Unit
from rigcore.catalogue.carriers import Mains
from rigcore.catalogue.gear import GearType
from rigcore.patch.build import End, Hop, Node, Patch, Place
from rigcore.patch.coupling import Coupling
from rigcore.patch.once import once_of_mains
from rigcore.quantities.mains import apparent_va, supply_range_v

Key = tuple[Place, str]
"""A thing that takes mains: its place in the graph and its unit."""


class Plug(Struct, frozen=True):
    """One thing's mains plug, and what it is plugged into.

    ``into`` is the outlet, ``hop`` the connection to it (None: taken to be so, by nearness), ``up`` the thing
    whose outlet it is. Neither outlet nor ``up`` means the wall outlets of ``drop``. ``own_va``
    and ``leakage_ma`` are the thing's own, ``load_va`` with all it feeds.
    """

    key: Key
    inlet: End
    unit: Unit | None
    own_va: float
    leakage_ma: float
    into: End | None
    hop: Hop | None
    up: Key | None
    drop: PowerDrop | None
    supply_v: float
    load_va: float

    @property
    def name(self) -> str:
        """The name of the thing."""
        return self.inlet.name

    @property
    def load_a(self) -> float:
        """Current through the plug in A."""
        return self.load_va / self.supply_v

    @property
    def feeds_only(self) -> bool:
        """Whether it draws nothing itself: a strip, a distribution, an extension."""
        return self.own_va == 0.0


class _Way(NamedTuple):
    """How something is fed: the connection if any, the outlet, and whose it is."""

    hop: Hop | None
    into: End | None
    up: Key | None


_WALL = _Way(None, None, None)


def nearest_drop(drops: tuple[PowerDrop, ...], x_m: float | None, y_m: float | None) -> PowerDrop | None:
    """Return the power drop nearest to a place; the first for no place; None without drops."""
    if not drops:
        return None
    if x_m is None or y_m is None:
        return drops[0]
    return min(drops, key=lambda drop: (drop.x_m - x_m) ** 2 + (drop.y_m - y_m) ** 2)


def suits(patch: Patch, outlet: str, inlet: str) -> bool:
    """Return whether an outlet feeds an inlet bare or by some mains lead of the catalogue (connector ids)."""
    known = patch.derived.setdefault(suits, {})
    answer: bool | None = known.get((outlet, inlet))
    if answer is None:
        mating = patch.catalogue.mating
        answer = mating.fits(outlet, inlet) or any(
            cable.medium == "mains" and mating.fits(outlet, cable.end_a) and mating.fits(inlet, cable.end_b)
            for cable in patch.catalogue.cable_order
        )
        known[outlet, inlet] = answer
    return answer


@once_of_mains
def plugs(patch: Patch) -> dict[Key, Plug]:
    """Return every mains plug of the gig by what it belongs to, those nearest to the wall first."""
    inlets, ways = _inlets(patch), _linked(patch)
    for key in [key for key in ways if key not in inlets]:
        del ways[key]
    unlinked = [key for key in inlets if key not in ways]
    for key in unlinked:
        ways[key] = _WALL
    _cut_circles(ways)
    drops = {key: _drop_at(patch, key, ways) for key in inlets}
    _into_strips(patch, inlets, ways, (unlinked, drops))
    return _summed(patch, inlets, ways, drops)


def free_outlets(patch: Patch, key: Key, gear: GearType) -> tuple[End, ...]:
    """Return the outlets of a thing that are fed through it and hold no plug of a link."""
    ends = [patch.end(Node(key[0], key[1], port)) for port in gear.fed_outlets]
    return tuple(end for end in ends if not patch.hops_at.get(end.node))


def is_strip(gear: GearType) -> bool:
    """Return whether a gear type only spreads mains over two outlets or more."""
    return gear.category == "power" and gear.watts() == 0 and len(gear.fed_outlets) > 1


def _inlets(patch: Patch) -> dict[Key, tuple[End, ...]]:
    """Return the inlets of everything that takes mains from the rig or brings its own plug."""
    found: dict[Key, tuple[End, ...]] = {}
    fed = {end.node for hop in patch.hops_where(_is_mains) if (end := _fed_end(hop)) is not None}
    for unit in patch.units.values():
        ends = tuple(
            patch.end(Node("rig", unit.id, port.id)) for port in patch.catalogue.gear_type(unit.gear).mains_inlets()
        )
        if ends and (unit.owner == "rig" or any(end.node in fed for end in ends)):
            found["rig", unit.id] = ends
    for node in fed:
        if node.place == "chain":
            found["chain", node.unit] = (patch.end(node),)
    return found


def _is_mains(one: Coupling) -> bool:
    return one.media == ("mains", "mains")


def _fed_end(hop: Hop) -> End | None:
    """Return the end of a mains connection that is fed, or None where neither end or both could be."""
    facing = (hop.source.port.direction, hop.target.port.direction)
    return {("out", "in"): hop.target, ("in", "out"): hop.source}.get(facing)


def _linked(patch: Patch) -> dict[Key, _Way]:
    ways: dict[Key, _Way] = {}
    for hop in patch.hops_where(_is_mains):
        inlet = _fed_end(hop)
        if inlet is None:
            continue
        outlet = hop.source if inlet is hop.target else hop.target
        key: Key = (inlet.node.place, inlet.node.unit)
        through = outlet.node.place != "house" and outlet.port.id in outlet.gear.fed_outlets
        ways.setdefault(key, _Way(hop, outlet, (outlet.node.place, outlet.node.unit) if through else None))
    return ways


def _cut_circles(ways: dict[Key, _Way]) -> None:
    """Let strips that feed each other in a circle hang on the wall at the first of them by name."""
    good: set[Key] = set()
    for start in ways:
        line: dict[Key, None] = {}
        key: Key | None = start
        while key is not None and key in ways and key not in good and key not in line:
            line[key] = None
            key = ways[key].up
        if key is not None and key in line:
            members = list(line)
            ways[min(members[members.index(key) :])] = _WALL
        good.update(line)


def _drop_at(patch: Patch, key: Key, ways: dict[Key, _Way]) -> PowerDrop | None:
    """Return the power drop at the wall end of a thing's way."""
    while (up := ways[key].up) is not None and up in ways:
        key = up
    drops, outlet = patch.house.stage.power, ways[key].into
    unit = patch.units.get(key[1]) if outlet is None else _owner_of(patch, outlet)
    if unit is None:
        return drops[0] if drops else None
    named = [drop for drop in drops if outlet is not None and drop.name.casefold() == unit.name.casefold()]
    return named[0] if named else nearest_drop(drops, unit.x_m, unit.y_m)


def _owner_of(patch: Patch, outlet: End) -> Unit | None:
    if outlet.node.place == "house":
        return patch.house.unit(outlet.node.unit)
    return patch.units.get(outlet.node.unit)


def _into_strips(
    patch: Patch,
    inlets: dict[Key, tuple[End, ...]],
    ways: dict[Key, _Way],
    where: tuple[list[Key], dict[Key, PowerDrop | None]],
) -> None:
    """Put what has no link into free outlets of the strips at its drop: largest loads first, strips filled evenly."""
    unlinked, drops = where
    free: dict[Key, list[End]] = {}
    waiting: dict[str, list[tuple[int, Key]]] = {}
    for key, ends in inlets.items():
        if key[0] == "rig" and is_strip(ends[0].gear):
            free[key] = list(free_outlets(patch, key, ends[0].gear))
            taken = len(ends[0].gear.fed_outlets) - len(free[key])
            heapq.heappush(waiting.setdefault(_drop_id(drops[key]), []), (taken, key))
    loads = [key for key in unlinked if free and inlets[key][0].gear.watts() > 0]
    for key in sorted(loads, key=lambda one: (-inlets[one][0].gear.watts(), one)):
        heap, passed = waiting.get(_drop_id(drops[key]), []), []
        while heap:
            taken, strip = heapq.heappop(heap)
            outlet = _fitting(patch, free[strip], inlets[key][0])
            if outlet is not None:
                free[strip].remove(outlet)
                if free[strip]:
                    heapq.heappush(heap, (taken + 1, strip))
                ways[key] = _Way(None, outlet, strip)
                break
            passed.append((taken, strip))
        for one in passed:
            heapq.heappush(heap, one)


def _fitting(patch: Patch, outlets: list[End], inlet: End) -> End | None:
    plug = inlet.port.connector
    return next((one for one in outlets if suits(patch, one.port.connector, plug)), None)


def _drop_id(drop: PowerDrop | None) -> str:
    return drop.id if drop is not None else ""


def _summed(
    patch: Patch,
    inlets: dict[Key, tuple[End, ...]],
    ways: dict[Key, _Way],
    drops: dict[Key, PowerDrop | None],
) -> dict[Key, Plug]:
    """Return the plugs, voltages handed down from the wall and loads added up towards it."""
    below: dict[Key | None, list[Key]] = {}
    for key, way in ways.items():
        below.setdefault(way.up if way.up in ways else None, []).append(key)
    order = list(below.get(None, []))
    for key in order:
        order += below.get(key, [])
    volts: dict[Key, float] = {}
    for key in order:
        volts[key] = _supply_v(patch, ways[key], volts)
    own = {key: sum(_va(end) for end in inlets[key]) for key in order}
    load: dict[Key, float] = {}
    for key in reversed(order):
        load[key] = math.fsum((own[key], *(load[one] for one in below.get(key, []))))
    return {
        key: Plug(
            key, inlets[key][0], patch.units.get(key[1]) if key[0] == "rig" else None, own[key],
            sum(end.port.carrier.leakage_ma for end in inlets[key] if isinstance(end.port.carrier, Mains)),
            ways[key].into, ways[key].hop, ways[key].up if ways[key].up in ways else None,
            drops[key], volts[key], load[key],
        )
        for key in order
    }  # fmt: skip


def _va(end: End) -> float:
    mains = end.port.carrier
    return apparent_va(mains.watts, mains.power_factor) if isinstance(mains, Mains) else 0.0


def _supply_v(patch: Patch, way: _Way, volts: dict[Key, float]) -> float:
    """Return the nominal voltage at a plug: the house's, a feeding strip's, or what a transformer makes of it."""
    if way.into is None or not isinstance(way.into.port.carrier, Mains):
        return patch.house.mains_v
    outlet_v = way.into.port.carrier.low_v
    if way.up is not None:
        made = way.into.gear.fed_outlets[way.into.port.id][1] == "transformer"
        return outlet_v if made else volts.get(way.up, patch.house.mains_v)
    low_v, high_v = supply_range_v(outlet_v)
    return patch.house.mains_v if low_v <= patch.house.mains_v <= high_v else outlet_v
