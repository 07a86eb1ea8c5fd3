"""The second step of a fit: which line each bid takes, with pairs on neighbours and the act's order kept.

It may still trade chains between alike costs, as long as no aim of the first step gets worse.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence

from rigcore.solve.aims import Aim, Solved
from rigcore.solve.fit_flow import Flow, Key, key_of
from rigcore.solve.fit_shapes import ELSEWHERE, EVEN, ORDER, SPLIT, Line, Placed


class Places:
    """The second step: which line each bid takes, alone or as half of a pair on two neighbours."""

    def __init__(self, flow: Flow, values: Sequence[int]) -> None:
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
            here = self.bid_kind[left], self.line_kind[line]
            if here == (self.bid_kind[right], self.line_kind[self.beside[line]]):
                inside[here][column] = 1
        for (b, k), columns in inside.items():
            half = self.program.column(len(self.flow.bid_kinds[b]) // 2)
            self.halves.append((half, b, k))
            self.program.row({**columns, half: -1}, high=0.0)
            self.program.row({half: 2, **dict.fromkeys(self._counting(b, k), -1)}, high=0.0)

    def _counting(self, b: int, k: int) -> list[int]:
        """Return the columns of the first step that count bids of a kind on lines of a kind."""
        return [column for (one, other, _), column in self.flow.columns.items() if (one, other) == (b, k)]

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
        return self.with_halves(start)

    def with_halves(self, start: list[int]) -> list[int]:
        """Return a start with its halves as the first step counts them."""
        for half, b, k in self.halves:
            start[half] = sum(start[column] for column in self._counting(b, k)) // 2
        return start

    def is_elsewhere(self, bid: int, line: int) -> bool:
        """Return whether a line is meant for other things than what a bid plays."""
        kind, kinds = self.question.bids[bid].kind, self.question.lines[line].kinds
        return bool(kind and kinds and kind not in kinds)

    def aims(self, least: Mapping[str, int]) -> list[Aim]:
        """Return the aims of the second step, with what is known to be their least."""
        bids, lines = self.question.bids, self.question.lines
        elsewhere: Counter[int] = Counter()
        order: Counter[int] = Counter()
        for bid, line, column in self._uses():
            if self.is_elsewhere(bid, line):
                elsewhere[column] += 1
            if bids[bid].place and lines[line].place and bids[bid].place != lines[line].place:
                order[column] += (bids[bid].place - lines[line].place) ** 2
        split = dict.fromkeys(self.split, 1)
        even = {column: 1 for (_, line), column in self.kept.items() if lines[line].number % 2 == 0}
        terms: dict[str, Mapping[int, int]] = {ELSEWHERE: elsewhere, SPLIT: split, EVEN: even, ORDER: order}
        return [Aim(name, some, least=least.get(name, 0)) for name, some in terms.items()]

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
                offer = next(one for one in offers if key_of(one) == key)
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
