"""The fit as a bare question: wishes for lines, bids that would settle them, lines, and so many of each thing.

A *wish* is a hand-off that wants a line. A *bid* settles one wish, or several that share
one line, and has for each line it could take the chains it could take. Solved in two
steps, each aim by aim: first which kinds of bid go on which kinds of line by which chain
(alike bids and alike lines are counted, not named), then which line each takes. The
second step may still trade chains, as long as no earlier aim gets worse.
Knows no catalogue and no book.
"""

from __future__ import annotations

import time
from collections import Counter, defaultdict
from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from rigcore.solve.aims import Aim, Progress, Program, Solved, Stage, Watch, solve
from rigcore.solve.chain import Cost

Thing = Hashable


@dataclass(frozen=True)
class Offer:
    """One chain: what it costs, so many of each thing it takes, and whatever the asker wants back."""

    cost: Cost
    needs: tuple[tuple[Thing, int], ...] = ()
    chain: Any = field(default=None, compare=False)


@dataclass(frozen=True)
class Wish:
    """A hand-off that wants a line. ``tier`` 0 is settled before tier 1, and so on; ``right`` names its right half."""

    name: str
    tier: int = 0
    right: str = ""


@dataclass(frozen=True)
class Bid:
    """A way to settle some wishes by one line.

    ``carrier`` is the wish, or stand-in, whose port leaves the stage; ``fallen`` how many
    wishes are settled less well than by a line of their own; ``place`` where it stands
    in the act's order from 1 (0: no matter); ``kind`` what it plays; ``counts`` whether
    it takes one of a budget of lines; a ``held`` bid must win.
    """

    carrier: str
    settles: tuple[str, ...]
    offers: Mapping[str, tuple[Offer, ...]]
    fallen: int = 0
    place: int = 0
    kind: str = ""
    counts: bool = True
    held: bool = False


@dataclass(frozen=True)
class Line:
    """A socket. ``place`` is its own among lines in order, from 1; ``kinds`` what it is meant for, if that is said."""

    name: str
    number: int = 0
    block: str = ""
    place: int = 0
    kinds: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Question:
    """Everything to decide by. Things that no supply names can be had without end."""

    wishes: tuple[Wish, ...]
    bids: tuple[Bid, ...]
    lines: tuple[Line, ...]
    supply: Mapping[Thing, int] = field(default_factory=dict)
    most_lines: int | None = None


@dataclass(frozen=True)
class Placed:
    """A bid that won, with its line and chain."""

    bid: Bid
    line: str
    offer: Offer


@dataclass(frozen=True)
class Answer:
    """The best fit: what lands where, what stays without a line, and the proof, aim by aim."""

    placed: tuple[Placed, ...]
    unsettled: tuple[str, ...]
    stages: tuple[Stage, ...]
    seconds: float
    stopped: bool = False

    @property
    def proven(self) -> bool:
        """Whether every aim is proven best."""
        return all(stage.gap == 0 for stage in self.stages)

    def value(self, aim: str) -> int:
        """Return the value of an aim by name."""
        return next(stage.value for stage in self.stages if stage.aim == aim)


PRICE, MASS, PIECES, LOSS, RISKS = "to buy", "to carry", "pieces", "loss", "risks"
FAULTS, FALLEN = "faults", "fallen back"
ELSEWHERE, SPLIT, EVEN, ORDER = "outside their block", "pairs split", "pairs on even", "out of order"
MISSING = ("musts without a line", "others without a line")
UNITS: Mapping[str, float] = {PRICE: 100.0, MASS: 1000.0, LOSS: 100.0}
"""How many whole units an aim is counted in: hundredths of a price, grams, hundredths of a dB; the rest is counted."""


def whole(cost: Cost) -> tuple[int, int, int, int, int, int]:
    """Return a cost in whole numbers: faults, price in hundredths, g, pieces, hundredths of a dB, risks."""
    return (
        cost.faults, round(cost.price * UNITS[PRICE]), round(cost.mass_kg * UNITS[MASS]), cost.pieces,
        round(cost.loss_db * UNITS[LOSS]), cost.risks,
    )  # fmt: skip


Key = tuple[tuple[int, ...], frozenset[tuple[Thing, int]]]


