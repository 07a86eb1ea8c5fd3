"""The first step of a fit: which kinds of bid go on which kinds of line by which chain.

Alike bids and alike lines are counted, not named, so that the program stays small.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Hashable, Mapping, Sequence

from rigcore.solve.aims import Aim, Program
from rigcore.solve.fit_shapes import (
    FALLEN,
    FAULTS,
    LOSS,
    MASS,
    MISSING,
    PIECES,
    PRICE,
    RISKS,
    Bid,
    Offer,
    Question,
    Thing,
    whole,
)

Key = tuple[tuple[int, ...], frozenset[tuple[Thing, int]]]

Kit = Mapping[Thing, tuple[int, int]]
"""Things whose number is itself to be found: the column that counts them, and how many are needed besides."""


class Flow:
    """The first step: so many bids of a kind on lines of a kind by a chain.

    A part of a larger program, if one is given.
    """

    def __init__(self, question: Question, program: Program | None = None, kit: Kit | None = None) -> None:
        self.question = question
        self.program = Program() if program is None else program
        self.kit = kit or {}
        known: dict[int, tuple[Key, ...]] = {}
        self.keys = [_keys(bid, question, known) for bid in question.bids]
        self.line_kinds = _alike([tuple(keys.get(line.name) for keys in self.keys) for line in question.lines])
        self.bid_kinds = self._bid_kinds()
        self.columns: dict[tuple[int, int, Key], int] = {}
        self._make_columns()
        self._make_rows()

    def _bid_kinds(self) -> list[list[int]]:
        """Group bids that are alike in all that counts; what shares a wish with another bid stays by itself."""
        bids = self.question.bids
        tiers = {wish.name: wish.tier for wish in self.question.wishes}
        bidders = Counter(name for bid in bids for name in bid.settles)
        marks: list[Hashable] = []
        for number, bid in enumerate(bids):
            if bid.held or len(bid.settles) != 1 or bidders[bid.settles[0]] > 1:
                marks.append(number)
                continue
            offers = tuple(self.keys[number].get(self.question.lines[kind[0]].name) for kind in self.line_kinds)
            marks.append((tiers[bid.settles[0]], bid.fallen, bid.counts, offers))
        return _alike(marks)

    def _make_columns(self) -> None:
        for b, bids in enumerate(self.bid_kinds):
            for k, lines in enumerate(self.line_kinds):
                for key in self.keys[bids[0]].get(self.question.lines[lines[0]].name, ()):
                    self.columns[b, k, key] = self.program.column(min(len(bids), len(lines)))

    def _make_rows(self) -> None:
        question, row = self.question, self.program.row
        by_bid, by_line, by_wish = defaultdict(dict), defaultdict(dict), defaultdict(dict)  # type: ignore[var-annotated]
        by_thing: defaultdict[Thing, dict[int, int]] = defaultdict(dict)
        budget: dict[int, int] = {}
        for (b, k, (_, needs)), column in self.columns.items():
            bid = question.bids[self.bid_kinds[b][0]]
            by_bid[b][column] = by_line[k][column] = 1
            for name in bid.settles if len(self.bid_kinds[b]) == 1 else ():
                by_wish[name][column] = 1
            # In one order, not that of a set: rows in another order may lead to another of equally good answers.
            for thing, count in sorted(needs, key=str):
                if thing in question.supply or thing in self.kit:
                    by_thing[thing][column] = count
            if bid.counts:
                budget[column] = 1
        for b, bids in enumerate(self.bid_kinds):
            held = question.bids[bids[0]].held
            row(by_bid[b], low=1.0 if held else 0.0, high=float(len(bids)))
        for k, lines in enumerate(self.line_kinds):
            row(by_line[k], high=float(len(lines)))
        for terms in by_wish.values():
            row(terms, high=1.0)
        for thing in {**by_thing, **self.kit}:
            if thing in self.kit:
                column, besides = self.kit[thing]
                row({**by_thing[thing], column: -1}, high=float(-besides))
            else:
                row(by_thing[thing], high=float(question.supply[thing]))
        if question.most_lines is not None:
            row(budget, high=float(question.most_lines))

    def aims(self) -> list[Aim]:
        """Return the aims of the first step."""
        return [*self.tiers(), *self._costs()]

    def tiers(self) -> list[Aim]:
        """Return the aims that count what is without a line, by tier."""
        wishes = self.question.wishes
        tiers = {wish.name: wish.tier for wish in wishes}
        found: list[Aim] = []
        for tier in sorted({wish.tier for wish in wishes} | {0, 1}):
            terms = {}
            for (b, _, _), column in self.columns.items():
                settles = self.question.bids[self.bid_kinds[b][0]].settles
                count = sum(tiers.get(name) == tier for name in settles)
                if count:
                    terms[column] = -count
            name = MISSING[tier] if tier < len(MISSING) else f"tier {tier} without a line"
            found.append(Aim(name, terms, sum(wish.tier == tier for wish in wishes)))
        return found

    def _costs(self) -> list[Aim]:
        fallen = {}
        for (b, _, _), column in self.columns.items():
            count = self.question.bids[self.bid_kinds[b][0]].fallen
            if count:
                fallen[column] = count
        parts = [
            Aim(name, {column: key[0][at] for (_, _, key), column in self.columns.items() if key[0][at]})
            for at, name in enumerate((FAULTS, PRICE, MASS, PIECES, LOSS, RISKS))
        ]
        return [parts[0], Aim(FALLEN, fallen), *parts[1:]]

    def start(self) -> list[int]:
        """Return a start: nothing lands but what is held; of a program of its own."""
        values = [0] * len(self.program.upper)
        for b, bids in enumerate(self.bid_kinds):
            if self.question.bids[bids[0]].held:
                values[next(column for (one, _, _), column in self.columns.items() if one == b)] = 1
        return values


def key_of(offer: Offer) -> Key:
    return whole(offer.cost), frozenset(offer.needs)


def _keys(bid: Bid, question: Question, known: dict[int, tuple[Key, ...]]) -> dict[str, tuple[Key, ...]]:
    """Return what tells the offers of a bid apart, by line; offers that another beats in every way are left out.

    ``known`` remembers by identity what many lines and bids share; the question holds on to all of it.
    """
    found = {}
    for line in question.lines:
        offers = bid.offers.get(line.name, ())
        if not offers:
            continue
        if id(offers) not in known:
            known[id(offers)] = _worth_having(dict.fromkeys(map(key_of, offers)), question.supply)
        found[line.name] = known[id(offers)]
    return found


def _worth_having(keys: Mapping[Key, None], supply: Mapping[Thing, int]) -> tuple[Key, ...]:
    kept: list[tuple[Key, dict[Thing, int]]] = []
    for key in sorted(keys, key=lambda one: (one[0], len(one[1]))):
        scarce = {thing: count for thing, count in key[1] if thing in supply}
        if not any(_beats(other, key, scarce, less) for other, less in kept):
            kept.append((key, scarce))
    return tuple(key for key, _ in kept)


def _beats(one: Key, other: Key, its: Mapping[Thing, int], less: Mapping[Thing, int]) -> bool:
    cheaper = all(a <= b for a, b in zip(one[0], other[0], strict=True))
    return cheaper and all(its.get(thing, 0) >= count for thing, count in less.items())


def _alike(marks: Sequence[Hashable]) -> list[list[int]]:
    """Return the numbers of equal marks together, in order."""
    found: dict[Hashable, list[int]] = {}
    for number, mark in enumerate(marks):
        found.setdefault(mark, []).append(number)
    return list(found.values())
