"""Dominators and single points against published flowgraphs.

Lengauer and Tarjan, ACM TOPLAS 1(1), 1979; the flowgraph of the article on dominators in the
Wikipedia, and those of Cooper, Harvey and Kennedy (figures 2 and 4), as in the own tests of networkx 3.6.
"""

from __future__ import annotations

import networkx as nx
import pytest

from rigcore.patch.cuts import cuts, dominators

Graph = dict[str, str]

LENGAUER_TARJAN: Graph = {
    "R": "ABC", "A": "D", "B": "ADE", "C": "FG", "D": "L", "E": "H", "F": "I", "G": "IJ", "H": "EK", "I": "K",
    "J": "I", "K": "IR", "L": "H",
}  # fmt: skip

WIKIPEDIA: Graph = {"1": "2", "2": "346", "3": "5", "4": "5", "5": "2", "6": ""}


def _above(graph: Graph, root: str) -> dict[str, str]:
    """Return the immediate dominator of every vertex, read from the chains: the one whose chain lacks only itself."""
    chains = dominators(lambda at: tuple(graph[at]), [root], list(graph))
    found = {}
    for vertex, chain in chains.items():
        for other in chain - {vertex}:
            if chains[other] == chain - {vertex}:
                found[vertex] = other
    return found


def test_the_flowgraph_of_lengauer_and_tarjan() -> None:
    wanted = {**dict.fromkeys("ABCDEHIK", "R"), "F": "C", "G": "C", "J": "G", "L": "D"}
    assert _above(LENGAUER_TARJAN, "R") == wanted


def test_the_flowgraph_of_the_wikipedia_both_ways() -> None:
    assert _above(WIKIPEDIA, "1") == {"2": "1", "3": "2", "4": "2", "5": "2", "6": "2"}
    turned = {at: "".join(one for one in WIKIPEDIA if at in WIKIPEDIA[one]) for at in WIKIPEDIA}
    assert _above(turned, "6") == {"1": "2", "2": "6", "3": "5", "4": "5", "5": "2"}


@pytest.mark.parametrize(
    ("graph", "root"),
    [
        ({"1": "2", "2": "1", "3": "2", "4": "1", "5": "34"}, "5"),
        ({"1": "2", "2": "13", "3": "2", "4": "23", "5": "1", "6": "45"}, "6"),
    ],
)
def test_irreducible_graphs_of_cooper_harvey_and_kennedy(graph: Graph, root: str) -> None:
    assert _above(graph, root) == dict.fromkeys(set(graph) - {root}, root)


def test_a_single_point_of_failure_worked_by_hand() -> None:
    """S>A S>B A>M B>M M>X M>Y A>Y: but for S and X itself only M silences X, nothing but S silences Y."""
    ways = {"S": "AB", "A": "MY", "B": "M", "M": "XY", "X": "", "Y": ""}
    things = {one: frozenset(one) for one in ways}

    def before(at: str) -> tuple[str, ...]:
        return tuple(one for one in ways if at in ways[one])

    assert set(cuts(before, ["X"], ["S"], things)) == {"S", "M", "X"}
    assert set(cuts(before, ["Y"], ["S"], things)) == {"S", "Y"}


def test_articulation_points_and_bridges_worked_by_hand() -> None:
    """0-1 0-2 1-2 1-3 3-4: articulation points 1 and 3, bridges 1-3 and 3-4."""
    pairs = ["01", "02", "12", "13", "34"]
    beside = {one: [pair for pair in pairs if one in pair] for one in "01234"} | {pair: list(pair) for pair in pairs}
    things = {one: frozenset([one]) for one in beside}
    parting: set[str] = set()
    for start in "01234":
        for end in "01234".replace(start, ""):
            parting |= set(cuts(lambda at: beside[at], [end], [start], things)) - {start, end}
    assert parting == {"1", "3", "13", "34"}


def test_the_library_leaves_the_start_out() -> None:
    """networkx 3.6 has no entry for the start; older ones map it to itself. Our chains are right with both."""
    told = nx.immediate_dominators(nx.DiGraph([(1, 2), (2, 3)]), 1)
    assert told.get(1, 1) == 1
    assert {at: above for at, above in told.items() if at != 1} == {2: 1, 3: 2}
    assert nx.__version__.split(".")[:2] < ["3", "6"] or 1 not in told
