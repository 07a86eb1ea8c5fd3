"""Adapter chains: the cheapest ways from port to port with what is at hand, what the house has, or what is bought.

A search over states of the signal (Dijkstra), cheapest first: faults, price, mass, pieces, loss, risks. Every
state in between is checked, not only the ends; equally cheap chains are all returned.
"""

from __future__ import annotations

import heapq
import itertools
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from rigcore.book.gig import CablePiece, GearPiece, Piece
from rigcore.book.house import Socket
from rigcore.book.rig import HandOff, Owner
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import Port
from rigcore.patch.build import Node, Patch
from rigcore.solve.chain import Chain, Cost
from rigcore.solve.chain_parts import Box, Lead, Parts
from rigcore.solve.chain_state import (
    Goal,
    Passed,
    Signal,
    arriving,
    goal_at,
    signal_at,
    signal_of,
    through_box,
    through_lead,
)
from rigcore.solve.stockroom import Item, Supply

MOST_BOXES = 4
MOST_EQUAL = 6
"""Equally cheap chains returned at most."""

MOST_STEPS = 60_000
"""States looked at before the search is given up with the best that is known."""

TOGETHER_M = 0.3
"""Nearer than this, two things stand together and one plug may go straight into the other."""

UNKNOWN_M = 5.0
"""Taken for a distance nobody knows: the lead a player reaches for first (common practice, no source)."""


def chains_to(
    patch: Patch, hand_off: HandOff, socket: Socket, stock: Supply, *, length_m: float | None, buy: bool = True
) -> tuple[Chain, ...]:
    """Return the cheapest chains between a hand-off and a socket of the house, in the direction of the signal.

    Parameters
    ----------
    stock
        What there is to build with.
    length_m
        Distance to be covered in m; None where nobody knows, and 5 m is taken.
    buy
        Whether things may be bought too.
    """
    rig = (patch.end(Node("rig", hand_off.unit, hand_off.port)),)
    house = tuple(patch.end(Node("house", socket.unit, port)) for port in socket.ports)
    begin, end = (rig, house) if hand_off.direction == "to house" else (house[:1], rig)
    distance_m = UNKNOWN_M if length_m is None else length_m
    return cheapest(patch.catalogue, signal_at(patch, begin[0]), goal_at(patch, end), stock,
                     length_m=distance_m, buy=buy)  # fmt: skip


def chains_between(
    catalogue: Catalogue, source: Port, target: Port, stock: Supply, *, length_m: float = 0.0, buy: bool = True
) -> tuple[Chain, ...]:
    """Return the cheapest chains between two ports by their types alone, for a cable dropped where it does not fit."""
    return cheapest(catalogue, signal_of(source), Goal((target,), target.carrier.medium), stock,
                     length_m=length_m, buy=buy)  # fmt: skip


class _Key(NamedTuple):
    """What of a state decides everything that may come after it."""

    signal: Signal
    after_lead: bool
    is_far: bool
    boxes: int
    twin: bool
    used: frozenset[tuple[Item, int]]


@dataclass(frozen=True, eq=False)
class _State:
    cost: Cost
    key: _Key
    trail: tuple[tuple[Lead | Box, Passed], ...] = ()
    why: tuple[tuple[str, ...], tuple[str, ...]] = field(default=((), ()))

    @property
    def used(self) -> Counter[Item]:
        return Counter(dict(self.key.used))


def cheapest(
    catalogue: Catalogue, begin: Signal, goal: Goal, stock: Supply, *, length_m: float, buy: bool
) -> tuple[Chain, ...]:
    """Return the cheapest chains from a signal to a goal; empty where there is no way at all."""
    if begin.medium != goal.medium:
        return ()
    parts = Parts(catalogue, stock, begin.medium, length_m=length_m, buy=buy)
    return tuple(_Search(catalogue, parts, goal, stock).run(begin, is_far=length_m <= TOGETHER_M))


