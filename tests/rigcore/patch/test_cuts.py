"""Single points on random graphs equal what is found by taking each thing away and looking again."""

from __future__ import annotations

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from rigcore.patch.cuts import cuts, dominators, reaching

VERTICES = 9
Things = dict[str, frozenset[int]]


@st.composite
def cases(draw: st.DrawFn) -> tuple[nx.DiGraph[int], list[int], list[int], Things]:
    """A graph, ends, starts, and things that are one vertex or several, overlapping or not."""
    vertex = st.integers(0, VERTICES - 1)
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(range(VERTICES))
    graph.add_edges_from(draw(st.lists(st.tuples(vertex, vertex), max_size=24)))
    ends = draw(st.lists(vertex, min_size=1, max_size=2, unique=True))
    starts = draw(st.lists(vertex, min_size=1, max_size=3, unique=True))
    groups = draw(st.lists(st.frozensets(vertex, min_size=1, max_size=4), min_size=1, max_size=6))
    return graph, ends, starts, {f"thing {number}": group for number, group in enumerate(groups)}


def _reached(graph: nx.DiGraph[int], ends: list[int], start: int) -> bool:
    return start in graph and any(end in graph and nx.has_path(graph, start, end) for end in ends)


@given(cases())
def test_cuts_equal_removal_and_looking_again(case: tuple[nx.DiGraph[int], list[int], list[int], Things]) -> None:
    graph, ends, starts, things = case
    wanted = {}
    for name, vertices in things.items():
        left = graph.copy()
        left.remove_nodes_from(vertices)
        lost = {one for one in starts if _reached(graph, ends, one) and not _reached(left, ends, one)}
        if lost:
            wanted[name] = lost
    assert cuts(lambda at: list(graph.predecessors(at)), ends, starts, things) == wanted


@given(cases())
def test_a_dominator_is_on_every_way(case: tuple[nx.DiGraph[int], list[int], list[int], Things]) -> None:
    graph, ends, starts, _ = case
    found = dominators(lambda at: list(graph.predecessors(at)), ends, starts)
    assert set(found) == {one for one in starts if _reached(graph, ends, one)}
    for start, chain in found.items():
        ways = [set(way) for end in ends if end != start for way in nx.all_simple_paths(graph, start, end)]
        ways += [{start}] if start in ends else []
        assert chain == set.intersection(*ways)


def test_what_is_taken_away_reaches_nothing() -> None:
    ways = {3: [2], 2: [1], 1: []}
    assert reaching(lambda at: ways[at], [3]) == {1, 2, 3}
    assert reaching(lambda at: ways[at], [3], {2}) == {3}
    assert reaching(lambda at: ways[at], [3], {3}) == set()
