"""What a chain must still cost at least, by the plug it has come to, and the parts that lead on from there.

A lower bound, for searching towards the goal (A*): true costs are never below it. Plugs are looked at for what is
paid, carried and put in; of the electrics only what no part at hand can mend.
"""

from __future__ import annotations

from typing import NamedTuple

from rigcore.catalogue.carriers import Audio
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


class Ahead:
    """The steps on from each spot, and the way still to go; ``goal`` are the connectors at the end of it."""

    def __init__(self, parts: Parts, goal: tuple[str, ...], most_boxes: int) -> None:
        self.catalogue = parts.catalogue
        fits = self.catalogue.mating.fits
        names = list(self.catalogue.connectors)
        mates = {name: {other for other in names if fits(name, other)} for name in names}
        self.last = {name for name in names if all(one in mates[name] for one in goal)}
        self.is_twin = len(goal) > 1
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
        edges = [(spot, *on) for spot in _spots(names) for on in self._onward(spot)]
        for _ in range(2 * most_boxes + 2):
            if not sum(self._try(*edge) for edge in edges):
                break
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

    def _try(self, spot: Spot, part: Box | Lead, onward: Spot) -> bool:
        """Take a way on if it is better than what is known; returns whether anything is."""
        if onward not in self._cost:
            return False
        price, mass_kg, pieces = self._cost[onward]
        count = len(part.items) if isinstance(part, Lead) else 1
        cost = (price + part.price, mass_kg + part.mass_kg, pieces + count)
        boxes = self._boxes[onward] + isinstance(part, Box)
        better = cost < self._cost.get(spot, (float("inf"), 0.0, 0)) or boxes < self._boxes.get(spot, boxes + 1)
        self._cost[spot] = min(cost, self._cost.get(spot, cost))
        self._boxes[spot] = min(boxes, self._boxes.get(spot, boxes))
        for layout in LAYOUTS:
            faults, after = _sides(part, layout)
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


def _spots(names: list[str]) -> list[Spot]:
    return [Spot(name, after_lead, is_far) for name in names for is_far in (True, False) for after_lead in (True, False)]


def _sides(part: Lead | Box, layout: str) -> tuple[int, str]:
    """Return how many faults a part brings by its layout alone, and the layout behind it."""
    if isinstance(part, Lead):
        unlike = {"mono": "stereo", "stereo": "unbalanced"}.get(layout)
        return int(part.cable.medium == "audio" and part.cable.wiring == unlike), layout
    enter, leave = part.enter.carrier, part.leave[0].carrier
    if not isinstance(enter, Audio) or not isinstance(leave, Audio):
        return 0, layout
    return int(enter.layout != layout), layout if part.path.kind == "wire" else leave.layout


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