class _Search:
    def __init__(self, catalogue: Catalogue, parts: Parts, goal: Goal, stock: Supply) -> None:
        self.catalogue, self.parts, self.goal, self.stock = catalogue, parts, goal, stock
        self.fits = catalogue.mating.fits
        names = list(catalogue.connectors)
        self.mates = {name: {other for other in names if self.fits(name, other)} for name in names}
        self.boxes = {name: [one for one in parts.boxes if one.enter.connector in self.mates[name]] for name in names}
        self.short = {name: [one for one in parts.short_leads if one.ends[0] in self.mates[name]] for name in names}
        self.long = {name: [one for one in parts.long_leads if one.ends[0] in self.mates[name]] for name in names}
        self.boxes_to_go = self._boxes_to_go()
        self.heap: list[tuple[Cost, int, _State]] = []
        self.number = itertools.count()
        self.best: dict[_Key, tuple[Cost, int]] = {}

    def run(self, begin: Signal, *, is_far: bool) -> Iterator[Chain]:
        """Yield the equally cheapest chains."""
        self._push(_State(Cost(0, 0.0, 0.0, 0, 0.0), _Key(begin, False, is_far, 0, False, frozenset())))
        found: Cost | None = None
        chains: dict[tuple[Piece, ...], Chain] = {}
        for _ in range(MOST_STEPS):
            if not self.heap or (found is not None and self.heap[0][0] > found) or len(chains) >= MOST_EQUAL:
                break
            cost, _, state = heapq.heappop(self.heap)
            if state.key.boxes < 0:
                found = cost
                chain = self._chain(state)
                chains.setdefault(chain.pieces, chain)
            else:
                self._go_on(state)
        yield from chains.values()

    # -- steps -------------------------------------------------------------------------------

    def _go_on(self, state: _State) -> None:
        key = state.key
        if key.is_far:
            self._finish(state)
        if key.twin:
            return
        if not key.after_lead:
            for lead in self.short[key.signal.connector]:
                self._lay(state, lead, is_far=key.is_far)
            for lead in self.long[key.signal.connector] if not key.is_far else ():
                self._lay(state, lead, is_far=True)
        if key.boxes < MOST_BOXES:
            for box in self.boxes[key.signal.connector]:
                self._put(state, box)

    def _lay(self, state: _State, lead: Lead, *, is_far: bool) -> None:
        if not self._is_there(state, lead.items):
            return
        passed = through_lead(self.catalogue, state.key.signal, lead)
        if passed is not None:
            key = state.key._replace(after_lead=True, is_far=is_far)
            self._step(state, lead, passed, key)

    def _put(self, state: _State, box: Box) -> None:
        if not self._is_there(state, (box.item,)):
            return
        passed = through_box(self.catalogue, state.key.signal, box)
        if passed is not None:
            key = state.key._replace(after_lead=False, boxes=state.key.boxes + 1, twin=len(box.leave) > 1)
            self._step(state, box, passed, key)

    def _finish(self, state: _State) -> None:
        if (len(self.goal.ports) > 1) != state.key.twin:
            return
        if not all(self.fits(state.key.signal.connector, port.connector) for port in self.goal.ports):
            return
        passed = arriving(self.catalogue, state.key.signal, self.goal)
        if passed is None:
            return
        cost, why = _added(state, passed)
        done = _State(cost, state.key._replace(boxes=-1), state.trail, why)
        heapq.heappush(self.heap, (cost, next(self.number), done))

    def _step(self, state: _State, part: Lead | Box, passed: Passed, key: _Key) -> None:
        items = part.items if isinstance(part, Lead) else (part.item,)
        used = state.used + Counter(item for item in items if item.comes_from != "buy")
        key = key._replace(signal=passed.signal, used=frozenset(used.items()))
        if key.boxes + self.boxes_to_go[key.after_lead].get(key.signal.connector, MOST_BOXES + 1) > MOST_BOXES:
            return
        cost, why = _added(state, passed, price=part.price, mass_kg=part.mass_kg, pieces=len(items))
        self._push(_State(cost, key, (*state.trail, (part, passed)), why))

    def _push(self, state: _State) -> None:
        """Take a state unless a cheaper one has come this far; a few equal ones are let through."""
        known, times = self.best.get(state.key, (state.cost, 0))
        if state.cost > known or (state.cost == known and times >= MOST_EQUAL):
            return
        self.best[state.key] = (state.cost, times + 1 if state.cost == known else 1)
        heapq.heappush(self.heap, (state.cost, next(self.number), state))

    def _is_there(self, state: _State, items: Sequence[Item]) -> bool:
        used = dict(state.key.used)
        return all(
            item.comes_from == "buy" or used.get(item, 0) + count <= self.stock.get(item, 0)
            for item, count in Counter(items).items()
        )

    # -- how far it is -----------------------------------------------------------------------

    def _boxes_to_go(self) -> dict[bool, dict[str, int]]:
        """Return by connector the fewest boxes still needed, after a lead and otherwise, electrics left aside."""
        leads = {lead.ends for lead in (*self.parts.short_leads, *self.parts.long_leads)}
        names, mates = list(self.mates), self.mates
        last = {port.connector for port in self.goal.ports}
        bare = {name: 0 for name in names if mates[name] & last}
        while True:
            led = dict(bare)
            for name in names:
                reach = [bare[end] for start, end in leads if start in mates[name] and end in bare]
                if reach and min(reach) < led.get(name, MOST_BOXES + 1):
                    led[name] = min(reach)
            grown = dict(bare)
            for box in self.parts.boxes:
                count = led.get(box.leave[0].connector, MOST_BOXES) + 1
                for name in mates[box.enter.connector] if count <= MOST_BOXES else ():
                    grown[name] = min(count, grown.get(name, count))
            if grown == bare:
                return {True: bare, False: led}
            bare = grown

    # -- the answer --------------------------------------------------------------------------

    def _chain(self, state: _State) -> Chain:
        pieces: list[Piece] = []
        items: list[Item] = []
        steps: list[str] = []
        for part, passed in state.trail:
            if isinstance(part, Lead):
                items += part.items
                pieces += [
                    CablePiece(kind="cable", cable=item.type, length_m=item.length_m, owner=_owner(item))
                    for item in part.items
                ]
                steps.append(f"{part.cable.name}, {part.length_m:g} m: {_spoken(passed.signal)}")
            else:
                items.append(part.item)
                pieces.append(GearPiece(
                    kind="gear", gear=part.gear.id, enter=part.enter.id, leave=tuple(port.id for port in part.leave),
                    owner=_owner(part.item), settings=(passed.setting,) if passed.setting is not None else (),
                ))  # fmt: skip
                steps.append(f"{part.gear.name}: {_spoken(passed.signal)}")
        return Chain(tuple(pieces), tuple(items), state.cost, (*state.why[0], *state.why[1]), tuple(steps))


def _added(
    state: _State, passed: Passed, *, price: float = 0.0, mass_kg: float = 0.0, pieces: int = 0
) -> tuple[Cost, tuple[tuple[str, ...], tuple[str, ...]]]:
    old = state.cost
    cost = Cost(
        old.faults + len(passed.faults), round(old.price + price, 4), round(old.mass_kg + mass_kg, 4),
        old.pieces + pieces, round(old.loss_db + passed.loss_db, 2), old.risks + len(passed.risks),
    )
    return cost, ((*state.why[0], *passed.faults), (*state.why[1], *passed.risks))


def _owner(item: Item) -> Owner:
    return "house" if item.comes_from == "house" else "rig"


def _spoken(signal: Signal) -> str:
    if signal.medium != "audio":
        return signal.medium
    level = "" if signal.nominal_dbu is None else f", {signal.nominal_dbu:+.1f} dBu nominal".replace("-", "−")
    return f"{signal.balance}{level}{', isolated' if signal.isolated else ''}"
