"""Adapter chains: the cheapest ways from port to port with what is at hand, what the house has, or what is bought.

A search over states of the signal (Dijkstra), cheapest first: faults, price, mass, pieces, loss, risks. Every
state in between is checked, not only the ends; equally cheap chains are all returned.
"""

from __future__ import annotations

import heapq
import itertools
from bisect import bisect_left
from collections.abc import Iterator
from functools import lru_cache
from math import inf
from typing import NamedTuple

from rigcore.book.gig import CablePiece, GearPiece, Piece
from rigcore.book.house import Socket
from rigcore.book.rig import HandOff, Owner
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import Port
from rigcore.patch.build import Node, Patch
from rigcore.solve.chain import Chain, Cost
from rigcore.solve.chain_ahead import Ahead, Certain, Spot, Step, ToGo
from rigcore.solve.chain_parts import Box, Lead, Parts
from rigcore.solve.chain_state import (
    Goal,
    Passed,
    Signal,
    arriving,
    goal_at,
    goal_of,
    signal_at,
    signal_of,
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

MOST_CATALOGUES = 8
"""Catalogues whose answers are remembered at most."""

TOGETHER_M = 0.3
"""Nearer than this, two things stand together and one plug may go straight into the other."""

UNKNOWN_M = 5.0
"""Taken for a distance nobody knows: the lead a player reaches for first (common practice, no source)."""


def chains_to(
    patch: Patch, hand_off: HandOff, socket: Socket, stock: Supply, *, length_m: float | None, buy: bool = True,
    keep: int = 1,
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
    keep
        How many chains there shall be at least, if there are: dearer ones follow the cheapest, that take other things.
    """
    rig = (patch.end(Node("rig", hand_off.unit, hand_off.port)),)
    house = tuple(patch.end(Node("house", socket.unit, port)) for port in socket.ports)
    begin, end = (rig, house) if hand_off.direction == "to house" else (house[:1], rig)
    distance_m = UNKNOWN_M if length_m is None else length_m
    return cheapest(patch.catalogue, signal_at(patch, begin[0]), goal_at(patch, end), stock,
                     length_m=distance_m, buy=buy, keep=keep)  # fmt: skip


def chains_between(
    catalogue: Catalogue, source: Port, target: Port, stock: Supply, *, length_m: float = 0.0, buy: bool = True,
    keep: int = 1,
) -> tuple[Chain, ...]:
    """Return the cheapest chains between two ports by their types alone, for a cable dropped where it does not fit."""
    return cheapest(catalogue, signal_of(source), goal_of(target), stock, length_m=length_m, buy=buy, keep=keep)


class _State(NamedTuple):
    """A chain begun: its cost, where the signal stands, ``run_m`` and boxes so far, what of the stock it has used.

    No trade between states that differ in any of ``place``.
    """

    cost: Cost
    place: tuple[Signal, Spot]
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
    catalogue: Catalogue, begin: Signal, goal: Goal, stock: Supply, *, length_m: float, buy: bool, keep: int = 1
) -> tuple[Chain, ...]:
    """Return the cheapest chains from a signal to a goal, cheapest first; empty where there is no way at all.

    ``keep`` is how many there shall be at least, if there are: then dearer ones follow, none of which takes all that
    a cheaper one takes and more.
    """
    if begin.medium != goal.medium:
        return ()
    catalogue = _first_like(catalogue)
    goes = _Goes(length_m <= TOGETHER_M, 0.0, buy)
    if not goes.is_far:
        reaches = _parts(catalogue, tuple(stock.items()), begin.medium, goes).reaches
        at = bisect_left(reaches, length_m - 1e-9)
        goes = goes._replace(length_m=reaches[at] if at < len(reaches) else inf)
    return _cheapest(catalogue, begin, goal, tuple(stock.items()), goes=goes, keep=keep)


class _Goes(NamedTuple):
    """How far, in m, to the next length at which other leads are needed; and whether things may be bought."""

    is_far: bool
    length_m: float
    buy: bool


def _first_like(catalogue: Catalogue) -> Catalogue:
    """Return the first catalogue seen with the very same things in it: every patch with gear of its own makes one."""
    key = (id(catalogue.mating), *map(id, catalogue.cables.values()), *map(id, catalogue.gear.values()))
    if len(_seen) >= MOST_CATALOGUES:
        _seen.clear()
    # What a key names by number is held by its catalogue, and so is never another thing.
    return _seen.setdefault(key, catalogue)


_seen: dict[tuple[int, ...], Catalogue] = {}

_Stock = tuple[tuple[Item, int], ...]


@lru_cache(maxsize=1024)
def _cheapest(
    catalogue: Catalogue, begin: Signal, goal: Goal, stock: _Stock, *, goes: _Goes, keep: int
) -> tuple[Chain, ...]:
    connectors = tuple(port.connector for port in goal.ports)
    ahead = _ahead(catalogue, stock, begin.medium, goes, connectors=connectors)
    spot, there = Spot(begin.connector, False, goes.is_far), dict(stock)
    found = tuple(_Search(ahead, goal, there, keep=keep).run(begin, spot))
    # Without a faultless way in reach, the least bad one: else every dear and faultless dead end were walked first.
    return found or tuple(_Search(ahead, goal, there, keep=keep, lenient=True).run(begin, spot))


@lru_cache(maxsize=128)
def _parts(catalogue: Catalogue, stock: _Stock, medium: str, goes: _Goes) -> Parts:
    return Parts(catalogue, dict(stock), medium, length_m=goes.length_m, buy=goes.buy)


@lru_cache(maxsize=128)
def _ahead(
    catalogue: Catalogue, stock: _Stock, medium: str, goes: _Goes, *, connectors: tuple[str, ...]
) -> Ahead:
    """Return where the parts there are lead to: the same for many a question."""
    return Ahead(_parts(catalogue, stock, medium, goes), connectors)


class _Search:
    def __init__(self, ahead: Ahead, goal: Goal, stock: Supply, *, keep: int, lenient: bool = False) -> None:
        self.ahead, self.goal, self.stock = ahead, goal, stock
        self.keep, self.lenient = keep, lenient
        self.certain = Certain(ahead, goal)
        self.heap: list[tuple[Cost, int, _State]] = []
        self.number = itertools.count()
        self.known: dict[tuple[Signal, Spot], list[_State]] = {}
        self.most_equal, self.most_ties = max(MOST_EQUAL, keep), max(MOST_TIES, keep)

    def run(self, begin: Signal, spot: Spot) -> Iterator[Chain]:
        """Yield the cheapest chains: all that are equally cheap, and then as many as are to be kept."""
        to_go = self.ahead.to_go(spot)
        if to_go is None:
            return
        self._push(_State(_NOTHING, (begin, spot)), to_go)
        found: Cost | None = None
        chains: dict[tuple[Piece, ...], Chain] = {}
        for _ in range(MOST_STEPS):
            enough = found is not None and len(chains) >= self.keep and bool(self.heap) and self.heap[0][0] > found
            if not self.heap or enough or len(chains) >= self.most_equal:
                break
            _, _, state = heapq.heappop(self.heap)
            if state.is_done:
                found = found or self._rank(state.cost)
                chain = self._chain(state)
                if not any(other.needs < chain.needs for other in chains.values()):
                    chains.setdefault(chain.pieces, chain)
            elif not self._is_beaten(state):
                self._go_on(state)
        yield from chains.values()

    def _rank(self, cost: Cost) -> Cost:
        """Return a cost as it is compared."""
        if not self.lenient:
            return cost
        return cost._replace(faults=0, price=cost.price + FAULT_PRICE * cost.faults)

    def _is_beaten(self, state: _State) -> bool:
        """Return whether as many as are wanted are better."""
        others = self.known.get(state.place, ())
        if self.keep == 1:
            return any(one.beats(state) for one in others)
        return sum(one.beats(state) for one in others) >= self.keep

    # -- steps -------------------------------------------------------------------------------

    def _go_on(self, state: _State) -> None:
        signal, spot = state.place
        signal = signal._replace(run_m=state.run_m)
        if spot.is_far and spot.twin == self.ahead.is_twin and spot.connector in self.ahead.last:
            self._finish(state, signal)
        for step, passed, place in self.ahead.taken(signal, spot):
            boxes = state.boxes + step.boxes
            if boxes + step.to_go.boxes > MOST_BOXES:
                continue
            used = self._used(state, step.limited) if step.limited else state.used
            if used is not None:
                trail = (*state.trail, (step.part, passed))
                cost, why = _added(state, passed, step)
                self._push(_State(cost, place, passed.signal.run_m, boxes, used, trail, why), step.to_go)

    def _finish(self, state: _State, signal: Signal) -> None:
        passed = arriving(self.ahead.catalogue, signal, self.goal)
        if passed is not None:
            cost, why = _added(state, passed)
            done = _State(cost, state.place, trail=state.trail, why=why, is_done=True)
            heapq.heappush(self.heap, (self._rank(cost), next(self.number), done))

    def _push(self, state: _State, to_go: ToGo) -> None:
        """Take a state that is beaten by none; a few equally good ones are let through."""
        others = self.known.setdefault(state.place, [])
        if self._is_beaten(state) or sum(one.is_like(state) for one in others) >= self.most_ties:
            return
        others.append(state)
        cost = state.cost
        least = Cost(
            cost.faults + self.certain.faults(state.place, MOST_BOXES - state.boxes),
            round(cost.price + to_go.price, 4), round(cost.mass_kg + to_go.mass_kg, 4),
            cost.pieces + to_go.pieces, cost.loss_db, cost.risks,
        )  # fmt: skip
        heapq.heappush(self.heap, (self._rank(least), next(self.number), state))

    def _used(self, state: _State, items: tuple[Item, ...]) -> frozenset[tuple[Item, int]] | None:
        """Return what of the stock is used with some things more, None if there is not so much."""
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


_NOTHING = Cost(0, 0.0, 0.0, 0, 0.0)


def _added(
    state: _State, passed: Passed, step: Step | None = None
) -> tuple[Cost, tuple[tuple[str, ...], tuple[str, ...]]]:
    old, why = state.cost, state.why
    price, mass_kg, pieces = (step.price, step.mass_kg, step.pieces) if step is not None else (0.0, 0.0, 0)
    cost = Cost(
        old.faults + len(passed.faults), round(old.price + price, 4), round(old.mass_kg + mass_kg, 4),
        old.pieces + pieces, round(old.loss_db + passed.loss_db, 2), old.risks + len(passed.risks),
    )
    if passed.faults or passed.risks:
        why = (*why[0], *passed.faults), (*why[1], *passed.risks)
    return cost, why


def _owner(item: Item) -> Owner:
    return "house" if item.comes_from == "house" else "rig"


def _spoken(signal: Signal) -> str:
    if signal.medium != "audio":
        return signal.medium
    level = "" if signal.nominal_dbu is None else f", {signal.nominal_dbu:+.1f} dBu nominal".replace("-", "−")
    return f"{signal.balance}{level}{', isolated' if signal.isolated else ''}"
