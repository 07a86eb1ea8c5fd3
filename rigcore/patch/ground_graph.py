"""Potentials and the bonds between them: how many loops, the way round each, and the fewest breaks.

An undirected multigraph and nothing else: no book, no units, no words for people.
A protective earth is a bond that cannot be opened by any means; the type refuses
to hold one that can.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterable, Mapping
from functools import cached_property
from typing import Literal, NamedTuple

from msgspec import Struct

from rigcore.patch.build import Hop, Node

BondKind = Literal["earth", "screen", "inside", "data", "rack"]
Means = Literal["lift", "open screen", "isolator"]

EFFORT: Mapping[Means, int] = {"lift": 1, "open screen": 2, "isolator": 3}
"""What a break costs: a switch that is there, an adapter for one end, a box in the line."""

_FIRST: Mapping[tuple[bool, Means | None], int] = {
    (True, None): -2, (False, None): -1, **{(False, means): len(EFFORT) - effort for means, effort in EFFORT.items()},
}  # fmt: skip
"""How early a bond is kept, by whether it is an earth and how it opens: the harder, the earlier."""


class Potential(NamedTuple):
    """Something metal: a unit's chassis, one port of a box kept apart from it, a power drop, or the house's earth."""

    kind: Literal["house earth", "drop", "unit", "port"]
    place: str = ""
    unit: str = ""
    port: str = ""


HOUSE_EARTH = Potential("house earth")


class Bond(Struct, eq=False):
    """A conductor between two potentials; never changed, and not frozen only because there are thousands.

    ``opens`` is the easiest lawful means of opening it, None where there is none.
    ``hop`` is the connection it belongs to, ``at`` the port whose lift opens it.

    Raises
    ------
    ValueError
        If a protective earth is said to be openable.
    """

    one: Potential
    other: Potential
    kind: BondKind
    opens: Means | None = None
    hop: Hop | None = None
    at: Node | None = None
    _order: tuple[Potential, Potential, str, tuple[Node, ...]] | None = None

    def __post_init__(self) -> None:
        if self.kind == "earth" and self.opens is not None:
            raise ValueError("a protective earth is never opened")

    def beyond(self, here: Potential) -> Potential:
        """Return the end that is not ``here``."""
        return self.other if here == self.one else self.one

    @property
    def order(self) -> tuple[Potential, Potential, str, tuple[Node, ...]]:
        """A key that does not depend on where in the book the bond was found."""
        if self._order is None:
            lower, upper = (self.one, self.other) if self.one <= self.other else (self.other, self.one)
            ends = () if self.hop is None else (self.hop.source.node, self.hop.target.node)
            self._order = (lower, upper, self.kind, ends)
        return self._order


_order = operator.attrgetter("order")


class Ring(Struct, frozen=True):
    """One independent loop: the bond that closes it, and all its bonds in the order of the way round.

    ``starts`` is the potential at which the first bond is entered.
    """

    closes: Bond
    bonds: tuple[Bond, ...]
    starts: Potential

    @property
    def has_earth(self) -> bool:
        """Whether a protective earth is part of it."""
        return any(bond.kind == "earth" for bond in self.bonds)


class _Parts:
    """Disjoint sets of potentials, by number."""

    def __init__(self, count: int) -> None:
        self.above = list(range(count))
        self.count = count

    def top(self, one: int) -> int:
        above = self.above
        while (up := above[one]) != one:
            above[one] = one = above[up]
        return one

    def join(self, one: int, other: int) -> bool:
        """Join two sets; False if they were one already."""
        first, second = self.top(one), self.top(other)
        if first == second:
            return False
        self.above[second] = first
        self.count -= 1
        return True


class GroundGraph:
    """Potentials with their bonds.

    Parameters
    ----------
    potentials
        Names of the potentials; those of the bonds are added.
    bonds
        Any number, several between the same two potentials allowed.
    """

    def __init__(self, potentials: Iterable[Potential], bonds: Iterable[Bond]) -> None:
        # Sorted, so that a bond's place tells its rank among equals.
        self.bonds = tuple(sorted(bonds, key=_order))
        number: dict[Potential, int] = {}
        for one in potentials:
            number.setdefault(one, len(number))
        self._ends: list[tuple[int, int]] = []
        for bond in self.bonds:
            self._ends.append(
                (number.setdefault(bond.one, len(number)), number.setdefault(bond.other, len(number)))
            )
        self.potentials = tuple(number)
        self._number = number

    def less(self, is_out: Callable[[Bond], bool]) -> GroundGraph:
        """Return the graph without some bonds."""
        left = [number for number, bond in enumerate(self.bonds) if not is_out(bond)]
        graph = GroundGraph((), ())
        graph.bonds, graph._ends = tuple(self.bonds[one] for one in left), [self._ends[one] for one in left]
        graph.potentials, graph._number = self.potentials, self._number
        return graph

    def parts(self) -> int:
        """Return into how many separate parts the graph falls."""
        joined = _Parts(len(self.potentials))
        for one, other in self._ends:
            joined.join(one, other)
        return joined.count

    def loops(self) -> int:
        """Return the number of independent loops: bonds minus potentials plus parts (m - n + c)."""
        return len(self.bonds) - len(self.potentials) + self.parts()

    @cached_property
    def split(self) -> tuple[tuple[Bond, ...], tuple[Bond, ...]]:
        """The bonds of a spanning forest, and those left over: each closes one loop.

        Protective earths are kept first, then what cannot be opened, then what is
        hardest to open; among equals what lies nearer to an earth. So the bonds left
        over are the easiest to open, and as few as can be: a bond is left over only
        where all kept before it join its ends already.
        """
        kept, left = self._split
        return tuple(self.bonds[one] for one in kept), tuple(self.bonds[one] for one in left)

    @cached_property
    def _split(self) -> tuple[list[int], list[int]]:
        """The same by the numbers of the bonds."""
        distance, ends = self._from_earth(), self._ends
        ranked = [
            (_FIRST[bond.kind == "earth", bond.opens], min(distance[one], distance[other]), number)
            for number, (bond, (one, other)) in enumerate(zip(self.bonds, ends, strict=True))
        ]
        ranked.sort()
        joined = _Parts(len(self.potentials))
        kept: list[int] = []
        left: list[int] = []
        for _, _, number in ranked:
            (kept if joined.join(*ends[number]) else left).append(number)
        return kept, left

    def fewest_breaks(self) -> tuple[Bond, ...]:
        """Return the fewest bonds to open, by lawful means, so that no loop is left that lawful means could open.

        Their number is m - n + c of the graph in which all that cannot be opened is
        drawn together to points: each break opens one independent loop of it, and
        no break can open two.
        """
        return tuple(bond for bond in self.split[1] if bond.opens is not None)

    @cached_property
    def rings(self) -> tuple[Ring, ...]:
        """The way round each independent loop."""
        return tuple(self.ring_of(bond) for bond in self.split[1])

    def ring_of(self, bond: Bond) -> Ring:
        """Return the loop that a left-over bond closes: over it, and back along the forest."""
        above, depth, _ = self._tree
        here, there = self._number[bond.one], self._number[bond.other]
        ways: tuple[list[Bond], list[Bond]] = ([], [])
        while here != there:
            lower = here if depth[here] >= depth[there] else there
            up, step = above[lower]
            ways[0 if lower == here else 1].append(self.bonds[step])
            here, there = (up, there) if lower == here else (here, up)
        return Ring(bond, (bond, *ways[1], *reversed(ways[0])), bond.one)

    def anchor(self, one: Potential) -> Potential:
        """Return where the forest leads from a potential to an earth: the first that has an earth of its own."""
        return self.potentials[self._tree[2][self._number[one]]]

    @cached_property
    def _tree(self) -> tuple[list[tuple[int, int]], list[int], list[int]]:
        """The forest hung up, by numbers: what is above each potential and by which bond, its depth and its anchor."""
        size = len(self.potentials)
        near: list[list[tuple[int, int]]] = [[] for _ in range(size)]
        for step in self._split[0]:
            one, other = self._ends[step]
            near[one].append((other, step))
            near[other].append((one, step))
        above, depth, anchor = [(-1, -1)] * size, [-1] * size, list(range(size))

        def hang(root: int) -> None:
            depth[root] = 0
            ahead = [root]
            for here in ahead:
                for there, step in near[here]:
                    if depth[there] < 0:
                        above[there], depth[there] = (here, step), depth[here] + 1
                        if self.bonds[step].kind != "earth":
                            anchor[there] = anchor[here]
                        ahead.append(there)

        if HOUSE_EARTH in self._number:
            hang(self._number[HOUSE_EARTH])
        for root in sorted((one for one in range(size) if depth[one] < 0), key=self.potentials.__getitem__):
            if depth[root] < 0:
                hang(root)
        return above, depth, anchor

    def _from_earth(self) -> list[int]:
        """Return how many bonds each potential lies from an earth, by number; as many as there are where none leads."""
        far = len(self.potentials)
        near: list[list[int]] = [[] for _ in self.potentials]
        distance = [far] * far
        ahead: list[int] = []
        for bond, (one, other) in zip(self.bonds, self._ends, strict=True):
            near[one].append(other)
            near[other].append(one)
            if bond.kind == "earth":
                ahead += [end for end in (one, other) if distance[end]]
                distance[one] = distance[other] = 0
        for here in ahead:
            for there in near[here]:
                if distance[there] == far:
                    distance[there] = distance[here] + 1
                    ahead.append(there)
        return distance
