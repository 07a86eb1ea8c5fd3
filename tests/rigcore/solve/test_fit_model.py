"""The bare fit against brute force over every possible fit, and against assignments from outside."""

from __future__ import annotations

import random
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator

import pytest
from scipy.optimize import linear_sum_assignment

from rigcore.solve import aims, fit_model
from rigcore.solve.aims import Aim, Program, Progress, solve
from rigcore.solve.chain import Cost
from rigcore.solve.fit_model import best
from rigcore.solve.fit_shapes import (
    LOSS,
    MISSING,
    PRICE,
    SPLIT,
    Answer,
    Bid,
    Line,
    Offer,
    Question,
    Wish,
    whole,
)

Choice = tuple[Bid, str, Offer]
KINDS = ("keys", "vocals")


def asked(seed: int) -> Question:
    """Return a small question with pairs, fall-backs, held bids, scarce things and two blocks."""
    dice = random.Random(seed)
    lines = tuple(
        Line(
            f"s{n}", n + dice.choice((1, 2)) * (n > 3), f"block {n > 1}", n,
            frozenset(dice.sample(KINDS, dice.randrange(2))),
        )
        for n in range(1, dice.randrange(2, 5) + 1)
    )
    names = [f"h{n}" for n in range(dice.randrange(2, 5))]
    wishes = tuple(
        Wish(name, dice.choice((0, 0, 1)), names[n + 1] if n % 2 == 0 and n + 1 < len(names) else "")
        for n, name in enumerate(names)
    )
    kinds = [tuple(_offer(dice) for _ in range(dice.randrange(3))) for _ in range(4)]
    bids = [
        Bid(name, (name,), _offers(dice, lines, kinds), place=n + 1, kind=dice.choice((*KINDS, "")))
        for n, name in enumerate(names)
    ]
    if dice.random() < 0.5:
        bids.append(Bid(names[0], tuple(names[:2]), _offers(dice, lines, kinds), fallen=1, place=1))
    if dice.random() < 0.3:
        bids.append(Bid("stand-in", tuple(names[-2:]), _offers(dice, lines, kinds), fallen=2, place=3))
    supply = {thing: dice.randrange(3) for thing in "abc"}
    budget = dice.choice((None, None, 1, 2))
    return Question(wishes, tuple(bids), lines, supply, budget)


def _offer(dice: random.Random) -> Offer:
    things = Counter(dice.choice("abcd") for _ in range(dice.randrange(3)))
    cost = Cost(
        dice.choice((0, 0, 1)), dice.choice((0.0, 0.0, 1.5)), dice.choice((0.0, 0.3, 0.31)), dice.randrange(1, 3),
        dice.choice((0.0, 6.02)), dice.choice((0, 1)),
    )  # fmt: skip
    return Offer(cost, tuple(sorted(things.items())))


def _offers(
    dice: random.Random, lines: tuple[Line, ...], kinds: list[tuple[Offer, ...]]
) -> dict[str, tuple[Offer, ...]]:
    return {line.name: dice.choice(kinds) for line in lines if dice.random() < 0.9}


def every_fit(question: Question) -> Iterator[tuple[Choice, ...]]:
    """Yield every fit that keeps within lines, wishes, supply and budget."""

    def further(at: int, chosen: tuple[Choice, ...]) -> Iterator[tuple[Choice, ...]]:
        if at == len(question.bids):
            yield chosen
            return
        bid = question.bids[at]
        if not bid.held:
            yield from further(at + 1, chosen)
        for line, offers in bid.offers.items():
            if any(line == taken for _, taken, _ in chosen):
                continue
            if {name for one, _, _ in chosen for name in one.settles} & set(bid.settles):
                continue
            for offer in offers:
                more = (*chosen, (bid, line, offer))
                if _within(question, more):
                    yield from further(at + 1, more)

    yield from further(0, ())


def _within(question: Question, chosen: tuple[Choice, ...]) -> bool:
    used: Counter[object] = Counter()
    for _, _, offer in chosen:
        used.update(dict(offer.needs))
    if question.most_lines is not None and sum(bid.counts for bid, _, _ in chosen) > question.most_lines:
        return False
    return all(used[thing] <= count for thing, count in question.supply.items())


