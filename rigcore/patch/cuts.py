"""Single points on the ways to a goal: which one thing, taken away, parts which starts from it.

Graphs of anything hashable; what the vertices are is left to
:mod:`rigcore.patch.lifelines`. One run of dominators, backwards from the goal,
answers for everything that is one vertex; what is several (a unit with many
ports, a strip with all it feeds) and is not settled by that is taken away and tried.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Mapping, Sequence
from typing import TypeVar

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
    K. D. Cooper, T. J. Harvey, K. Kennedy, "A simple, fast dominance algorithm", Rice University 2001.

    Examples
    --------
    >>> ways = {"house": ["di"], "di": ["keys", "synth"]}
    >>> sorted(dominators(lambda v: ways.get(v, ()), ["house"], ["keys"])["keys"])
    ['di', 'house', 'keys']
    """
    ends = tuple(dict.fromkeys(ends))
    order = _outward(before, ends)
    place = {vertex: number for number, vertex in enumerate(order, start=1)}
    reached_from: list[list[int]] = [[] for _ in range(len(order) + 1)]
    for end in ends:
        reached_from[place[end]].append(0)
    for vertex in order:
        for one in before(vertex):
            reached_from[place[one]].append(place[vertex])
    above = _above(reached_from)
    return {one: frozenset(order[at - 1] for at in _line(above, place[one])) for one in starts if one in place}


def _outward(before: Before[V], ends: Iterable[V]) -> list[V]:
    """Return every vertex from which an end is reached, in reverse postorder of a search in depth from the ends."""
    seen: set[V] = set()
    trail: list[V] = []
    left: list[V] = []
    ahead = [iter(ends)]
    while ahead:
        new = next((one for one in ahead[-1] if one not in seen), None)
        if new is not None:
            seen.add(new)
            trail.append(new)
            ahead.append(iter(before(new)))
            continue
        ahead.pop()
        if trail:
            left.append(trail.pop())
    return left[::-1]


def _above(reached_from: Sequence[Sequence[int]]) -> list[int]:
    """Return the immediate dominator of each number; 0 is above all, and numbers go in reverse postorder."""
    above = [0] + [-1] * (len(reached_from) - 1)

    def meeting(one: int, other: int) -> int:
        while one != other:
            one, other = (above[one], other) if one > other else (one, above[other])
        return one

    is_settled = False
    while not is_settled:
        is_settled = True
        for at in range(1, len(above)):
            nearest = functools.reduce(meeting, (one for one in reached_from[at] if above[one] >= 0))
            if nearest != above[at]:
                above[at], is_settled = nearest, False
    return above


def _line(above: Sequence[int], at: int) -> Iterator[int]:
    while at:
        yield at
        at = above[at]


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


def touching(things: Mapping[L, frozenset[V]]) -> dict[V, tuple[L, ...]]:
    """Return the things each vertex is part of: for :func:`cuts`, made once for many goals."""
    found: dict[V, list[L]] = {}
    for thing, vertices in things.items():
        for vertex in vertices:
            found.setdefault(vertex, []).append(thing)
    return {vertex: tuple(here) for vertex, here in found.items()}


def cuts(
    before: Before[V], ends: Collection[V], starts: Collection[V], things: Mapping[L, frozenset[V]],
    *, at: Mapping[V, Sequence[L]] | None = None,
) -> dict[L, frozenset[V]]:  # fmt: skip
    """Return the things that part a start from all ends when they fail, each with the starts it parts.

    Parameters
    ----------
    before
        The vertices one step before a vertex.
    ends, starts
        Where the ways end, any of them, and where they begin. Starts that reach no end are no loss.
    things
        What can fail: each with all its vertices. Things may overlap.
    at
        The things by vertex, if :func:`touching` was asked already.
    """
    on_the_way = reaching(before, ends)
    steps = {vertex: tuple(before(vertex)) for vertex in on_the_way}.__getitem__
    chains = dominators(steps, ends, starts)
    index = touching(things) if at is None else at
    found: dict[L, frozenset[V]] = {}
    for thing in dict.fromkeys(one for vertex in on_the_way for one in index.get(vertex, ())):
        here = things[thing] & on_the_way
        lost = frozenset(start for start, chain in chains.items() if here & chain)
        if len(here) > 1 and len(lost) < len(chains):
            left = reaching(steps, ends, here)
            lost = frozenset(start for start in chains if start not in left)
        if lost:
            found[thing] = lost
    return found
