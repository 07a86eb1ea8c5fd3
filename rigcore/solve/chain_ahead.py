"""What a chain must still cost at least, by the plug it has come to: plugs alone, electrics left aside.

A lower bound, for searching towards the goal (A*): true costs are never below it.
"""

from __future__ import annotations

from typing import NamedTuple

from rigcore.solve.chain_parts import Box, Lead, Parts


class ToGo(NamedTuple):
    """The least still to be paid, carried and put in; ``boxes`` is counted by itself."""

    price: float
    mass_kg: float
    pieces: int
    boxes: int


_Spot = tuple[str, bool, bool]
"""Connector, whether a lead ends there, whether the distance is covered."""


class Ahead:
    """The parts by the connector they go onto, and the way still to go from each."""

    def __init__(self, parts: Parts, last: set[str], most_boxes: int) -> None:
        fits = parts.catalogue.mating.fits
        names = list(parts.catalogue.connectors)
        mates = {name: {other for other in names if fits(name, other)} for name in names}
        self.boxes = {name: [one for one in parts.boxes if one.enter.connector in mates[name]] for name in names}
        self.short = {name: [one for one in parts.short_leads if one.ends[0] in mates[name]] for name in names}
        self.long = {name: [one for one in parts.long_leads if one.ends[0] in mates[name]] for name in names}
        self._cost: dict[_Spot, tuple[float, float, int]] = {}
        self._boxes: dict[_Spot, int] = {}
        for name in names:
            if mates[name] & last:
                for after_lead in (False, True):
                    self._cost[name, after_lead, True] = (0.0, 0.0, 0)
                    self._boxes[name, after_lead, True] = 0
        for _ in range(2 * most_boxes + 2):
            if not self._relax(names):
                break

    def to_go(self, connector: str, *, after_lead: bool, is_far: bool) -> ToGo | None:
        """Return the least still to come, None where no plugs lead on to the goal."""
        spot = (connector, after_lead, is_far)
        return ToGo(*self._cost[spot], self._boxes[spot]) if spot in self._cost else None

    def _relax(self, names: list[str]) -> bool:
        changed = False
        for name in names:
            for is_far in (True, False):
                for after_lead in (True, False):
                    spot = (name, after_lead, is_far)
                    for box in self.boxes[name]:
                        changed |= self._try(spot, box, (box.leave[0].connector, False, is_far))
                    for lead in () if after_lead else self.short[name]:
                        changed |= self._try(spot, lead, (lead.ends[1], True, is_far))
                    for lead in () if after_lead or is_far else self.long[name]:
                        changed |= self._try(spot, lead, (lead.ends[1], True, True))
        return changed

    def _try(self, spot: _Spot, part: Box | Lead, onward: _Spot) -> bool:
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
        return better
