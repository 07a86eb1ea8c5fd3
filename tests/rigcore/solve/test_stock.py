"""Stock assignment: published lengths, the rigs worked by hand, and the answer of an independent solver."""

from __future__ import annotations

import itertools
from collections import Counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from rigcore import resources
from rigcore.book.file import load
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import build_patch
from rigcore.quantities.geometry import metres_from_feet
from rigcore.solve.stock import Missed, Need, Shortage, StockPlan, assign, needs_of, stock_plan
from rigcore.solve.stockroom import From, Item

STOCK_LENGTHS_M = (3.0, 5.0, 6.0, 10.0, 15.0, 20.0)


def _own(cable: str, *lengths_m: float, comes_from: From = "rig") -> Counter[Item]:
    return Counter(Item("cable", cable, length, comes_from) for length in lengths_m)


def _assign(needs: list[Need], stock: Counter[Item]) -> StockPlan:
    return assign(needs, stock, shipped())


def _lengths(plan: StockPlan) -> list[list[float]]:
    return [sorted(item.length_m for item in one.items) for one in plan.served]


def _sample(name: str) -> StockPlan:
    book, _ = load(resources.samples() / f"{name}.loom", shipped())
    return stock_plan(build_patch(book, None, shipped()))


def test_the_next_length_up_and_not_the_nearest() -> None:
    """Arithmetic on stock lengths (common practice): 6.2 m of {3, 5, 6, 10, 15, 20} takes 10 m, though 6 is nearer."""
    plan = _assign([Need("voice", "ts", 6.2)], _own("ts", *STOCK_LENGTHS_M))
    assert _lengths(plan) == [[10.0]]
    assert plan.waste_m == 3.8


@pytest.mark.parametrize(("feet", "needed_m", "reaches"), [(25, 7.5, True), (50, 15.0, True), (25, 7.7, False)])
def test_feet_against_metres(feet: float, needed_m: float, reaches: bool) -> None:
    """By the international foot, 0.3048 m exactly: 25 ft is 7.62 m and covers 7.5 m; 50 ft is 15.24 m."""
    plan = _assign([Need("line", "ts", needed_m)], _own("ts", metres_from_feet(feet)))
    assert bool(plan.served) == reaches


def test_it_says_by_how_much_it_does_not_reach_and_what_to_get() -> None:
    plan = _assign([Need("synth", "ts", 4.4, 3.0)], _own("ts", 3.0, 3.0, 1.0))
    [missed] = plan.missed
    assert missed.words == "does not reach by 1.4 m"
    assert plan.shortages == (Shortage("ts", 6.0, 1),)


def test_two_are_joined_where_none_reaches_and_plugs_allow() -> None:
    assert _lengths(_assign([Need("feed", "xlr", 12.0)], _own("xlr", 10.0, 10.0, 5.0))) == [[5.0, 10.0]]
    assert _lengths(_assign([Need("feed", "xlr", 12.0)], _own("xlr", 10.0, 10.0, 20.0))) == [[20.0]]
    assert _assign([Need("feed", "ts", 4.0)], _own("ts", 3.0, 3.0)).missed[0].short_by_m == 1.0


def test_the_house_lends_only_what_the_player_lacks() -> None:
    needs = [Need("a", "xlr", 5.0), Need("b", "xlr", 5.0)]
    plan = _assign(needs, _own("xlr", 20.0) + _own("xlr", 5.0, 5.0, comes_from="house"))
    assert sorted((one.items[0].comes_from, one.items[0].length_m) for one in plan.served) == [
        ("house", 5.0), ("rig", 20.0),
    ]  # fmt: skip
    asked = _assign([Need("a", "xlr", 5.0, owner="house")], _own("xlr", 5.0))
    assert asked.missed


def test_what_is_missed_least_goes_without_and_what_is_planned_stays() -> None:
    needs = [Need("lead", "xlr", 3.0, 5.0, rank=9), Need("click", "xlr", 4.0, 5.0, rank=1)]
    plan = _assign(needs, _own("xlr", 5.0))
    assert [one.need.run for one in plan.missed] == ["click"]
    assert plan.missed[0] == Missed(needs[1], None)
    assert plan.shortages == (Shortage("xlr", 5.0, 1),)
    planned = [Need("a", "ts", 1.0, 6.0), Need("b", "ts", 1.0, 3.0)]
    assert _lengths(_assign(planned, _own("ts", 3.0, 6.0))) == [[6.0], [3.0]]


def test_no_stock_and_no_needs() -> None:
    assert _assign([], _own("xlr", 5.0)) == StockPlan((), (), ())
    plan = _assign([Need("a", "xlr", 4.0)], Counter())
    assert plan.shortages == (Shortage("xlr", 5.0, 1),)


# -- the rigs worked by hand (worked examples of our own) -------------------------------------------------------


def test_piper_joins_two_of_10_m_and_keeps_three_of_5_m() -> None:
    plan = _sample("piper")
    found = {one.need.run: sorted(item.length_m for item in one.items) for one in plan.served}
    assert found["ceiling-feed"] == [10.0, 10.0]
    assert sorted(found.values()) == [[3.0], [3.0], [5.0], [5.0], [5.0], [10.0, 10.0]]
    assert plan.shortages == ()


