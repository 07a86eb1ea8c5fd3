"""Potentials and the bonds between them: how many loops, the way round each, and the fewest breaks.

An undirected multigraph and nothing else: no book, no units, no words for people.
A protective earth is a bond that cannot be opened by any means; the type refuses
to hold one that can.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, NamedTuple

from rigcore.patch.build import Hop, Node

BondKind = Literal["earth", "screen", "inside", "data", "rack"]
Means = Literal["lift", "open screen", "isolator"]

EFFORT: Mapping[Means, int] = {"lift": 1, "open screen": 2, "isolator": 3}
"""What a break costs: a switch that is there, an adapter for one end, a box in the line."""

EARTH_RANK, FIXED_RANK = -2, -1


class Potential(NamedTuple):
    """Something metal: a unit's chassis, one port of a box kept apart from it, a power drop, or the house's earth."""

    kind: Literal["house earth", "drop", "unit", "port"]
    place: str = ""
    unit: str = ""
    port: str = ""


HOUSE_EARTH = Potential("house earth")


@dataclass(eq=False, slots=True)
class Bond:
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

    def __post_init__(self) -> None:
        if self.kind == "earth" and self.opens is not None:
            raise ValueError("a protective earth is never opened")

    def beyond(self, here: Potential) -> Potential:
        """Return the end that is not ``here``."""
        return self.other if here == self.one else self.one

    @property
    def order(self) -> tuple[Potential, Potential, str, tuple[Node, ...]]:
        """A key that does not depend on where in the book the bond was found."""
        lower, upper = (self.one, self.other) if self.one <= self.other else (self.other, self.one)
        ends = () if self.hop is None else (self.hop.source.node, self.hop.target.node)
        return lower, upper, self.kind, ends


@dataclass(frozen=True)
class Ring:
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
        self.bonds = tuple(bonds)
        number: dict[Potential, int] = {}
        for one in potentials:
            number.setdefault(one, len(number))
        for bond in self.bonds:
            number.setdefault(bond.one, len(number))
            number.setdefault(bond.other, len(number))
        self.potentials = tuple(number)
        self._ends = [(number[bond.one], number[bond.other]) for bond in self.bonds]

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
        distance = self._from_earth()

        ranked = [
            (_first(bond), min(distance[one], distance[other]), bond.order, number)
            for number, (bond, (one, other)) in enumerate(zip(self.bonds, self._ends, strict=True))
        ]
        joined = _Parts(len(self.potentials))
        kept: list[Bond] = []
        left: list[Bond] = []
        for _, _, _, number in sorted(ranked):
            (kept if joined.join(*self._ends[number]) else left).append(self.bonds[number])
        return tuple(kept), tuple(left)

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
        return _ring(bond, above, depth)

    def anchor(self, one: Potential) -> Potential:
        """Return where the forest leads from a potential to an earth: the first that has an earth of its own."""
        return self._tree[2][one]

    @cached_property
    def _tree(self) -> tuple[dict[Potential, Bond | None], dict[Potential, int], dict[Potential, Potential]]:
        """The forest hung up: for each potential the bond upwards, its depth and its anchor."""
        near = _neighbours(self.split[0])
        above: dict[Potential, Bond | None] = {}
        depth: dict[Potential, int] = {}
        anchor: dict[Potential, Potential] = {}

        def hang(root: Potential) -> None:
            above[root], depth[root], anchor[root] = None, 0, root
            queue = deque([root])
            while queue:
                here = queue.popleft()
                for bond in near.get(here, ()):
                    there = bond.beyond(here)
                    if there not in above:
                        above[there], depth[there] = bond, depth[here] + 1
                        anchor[there] = there if bond.kind == "earth" else anchor[here]
                        queue.append(there)

        hang(HOUSE_EARTH)
        for root in sorted(one for one in self.potentials if one not in above):
            if root not in above:
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


def _first(bond: Bond) -> int:
    """Return how early a bond is kept: the harder it is to open, the earlier."""
    if bond.kind == "earth":
        return EARTH_RANK
    return FIXED_RANK if bond.opens is None else len(EFFORT) - EFFORT[bond.opens]


def _neighbours(bonds: Iterable[Bond]) -> dict[Potential, list[Bond]]:
    near: dict[Potential, list[Bond]] = {}
    for bond in bonds:
        near.setdefault(bond.one, []).append(bond)
        near.setdefault(bond.other, []).append(bond)
    return near


def _ring(closes: Bond, above: Mapping[Potential, Bond | None], depth: Mapping[Potential, int]) -> Ring:
    """Return the loop a left-over bond closes: over it, and back along the tree."""
    ends = [closes.one, closes.other]
    ways: tuple[list[Bond], list[Bond]] = ([], [])
    while ends[0] != ends[1]:
        side = 0 if depth[ends[0]] >= depth[ends[1]] else 1
        bond = above[ends[side]]
        assert bond is not None  # both ends hang from the same root
        ways[side].append(bond)
        ends[side] = bond.beyond(ends[side])
    return Ring(closes, (closes, *ways[1], *reversed(ways[0])), closes.one)
