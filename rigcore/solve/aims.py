"""Whole-number programs solved aim by aim: each aim to its proven best, its value kept, then the next.

Every coefficient, bound and value is a whole number, so that "best" is exact: an
answer is rounded, checked in whole numbers against every row, and its value summed
in whole numbers; a bound of the solver is rounded up. The relaxation without whole
numbers is tried first, because most questions of this trade need no branching.
Nothing here knows what the numbers mean.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

if TYPE_CHECKING:
    import numpy.typing as npt

    Whole = npt.NDArray[np.int64]
    Real = npt.NDArray[np.float64]
    Matrix = tuple[Whole, Whole, Whole, Real, Real]

ROUNDING = 0.01
"""How much of a bound is given away to the solver's floating point before it is rounded up to a whole number."""


MANY = 1500
"""From so many columns on, branching is tried over those that matter before it is done over all."""

KEEP = 1400
"""So many columns are looked at first."""

FEW = 600
"""So many columns are looked at for a good answer to all aims at once."""

NOTHING = -(1 << 60)
"""The bound of a solve that told none."""

GUIDE = 100_000
"""How much an aim weighs over the later ones where those break its ties."""


class Aim(Struct, frozen=True):
    """Something to have as little of as can be: ``constant`` + the sum of ``terms``, by column; never below 0.

    ``least`` is a bound known from elsewhere; it need only hold while every aim before is at its own ``least``.
    """

    name: str
    terms: Mapping[int, int]
    constant: int = 0
    least: int = 0


class Stage(Struct, frozen=True):
    """What became of one aim: its value, the proven bound below which it cannot go, and the seconds it took."""

    aim: str
    value: int
    bound: int
    seconds: float
    how: Literal["counted", "relaxed", "branched", "stopped"]

    @property
    def gap(self) -> int:
        """How far the value may still be from the best: 0 is proof."""
        return self.value - self.bound


class Progress(Struct, frozen=True):
    """Where a solve stands: the aim in hand, how many are done of how many, and the seconds so far."""

    aim: str
    done: int
    of: int
    seconds: float


Watch = Callable[[Progress], bool]
"""Told now and then how things stand; answers whether to go on."""


class Solved(Struct, frozen=True):
    """The best values of the columns, aim by aim."""

    values: tuple[int, ...]
    stages: tuple[Stage, ...]
    stopped: bool = False

    @property
    def proven(self) -> bool:
        """Whether every aim is proven best."""
        return all(stage.gap == 0 for stage in self.stages)


class Program(Struct):
    """Columns from 0 to ``upper``, and rows ``low`` <= sum of ``terms`` <= ``high``; for its maker only."""

    upper: list[int] = field(default_factory=list)
    rows: list[tuple[list[int], list[int], float, float]] = field(default_factory=list)

    def column(self, upper: int = 1) -> int:
        """Add a column and return its number."""
        self.upper.append(upper)
        return len(self.upper) - 1

    def row(self, terms: Mapping[int, int], low: float = -math.inf, high: float = math.inf) -> None:
        """Add a row."""
        self.rows.append((list(terms), list(terms.values()), low, high))

    def keep(self, aim: Aim, value: int) -> None:
        """Let an aim never again exceed a value."""
        self.row(aim.terms, high=float(value - aim.constant))


def solve(program: Program, aims: Sequence[Aim], start: Sequence[int], watch: Watch | None = None) -> Solved:
    """Return the best of a program, aim by aim; each aim's value is kept in the program.

    Parameters
    ----------
    aims
        The most important first.
    start
        Values of all columns that satisfy every row.
    watch
        Asked between aims and while branching whether to go on; when it says no, the best so far is returned
        with the gap of each aim.
    """
    return _Solver(program, start, watch).all(aims)


