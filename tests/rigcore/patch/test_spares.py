"""Counting what is left: as many needs served as can be, against a matching found by a library."""

from __future__ import annotations

from collections import Counter

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from rigcore.catalogue.loader import shipped
from rigcore.patch.build import build_patch
from rigcore.patch.spares import Thing, serve, spares
from tests.rule_samples.plan import Plan

things = st.builds(lambda kind, length: Thing("cable", kind, length), st.sampled_from(["xlr", "ts"]),
                   st.sampled_from([1.5, 3.0, 5.0, 10.0]))  # fmt: skip


@given(st.lists(things, max_size=7), st.lists(things, max_size=7))
def test_as_many_are_served_as_can_be(have: list[Thing], want: list[Thing]) -> None:
    left, short = serve(Counter(have), Counter(want))
    graph: nx.Graph[tuple[str, int]] = nx.Graph()
    graph.add_nodes_from(("have", number) for number in range(len(have)))
    graph.add_edges_from(
        (("have", a), ("want", b))
        for a, mine in enumerate(have) for b, need in enumerate(want)
        if mine.type == need.type and mine.length_m >= need.length_m
    )  # fmt: skip
    best = len(nx.max_weight_matching(graph, maxcardinality=True))
    assert len(want) - sum(short.values()) == best
    assert sum(left.values()) == len(have) - best
    assert not left - Counter(have)
    assert not short - Counter(want)


def test_the_stock_counts_the_boxes_in_the_rig_too() -> None:
    from rigcore.book.edits.rebuild import checked
    from rigcore.book.stock import StockItem

    plan = Plan()
    plan.unit("di", "di-passive", "DI")
    plan.book = checked(plan.book, stock=(StockItem(kind="gear", type="di-passive", count=2),))
    left = spares(build_patch(plan.book, None, shipped()))
    assert left["rig"] == Counter({Thing("gear", "di-passive"): 1})
    assert left["house"] == Counter()
