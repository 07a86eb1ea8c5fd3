"""The chains a fit may choose from: the cheapest for each hand-off and kind of socket, and what stands by for them.

A finder answers with the cheapest chains only. Where the best fit would take more of a thing than
there is, it is asked again without it. The shop is asked where nothing at hand does without a fault.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any, Protocol

from rigcore.book.house import Socket
from rigcore.book.rig import HandOff
from rigcore.patch.build import End, Node, Patch
from rigcore.patch.lengths import required_m
from rigcore.patch.once import once_a_kind, once_each
from rigcore.solve.chain import Chain
from rigcore.solve.chain_state import Signal, signal_at
from rigcore.solve.fit_shapes import Offer
from rigcore.solve.stockroom import Item, Supply

TRIES = 6
"""How often chains are asked for again without something scarce, for one hand-off and one kind of socket."""


class Find(Protocol):
    """Finds chains from a hand-off to a socket, given what there is to build with and the distance in m."""

    def __call__(
        self, patch: Patch, hand_off: HandOff, socket: Socket, stock: Supply, *, length_m: float | None, buy: bool
    ) -> Sequence[Chain]: ...


class Seeker:
    """Asks a finder for chains and remembers them; ``stated`` are distances in m by hand-off and socket."""

    def __init__(self, find: Find, stock: Supply, stated: Mapping[tuple[str, str], float | None]) -> None:
        self.find, self.stock, self.stated = find, stock, stated
        self.sought: dict[object, _Sought] = {}
        self.kinds: dict[tuple[int, str, str], tuple[Patch, tuple[Any, ...]]] = {}
        self.buys = False

    def offers(self, patch: Patch, hand_off: HandOff, socket: Socket) -> tuple[Offer, ...]:
        """Return the chains to one socket; alike sockets at one distance share them."""
        at = (id(patch), hand_off.id, socket.id)
        if at not in self.kinds:
            # The patch is kept with its kind, so that no other one can come to have its number.
            self.kinds[at] = patch, self._kind(patch, hand_off, socket)
        key = self.kinds[at][1]
        length_m = key[-1]
        if key not in self.sought:
            find = partial(self.find, patch, hand_off, socket, length_m=length_m)
            self.sought[key] = _Sought(find)
            self.sought[key].look(self.stock, frozenset(), buy=self.buys)
        return self.sought[key].offers

    def _kind(self, patch: Patch, hand_off: HandOff, socket: Socket) -> tuple[Any, ...]:
        """Return what chains between a hand-off and a socket depend on, the distance last."""
        length_m = self.stated.get((hand_off.id, socket.id))
        if length_m is None:
            length_m = required_m(patch, ("rig", hand_off.unit), ("house", socket.unit))
        if length_m is not None:
            # To the next decimetre, so that what stands side by side shares its chains.
            length_m = math.ceil(round(10 * length_m, 3)) / 10
        return hand_off.direction, _kind_of(patch, hand_off, socket), length_m

    def go_shopping(self) -> None:
        """From now on ask the shop too, wherever nothing at hand does without a fault."""
        self.buys = True
        for one in self.sought.values():
            for without in tuple(one.found):
                one.look(self._left(without), without, buy=True)

    def look_without(self, scarce: set[Item]) -> bool:
        """Ask again without each of some things, wherever a chain hangs on one; return whether anything was asked."""
        asks = [(one, without) for one in self.sought.values() for without in one.further(scarce)]
        for one, without in asks:
            one.look(self._left(without), without, buy=self.buys)
        return bool(asks)

    def _left(self, without: frozenset[Item]) -> Supply:
        return {item: count for item, count in self.stock.items() if item not in without}


class _Sought:
    """The chains of one hand-off to one kind of socket: found so far, and without what they were asked for."""

    def __init__(self, find: partial[Sequence[Chain]]) -> None:
        self.find = find
        self.found: dict[frozenset[Item], Sequence[Chain]] = {}
        self.at_hand: dict[frozenset[Item], Sequence[Chain]] = {}
        self.offers: tuple[Offer, ...] = ()

    def look(self, stock: Supply, without: frozenset[Item], *, buy: bool) -> None:
        """Ask once more, with what is left of the stock."""
        if without not in self.at_hand:
            self.at_hand[without] = self.find(stock=stock, buy=False)
        found = list(self.at_hand[without])
        if buy and (not found or found[0].cost.faults):
            found += self.find(stock=stock, buy=True)
        self.found[without] = found
        chains = {(one.pieces, one.items): one for some in self.found.values() for one in some}
        self.offers = tuple(Offer(one.cost, tuple(one.needs.items()), one) for one in chains.values())

    def further(self, scarce: set[Item]) -> list[frozenset[Item]]:
        """Return what else to leave out: each scarce thing in a chain, besides what was left out for it."""
        more = {without | {item} for without, some in self.found.items() for one in some for item in one.needs
                if item in scarce}  # fmt: skip
        new = sorted((one for one in more if one not in self.found), key=lambda one: (len(one), sorted(map(str, one))))
        return new[: max(0, TRIES - len(self.found))]


def _kind_of(patch: Patch, hand_off: HandOff, socket: Socket) -> tuple[object, ...]:
    """Return what chains between a hand-off and a socket depend on: the signal, and the ports it goes to."""
    rig = [Node("rig", hand_off.unit, hand_off.port)]
    house = [Node("house", socket.unit, port) for port in socket.ports]
    sources, targets = (rig, house) if hand_off.direction == "to house" else (house[:1], rig)
    return (_signal(patch, sources[0]), *(_port_kind(patch, one) for one in (*targets, *sources)))


@once_each
def _signal(patch: Patch, node: Node) -> Signal:
    return signal_at(patch, patch.end(node))


@once_each
def _port_kind(patch: Patch, node: Node) -> tuple[object, ...]:
    end = patch.end(node)
    set_to = (end.setting.gain_db, end.setting.pad, end.setting.phantom, end.setting.lift)
    return *_port_type(patch, end), set_to


@once_a_kind
def _port_type(_: Patch, end: End) -> tuple[object, ...]:
    port = end.port
    return end.gear.id, port.connector, repr(port.carrier), repr(port.jack_carrier)
