"""Cable runs on the stage plan: the way of each, the length it takes, and whether the cable chosen for it reaches.

A run is a link of the rig, or a landing with its whole chain. ``Link.length_m`` is the length of the cable
chosen; ``Landing.length_m`` is a distance somebody has stated, which is taken as the cable it needs, drops
included, before anything read off the plan. Where a unit has no place and nothing is stated, nothing is known.
Not here: the way itself (``routes``), and which cable of the stock should lie where (``solve.stock``).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from msgspec import Struct

from rigcore.book.gig import CablePiece, Landing
from rigcore.book.rig import Link, StandKind, Unit
from rigcore.catalogue.gear import GearType
from rigcore.patch.build import Patch, Place
from rigcore.patch.once import once_a_patch, once_each
from rigcore.patch.routes import Box, Floor, Point, between, joined_up, length_m, nearest_on, route
from rigcore.quantities.geometry import corners

LOOP_M = 0.5
"""Slack at each end, in m: a loop at the box and at the instrument (articles on cabling ask for the loop)."""

SPARE_PART = 0.1
"""Slack along the way, as part of it (common practice: a tenth to a fifth)."""

STAND_M: Mapping[StandKind, float] = MappingProxyType({
    "tall boom": 1.7, "short boom": 0.6, "straight": 1.6, "round base": 1.6, "overhead": 2.0, "clip": 0.0,
})
"""How far a microphone's cable runs down its stand, in m (common practice, no source)."""

SMALL_M2 = 0.07
"""What covers less of the floor than this, in m², is no obstacle: a cable goes by it without a way round."""

Spot = tuple[Place, str]
"""A unit by where it belongs, ``rig`` or ``house``, and id."""


class Way(NamedTuple):
    """What lies between two units: corner points and their length on plan, the ups and downs, the slack, all in m."""

    points: tuple[Point, ...]
    plan_m: float
    rise_m: float

    @property
    def slack_m(self) -> float:
        """Slack at both ends and along the way, in m."""
        return 2 * LOOP_M + SPARE_PART * self.plan_m

    @property
    def required_m(self) -> float:
        """Length a cable needs for this way, in m, to the centimetre."""
        return round(self.plan_m + self.rise_m + self.slack_m, 2)


class CableRun(Struct, frozen=True):
    """One run of a gig: where it comes from in the book, its way, and the cables chosen for it.

    ``way`` is None where a unit has no place. ``stated_m`` is the distance somebody has stated.
    ``cables`` are types and lengths in m in the order of the signal; a length nobody chose is None.
    """

    link: Link | None
    landing: Landing | None
    way: Way | None
    stated_m: float | None
    cables: tuple[tuple[str, float | None], ...]

    @property
    def of(self) -> Link | Landing:
        """The link or landing it is."""
        of = self.link or self.landing
        assert of is not None  # its maker gives one of them
        return of

    @property
    def points(self) -> tuple[Point, ...]:
        """The corner points of the way in m, for drawing; empty where it is unknown."""
        return self.way.points if self.way is not None else ()

    @property
    def required_m(self) -> float | None:
        """Length of cable the run needs in m, or None where that is unknown."""
        if self.stated_m is not None:
            return self.stated_m
        return self.way.required_m if self.way is not None else None

    @property
    def bare_m(self) -> float | None:
        """The least the run can do with in m, without slack, or None where that is unknown."""
        if self.stated_m is not None:
            return self.stated_m
        return round(self.way.plan_m + self.way.rise_m, 2) if self.way is not None else None

    @property
    def assigned_m(self) -> float | None:
        """Length of the cables chosen in m, or None where none is, or one has no length yet."""
        lengths = [length for _, length in self.cables if length is not None]
        return sum(lengths) if lengths and len(lengths) == len(self.cables) else None

    @property
    def reaches_by_m(self) -> float | None:
        """What is left over in m, below 0 what is missing; None where one of the two is unknown."""
        if self.assigned_m is None or self.required_m is None:
            return None
        return round(self.assigned_m - self.required_m, 2)


@once_a_patch
def cable_runs(patch: Patch) -> tuple[CableRun, ...]:
    """Return every run of a gig: the rig's links, then its landings, each in the order of the book.

    The links of one loom share one way, that of the longest of them, as far as they go along it.
    """
    trunks = _trunks(patch)
    found = []
    for link in patch.rig.links:
        way = _between(patch, link)
        if way is not None and link.loom in trunks:
            way = _along(patch, link, trunks[link.loom])
        cables = () if link.cable is None else ((link.cable, link.length_m),)
        found.append(CableRun(link, None, way, None, cables))
    for landing in patch.gig.landings:
        hand_off, socket = patch.hand_off(landing), patch.socket(landing)
        way = way_between(patch, ("rig", hand_off.unit), ("house", socket.unit))
        pieces = tuple((one.cable, one.length_m) for one in landing.chain if isinstance(one, CablePiece))
        found.append(CableRun(None, landing, way, landing.length_m, pieces))
    return tuple(found)


def has_distances(patch: Patch) -> bool:
    """Return whether any distance is known: two units have a place, or one is stated."""
    return len(places_of(patch)) > 1 or any(one.length_m is not None for one in patch.gig.landings)


def required_m(patch: Patch, one: Spot, other: Spot) -> float | None:
    """Return the length of cable between two units, or None if one of them has no place.

    Parameters
    ----------
    one, other
        Units by where they belong and id, such as ``("rig", "piano")`` and ``("house", "stage-box")``.

    Returns
    -------
    float or None
        Metres: the way on plan with a tenth more, ups and downs, and half a metre at each end.
    """
    way = way_between(patch, one, other)
    return way.required_m if way is not None else None


