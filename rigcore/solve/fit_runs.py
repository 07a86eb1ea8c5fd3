"""Bounds for the second step of a fit: the places counted by runs of neighbouring lines, not named line by line.

Which line of a run a bid takes matters to the act's order alone, so that alike runs are taken together and the other
aims of the second step come out of a small program. It forgets how a run of unlike lines is divided and keeps
everything else: its bests are never above those of the named lines, and nearly always theirs.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Hashable, Sequence

from rigcore.solve.aims import Aim, Program, Watch, solve
from rigcore.solve.fit_places import Places
from rigcore.solve.fit_shapes import ELSEWHERE, EVEN, SPLIT

Kind = tuple[int, frozenset[str]]
"""Of a line: its kind in the first step, and what it is meant for."""

Run = tuple[tuple[Kind, bool], ...]
"""Neighbouring lines, in order: the kind of each, and whether its number is even."""

Spot = tuple[Run, Kind, Kind, bool]
"""Where both halves of a pair stand: the run, the kinds of the two lines, whether the left one is even."""


def counted(places: Places, program: Program, watch: Watch | None = None) -> tuple[dict[str, int], list[int]]:
    """Return proven bounds of aims of the second step, each given that the aims before it are at theirs; and a start.

    The start is as good as these bounds wherever the counts can be dealt out to lines.

    Parameters
    ----------
    program
        The first step alone, with its values kept; it is added to.
    """
    runs = _Runs(places, program)
    solved = solve(runs.program, runs.aims(), runs.start, watch)
    found: dict[str, int] = {}
    for stage in solved.stages:
        found[stage.aim] = stage.bound
        if stage.gap:
            break
    return found, runs.dealt(solved.values) or places.start


class _Runs:
    """The program: bids outside pairs by kind, pairs by name, lines by run."""

    def __init__(self, places: Places, program: Program) -> None:
        self.places, self.program = places, program
        self.bids, self.lines = places.question.bids, places.question.lines
        halves = {bid for pair in places.pairs for bid in pair}
        self.marks: list[Hashable] = [
            n if n in halves else (places.bid_kind.get(n), bid.kind) for n, bid in enumerate(self.bids)
        ]
        self.kinds = [(places.line_kind[n], line.kinds) for n, line in enumerate(self.lines)]
        self.run_of = self._runs()
        self.alone: dict[tuple[Hashable, Run, Kind], int] = {}
        self.kept: dict[tuple[int, Spot], int] = {}
        self.elsewhere: Counter[int] = Counter()
        self.size = len(program.upper)
        self.uses = self._make_columns()
        self.split = [program.column() for _ in places.pairs]
        self._make_rows()
        self.start = self._start()

    def _runs(self) -> dict[int, Run]:
        """Return the run of each line."""
        after = self.places.beside
        found: dict[int, Run] = {}
        for first in set(range(len(self.lines))) - set(after.values()):
            numbers = [first]
            while numbers[-1] in after:
                numbers.append(after[numbers[-1]])
            run = tuple((self.kinds[one], self.lines[one].number % 2 == 0) for one in numbers)
            found |= dict.fromkeys(numbers, run)
        return found

    def _spot(self, line: int) -> Spot:
        """Return where a pair stands whose left half takes a line."""
        after = self.places.beside[line]
        return self.run_of[line], self.kinds[line], self.kinds[after], self.lines[line].number % 2 == 0

    def _make_columns(self) -> list[tuple[int, int, int]]:
        """Return which bid is on which line by which column, one bid and one line standing for all alike."""
        size, uses = Counter(self.marks), []
        for bid, line in self.places.alone:
            key = self.marks[bid], self.run_of[line], self.kinds[line]
            if key not in self.alone:
                self.alone[key] = self.program.column(size[self.marks[bid]])
                uses.append((bid, line, self.alone[key]))
        for pair, line in self.places.kept:
            if (pair, self._spot(line)) not in self.kept:
                column = self.kept[pair, self._spot(line)] = self.program.column()
                left, right = self.places.pairs[pair]
                uses += [(left, line, column), (right, self.places.beside[line], column)]
        for bid, line, column in uses:
            self.elsewhere[column] += self.places.is_elsewhere(bid, line)
        return uses

    def _make_rows(self) -> None:
        row, size = self.program.row, Counter(self.marks)
        by_bid: defaultdict[Hashable, Counter[int]] = defaultdict(Counter)
        by_line: defaultdict[tuple[Run, Kind], Counter[int]] = defaultdict(Counter)
        counts: defaultdict[tuple[int, int], Counter[int]] = defaultdict(Counter)
        for bid, line, column in self.uses:
            by_bid[self.marks[bid]][column] += 1
            by_line[self.run_of[line], self.kinds[line]][column] += 1
            counts[self.places.bid_kind[bid], self.places.line_kind[line]][column] += 1
        for (b, k, _), column in self.places.flow.columns.items():
            counts[b, k][column] -= 1
        for mark, terms in by_bid.items():
            row(terms, high=float(size[mark]))
        room = Counter((self.run_of[n], kind) for n, kind in enumerate(self.kinds))
        for spot, terms in by_line.items():
            row(terms, high=float(room[spot]))
        for tied in counts.values():
            row(tied, 0.0, 0.0)
        for pair, (left, right) in enumerate(self.places.pairs):
            row({self.split[pair]: -1, **by_bid[left], **by_bid[right]}, high=1.0)
        self._make_pair_rows()

    def _make_pair_rows(self) -> None:
        """No more pairs in a run than fit in side by side, nor than stand so in any of its places."""
        by_spot: defaultdict[Spot, dict[int, int]] = defaultdict(dict)
        by_run: defaultdict[Run, dict[int, int]] = defaultdict(dict)
        for (_, spot), column in self.kept.items():
            by_spot[spot][column] = by_run[spot[0]][column] = 1
        room = Counter(self._spot(line) for line in self.places.beside)
        length = Counter(self.run_of.values())
        for spot, terms in by_spot.items():
            self.program.row(terms, high=float(room[spot]))
        for run, terms in by_run.items():
            self.program.row(terms, high=float(length[run] // len(run) * (len(run) // 2)))

    def _start(self) -> list[int]:
        """Return the start of the second step, counted."""
        start = [*self.places.start[: self.size], *[0] * (len(self.program.upper) - self.size)]
        for (bid, line), column in self.places.alone.items():
            start[self.alone[self.marks[bid], self.run_of[line], self.kinds[line]]] += self.places.start[column]
        for (pair, line), column in self.places.kept.items():
            start[self.kept[pair, self._spot(line)]] += self.places.start[column]
        for mine, column in zip(self.split, self.places.split, strict=True):
            start[mine] = self.places.start[column]
        return start

    def dealt(self, values: Sequence[int]) -> list[int] | None:
        """Return the second step's columns with the counts dealt out to lines, pairs first; None where that fails."""
        places, free = self.places, dict.fromkeys(range(len(self.lines)))
        start = [*values[: self.size], *[0] * (len(places.start) - self.size)]
        waiting = dict.fromkeys(places.bid_kind)
        for (pair, spot), column in sorted(self.kept.items(), key=lambda one: (one[0][1][3], one[1])):
            if values[column]:
                fits = (n for n in free if places.beside.get(n) in free and self._spot(n) == spot)
                line = next(fits, None)
                if line is None:
                    return None
                start[places.kept[pair, line]] = 1
                for bid, taken in zip(places.pairs[pair], (line, places.beside[line]), strict=True):
                    del free[taken], waiting[bid]
        for (mark, run, kind), column in self.alone.items():
            lines = [n for n in free if (self.run_of[n], self.kinds[n]) == (run, kind)][: values[column]]
            bids = [bid for bid in waiting if self.marks[bid] == mark][: values[column]]
            if len(lines) < values[column]:
                return None
            for bid, line in zip(bids, lines, strict=True):
                start[places.alone[bid, line]] = 1
                del free[line], waiting[bid]
        for mine, split in zip(self.split, places.split, strict=True):
            start[split] = values[mine]
        return places.with_halves(start)

    def aims(self) -> list[Aim]:
        even = {column: 1 for (_, spot), column in self.kept.items() if spot[3]}
        return [Aim(ELSEWHERE, +self.elsewhere), Aim(SPLIT, dict.fromkeys(self.split, 1)), Aim(EVEN, even)]