def best(question: Question, watch: Watch | None = None) -> Answer:
    """Return the best fit, every aim proven unless stopped.

    Aims in order: each tier of wishes settled, no faults, fewest fallen back, least to buy, least to carry, fewest
    pieces, least loss, fewest risks; then lines inside the blocks meant for them, left and right on neighbours,
    on odd-even numbers, and the act's order kept: the sum of squared steps between a bid's place and its line's.

    Parameters
    ----------
    watch
        Told how things stand; when it answers False, the best fit so far is returned with the gap of each aim.
    """
    began = time.perf_counter()
    flow = _Flow(question)
    first = solve(flow.program, flow.aims(), flow.start(), _shifted(watch, 0))
    lines = _Lines(flow, first.values)
    aims = lines.aims()
    second = solve(flow.program, aims, lines.start, _shifted(watch, len(first.stages)) if not first.stopped else _never)
    placed = lines.placed(second)
    settled = {name for one in placed for name in one.bid.settles}
    return Answer(
        placed,
        tuple(wish.name for wish in question.wishes if wish.name not in settled),
        (*first.stages, *second.stages),
        time.perf_counter() - began,
        first.stopped or second.stopped,
    )


def _never(_: Progress) -> bool:
    return False


def _shifted(watch: Watch | None, done: int) -> Watch | None:
    """Return a watch that counts both steps as one."""
    if watch is None:
        return None
    return lambda at: watch(Progress(at.aim, at.done + done, at.of + done, at.seconds))


