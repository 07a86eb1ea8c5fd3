"""From a gig to the bare question of the fit: who wants a line, which lines there are, by which chains.

What has a chain that plugs together is kept as it is, unless a fresh fit is asked for; what
has a socket only keeps the socket. Chains are asked for again without what is
scarce, so that two hand-offs that want the last of a thing have another way each.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cached_property

from msgspec import Struct

from rigcore.book.assumptions import fact_value
from rigcore.book.gig import Landing
from rigcore.book.house import Socket
from rigcore.book.rig import HandOff
from rigcore.catalogue.record import changed
from rigcore.patch.build import Patch, build_patch
from rigcore.patch.channels import FAMILY_ORDER, channels, house_inputs, is_audio
from rigcore.patch.joints import broken_joints
from rigcore.solve.chain import Cost
from rigcore.solve.chains import chains_to
from rigcore.solve.fall_backs import Summed, left_alone, stand_ins, summed
from rigcore.solve.fit_chains import Find, Seeker
from rigcore.solve.fit_model import used
from rigcore.solve.fit_shapes import FALLEN, Bid, Line, Offer, Question, Thing, Wish
from rigcore.solve.stockroom import Item, Supply, item_of, supply


class Asked(Struct, frozen=True):
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
    wide
        Whether to look for second ways of everything at hand, as a kit for several gigs wants them.
    found
        How chains are found; None looks for chains of one box.
    """

    fresh: bool = False
    most_lines: int | None = None
    by_order: bool = False
    stock: Supply | None = None
    wide: bool = False
    found: Find | None = None


class Posed(Struct, frozen=True, eq=False, dict=True):
    """The question with what is needed to read its answer: what is kept, the summed pairs, the reasons."""

    patch: Patch
    asked: Asked
    question: Question
    kept: tuple[Landing, ...]
    summed: Mapping[str, Summed]
    no_way: tuple[str, ...]

    @cached_property
    def kept_items(self) -> Counter[Item]:
        """What the kept chains take."""
        return Counter(item_of(piece, piece.owner) for landing in self.kept for piece in landing.chain)

    @cached_property
    def names(self) -> dict[str, str]:
        """Names of the hand-offs by id."""
        return {one.id: one.name for one in self.patch.rig.hand_offs}


def pose(patch: Patch, asked: Asked) -> Posed:
    """Return the question a gig puts."""
    return _Poser(patch, asked).posed()


