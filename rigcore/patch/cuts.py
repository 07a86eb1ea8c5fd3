"""Single points on the ways to a goal: which one thing, taken away, parts which starts from it.

Graphs of anything hashable; what the vertices are is left to
:mod:`rigcore.patch.lifelines`. One run of dominators, backwards from the goal,
answers for everything that is one vertex; what is several (a unit with many
ports, a strip with all it feeds) and is not settled by that is taken away and tried.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterable, Mapping, Sequence
from typing import TypeVar

import networkx as nx

V = TypeVar("V", bound=Hashable)
L = TypeVar("L", bound=Hashable)
Before = Callable[[V], Sequence[V]]
"""The vertices one step before a vertex."""


def dominators(before: Before[V], ends: Iterable[V], starts: Collection[V]) -> dict[V, frozenset[V]]:
    """Return for each start the vertices every way from it to any of the ends leads through, itself included.

    A start that reaches no end is left out.

    Complexity
    ----------
    One search and one dominator tree, O(edges · depth) at worst.

    References
    ----------
    T. Lengauer, R. E. Tarjan, "A fast algorithm for finding dominators in a flowgraph",
    ACM TOPLAS 1(1), 1979, states the problem; ``networkx`` solves it by Cooper, Harvey and Kennedy.

    Examples
    --------
    >>> ways = {"house": ["di"], "di": ["keys", "synth"]}
    >>> sorted(dominators(lambda v: ways.get(v, ()), ["house"], ["keys"])["keys"])
    ['di', 'house', 'keys']
    """
    backwards: nx.DiGraph[object] = nx.DiGraph()
    root = object()
    backwards.add_node(root)
    ahead: list[V] = list(dict.fromkeys(ends))
    backwards.add_edges_from((root, end) for end in ahead)
    seen = set(ahead)
    for vertex in ahead:
        for one in before(vertex):
            backwards.add_edge(vertex, one)
            if one not in seen:
                seen.add(one)
                ahead.append(one)
    above = nx.immediate_dominators(backwards, root)
    # networkx 3.6 leaves the start out, older versions map it to itself: drop it for both.
    above.pop(root, None)
    return {start: frozenset(_line(above, start, root)) for start in starts if start in seen}


def _line(above: Mapping[object, object], start: V, root: object) -> Iterable[V]:
    vertex: object = start
    while vertex is not root:
        yield vertex  # type: ignore[misc]
        vertex = above[vertex]


def reaching(before: Before[V], ends: Iterable[V], without: Collection[V] = ()) -> set[V]:
    """Return every vertex from which an end is reached, when some vertices are taken away."""
    ahead = [end for end in dict.fromkeys(ends) if end not in without]
    seen = set(ahead)
    for vertex in ahead:
        for one in before(vertex):
            if one not in seen and one not in without:
                seen.add(one)
                ahead.append(one)
    return seen


def cuts(
    before: Before[V], ends: Collection[V], starts: Collection[V], things: Mapping[L, frozenset[V]]
) -> dict[L, frozenset[V]]:
    """Return the things that part a start from all ends when they fail, each with the starts it parts.

    Parameters
    ----------
    before
        The vertices one step before a vertex.
    ends, starts
        Where the ways end, any of them, and where they begin. Starts that reach no end are no loss.
    things
        What can fail: each with all its vertices. Things may overlap.
    """
    chains = dominators(before, ends, starts)
    on_the_way = reaching(before, ends)
    found: dict[L, frozenset[V]] = {}
    for thing, vertices in things.items():
        here = vertices & on_the_way
        lost = frozenset(start for start, chain in chains.items() if here & chain)
        if len(here) > 1 and len(lost) < len(chains):
            left = reaching(before, ends, here)
            lost = frozenset(start for start in chains if start not in left)
        if lost:
            found[thing] = lost
    return found