class _Flow:
    """The first step: so many bids of a kind on lines of a kind by a chain."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.program = Program()
        self.keys = [_keys(bid, question) for bid in question.bids]
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
            for thing, count in needs:
                if thing in question.supply:
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
        for thing, terms in by_thing.items():
            row(terms, high=float(question.supply[thing]))
        if question.most_lines is not None:
            row(budget, high=float(question.most_lines))

    def aims(self) -> list[Aim]:
        """Return the aims of the first step."""
        return [*self._tiers(), *self._costs()]

    def _tiers(self) -> list[Aim]:
        wishes = self.question.wishes
        tiers = {wish.name: wish.tier for wish in wishes}
        found = []
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
        """Return a start: nothing lands but what is held."""
        values = [0] * len(self.program.upper)
        for b, bids in enumerate(self.bid_kinds):
            if self.question.bids[bids[0]].held:
                values[next(column for (one, _, _), column in self.columns.items() if one == b)] = 1
        return values


class _Lines:
    """The second step: which line each bid takes, alone or as half of a pair on two neighbours."""

    def __init__(self, flow: _Flow, values: Sequence[int]) -> None:
        self.flow, self.question = flow, flow.question
        self.program = flow.program
        self.bid_kind = {bid: b for b, some in enumerate(flow.bid_kinds) for bid in some}
        self.line_kind = {line: k for k, some in enumerate(flow.line_kinds) for line in some}
        self.beside = _neighbours(self.question.lines)
        self.pairs = self._pairs()
        self.alone: dict[tuple[int, int], int] = {}
        self.kept: dict[tuple[int, int], int] = {}
        self.split: list[int] = []
        self.halves: list[tuple[int, int, int]] = []
        self._make_columns()
        self._make_rows()
        self.start = self._start(values)

    def _pairs(self) -> list[tuple[int, int]]:
        """Return the bids of both halves of each stereo pair, where each would have a line of its own."""
        own = {bid.settles[0]: n for n, bid in enumerate(self.question.bids) if bid.settles == (bid.carrier,)}
        return [(own[w.name], own[w.right]) for w in self.question.wishes if w.name in own and w.right in own]

    def _make_columns(self) -> None:
        possible = {(b, k) for b, k, _ in self.flow.columns}
        fits = {
            (bid, line) for b, k in possible for bid in self.flow.bid_kinds[b] for line in self.flow.line_kinds[k]
        }
        self.alone = {key: self.program.column() for key in sorted(fits)}
        for pair, (left, right) in enumerate(self.pairs):
            for line, after in self.beside.items():
                if (left, line) in fits and (right, after) in fits:
                    self.kept[pair, line] = self.program.column()
        self.split = [self.program.column() for _ in self.pairs]

    def _make_rows(self) -> None:
        """One line a bid, one bid a line, and as many on each kind of line as the first step counts."""
        lines: defaultdict[int, dict[int, int]] = defaultdict(dict)
        bids: defaultdict[int, dict[int, int]] = defaultdict(dict)
        counts: defaultdict[tuple[int, int], Counter[int]] = defaultdict(Counter)
        for bid, line, column in self._uses():
            lines[line][column] = bids[bid][column] = 1
            counts[self.bid_kind[bid], self.line_kind[line]][column] += 1
        for (b, k, _), column in self.flow.columns.items():
            counts[b, k][column] -= 1
        for terms in (*lines.values(), *bids.values()):
            self.program.row(terms, high=1.0)
        for tied in counts.values():
            self.program.row(tied, 0.0, 0.0)
        for pair, (left, right) in enumerate(self.pairs):
            self.program.row({self.split[pair]: -1, **bids[left], **bids[right]}, high=1.0)
        self._make_halves()

    def _make_halves(self) -> None:
        """Of so many alike bids on one kind of line at most half as many, rounded down, are pairs: a bound's help."""
        inside: defaultdict[tuple[int, int], dict[int, int]] = defaultdict(dict)
        for (pair, line), column in self.kept.items():
            left, right = self.pairs[pair]
            kinds = {(self.bid_kind[left], self.line_kind[line]), (self.bid_kind[right], self.line_kind[self.beside[line]])}
            if len(kinds) == 1:
                inside[kinds.pop()][column] = 1
        for (b, k), columns in inside.items():
            half = self.program.column(len(self.flow.bid_kinds[b]) // 2)
            self.halves.append((half, b, k))
            self.program.row({**columns, half: -1}, high=0.0)
            counted = {column: -1 for (one, other, _), column in self.flow.columns.items() if (one, other) == (b, k)}
            self.program.row({half: 2, **counted}, high=0.0)

    def _uses(self) -> Iterator[tuple[int, int, int]]:
        """Yield which bid is on which line by which column."""
        for (bid, line), column in self.alone.items():
            yield bid, line, column
        for (pair, line), column in self.kept.items():
            left, right = self.pairs[pair]
            yield left, line, column
            yield right, self.beside[line], column

    def _start(self, values: Sequence[int]) -> list[int]:
        """Return some lines that agree with the first step: in order within each kind, pairs by chance."""
        free = {k: list(lines) for k, lines in enumerate(self.flow.line_kinds)}
        waiting = {b: list(bids) for b, bids in enumerate(self.flow.bid_kinds)}
        taken = {}
        for (b, k, _), column in self.flow.columns.items():
            for _ in range(values[column]):
                taken[waiting[b].pop(0)] = free[k].pop(0)
        start = [*values, *[0] * (len(self.program.upper) - len(values))]
        for pair, (left, right) in enumerate(self.pairs):
            if left in taken and right in taken:
                kept = self.kept.get((pair, taken[left])) if self.beside.get(taken[left]) == taken[right] else None
                start[self.split[pair] if kept is None else kept] = 1
                if kept is not None:
                    del taken[left], taken[right]
        for bid, line in taken.items():
            start[self.alone[bid, line]] = 1
        for half, b, k in self.halves:
            start[half] = sum(values[c] for (one, other, _), c in self.flow.columns.items() if (one, other) == (b, k)) // 2
        return start

    def aims(self) -> list[Aim]:
        """Return the aims of the second step."""
        bids, lines = self.question.bids, self.question.lines
        elsewhere: Counter[int] = Counter()
        order: Counter[int] = Counter()
        for bid, line, column in self._uses():
            kind, kinds = bids[bid].kind, lines[line].kinds
            if kind and kinds and kind not in kinds:
                elsewhere[column] += 1
            if bids[bid].place and lines[line].place and bids[bid].place != lines[line].place:
                order[column] += (bids[bid].place - lines[line].place) ** 2
        split = dict.fromkeys(self.split, 1)
        even = {column: 1 for (_, line), column in self.kept.items() if lines[line].number % 2 == 0}
        return [Aim(ELSEWHERE, elsewhere), Aim(SPLIT, split), Aim(EVEN, even), Aim(ORDER, order)]

    def placed(self, solved: Solved) -> tuple[Placed, ...]:
        """Return what won, in the order of the bids; chains of one kind are dealt out in order."""
        bids, lines, flow = self.question.bids, self.question.lines, self.flow
        hands: dict[tuple[int, int], list[Key]] = defaultdict(list)
        for (b, k, key), column in flow.columns.items():
            hands[b, k] += [key] * solved.values[column]
        found = []
        for bid, line, column in sorted(self._uses()):
            if solved.values[column]:
                key = hands[self.bid_kind[bid], self.line_kind[line]].pop(0)
                offers = bids[bid].offers[lines[line].name]
                offer = next(one for one in offers if _key(one) == key)
                found.append(Placed(bids[bid], lines[line].name, offer))
        return tuple(found)


def _neighbours(lines: Sequence[Line]) -> dict[int, int]:
    """Return the next line of the same block for each line that has one."""
    numbers = {(line.block, line.number): n for n, line in enumerate(lines)}
    return {
        n: numbers[line.block, line.number + 1]
        for n, line in enumerate(lines)
        if (line.block, line.number + 1) in numbers
    }


def _key(offer: Offer) -> Key:
    return whole(offer.cost), frozenset(offer.needs)


def _keys(bid: Bid, question: Question) -> dict[str, tuple[Key, ...]]:
    """Return what tells the offers of a bid apart, by line; offers that another beats in every way are left out."""
    known: dict[int, tuple[Key, ...]] = {}
    found = {}
    for line in question.lines:
        offers = bid.offers.get(line.name, ())
        if not offers:
            continue
        if id(offers) not in known:
            known[id(offers)] = _worth_having(dict.fromkeys(map(_key, offers)), question.supply)
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
