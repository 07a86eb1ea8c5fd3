"""Adapter chains: the cheapest ways from port to port with what is at hand, what the house has, or what is bought.

A search over states of the signal (Dijkstra), cheapest first: faults, price, mass, pieces, loss, risks. Every
state in between is checked, not only the ends; equally cheap chains are all returned.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from rigcore.book.gig import CablePiece, GearPiece, Piece
from rigcore.book.house import Socket
from rigcore.book.rig import HandOff, Owner
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import Port
from rigcore.patch.build import Node, Patch
from rigcore.solve.chain import Chain, Cost
from rigcore.solve.chain_ahead import Ahead
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

MOST_TIES = 2
"""Equally good beginnings followed at most."""

MOST_STEPS = 3_000
"""States looked at before the search for a faultless chain is given up."""

FAULT_PRICE = 10.0
"""What a fault counts in adapters once no faultless chain was found."""

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


class _Place(NamedTuple):
    """What of a state is alike or not: no trade between states that differ in any of this."""

    signal: Signal
    after_lead: bool
    is_far: bool
    twin: bool


@dataclass(frozen=True, eq=False)
class _State:
    """A chain begun: its cost, where the signal stands, ``run_m`` and boxes so far, what of the stock it has used."""

    cost: Cost
    place: _Place
    run_m: float = 0.0
    boxes: int = 0
    used: frozenset[tuple[Item, int]] = frozenset()
    trail: tuple[tuple[Lead | Box, Passed], ...] = ()
    why: tuple[tuple[str, ...], tuple[str, ...]] = ((), ())
    is_done: bool = False

    def beats(self, other: _State) -> bool:
        """Return whether whatever the other may come to, this one may too, for less."""
        return (
            self.cost < other.cost and self.run_m <= other.run_m and self.boxes <= other.boxes
            and self.used <= other.used
        )

    def is_like(self, other: _State) -> bool:
        """Return whether the two are equally good."""
        return (self.cost, self.run_m, self.boxes, self.used) == (other.cost, other.run_m, other.boxes, other.used)


def cheapest(
    catalogue: Catalogue, begin: Signal, goal: Goal, stock: Supply, *, length_m: float, buy: bool
) -> tuple[Chain, ...]:
    """Return the cheapest chains from a signal to a goal; empty where there is no way at all."""
    if begin.medium != goal.medium:
        return ()
    parts = Parts(catalogue, stock, begin.medium, length_m=length_m, buy=buy)
    is_far = length_m <= TOGETHER_M
    found = tuple(_Search(catalogue, parts, goal, stock).run(begin, is_far=is_far))
    # Without a faultless way in reach, the least bad one: else every dear and faultless dead end were walked first.
    return found or tuple(_Search(catalogue, parts, goal, stock, lenient=True).run(begin, is_far=is_far))


class _Search:
    def __init__(
        self, catalogue: Catalogue, parts: Parts, goal: Goal, stock: Supply, *, lenient: bool = False
    ) -> None:
        self.lenient = lenient
        self.catalogue, self.parts, self.goal, self.stock = catalogue, parts, goal, stock
        self.fits = catalogue.mating.fits
        self.ahead = Ahead(parts, {port.connector for port in goal.ports}, MOST_BOXES)
        self.heap: list[tuple[Cost, int, _State]] = []
        self.number = itertools.count()
        self.known: dict[_Place, list[_State]] = {}
        self.passed: dict[tuple[Signal, Lead | Box], Passed | None] = {}

    def run(self, begin: Signal, *, is_far: bool) -> Iterator[Chain]:
        """Yield the equally cheapest chains."""
        self._push(_State(Cost(0, 0.0, 0.0, 0, 0.0), _Place(begin, False, is_far, False)))
        found: Cost | None = None
        chains: dict[tuple[Piece, ...], Chain] = {}
        for _ in range(MOST_STEPS):
            if not self.heap or (found is not None and self.heap[0][0] > found) or len(chains) >= MOST_EQUAL:
                break
            _, _, state = heapq.heappop(self.heap)
            if state.is_done:
                found = self._rank(state.cost)
                chain = self._chain(state)
                chains.setdefault(chain.pieces, chain)
            elif not any(one.beats(state) for one in self.known[state.place]):
                self._go_on(state)
        yield from chains.values()

    def _rank(self, cost: Cost) -> Cost:
        """Return a cost as it is compared."""
        if not self.lenient:
            return cost
        return cost._replace(faults=0, price=cost.price + FAULT_PRICE * cost.faults)

    # -- steps -------------------------------------------------------------------------------

    def _go_on(self, state: _State) -> None:
        place = state.place
        if place.is_far:
            self._finish(state)
        if place.twin:
            return
        name = place.signal.connector
        if not place.after_lead:
            for lead in self.ahead.short[name]:
                self._take(state, lead, is_far=place.is_far)
            for lead in self.ahead.long[name] if not place.is_far else ():
                self._take(state, lead, is_far=True)
        if state.boxes < MOST_BOXES:
            for box in self.ahead.boxes[name]:
                self._take(state, box, is_far=place.is_far)

    def _take(self, state: _State, part: Lead | Box, *, is_far: bool) -> None:
        """Go on by a lead or a box, if it is there and goes in."""
        used = self._used(state, part)
        signal = state.place.signal._replace(run_m=state.run_m)
        if used is None:
            return
        if (signal, part) not in self.passed:
            if isinstance(part, Lead):
                self.passed[signal, part] = through_lead(self.catalogue, signal, part)
            else:
                self.passed[signal, part] = through_box(self.catalogue, signal, part)
        passed = self.passed[signal, part]
        if passed is None:
            return
        is_lead = isinstance(part, Lead)
        boxes = state.boxes + (not is_lead)
        is_twin = isinstance(part, Box) and len(part.leave) > 1
        place = _Place(passed.signal._replace(run_m=0.0), is_lead, is_far, is_twin)
        cost, why = _added(state, passed, part)
        self._push(_State(cost, place, passed.signal.run_m, boxes, used, (*state.trail, (part, passed)), why))

    def _finish(self, state: _State) -> None:
        signal = state.place.signal
        if (len(self.goal.ports) > 1) != state.place.twin:
            return
        if not all(self.fits(signal.connector, port.connector) for port in self.goal.ports):
            return
        passed = arriving(self.catalogue, signal._replace(run_m=state.run_m), self.goal)
        if passed is not None:
            cost, why = _added(state, passed)
            done = _State(cost, state.place, trail=state.trail, why=why, is_done=True)
            heapq.heappush(self.heap, (self._rank(cost), next(self.number), done))

    def _push(self, state: _State) -> None:
        """Take a state that may still lead there and is beaten by none; a few equally good ones are let through."""
        place = state.place
        to_go = self.ahead.to_go(place.signal.connector, after_lead=place.after_lead, is_far=place.is_far)
        if to_go is None or state.boxes + to_go.boxes > MOST_BOXES:
            return
        others = self.known.setdefault(place, [])
        if any(one.beats(state) for one in others) or sum(one.is_like(state) for one in others) >= MOST_TIES:
            return
        others.append(state)
        least = state.cost._replace(
            price=round(state.cost.price + to_go.price, 4), mass_kg=round(state.cost.mass_kg + to_go.mass_kg, 4),
            pieces=state.cost.pieces + to_go.pieces,
        )
        heapq.heappush(self.heap, (self._rank(least), next(self.number), state))

    def _used(self, state: _State, part: Lead | Box) -> frozenset[tuple[Item, int]] | None:
        """Return what of the stock is used with a part more, None if there is not so much."""
        items = [item for item in _items(part) if item.comes_from != "buy"]
        if not items:
            return state.used
        used = dict(state.used)
        for item in items:
            used[item] = used.get(item, 0) + 1
            if used[item] > self.stock.get(item, 0):
                return None
        return frozenset(used.items())

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


def _items(part: Lead | Box) -> tuple[Item, ...]:
    return part.items if isinstance(part, Lead) else (part.item,)


def _added(
    state: _State, passed: Passed, part: Lead | Box | None = None
) -> tuple[Cost, tuple[tuple[str, ...], tuple[str, ...]]]:
    old = state.cost
    price, mass_kg, pieces = (part.price, part.mass_kg, len(_items(part))) if part is not None else (0.0, 0.0, 0)
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