class _Poser:
    def __init__(self, patch: Patch, asked: Asked) -> None:
        self.patch, self.asked = patch, asked
        landings = () if asked.fresh else patch.gig.landings
        loose = _loose(patch)
        self.kept = tuple(one for one in landings if one.chain and one.hand_off not in loose)
        self.held = {one.hand_off: one for one in self.kept}
        self.bound = {one.hand_off: one for one in landings if one.hand_off not in self.held}
        self.stated = {(one.hand_off, one.socket): one.length_m for one in patch.gig.landings}
        self.stock = self._left()
        self.wishes = self._wishes()
        self.free = self._free()
        self.seeker = Seeker(asked.found or chains_to, self.stock, self.stated)
        self.is_mono = fact_value(patch.house, "pa") == ("mono", False)

    def posed(self) -> Posed:
        self.places, self.kinds = _act_order(self.patch)
        pairs = {one.id: made for one, made in self._summed()}
        question, lacks = self._within_stock({})
        if lacks:
            # What is bought comes after everything that can be lacking, so the shop cannot help where nothing is.
            self.seeker.go_shopping()
            question, lacks = self._within_stock({})
        if lacks - {FALLEN}:
            # Nor can a box that joins a pair help where every wish has its line without a fault.
            question, _ = self._within_stock(pairs)
        self.seeker.buys = False
        while self.asked.wide and self.seeker.look_without(set(self.stock)):
            question = self._question(pairs if lacks - {FALLEN} else {})
        settled = {name for bid in question.bids if any(bid.offers.values()) for name in bid.settles}
        no_way = tuple(one.id for one in self.wishes if one.id not in settled)
        return Posed(self.patch, self.asked, question, self.kept, pairs, no_way)

    def _within_stock(self, pairs: Mapping[str, Summed]) -> tuple[Question, set[str]]:
        """Return the question with a second way for all that would be wanted too often, and the aims it falls short in.

        Only what the best fit does take too often is limited, and then asked for again without.
        """
        capped: set[Thing] = set()
        while True:
            question = self._question(pairs)
            taken, lacks = used(question, capped)
            over = {thing for thing, count in taken.items() if count > question.supply.get(thing, count)}
            if not over:
                return question, lacks
            capped |= over
            self.seeker.look_without({one for one in over if isinstance(one, Item)})

    def _question(self, pairs: Mapping[str, Summed]) -> Question:
        bids = tuple(self._all_bids(pairs))
        offers = [offer for bid in bids for some in bid.offers.values() for offer in some]
        needed = {thing for offer in offers for thing, _ in offer.needs}
        counts: dict[Thing, int] = {
            item: self.stock.get(item, 0) for item in needed if isinstance(item, Item) and item.comes_from != "buy"
        }
        return Question(tuple(self._as_wishes()), bids, tuple(self._lines()), counts, self.asked.most_lines)

    def _all_bids(self, pairs: Mapping[str, Summed]) -> Iterator[Bid]:
        yield from self._kept_bids()
        yield from self._bids()
        yield from self._fall_backs(pairs)

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
        tiers = sorted({(rank[one.importance], self._order(one)) for one in self.wishes})
        for one in self.wishes:
            by_order = self.asked.by_order
            tier = tiers.index((rank[one.importance], self._order(one))) if by_order else rank[one.importance]
            right = next((o.id for o in self.wishes if one.side == "L" and o.side == "R" and o.group == one.group), "")
            yield Wish(one.id, tier, right if one.group is not None else "")

    def _order(self, hand_off: HandOff) -> tuple[int, int]:
        """Return how late a hand-off is given up: as the player ranked it, else the first voice, keys, other voices."""
        if any(one.order != at for at, one in enumerate(self.patch.rig.hand_offs, start=1)):
            return (0, hand_off.order)
        family = self.kinds.get(hand_off.id)
        voice = next((one.id for one in self.wishes if self.kinds.get(one.id) == "vocals"), "")
        rank = {"keys": 1, "vocals": 2}.get(family or "", 3)
        return (0 if hand_off.id == voice else rank, hand_off.order)

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
            hand_off = self.patch.hand_off(landing)
            names = [hand_off.id, *([joining[hand_off.id]] if hand_off.id in joining else self._carried_by(hand_off))]
            yield self._bid(hand_off, tuple(names), {landing.socket: (Offer(Cost(0, 0.0, 0.0, 0, 0.0)),)}, held=True)

    def _carried_by(self, left: HandOff) -> list[str]:
        """Return the right half a kept left output carries too, where no line is to be had for it."""
        landed = set(self.held) | set(self.bound)
        rights = [right for one, right in left_alone(self.patch) if one.id == left.id and right.id not in landed]
        return [right.id for right in rights if not self._offers(right)]

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
                # Known to be mono, the house gets no more from two lines than from one that is summed at its source.
                yield self._bid(left, (left.id, right.id), self._offers(left), fallen=0 if self.is_mono else 1)
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
                offers = self.seeker.offers(patch, hand_off, socket)
                if offers:
                    found[socket.id] = offers
        return found

    def _lines(self) -> Iterator[Line]:
        sockets = self.patch.house.sockets
        inputs = sorted(house_inputs(self.patch), key=lambda one: one.number)
        places = {one.id: number for number, one in enumerate(inputs, start=1)}
        for one in sockets:
            words = set(one.block.lower().replace(",", " ").split())
            kinds = frozenset(words & set(FAMILY_ORDER)) if one.direction == "in" else frozenset()
            yield Line(one.id, one.number, f"{one.direction} {one.block}", places.get(one.id, 0), kinds)


def _loose(patch: Patch) -> set[str]:
    """Return the hand-offs whose chain does not plug together somewhere: it is only intended, whatever it says."""
    return {hop.landing.hand_off for hop in patch.runs if hop.landing is not None and broken_joints(patch, hop)}


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

