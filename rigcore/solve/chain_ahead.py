"""What a chain must still cost at least, by the plug it has come to, and the parts that lead on from there.

A lower bound, for searching towards the goal (A*): true costs are never below it. Plugs are looked at for what is
paid, carried and put in; of the electrics only what no part at hand can mend.
"""

from __future__ import annotations

from collections import defaultdict
from functools import lru_cache
from typing import NamedTuple

from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.catalogue import Catalogue
from rigcore.solve.chain_parts import Box, Lead, Parts
from rigcore.solve.chain_state import DEAD_DB, Goal, Passed, Signal, through_box, through_lead
from rigcore.solve.stockroom import Item


class ToGo(NamedTuple):
    """The least still to be paid, carried and put in; ``boxes`` is counted by itself."""

    price: float
    mass_kg: float
    pieces: int
    boxes: int


class Spot(NamedTuple):
    """Where a chain has come to: connector, whether a lead ends there, whether the distance is covered.

    ``twin`` is whether it has two ends that carry the same, which go nowhere but into the goal.
    """

    connector: str
    after_lead: bool
    is_far: bool
    twin: bool = False


class Step(NamedTuple):
    """A part that leads on: what it adds, ``limited`` what of it there is no end of not, where it leads, and how far
    that still is from the goal.
    """

    part: Lead | Box
    price: float
    mass_kg: float
    pieces: int
    boxes: int
    limited: tuple[Item, ...]
    spot: Spot
    to_go: ToGo


class Taken(NamedTuple):
    """A step as a signal takes it: the signal after it without its run, so that alike ends are found alike."""

    step: Step
    passed: Passed
    place: tuple[Signal, Spot]


_Edge = tuple[Spot, bool, tuple[tuple[int, str], ...], tuple[float, float, int]]
"""From where, whether by a box, what becomes of each layout, and the least price, mass and pieces."""


class Ahead:
    """The steps on from each spot, and the way still to go; ``goal`` are the connectors at the end of it."""

    def __init__(self, parts: Parts, goal: tuple[str, ...]) -> None:
        self.catalogue = parts.catalogue
        mates = _mates(self.catalogue)
        names = list(mates)
        self.last = {name for name in names if all(one in mates[name] for one in goal)}
        self.is_twin = len(goal) > 1
        self.parts: tuple[Lead | Box, ...] = (*parts.boxes, *parts.short_leads, *parts.long_leads)
        self.boxes = {name: [one for one in parts.boxes if one.enter.connector in mates[name]] for name in names}
        self.short = {name: [one for one in parts.short_leads if one.ends[0] in mates[name]] for name in names}
        self.long = {name: [one for one in parts.long_leads if one.ends[0] in mates[name]] for name in names}
        self.most_gain_db = max((one.path.gain_db for one in parts.boxes), default=0.0)
        self._cost: dict[Spot, tuple[float, float, int]] = {}
        self._boxes: dict[Spot, int] = {}
        self._lost: dict[tuple[Spot, str], int] = {}
        for name in self.last:
            for after_lead in (False,) if self.is_twin else (False, True):
                spot = Spot(name, after_lead, True, self.is_twin)
                self._cost[spot] = (0.0, 0.0, 0)
                self._boxes[spot] = 0
                self._lost |= dict.fromkeys(((spot, layout) for layout in LAYOUTS), 0)
        self._look_back(names)
        self._steps: dict[Spot, tuple[Step, ...]] = {}
        self._taken: dict[tuple[Signal, Spot], tuple[Taken, ...]] = {}

    def to_go(self, spot: Spot) -> ToGo | None:
        """Return the least still to come, None where no plugs lead on to the goal."""
        return ToGo(*self._cost[spot], self._boxes[spot]) if spot in self._cost else None

    def lost(self, spot: Spot, layout: str) -> int:
        """Return how many faults at least are still to come by one side heard or lost."""
        return self._lost.get((spot, layout), 0)

    def taken(self, signal: Signal, spot: Spot) -> tuple[Taken, ...]:
        """Return the steps that a signal can take towards the goal."""
        key = (signal, spot)
        found = self._taken.get(key)
        if found is None:
            if len(self._taken) >= MOST_KNOWN:
                self._taken.clear()
            found = self._taken[key] = tuple(self._take(signal, spot))
        return found

    def _take(self, signal: Signal, spot: Spot) -> list[Taken]:
        found = []
        for step in self._steps_from(spot):
            if isinstance(step.part, Lead):
                passed = through_lead(self.catalogue, signal, step.part)
            else:
                passed = through_box(self.catalogue, signal, step.part)
            if passed is not None:
                found.append(Taken(step, passed, (passed.signal._replace(run_m=0.0), step.spot)))
        return found

    def _steps_from(self, spot: Spot) -> tuple[Step, ...]:
        if spot not in self._steps:
            made = [(part, onward, self.to_go(onward)) for part, onward in self._onward(spot)]
            self._steps[spot] = tuple(_step(part, onward, to_go) for part, onward, to_go in made if to_go is not None)
        return self._steps[spot]

    def _onward(self, spot: Spot) -> list[tuple[Lead | Box, Spot]]:
        """Return the parts whose plugs go on at a spot, and where each leads."""
        if spot.twin:
            return []
        name, after_lead, is_far, _ = spot
        found: list[tuple[Lead | Box, Spot]] = []
        if not after_lead:
            found += [(lead, Spot(lead.ends[1], True, is_far)) for lead in self.short[name]]
            if not is_far:
                found += [(lead, Spot(lead.ends[1], True, True)) for lead in self.long[name]]
        for box in self.boxes[name]:
            found.append((box, Spot(box.leave[0].connector, False, is_far, len(box.leave) > 1)))
        return found

    def _look_back(self, names: list[str]) -> None:
        """Find the least still to come, from the goal backwards."""
        cheapest: dict[tuple[Spot, Spot, bool, tuple[tuple[int, str], ...]], tuple[float, float, int]] = {}
        sides = {id(part): _sides(part) for part in self.parts}
        for spot in (Spot(name, lead, far) for name in names for far in (True, False) for lead in (True, False)):
            for part, onward in self._onward(spot):
                kind = (spot, onward, isinstance(part, Box), sides[id(part)])
                cost = (part.price, part.mass_kg, len(part.items) if isinstance(part, Lead) else 1)
                cheapest[kind] = min(cost, cheapest.get(kind, cost))
        into: defaultdict[Spot, list[_Edge]] = defaultdict(list)
        for (spot, onward, is_box, after), cost in cheapest.items():
            into[onward].append((spot, is_box, after, cost))
        better = set(self._cost)
        while better:
            better = {edge[0] for onward in better for edge in into[onward] if self._try(edge, onward)}

    def _try(self, edge: _Edge, onward: Spot) -> bool:
        """Take a way on if it is better than what is known; returns whether anything is."""
        spot, is_box, sides, (price, mass_kg, pieces) = edge
        ahead = self._cost[onward]
        cost = (ahead[0] + price, ahead[1] + mass_kg, ahead[2] + pieces)
        boxes = self._boxes[onward] + is_box
        known = self._cost.get(spot)
        better = known is None or cost < known or boxes < self._boxes[spot]
        self._cost[spot] = cost if known is None else min(cost, known)
        self._boxes[spot] = min(boxes, self._boxes.get(spot, boxes))
        for layout, (faults, after) in zip(LAYOUTS, sides, strict=True):
            faults += self._lost[onward, after]
            if faults < self._lost.get((spot, layout), faults + 1):
                self._lost[spot, layout] = faults
                better = True
        return better


