"""How long the fit takes beside a bare assignment and a bare solver of the same size.

Run ``python tests/bench/fit.py``. Each line is a random rig at a random house: hand-offs of
seven families (stereo pairs among keys, playback and drums) on boxes of eight sockets of five
kinds, with three chains for each kind on each kind of socket, out of so many adapter types.
``ample`` owns up to eleven of each adapter, ``scarce`` up to three. Printed are the seconds of
the whole fit with its proof, the seconds of ``scipy.optimize.linear_sum_assignment`` and of bare
HiGHS with its usual settings on a plain assignment of the same size, and the ratios. The
import of the solver is not counted; it is printed by itself. Then the search for chains, each
from nothing remembered: with nothing owned and everything to be bought. Nothing is asserted.
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np
from scipy.optimize import linear_sum_assignment

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))

from rigcore.catalogue.loader import shipped
from rigcore.solve import chains
from rigcore.solve.chain import Cost
from rigcore.solve.fit_model import best
from rigcore.solve.fit_shapes import Bid, Line, Offer, Question, Wish

FAMILIES = ("drums", "bass", "guitars", "keys", "playback", "brass", "vocals")
SIZES = ((8, 16, 10), (20, 48, 20), (50, 200, 40))
SEEDS = 5


def question(size: tuple[int, int, int], seed: int, most: int) -> Question:
    """Return a random question of so many hand-offs, sockets and adapter types, with at most so many of each type."""
    hand_offs, sockets, things = size
    dice = random.Random(seed)
    lines = tuple(
        Line(f"s{n}", n + 1, f"box {n // 8}", n + 1, frozenset({FAMILIES[n // 8 % 7]} if n // 8 % 3 == 0 else ()))
        for n in range(sockets)
    )
    kinds = [dice.randrange(5) for _ in range(sockets // 8 + 1)]
    table = {
        (family, kind): tuple(_offer(dice, things) for _ in range(3)) for family in FAMILIES for kind in range(5)
    }
    playing = sorted(dice.choices(range(7), k=hand_offs))
    wishes: list[Wish] = []
    bids: list[Bid] = []
    waiting = ""
    for n, number in enumerate(playing):
        family, name = FAMILIES[number], f"h{n}"
        next_alike = n + 1 < hand_offs and playing[n + 1] == number
        starts = not waiting and next_alike and family in ("keys", "playback", "drums") and dice.random() < 0.7
        wishes.append(Wish(name, int(dice.random() > 0.8), f"h{n + 1}" if starts else ""))
        waiting = name if starts else ""
        offers = {line.name: table[family, kinds[at // 8]] for at, line in enumerate(lines)}
        bids.append(Bid(name, (name,), offers, place=n + 1, kind=family))
    return Question(tuple(wishes), tuple(bids), lines, {f"i{n}": dice.randrange(1, most + 1) for n in range(things)})


def _offer(dice: random.Random, things: int) -> Offer:
    cost = Cost(
        dice.choice((0, 0, 0, 1)), dice.choice((0.0, 0.0, 1.0)), dice.randrange(1, 30) / 10, dice.randrange(1, 5),
        dice.randrange(2500) / 100, dice.randrange(3),
    )  # fmt: skip
    return Offer(cost, tuple((f"i{one}", 1) for one in {dice.randrange(things) for _ in range(dice.randrange(1, 4))}))


def seconds(work: Any) -> float:
    """Return the seconds one run takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def bare_solver(costs: Any) -> None:
    """Solve an assignment with HiGHS as it comes."""
    import highspy

    rows, columns = costs.shape
    solver: Any = highspy.Highs.__bases__[0]()  # the class above it prints a banner
    solver.setOptionValue("output_flag", False)
    model = highspy.HighsLp()
    size = rows * columns
    number = np.arange(size).reshape(rows, columns)
    model.num_col_, model.num_row_ = size, rows + columns
    model.col_cost_, model.col_lower_, model.col_upper_ = costs.ravel().astype(float), np.zeros(size), np.ones(size)
    model.row_lower_ = np.concatenate([np.ones(rows), np.full(columns, -np.inf)])
    model.row_upper_ = np.ones(rows + columns)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    starts = [np.arange(rows + 1) * columns, size + np.arange(1, columns + 1) * rows]
    model.a_matrix_.start_ = np.concatenate(starts).astype(np.int32)
    model.a_matrix_.index_ = np.concatenate([number.ravel(), number.T.ravel()]).astype(np.int32)
    model.a_matrix_.value_ = np.ones(2 * size)
    model.integrality_ = [highspy.HighsVarType.kInteger] * size
    solver.passModel(model)
    solver.run()


CHAINS = (
    ("dynamic-handheld", "out", "mixer-small", "line-1", 2.0),
    ("dynamic-handheld", "out", "ceiling-system", "in-l", 12.0),
    ("condenser-handheld", "out", "powered-monitor", "in", 12.0),
    ("stage-piano-88", "out-l", "ceiling-system", "in-l", 12.0),
    ("stage-piano-88", "out-l", "stage-box-8", "in-1", 12.0),
    ("mixer-small", "main-l", "earphones", "in", 2.0),
)


def chain_table() -> None:
    """Print how long some searches for a chain take."""
    catalogue = shipped()
    print("chain                                                   s   faults")
    for gear, out, other, into, length_m in CHAINS:
        for kept in (chains._cheapest, chains._ahead, chains._parts):
            kept.cache_clear()
        began = time.perf_counter()
        found = chains.chains_between(catalogue, catalogue.port(gear, out), catalogue.port(other, into), {},
                                      length_m=length_m)  # fmt: skip
        faults = found[0].cost.faults if found else "no way"
        print(f"{f'{gear} to {other}, {length_m:g} m':52} {time.perf_counter() - began:6.3f} {faults:>6}")


def main() -> None:
    """Print the tables."""
    began = time.perf_counter()
    import highspy

    highspy.Highs.__bases__[0]()
    print(f"import of the solver: {time.perf_counter() - began:.3f} s")
    print("hand-offs sockets types stock   fit s: median  worst  proven   assignment s   HiGHS s   fit/HiGHS")
    for size in SIZES:
        for words, most in (("ample", 11), ("scarce", 3)):
            costs = np.random.default_rng(0).integers(1, 1000, size[:2])
            bare = seconds(lambda costs=costs: linear_sum_assignment(costs))
            solver = seconds(lambda costs=costs: bare_solver(costs))
            questions = [question(size, seed, most) for seed in range(SEEDS)]
            answers = [best(one) for one in questions]
            times = [one.seconds for one in answers]
            middle = statistics.median(times)
            print(
                f"{size[0]:9} {size[1]:7} {size[2]:5} {words:<7} {middle:12.3f} {max(times):6.3f} "
                f"{sum(one.proven for one in answers)} of {SEEDS} {bare:14.5f} {solver:9.3f} {middle / solver:11.2f}"
            )
    chain_table()


if __name__ == "__main__":
    main()