def way_between(patch: Patch, one: Spot, other: Spot) -> Way | None:
    """Return the way from one unit to another, or None if one of them has no place."""
    if one > other:
        way = _way(patch, (other, one))
        return way._replace(points=way.points[::-1]) if way is not None else None
    return _way(patch, (one, other))


@once_each
def _way(patch: Patch, pair: tuple[Spot, Spot]) -> Way | None:
    places = places_of(patch)
    if pair[0] not in places or pair[1] not in places:
        return None
    one, other = (places[spot] for spot in pair)
    points = route(floor(patch), one.box, other.box)
    return Way(points, length_m(points), _rise_m(patch, one, other))


class Placed(NamedTuple):
    """A unit that has a place: itself, its kind, and the box round its footprint in m."""

    unit: Unit
    gear: GearType
    box: Box


@once_a_patch
def places_of(patch: Patch) -> dict[Spot, Placed]:
    """Return the units that have a place at this gig, the rig's first."""
    found: dict[Spot, Placed] = {}
    units: list[tuple[Place, Unit]] = [("rig", unit) for unit in patch.units.values()]
    units += [("house", unit) for unit in patch.house.units]
    for place, unit in units:
        if unit.x_m is not None and unit.y_m is not None:
            gear = patch.catalogue.gear_type(unit.gear)
            found[place, unit.id] = Placed(unit, gear, _box(unit, gear, (unit.x_m, unit.y_m)))
    return found


def _box(unit: Unit, gear: GearType, at: Point) -> Box:
    """Return the box round a unit's footprint."""
    half_w, half_d = gear.width_m / 2, gear.depth_m / 2
    if unit.rotation_deg % 180:
        shape = corners((0.0, 0.0), (gear.width_m, gear.depth_m), unit.rotation_deg)
        half_w, half_d = max(x for x, _ in shape), max(y for _, y in shape)
    return at[0] - half_w, at[1] - half_d, at[0] + half_w, at[1] + half_d


@once_a_patch
def floor(patch: Patch) -> Floor:
    """Return the stage with its risers and what stands on it."""
    stage = patch.house.stage
    boxes = [box for box, _ in _risers(patch)]
    boxes += [
        one.box
        for one in places_of(patch).values()
        if one.gear.category != "microphone" and one.gear.width_m * one.gear.depth_m >= SMALL_M2
    ]
    return Floor(stage.width_m, stage.depth_m, tuple(dict.fromkeys(boxes)))


@once_a_patch
def _risers(patch: Patch) -> tuple[tuple[Box, float], ...]:
    """Return the risers, the house's and those that are gear, with their height in m."""
    found = []
    for one in patch.house.stage.risers:
        half_w, half_d = one.width_m / 2, one.depth_m / 2
        found.append(((one.x_m - half_w, one.y_m - half_d, one.x_m + half_w, one.y_m + half_d), one.height_m))
    found += [(one.box, one.gear.height_m) for one in places_of(patch).values() if one.gear.glyph == "riser"]
    return tuple(found)


def _rise_m(patch: Patch, one: Placed, other: Placed) -> float:
    """Return the ups and downs between two units in m: stands, and what only one of the two stands on."""
    stands = sum(STAND_M[end.unit.stand.kind] for end in (one, other) if end.unit.stand is not None)
    below, other_below = _stands_on(patch, one), _stands_on(patch, other)
    if below == other_below:
        return stands
    return stands + sum(end[1] for end in (below, other_below) if end is not None)


def _stands_on(patch: Patch, one: Placed) -> tuple[Box, float] | None:
    """Return the riser a unit stands on; in front of the stage, the step down from it; None on the stage's floor."""
    x, y = one.unit.x_m or 0.0, one.unit.y_m or 0.0
    for riser in _risers(patch):
        left, low, right, high = riser[0]
        if left <= x <= right and low <= y <= high:
            return riser
    stage = patch.house.stage
    return ((0.0, 0.0, 0.0, 0.0), stage.height_m) if y < 0 else None


def _between(patch: Patch, link: Link) -> Way | None:
    return way_between(patch, ("rig", link.source.unit), ("rig", link.target.unit))


def _trunks(patch: Patch) -> dict[str | None, Way]:
    """Return the way of each loom: that of the longest of its links."""
    found: dict[str | None, Way] = {}
    for link in patch.rig.links:
        way = _between(patch, link) if link.loom is not None else None
        if way is not None and (link.loom not in found or way.plan_m > found[link.loom].plan_m):
            found[link.loom] = way
    return found


def _along(patch: Patch, link: Link, trunk: Way) -> Way:
    """Return the way of a link dressed with others: to the loom, along it, and from it to its end."""
    own = _between(patch, link)
    assert own is not None  # asked only for links whose ends have a place
    boxes = [places_of(patch)["rig", end.unit].box for end in (link.source, link.target)]
    (enter, enter_m), (leave, leave_m) = (nearest_on(trunk.points, box) for box in boxes)
    points = joined_up((
        *route(floor(patch), boxes[0], (*enter, *enter)),
        *between(trunk.points, enter_m, leave_m),
        *route(floor(patch), (*leave, *leave), boxes[1]),
    ))
    return own._replace(points=points, plan_m=length_m(points))