class _Solver:
    """One solve: the matrix, the relaxation kept warm between aims, and the best values so far."""

    def __init__(self, program: Program, start: Sequence[int], watch: Watch | None) -> None:
        self.program, self.watch = program, watch
        self.best: Whole = np.array(start, dtype=np.int64)
        self.began = time.perf_counter()
        self.matrix = _matrix(program)
        self.relaxation: Any = None
        self.stopped = False
        self.where = Progress("", 0, 0, 0.0)
        assert self._holds(self.best), "the start breaks a row"

    def all(self, aims: Sequence[Aim]) -> Solved:
        stages: list[Stage] = []
        as_known = True
        for number, aim in enumerate(aims):
            self.where = Progress(aim.name, number, len(aims), time.perf_counter() - self.began)
            self._ask()
            if number == 0 and len(aims) > 1 and len(self.best) > MANY and not self.stopped:
                self._get_ahead(aims)
            stages.append(self._stage(aim if as_known else replace(aim, least=0), aims[number + 1 :]))
            as_known &= stages[-1].value == aim.least
            self._keep(aim, stages[-1].value)
        return Solved(tuple(int(one) for one in self.best), tuple(stages), self.stopped)

    def _costs(self, aim: Aim) -> Whole:
        costs = np.zeros(len(self.best), dtype=np.int64)
        costs[list(aim.terms)] = list(aim.terms.values())
        return costs

    def _stage(self, aim: Aim, later: Sequence[Aim]) -> Stage:
        began = time.perf_counter()
        costs = self._costs(aim)
        value, floor = self._value(costs, aim), self._floor(costs, aim)
        how: Literal["counted", "relaxed", "branched", "stopped"] = "counted"
        if value > floor and not self.stopped:
            how = "relaxed"
            floor = max(floor, self._relax(costs, aim))
            value = self._value(costs, aim)
        if value > floor and not self.stopped and len(costs) > MANY:
            floor = max(floor, self._sift(costs, aim, later))
            value = self._value(costs, aim)
        if value > floor and not self.stopped:
            how = "branched"
            floor = max(floor, self._branch(costs) + aim.constant)
            value = self._value(costs, aim)
        if value > floor and self.stopped:
            how = "stopped"
        return Stage(aim.name, value, min(floor, value), time.perf_counter() - began, how)

    def _value(self, costs: Whole, aim: Aim) -> int:
        return int(costs @ self.best) + aim.constant

    def _floor(self, costs: Whole, aim: Aim) -> int:
        """Return the bound that needs no solver: every column at its better end, and nothing below 0."""
        least = int(np.minimum(costs, 0) @ np.array(self.program.upper, dtype=np.int64)) if len(costs) else 0
        return max(0, least + aim.constant, aim.least)

    def _get_ahead(self, aims: Sequence[Aim]) -> None:
        """Look for a good answer to all aims at once, over the columns that matter; no proof of anything.

        In what is looked for, one of an aim outweighs any two columns of all later ones.
        """
        guide = np.zeros(len(self.best), dtype=np.int64)
        for aim in reversed(aims):
            guide += self._costs(aim) * (2 * int(np.abs(guide).max()) + 1)
        if not math.isfinite(self._run_relaxation(guide)):
            return
        solution, before = self.relaxation.getSolution(), self.best
        reduced = np.array(solution.col_dual)
        some = (np.array(solution.col_value) > 1e-7) | (before > 0)
        self._branch(guide, np.flatnonzero(some | (reduced <= _smallest(reduced, FEW))))
        if [self._value(self._costs(aim), aim) for aim in aims] > [
            int(self._costs(aim) @ before) + aim.constant for aim in aims
        ]:
            self.best = before

    def _relax(self, costs: Whole, aim: Aim) -> int:
        """Solve without whole numbers; take the answer if it is whole, and its value as bound."""
        bound = self._run_relaxation(costs)
        if not math.isfinite(bound):
            return 0
        self._take(self.relaxation, costs)
        return math.ceil(bound - ROUNDING) + aim.constant

    def _run_relaxation(self, costs: Whole) -> float:
        import highspy

        if self.relaxation is None:
            self.relaxation = _highs(self.program.upper, self.matrix, whole=False)
        solver = self.relaxation
        solver.changeColsCost(len(costs), np.arange(len(costs), dtype=np.int32), costs.astype(np.float64))
        solver.run()
        optimal = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
        return float(solver.getInfo().objective_function_value) if optimal else -math.inf

    def _sift(self, costs: Whole, aim: Aim, later: Sequence[Aim]) -> int:
        """Branch over the few columns that matter; return a bound, which is proof where it meets the new value.

        A column whose reduced cost exceeds what the best value lies over the relaxation is in no better answer.
        The later aims break the ties of this one, so that few columns have a reduced cost of 0.
        """
        guide = costs * GUIDE + sum(self._costs(one) for one in later) if later else costs
        relaxed = self._run_relaxation(guide)
        if not math.isfinite(relaxed):
            return 0
        solution = self.relaxation.getSolution()
        reduced, found = np.array(solution.col_dual), np.array(solution.col_value)
        some = (found > 1e-7) | (self.best > 0)
        count = KEEP
        while True:
            over = float(guide @ self.best) - relaxed + ROUNDING
            margin = _smallest(reduced, count)
            proven = self._branch(guide, np.flatnonzero(some | (reduced <= min(over, margin))))
            if later or self.stopped:
                return 0
            # What is still better than the best found has no column left out: this was all there is.
            if float(guide @ self.best) - relaxed + ROUNDING <= margin or count >= len(costs):
                break
            count *= 2
        return self._value(costs, aim) if proven == guide @ self.best else 0

    def _branch(self, costs: Whole, core: Whole | None = None) -> int:
        """Solve with whole numbers from the best so far, over some columns or all; return the proven bound."""
        import highspy

        columns = np.arange(len(costs)) if core is None else core
        upper = np.array(self.program.upper, dtype=np.int64)[columns]
        solver = _highs(upper, self.matrix if core is None else _only(self.matrix, core, len(costs)), whole=True)
        solver.changeColsCost(len(columns), np.arange(len(columns), dtype=np.int32), costs[columns].astype(np.float64))
        known = highspy.HighsSolution()
        known.col_value = [float(one) for one in self.best[columns]]
        solver.setSolution(known)
        if self.watch is not None:
            solver.setCallback(self._listen, None)
            solver.startCallback(highspy.cb.HighsCallbackType.kCallbackMipInterrupt)
        done = solver.run() != highspy.HighsStatus.kError and solver.getModelStatus() in (
            highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kInterrupt,
        )  # fmt: skip
        if not done:
            return NOTHING
        self._take(solver, costs, core)
        bound: float = solver.getInfo().mip_dual_bound
        return math.ceil(bound - ROUNDING) if math.isfinite(bound) else NOTHING

    def _take(self, solver: Any, costs: Whole, core: Whole | None = None) -> None:
        """Take the solver's answer if, rounded, it holds and is no worse."""
        some = np.array(solver.getSolution().col_value, dtype=np.float64)
        found = np.zeros(len(self.best))
        if len(some) != (len(found) if core is None else len(core)) or not np.all(np.isfinite(some)):
            return
        found[slice(None) if core is None else core] = some
        whole = np.rint(found).astype(np.int64)
        if np.abs(found - whole).max(initial=0.0) < 1e-4 and self._holds(whole) and costs @ whole <= costs @ self.best:
            self.best = whole

    def _holds(self, values: Whole) -> bool:
        if (values < 0).any() or (values > np.array(self.program.upper, dtype=np.int64)).any():
            return False
        starts, columns, weights, low, high = self.matrix
        sums = np.zeros(len(low), dtype=np.int64)
        np.add.at(sums, np.repeat(np.arange(len(low)), np.diff(starts)), weights * values[columns])
        return bool((sums >= low).all() and (sums <= high).all())

    def _keep(self, aim: Aim, value: int) -> None:
        if not aim.terms:
            return
        self.program.keep(aim, value)
        self.matrix = _matrix(self.program)
        if self.relaxation is not None:
            columns, weights, low, high = self.program.rows[-1]
            self.relaxation.addRow(
                low, high, len(columns), np.array(columns, dtype=np.int32), np.array(weights, dtype=np.float64)
            )

    def _ask(self) -> None:
        if self.watch is not None and not self.stopped:
            self.stopped = not self.watch(self.where)

    def _listen(self, *told: Any) -> None:
        """Called by the solver while it branches, with kind, message, what it tells, what it is told, and our data."""
        self.where = Progress(self.where.aim, self.where.done, self.where.of, time.perf_counter() - self.began)
        self._ask()
        if self.stopped:
            told[3].user_interrupt = True


