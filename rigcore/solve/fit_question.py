"""From a gig to the bare question of the fit: who wants a line, which lines there are, by which chains.

What has a chain at the gig is kept as it is, unless a fresh fit is asked for; what
has a socket only keeps the socket. Chains are asked for again without what is
scarce, so that two hand-offs that want the last of a thing have another way each.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from rigcore.book.gig import Landing
from rigcore.book.house import Socket
from rigcore.book.rig import HandOff
from rigcore.catalogue.record import changed
from rigcore.patch.build import Node, Patch, build_patch
from rigcore.patch.channels import FAMILY_ORDER, channels, house_inputs, is_audio
from rigcore.patch.lengths import required_m
from rigcore.solve.chain import Chain, Cost
from rigcore.solve.fall_backs import Summed, left_alone, stand_ins, summed
from rigcore.solve.fit_model import Bid, Line, Offer, Question, Wish
from rigcore.solve.stockroom import Item, Supply, item_of, supply

Find = Callable[[Patch, HandOff, Socket, Supply, "float | None"], Sequence[Chain]]
"""Finds chains from a hand-off to a socket, given what there is to build with and the distance in m."""

TRIES = 12
"""How often chains are asked for again without something scarce, for one hand-off and one kind of socket."""


@dataclass(frozen=True)
class Asked:
    """What is asked of a fit.

    Parameters
    ----------
    fresh
        Whether to forget the landings the gig has.
    most_lines
        How many lines to the house there may be; None for as many as it has.
    by_order
        Settle wishes strictly by importance and order, as a line budget does.
    stock
        What to build with; None takes the book's stock and the house's.
    found
        How chains are found.
    """

    fresh: bool = False
    most_lines: int | None = None
    by_order: bool = False
    stock: Supply | None = None
    found: Find | None = None


@dataclass(frozen=True, eq=False)
class Posed:
    """The question with what is needed to read its answer: what is kept, the summed pairs, the reasons."""

    patch: Patch
    asked: Asked
    question: Question
    kept: tuple[Landing, ...]
    summed: Mapping[str, Summed]
    no_way: tuple[str, ...]

    @cached_property
    def names(self) -> dict[str, str]:
        """Names of the hand-offs by id."""
        return {one.id: one.name for one in self.patch.rig.hand_offs}


def pose(patch: Patch, asked: Asked) -> Posed:
    """Return the question a gig puts."""
    return _Poser(patch, asked).posed()


def default_find() -> Find:
    """Return the finder of chains of the shop, imported when first used."""
    from rigcore.solve.chains import chains_to

    return chains_to


class _Poser:
    def __init__(self, patch: Patch, asked: Asked) -> None:
        self.patch, self.asked = patch, asked
        self.find = asked.found or default_find()
        landings = () if asked.fresh else patch.gig.landings
        self.kept = tuple(one for one in landings if one.chain)
        self.held = {one.hand_off: one for one in self.kept}
        self.bound = {one.hand_off: one for one in landings if not one.chain}
        self.stated = {(one.hand_off, one.socket): one.length_m for one in patch.gig.landings}
        self.stock = self._left()
        self.wishes = self._wishes()
        self.free = self._free()
        self.chains: dict[object, tuple[Offer, ...]] = {}

    def posed(self) -> Posed:
        self.places, self.kinds = _act_order(self.patch)
        pairs = {one.id: made for one, made in self._summed()}
        bids = [*self._kept_bids(), *self._bids(), *self._fall_backs(pairs)]
        lines = tuple(self._lines())
        needed = {thing for bid in bids for offers in bid.offers.values() for offer in offers for thing, _ in offer.needs}
        counts = {item: self.stock.get(item, 0) for item in needed if isinstance(item, Item) and item.comes_from != "buy"}
        settled = {name for bid in bids if any(bid.offers.values()) for name in bid.settles}
        no_way = tuple(one.id for one in self.wishes if one.id not in settled)
        question = Question(tuple(self._as_wishes()), tuple(bids), lines, counts, self.asked.most_lines)
        return Posed(self.patch, self.asked, question, self.kept, pairs, no_way)

    def _left(self) -> Supply:
        """Return the stock without what the kept chains take."""
        book = self.patch.book
        stock = self.asked.stock
        left = Counter(dict(supply(book.stock, self.patch.house.stock, self.patch.rig) if stock is None else stock))
        for landing in self.kept:
            for piece in landing.chain:
                left[item_of(piece, piece.owner)] -= 1
        return {item: count for item, count in left.items() if count > 0}

    def _wishes(self) -> list[HandOff]:
        """Return what wants a line; what only stands in for others does not, unless it has one already."""
        standing = {one.falls_back_to for one in self.patch.rig.hand_offs if one.falls_back_to}
        landed = set(self.held) | set(self.bound)
        return [one for one in self.patch.rig.hand_offs if one.id not in standing or one.id in landed]

    def _as_wishes(self) -> Iterator[Wish]:
        rank = {"must": 0, "nice": 1}
        tiers = sorted({(rank[one.importance], one.order) for one in self.wishes})
        for one in self.wishes:
            tier = tiers.index((rank[one.importance], one.order)) if self.asked.by_order else rank[one.importance]
            right = next((o.id for o in self.wishes if one.side == "L" and o.side == "R" and o.group == one.group), "")
            yield Wish(one.id, tier, right if one.group is not None else "")

    def _free(self) -> list[Socket]:
        taken = {one.socket for one in self.kept}
        return [one for one in self.patch.house.sockets if one.id not in taken]

    def _kept_bids(self) -> Iterator[Bid]:
        """Yield bids for what is kept; a second one on the same socket is left out of the question."""
        seen: set[str] = set()
        joining = {one.joins.hand_off: one.hand_off for one in self.kept if one.joins is not None}
        for landing in self.kept:
            if landing.socket in seen or landing.joins is not None:
                continue
            seen.add(landing.socket)
            names = [landing.hand_off, *([joining[landing.hand_off]] if landing.hand_off in joining else [])]
            hand_off = self.patch.hand_off(landing)
            yield self._bid(hand_off, tuple(names), {landing.socket: (Offer(Cost(0, 0.0, 0.0, 0, 0.0)),)}, held=True)

    def _bids(self) -> Iterator[Bid]:
        for one in self.wishes:
            if one.id not in self.held:
                yield self._bid(one, (one.id,), self._offers(one))

    def _bid(self, hand_off: HandOff, settles: tuple[str, ...], offers: Mapping[str, tuple[Offer, ...]], *,
             held: bool = False, fallen: int = 0) -> Bid:  # fmt: skip
        counts = hand_off.direction == "to house" and is_audio(self.patch, hand_off)
        return Bid(
            hand_off.id, settles, offers, fallen, self.places.get(hand_off.id, 0),
            self.kinds.get(hand_off.id, ""), counts, held,
        )  # fmt: skip

    def _fall_backs(self, pairs: Mapping[str, Summed]) -> Iterator[Bid]:
        """Yield the bids that settle more than one wish by one line."""
        open_wishes = {one.id for one in self.wishes if one.id not in self.held}
        for left, right in left_alone(self.patch):
            if {left.id, right.id} <= open_wishes:
                yield self._bid(left, (left.id, right.id), self._offers(left), fallen=1)
        for name, made in pairs.items():
            if {name, made.right} <= open_wishes:
                yield self._bid(self._hand_off(name), (name, made.right), self._summed_offers(name, made), fallen=1)
        for instead, names in stand_ins(self.patch):
            names = tuple(name for name in names if name in open_wishes)
            if names and instead.id not in self.held and instead.id not in self.bound:
                yield self._bid(instead, names, self._offers(instead), fallen=len(names))

    def _hand_off(self, name: str) -> HandOff:
        return next(one for one in self.patch.rig.hand_offs if one.id == name)

    def _summed(self) -> Iterator[tuple[HandOff, Summed]]:
        for left, right in self._pairs():
            if left.id in self.held or right.id in self.held or left.id in self.bound or right.id in self.bound:
                continue
            made = summed(self.patch, left, right, self.stock)
            if made is not None:
                yield left, made

    def _pairs(self) -> Iterator[tuple[HandOff, HandOff]]:
        by_id = {one.id: one for one in self.wishes}
        for wish in self._as_wishes():
            if wish.right:
                yield by_id[wish.name], by_id[wish.right]

    def _summed_offers(self, name: str, made: Summed) -> dict[str, tuple[Offer, ...]]:
        offers = self._offers(made.hand_off, made.patch)
        return {
            socket: tuple(
                Offer(made.cost_of(one.cost), tuple((Counter(dict(one.needs)) + made.needs).items()), one.chain)
                for one in some
            )
            for socket, some in offers.items()
        }

    def _offers(self, hand_off: HandOff, patch: Patch | None = None) -> dict[str, tuple[Offer, ...]]:
        patch = patch or self.patch
        bound = self.bound.get(hand_off.id)
        wanted = "in" if hand_off.direction == "to house" else "out"
        found = {}
        for socket in self.free:
            if socket.direction == wanted and (bound is None or bound.socket == socket.id):
                offers = self._offers_at(patch, hand_off, socket)
                if offers:
                    found[socket.id] = offers
        return found

    def _offers_at(self, patch: Patch, hand_off: HandOff, socket: Socket) -> tuple[Offer, ...]:
        """Return the chains to one socket; alike sockets at one distance share them."""
        length_m = self.stated.get((hand_off.id, socket.id))
        if length_m is None:
            length_m = required_m(self.patch, ("rig", self._place(hand_off)), ("house", socket.unit))
        ends = [patch.end(Node("house", socket.unit, port)) for port in socket.ports]
        alike = tuple(
            (end.gear.id, end.port.connector, repr(end.port.carrier), repr(end.port.jack_carrier), repr(changed(end.setting, port="x", label="")))
            for end in ends
        )  # fmt: skip
        key = (hand_off.id, alike, length_m)
        if key not in self.chains:
            self.chains[key] = tuple(self._found(patch, hand_off, socket, length_m))
        return self.chains[key]

    def _place(self, hand_off: HandOff) -> str:
        return hand_off.unit

    def _found(self, patch: Patch, hand_off: HandOff, socket: Socket, length_m: float | None) -> Iterator[Offer]:
        """Yield chains, asked for again without each scarce thing that turns up in them."""
        seen: set[object] = set()
        tried: list[frozenset[Item]] = [frozenset()]
        for without in tried:
            stock = {item: count for item, count in self.stock.items() if item not in without}
            for chain in self.find(patch, hand_off, socket, stock, length_m):
                scarce = [item for item in chain.needs if item.comes_from != "buy" and self._is_scarce(item)]
                for item in scarce:
                    if without | {item} not in tried and len(tried) < TRIES:
                        tried.append(without | {item})
                if chain.pieces not in seen:
                    seen.add(chain.pieces)
                    yield Offer(chain.cost, tuple(chain.needs.items()), chain)

    def _is_scarce(self, item: Item) -> bool:
        return self.stock.get(item, 0) < 2 * len(self.wishes)

    def _lines(self) -> Iterator[Line]:
        sockets = self.patch.house.sockets
        inputs = sorted(house_inputs(self.patch), key=lambda one: one.number)
        places = {one.id: number for number, one in enumerate(inputs, start=1)}
        for one in sockets:
            words = set(one.block.lower().replace(",", " ").split())
            kinds = frozenset(words & set(FAMILY_ORDER)) if one.direction == "in" else frozenset()
            yield Line(one.id, one.number, f"{one.direction} {one.block}", places.get(one.id, 0), kinds)


def _act_order(patch: Patch) -> tuple[dict[str, int], dict[str, str]]:
    """Return the number and family of each hand-off to the house as if every one had a line: the trade's order."""
    inputs = house_inputs(patch)
    if not inputs:
        return {}, {}
    lines = [one for one in patch.rig.hand_offs if one.direction == "to house" and is_audio(patch, one)]
    landings = tuple(Landing(hand_off=one.id, socket=inputs[0].id) for one in lines)
    gig = changed(patch.gig, landings=landings)
    book = changed(patch.book, gigs=tuple(gig if one.id == gig.id else one for one in patch.book.gigs))
    found = channels(build_patch(book, gig.id, patch.catalogue))
    return {one.hand_off.id: one.number for one in found}, {one.hand_off.id: one.family for one in found}


def with_supply(posed: Posed, counts: Mapping[Item, int]) -> Question:
    """Return the question with other numbers of things."""
    return replace(posed.question, supply={**posed.question.supply, **counts})