def test_tandem_is_three_xlr_of_5_m_short_and_the_1_5_m_is_enough() -> None:
    plan = _sample("tandem")
    assert plan.shortages == (Shortage("xlr", 5.0, 3),)
    used = Counter((item.type, item.length_m) for one in plan.served for item in one.items)
    assert used == {("xlr", 5.0): 8, ("xlr", 1.5): 1, ("ts", 3.0): 12}
    assert {one.need.run for one in plan.missed} == {"click", "ears-l", "ears-r"}


def test_ferry_has_what_it_takes_and_the_house_was_not_asked_yet() -> None:
    """Ten XLR on the riser and fourteen TS leads; three XLR downstage are the house's, whose stock is unknown."""
    plan = _sample("ferry")
    used = Counter((item.type, item.length_m) for one in plan.served for item in one.items)
    assert used == {("xlr", 5.0): 10, ("ts", 3.0): 14}
    assert (plan.missed, plan.shortages) == ((), ())
    assert {(one.run, one.owner) for one in plan.uncounted} == {
        ("bass", "house"), ("backing-vox", "house"), ("wedge-mix-dsr", "house"),
    }  # fmt: skip


def test_needs_follow_the_stage_plan() -> None:
    book, _ = load(resources.samples() / "tandem.loom", shipped())
    needs = {one.run: one for one in needs_of(build_patch(book, None, shipped()))}
    assert needs["synth-l"].planned_m == 5.0
    assert needs["synth-l"].length_m == pytest.approx(4.5, abs=0.3)


# -- against an independent solver and against trying everything -----------------------------------------------

_whole = st.integers(1, 12).map(float)


@settings(max_examples=300, deadline=None)
@given(st.lists(_whole, min_size=1, max_size=7), st.lists(_whole, max_size=8))
def test_as_scipy_where_it_is_an_assignment(needed: list[float], owned: list[float]) -> None:
    """TS leads cannot be joined: it is the assignment problem of ``scipy.optimize.linear_sum_assignment``."""
    plan = _assign([Need(f"r{n}", "ts", length) for n, length in enumerate(needed)], _own("ts", *owned))
    bare = 1_000_000.0
    costs = np.full((len(needed), len(owned) + len(needed)), 0.0)
    for row, length in enumerate(needed):
        lacking = bare + 1000.0 * _next_up(length)
        costs[row] = [own - length if own >= length else 2 * bare for own in owned] + [lacking] * len(needed)
    rows, columns = linear_sum_assignment(costs)
    ours = sum(bare + 1000.0 * _next_up(one.need.length_m) for one in plan.missed) + plan.waste_m
    assert ours == pytest.approx(costs[rows, columns].sum())


def _next_up(length_m: float) -> float:
    lengths = shipped().cable_type("ts").stock_lengths_m
    return min((one for one in lengths if one >= length_m), default=length_m)


@settings(max_examples=200, deadline=None)
@given(st.lists(_whole, min_size=1, max_size=3), st.lists(_whole, max_size=4))
def test_with_joints_as_trying_everything(needed: list[float], owned: list[float]) -> None:
    needs = [Need(f"r{n}", "xlr", length) for n, length in enumerate(needed)]
    plan = _assign(needs, _own("xlr", *owned))
    lengths = shipped().cable_type("xlr").stock_lengths_m
    lacking = sum(min(one for one in lengths if one >= missed.need.length_m) for missed in plan.missed)
    joints = sum(len(one.items) - 1 for one in plan.served)
    assert (len(plan.missed), lacking, joints, plan.waste_m) == _best(needed, owned, lengths)


def _best(needed: list[float], owned: list[float], lengths: tuple[float, ...]) -> tuple[int, float, int, float]:
    """Return the least by trying every way to give each need nothing, one cable, or two."""
    if not needed:
        return 0, 0.0, 0, 0.0
    first, rest = needed[0], needed[1:]
    missed, lacking, joints, waste = _best(rest, owned, lengths)
    best = (missed + 1, lacking + min(one for one in lengths if one >= first), joints, waste)
    for taken in itertools.chain.from_iterable(itertools.combinations(range(len(owned)), size) for size in (1, 2)):
        parts = [owned[place] for place in taken]
        if sum(parts) >= first and (len(parts) == 1 or max(parts) < first):
            left = [length for place, length in enumerate(owned) if place not in taken]
            missed, lacking, joints, waste = _best(rest, left, lengths)
            best = min(best, (missed, lacking, joints + len(parts) - 1, waste + sum(parts) - first))
    return best


@settings(max_examples=60, deadline=None)
@given(st.lists(_whole, max_size=8), st.lists(_whole, max_size=8))
def test_nothing_is_taken_twice_and_everything_reaches(needed: list[float], owned: list[float]) -> None:
    needs = [Need(f"r{n}", "xlr", length) for n, length in enumerate(needed)]
    stock = _own("xlr", *owned)
    plan = _assign(needs, stock)
    assert not Counter(item for one in plan.served for item in one.items) - stock
    assert all(one.waste_m >= 0 for one in plan.served)
    assert len(plan.served) + len(plan.missed) == len(needs)
    assert sum(one.count for one in plan.shortages) == len(plan.missed)
