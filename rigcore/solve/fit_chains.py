"""The chains a fit may choose from: the cheapest for each hand-off and kind of socket, and what stands by for them.

A finder answers with the cheapest chains only. Where several hand-offs want the last of
a thing, it is asked again without it, until each has a way that does not hang on it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import partial
from typing import Protocol

from rigcore.book.house import Socket
from rigcore.book.rig import HandOff
from rigcore.patch.build import End, Node, Patch
from rigcore.patch.lengths import required_m
from rigcore.solve.chain import Chain
from rigcore.solve.fit_shapes import Offer
from rigcore.solve.stockroom import Item, Supply

TRIES = 12
"""How often chains are asked for again without something scarce, for one hand-off and one kind of socket."""



class Find(Protocol):
    """Finds chains from a hand-off to a socket, given what there is to build with and the distance in m."""

    def __call__(
        self, patch: Patch, hand_off: HandOff, socket: Socket, stock: Supply, *, length_m: float | None
    ) -> Sequence[Chain]: ...



class Seeker:
    """Asks a finder for chains and remembers them; ``stated`` are distances in m by hand-off and socket."""

    def __init__(self, find: Find, stock: Supply, stated: Mapping[tuple[str, str], float | None]) -> None:
        self.find, self.stock, self.stated = find, stock, stated
        self.sought: dict[object, _Sought] = {}

    def offers(self, patch: Patch, hand_off: HandOff, socket: Socket) -> tuple[Offer, ...]:
        """Return the chains to one socket; alike sockets at one distance share them."""
        length_m = self.stated.get((hand_off.id, socket.id))
        if length_m is None:
            length_m = required_m(patch, ("rig", hand_off.unit), ("house", socket.unit))
        ends = [patch.end(Node("house", socket.unit, port)) for port in socket.ports]
        key = (hand_off.id, tuple(map(_kind_of, ends)), length_m)
        if key not in self.sought:
            find = partial(self.find, patch, hand_off, socket, length_m=length_m)
            self.sought[key] = _Sought(hand_off.id, find)
            self.sought[key].look(self.stock, frozenset())
        return self.sought[key].offers

    def look_further(self) -> None:
        """Ask again without each thing that more hand-offs want than there are, until nobody hangs on it."""
        while True:
            scarce = self._scarce()
            asks = [(one, more) for one in self.sought.values() for more in one.further(scarce)]
            if not asks:
                return
            for one, without in asks:
                one.look({item: count for item, count in self.stock.items() if item not in without}, without)

    def _scarce(self) -> set[Item]:
        """Return what could be asked for more often than it is there."""
        most: dict[tuple[str, Item], int] = {}
        for one in self.sought.values():
            for offer in one.offers:
                for item, count in offer.chain.needs.items():
                    most[one.hand_off, item] = max(count, most.get((one.hand_off, item), 0))
        wanted: Counter[Item] = Counter()
        for (_, item), count in most.items():
            wanted[item] += count
        return {item for item, count in wanted.items() if item.comes_from != "buy" and count > self.stock.get(item, 0)}


class _Sought:
    """The chains of one hand-off to one kind of socket: found so far, and without what they were asked for."""

    def __init__(self, hand_off: str, find: partial[Sequence[Chain]]) -> None:
        self.hand_off, self.find = hand_off, find
        self.found: dict[frozenset[Item], Sequence[Chain]] = {}
        self.offers: tuple[Offer, ...] = ()

    def look(self, stock: Supply, without: frozenset[Item]) -> None:
        """Ask once more, with what is left of the stock."""
        self.found[without] = self.find(stock=stock)
        chains = {one.pieces: one for some in self.found.values() for one in some}
        self.offers = tuple(Offer(one.cost, tuple(one.needs.items()), one) for one in chains.values())

    def further(self, scarce: set[Item]) -> list[frozenset[Item]]:
        """Return what else to leave out: each scarce thing in a chain, besides what was left out for it."""
        more = {without | {item} for without, some in self.found.items() for one in some for item in one.needs
                if item in scarce}  # fmt: skip
        new = sorted((one for one in more if one not in self.found), key=lambda one: (len(one), sorted(map(str, one))))
        return new[: max(0, TRIES - len(self.found))]



def _kind_of(end: End) -> tuple[object, ...]:
    """Return what tells the port of a socket from others of the house; alike ones have the same chains."""
    port, setting = end.port, end.setting
    set_to = (setting.gain_db, setting.pad, setting.phantom, setting.lift)
    return end.gear.id, port.connector, repr(port.carrier), repr(port.jack_carrier), set_to