def _smallest(values: Real, count: int) -> float:
    """Return the value that about so many do not exceed."""
    at = min(count, len(values) - 1)
    return float(np.partition(values, at)[at])


def _matrix(program: Program) -> Matrix:
    """Return the rows, compressed: starts, columns, weights, lows and highs."""
    starts = np.cumsum([0, *(len(columns) for columns, *_ in program.rows)]).astype(np.int64)
    columns = np.array([one for columns, *_ in program.rows for one in columns], dtype=np.int64)
    weights = np.array([one for _, weights, *_ in program.rows for one in weights], dtype=np.int64)
    low = np.array([row[2] for row in program.rows], dtype=np.float64)
    high = np.array([row[3] for row in program.rows], dtype=np.float64)
    return starts, columns, weights, low, high


def _only(matrix: Matrix, core: Whole, size: int) -> Matrix:
    """Return the rows with some columns only, numbered anew."""
    starts, columns, weights, low, high = matrix
    new = np.full(size, -1, dtype=np.int64)
    new[core] = np.arange(len(core))
    kept = new[columns] >= 0
    counts = np.bincount(np.repeat(np.arange(len(low)), np.diff(starts))[kept], minlength=len(low))
    return np.concatenate([[0], np.cumsum(counts)]), new[columns][kept], weights[kept], low, high


def _highs(upper: Sequence[int] | Whole, matrix: Matrix, *, whole: bool) -> Any:
    """Return a solver with the program in it, silent and not parallel, so that the same question has one answer.

    The number of threads is left alone: a second number in one process makes a run fail.
    Its presolve stays off: with a start given, HiGHS 1.16 called worse answers than the best optimal here.
    """
    import highspy

    starts, columns, weights, low, high = matrix
    size = len(upper)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = size, len(low)
    model.col_cost_, model.col_lower_ = np.zeros(size), np.zeros(size)
    model.col_upper_ = np.array(upper, dtype=np.float64)
    model.row_lower_, model.row_upper_ = low, high
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_, model.a_matrix_.index_ = starts.astype(np.int32), columns.astype(np.int32)
    model.a_matrix_.value_ = weights.astype(np.float64)
    if whole:
        model.integrality_ = [highspy.HighsVarType.kInteger] * size
    # The class below the public one: the public one prints a banner on standard output before it can be silenced.
    solver: Any = highspy.Highs.__bases__[0]()
    options: dict[str, Any] = {
        "output_flag": False, "parallel": "off", "random_seed": 0, "mip_rel_gap": 0.0, "mip_abs_gap": 1e-6,
        "presolve": "off", "solver": "choose" if whole else "simplex",
    }  # fmt: skip
    for name, value in options.items():
        solver.setOptionValue(name, value)
    solver.passModel(model)
    return solver