ROUNDED_DB = 0.01
"""What rounding may add to a level."""

LAYOUTS = ("mono", "stereo", "insert")

MOST_KNOWN = 20_000
"""Signals whose steps are remembered at most."""


@lru_cache(maxsize=8)
def _mates(catalogue: Catalogue) -> dict[str, set[str]]:
    """Return what each connector goes together with."""
    fits, names = catalogue.mating.fits, list(catalogue.connectors)
    return {name: {other for other in names if fits(name, other)} for name in names}


def _sides(part: Lead | Box) -> tuple[tuple[int, str], ...]:
    """Return for each layout how many faults a part brings by that alone, and the layout behind it."""
    if isinstance(part, Lead):
        bad = {"stereo": ("mono",), "unbalanced": ("stereo",)}.get(part.cable.wiring, ())
        return tuple((int(part.cable.medium == "audio" and layout in bad), layout) for layout in LAYOUTS)
    enter, leave = part.enter.carrier, part.leave[0].carrier
    if not isinstance(enter, Audio) or not isinstance(leave, Audio):
        return tuple((0, layout) for layout in LAYOUTS)
    is_wire = part.path.kind == "wire"
    return tuple((int(enter.layout != layout), layout if is_wire else leave.layout) for layout in LAYOUTS)


def _step(part: Lead | Box, spot: Spot, to_go: ToGo) -> Step:
    items = part.items if isinstance(part, Lead) else (part.item,)
    limited = tuple(item for item in items if item.comes_from != "buy")
    return Step(part, part.price, part.mass_kg, len(items), int(isinstance(part, Box)), limited, spot, to_go)


class Certain:
    """The faults on the way to a goal that nothing ahead can mend.

    A level too weak where nothing amplifies, 48 V that is never there, a side that is lost.
    """

    def __init__(self, ahead: Ahead, goal: Goal) -> None:
        self.ahead = ahead
        carriers = [one for port in goal.ports[:1] for one in (port.carrier, port.jack_carrier) if one is not None]
        heard = [one.weakest_dbu for one in carriers if isinstance(one, Audio)]
        known = [one for one in heard if one is not None]
        is_known = len(known) == len(carriers)
        self.dead_dbu = min(known) - DEAD_DB if is_known and known else float("-inf")
        self.gain_db = max(0.0, ahead.most_gain_db)
        by_xlr = any(ahead.catalogue.connectors[name].family == "xlr3" for name in ahead.last)
        self.never_48 = goal.feeds_48 == "no" or not by_xlr

    def faults(self, place: tuple[Signal, Spot], boxes_left: int) -> int:
        """Return how many faults are certain to come, with so many boxes more at most."""
        signal, spot = place
        level = signal.nominal_dbu
        weak = level is not None and level + boxes_left * self.gain_db + ROUNDED_DB < self.dead_dbu
        return weak + (signal.needs_48 and self.never_48) + self.ahead.lost(spot, signal.layout)