def score(question: Question, chosen: tuple[Choice, ...]) -> tuple[int, ...]:
    """Return the values of all aims of a fit, in order, counted as plainly as can be."""
    settled = {name for bid, _, _ in chosen for name in bid.settles}
    lines = {line.name: line for line in question.lines}
    costs = [whole(offer.cost) for _, _, offer in chosen]
    faults, price, mass, pieces, loss, risks = (sum(one[n] for one in costs) for n in range(6))
    own = {bid.carrier: lines[name] for bid, name, _ in chosen if bid.settles == (bid.carrier,)}
    split = even = 0
    for wish in question.wishes:
        if wish.name in own and wish.right in own:
            left, right = own[wish.name], own[wish.right]
            if left.block == right.block and right.number == left.number + 1:
                even += left.number % 2 == 0
            else:
                split += 1
    elsewhere = sum(bool(bid.kind and lines[n].kinds and bid.kind not in lines[n].kinds) for bid, n, _ in chosen)
    order = sum((bid.place - lines[n].place) ** 2 for bid, n, _ in chosen if bid.place and lines[n].place)
    missing = [sum(w.tier == tier and w.name not in settled for w in question.wishes) for tier in (0, 1)]
    fallen = sum(bid.fallen for bid, _, _ in chosen)
    return (*missing, faults, fallen, price, mass, pieces, loss, risks, elsewhere, split, even, order)


def told(answer: Answer) -> tuple[Choice, ...]:
    return tuple((one.bid, one.line, one.offer) for one in answer.placed)


@pytest.mark.parametrize("block", range(12))
def test_small_fits_are_the_best_of_all_in_every_aim_in_order(block: int) -> None:
    for seed in range(block * 25, block * 25 + 25):
        question = asked(seed)
        answer = best(question)
        values = tuple(stage.value for stage in answer.stages)
        assert values == min(score(question, chosen) for chosen in every_fit(question)), seed
        assert answer.proven
        assert score(question, told(answer)) == values, "the fit is not what its values say"
        assert _within(question, told(answer))


def test_looking_at_few_columns_first_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """What large questions are helped by, put to small ones that brute force can check."""
    for name, count in (("MANY", 0), ("KEEP", 6), ("FEW", 4)):
        monkeypatch.setattr(aims, name, count)
    for seed in range(80):
        question = asked(seed)
        answer = best(question)
        assert tuple(stage.value for stage in answer.stages) == min(score(question, one) for one in every_fit(question))
        assert answer.proven


