"""Solves the bare question of the fit in two steps, each aim by aim, with the proof.

First which kinds of bid go on which kinds of line by which chain, then which line each takes.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Set as AbstractSet

from msgspec.structs import replace

from rigcore.solve.aims import Program, Progress, Watch, solve
from rigcore.solve.fit_flow import Flow
from rigcore.solve.fit_places import Places
from rigcore.solve.fit_runs import counted
from rigcore.solve.fit_shapes import ELSEWHERE, PRICE, Answer, Question, Thing


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
    flow = Flow(question)
    first = solve(flow.program, flow.aims(), flow.start(), _shifted(watch, 0))
    alone = Program(list(flow.program.upper), list(flow.program.rows))
    lines = Places(flow, first.values)
    watch = _shifted(watch, len(first.stages)) if not first.stopped else _never
    # The aims that do not care which of alike lines it is are settled by counting.
    least, start = counted(lines, alone, _standing(watch))
    second = solve(flow.program, lines.aims(least), start, watch)
    placed = lines.placed(second)
    settled = {name for one in placed for name in one.bid.settles}
    return Answer(
        placed,
        tuple(wish.name for wish in question.wishes if wish.name not in settled),
        (*first.stages, *second.stages),
        time.perf_counter() - began,
        first.stopped or second.stopped,
    )


def missing(question: Question) -> tuple[int, ...]:
    """Return how many wishes of each tier stay without a line, proven, and nothing else."""
    flow = Flow(question)
    return tuple(stage.value for stage in solve(flow.program, flow.tiers(), flow.start()).stages)


def used(question: Question, capped: AbstractSet[Thing]) -> tuple[Counter[Thing], set[str]]:
    """Return what the best fit takes if only some things are limited in number, and in which aims it lacks.

    Lacking is a wish without a line or fallen back, or a fault.
    """
    supply = {thing: count for thing, count in question.supply.items() if thing in capped}
    flow = Flow(replace(question, supply=supply))
    solved = solve(flow.program, flow.aims(), flow.start())
    taken: Counter[Thing] = Counter()
    for (_, _, (_, needs)), column in flow.columns.items():
        for thing, count in needs:
            taken[thing] += count * solved.values[column]
    before_price = solved.stages[: [stage.aim for stage in solved.stages].index(PRICE)]
    return +taken, {stage.aim for stage in before_price if stage.value}


def _never(_: Progress) -> bool:
    return False


def _standing(watch: Watch | None) -> Watch | None:
    """Return a watch to which everything is about the first aim."""
    return None if watch is None else lambda at: watch(replace(at, aim=ELSEWHERE, done=0))


def _shifted(watch: Watch | None, done: int) -> Watch | None:
    """Return a watch that counts both steps as one."""
    if watch is None:
        return None
    return lambda at: watch(Progress(at.aim, at.done + done, at.of + done, at.seconds))