def rows_of_lines(seed: int) -> Question:
    """Return a question too large for brute force: pairs among ten wishes, boxes of four and eight, some scarce."""
    dice = random.Random(seed)
    lines = tuple(
        Line(f"s{n}", n + (n > 7), f"box {n // 4 if n < 8 else 8}", n + 1, frozenset(KINDS[: n % 8 < 4]))
        for n in range(dice.randrange(12, 20))
    )
    kinds = [tuple(_offer(dice) for _ in range(2)) for _ in range(3)]
    at = [dice.choice(kinds) for _ in range(3)]
    wishes = tuple(Wish(f"h{n}", 0, f"h{n + 1}" if n % 2 == 0 and n < 8 else "") for n in range(10))
    offers = {line.name: at[dice.random() < 0.1 or n // 8] for n, line in enumerate(lines)}
    bids = tuple(Bid(one.name, (one.name,), offers, place=n + 1, kind=KINDS[n // 5]) for n, one in enumerate(wishes))
    return Question(wishes, bids, lines, {thing: dice.randrange(2, 9) for thing in "abc"})


def test_counting_places_first_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    questions = [rows_of_lines(seed) for seed in range(40)]
    counted = [[stage.value for stage in best(one).stages] for one in questions]
    monkeypatch.setattr(fit_model, "counted", lambda places, *_: ({}, places.start))
    plain = [best(one) for one in questions]
    assert all(one.proven for one in plain)
    assert counted == [[stage.value for stage in one.stages] for one in plain]
    assert any(one.value(SPLIT) for one in plain)


def test_held_bids_win_whatever_they_cost() -> None:
    for seed in range(60):
        question = asked(seed)
        dear = Offer(Cost(3, 9.0, 9.0, 4, 60.0, 3))
        held = Bid("h0", ("h0",), {"s1": (dear,)}, place=1, held=True)
        others = tuple(
            Bid(b.carrier, b.settles, {at: some for at, some in b.offers.items() if at != "s1"}, b.fallen, b.place)
            for b in question.bids
            if "h0" not in b.settles
        )
        question = Question(question.wishes, (held, *others), question.lines, question.supply)
        answer = best(question)
        assert (held, "s1", dear) in told(answer)
        assert tuple(s.value for s in answer.stages) == min(score(question, one) for one in every_fit(question))


def assigned(matrix: list[list[float | None]]) -> Answer:
    """Return the fit of a table of costs: a row a wish, a column a line, losses the only aim that differs."""
    lines = tuple(Line(f"s{n}") for n in range(len(matrix[0])))
    bids = tuple(
        Bid(f"h{m}", (f"h{m}",), {
            line.name: (Offer(Cost(0, 0.0, 0.0, 0, cost)),)
            for line, cost in zip(lines, row, strict=True) if cost is not None
        })
        for m, row in enumerate(matrix)
    )  # fmt: skip
    return best(Question(tuple(Wish(bid.carrier) for bid in bids), bids, lines))


@pytest.mark.parametrize("seed", range(12))
def test_without_scarcity_the_fit_is_the_linear_assignment(seed: int) -> None:
    dice = random.Random(seed)
    rows, columns = dice.randrange(1, 9), dice.randrange(9, 16)
    matrix: list[list[float | None]] = [[dice.randrange(2000) / 100 for _ in range(columns)] for _ in range(rows)]
    answer = assigned(matrix)
    row, column = linear_sum_assignment(matrix)
    expected = sum(round(100 * float(matrix[a][b] or 0)) for a, b in zip(row, column, strict=True))
    assert answer.value(LOSS) == expected
    assert answer.proven


VECTORS: list[tuple[str, list[list[float | None]], float, str | None]] = [
    ("two optima, from a page of assignment examples", [[5, 9, 1], [10, 3, 2], [8, 7, 4]], 12, None),
    (
        "five by five, from a page of assignment examples",
        [[12, 9, 27, 10, 23], [7, 13, 13, 30, 19], [25, 18, 26, 11, 26], [9, 28, 26, 23, 13], [16, 16, 24, 6, 9]],
        51, "12304",
    ),
    ("forbidden pairs, from a page of assignment examples", [[5, 9, None], [10, None, 2], [8, None, 4]], 19, "120"),
    ("scipy's documentation, from memory", [[4, 1, 3], [2, 0, 5], [3, 2, 2]], 5, "102"),
    ("three rows, four columns, from memory", [[400, 150, 400, 1], [400, 450, 600, 2], [300, 225, 300, 3]], 452, None),
    ("fractions, from a page of assignment examples", [[5.1, 9.2, 1.3], [10.4, 3.5, 2.6], [8.7, 7.8, 4.9]], 13.5, None),
]  # fmt: skip


@pytest.mark.parametrize(("source", "matrix", "cost", "lines"), VECTORS, ids=[one[0] for one in VECTORS])
def test_published_assignments(source: str, matrix: list[list[float | None]], cost: float, lines: str | None) -> None:
    answer = assigned(matrix)
    assert answer.value(LOSS) == round(100 * cost), source
    if lines is not None:
        assert "".join(one.line[1:] for one in answer.placed) == lines


def test_more_wishes_than_lines_leave_the_dearest_out() -> None:
    """An example of a solver's documentation, from memory: five workers, four tasks, worker 4 stays idle."""
    answer = assigned([[90, 80, 75, 70], [35, 85, 55, 65], [125, 95, 90, 95], [45, 110, 95, 115], [50, 100, 90, 100]])
    assert answer.value(LOSS) == 26500
    assert answer.unsettled == ("h4",)
    assert answer.value(MISSING[0]) == 1


def test_what_is_owned_twice_serves_two() -> None:
    box = Offer(Cost(0, 0.0, 0.4, 2, 21.6), (("box", 1),))
    bought = Offer(Cost(0, 1.0, 0.4, 2, 21.6), (("bought box", 1),))
    lines = tuple(Line(f"s{n}", n, "a", n) for n in (1, 2, 3))
    bids = tuple(Bid(f"h{n}", (f"h{n}",), {line.name: (box, bought) for line in lines}, place=n) for n in (1, 2, 3))
    answer = best(Question(tuple(Wish(bid.carrier) for bid in bids), bids, lines, {"box": 2}))
    assert answer.value(PRICE) == 100
    assert [one.line for one in answer.placed] == ["s1", "s2", "s3"]


def test_stopped_at_once_it_still_answers_and_says_how_far_off_it_may_be() -> None:
    question = asked(3)
    answer = best(question, lambda _: False)
    assert answer.stopped
    assert not answer.proven
    assert all(stage.gap >= 0 for stage in answer.stages)


def test_progress_goes_through_every_aim() -> None:
    heard: list[Progress] = []
    answer = best(asked(3), lambda at: heard.append(at) or True)
    assert [at.done for at in heard] == sorted(at.done for at in heard)
    assert {at.aim for at in heard} == {stage.aim for stage in answer.stages}
    assert not answer.stopped


def test_a_bound_is_proof_of_a_program_by_itself() -> None:
    """Odd cycle: at most two of five neighbours, though the relaxation allows two and a half."""
    program = Program()
    columns = [program.column() for _ in range(5)]
    for n in range(5):
        program.row({columns[n]: 1, columns[(n + 1) % 5]: 1}, high=1.0)
    solved = solve(program, [Aim("left out", dict.fromkeys(columns, -1), 5)], [0] * 5)
    assert [(one.value, one.bound, one.how) for one in solved.stages] == [(3, 3, "branched")]


def test_other_solves_in_the_process_change_nothing() -> None:
    import highspy

    questions = [asked(seed) for seed in range(8)]
    alone = [[stage.value for stage in best(one).stages] for one in questions]
    other = highspy.Highs()
    other.setOptionValue("output_flag", False)
    other.setOptionValue("threads", 2)
    other.run()
    answers = [best(one) for one in questions]
    assert [[stage.value for stage in one.stages] for one in answers] == alone
    assert all(one.proven for one in answers)


def test_a_solver_that_fails_is_never_taken_for_proof(monkeypatch: pytest.MonkeyPatch) -> None:
    import highspy

    monkeypatch.setattr(highspy.Highs.__bases__[0], "run", lambda _: highspy.HighsStatus.kError)
    question = next(one for one in map(asked, range(20)) if one.bids[0].offers)
    answer = best(question)
    assert answer.placed == ()
    assert not answer.proven


def test_nothing_is_printed_by_the_solver() -> None:
    """In a process of its own: the solver speaks once, when it is first made, past Python's own streams."""
    words = (
        "from rigcore.solve.aims import Aim, Program, solve\n"
        "program = Program()\n"
        "columns = [program.column() for _ in range(5)]\n"
        "[program.row({columns[n]: 1, columns[n - 1]: 1}, high=1.0) for n in range(5)]\n"
        "solve(program, [Aim('left out', dict.fromkeys(columns, -1), 5)], [0] * 5, lambda _: True)\n"
    )
    done = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True)
    assert done.stdout == ""


def test_it_stops_while_branching() -> None:
    """Told to stop at the first question asked from within, the answer so far stands, with its gap."""
    program = Program()
    columns = [program.column() for _ in range(60)]
    dice = random.Random(1)
    for _ in range(60):
        program.row(dict.fromkeys(dice.sample(columns, 5), 1), high=2.0)
    asked_times: list[int] = []

    def watch(_: Progress) -> bool:
        asked_times.append(1)
        return len(asked_times) < 2

    solved = solve(program, [Aim("left out", {one: -dice.randrange(5, 9) for one in columns}, 600)], [0] * 60, watch)
    assert solved.stopped
    assert solved.stages[0].how == "stopped"
    assert solved.stages[0].gap > 0
