"""Which owned cable for which run: the player's stock first, then the house's, with the least cable to spare.

Exact, aim by aim: as many runs served as can be, so that the least length is missing, and where it is missed
least; as little of the house's as can
be; as few joints; then the least waste, which is what the cables are longer than their runs; and of what is left
equal, as much as can be as it was planned. Two cables of a
kind are joined where one alone does not reach and their plugs go together. What a run needs is told by
``patch.lengths``; whether that is a fault is for the rules.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from rigcore.book.rig import Link, Owner
from rigcore.catalogue.cables import CableType
from rigcore.catalogue.catalogue import Catalogue
from rigcore.patch.build import Hop, Patch
from rigcore.patch.counting import is_counted
from rigcore.patch.joints import leads_for
from rigcore.patch.lengths import CableRun, cable_runs
from rigcore.solve.aims import Aim, Program, solve
from rigcore.solve.stockroom import Item, Supply, supply

MM = 1000
"""Lengths are counted in whole millimetres."""


class Need(Struct, frozen=True):
    """One cable wanted: for which run, of which type, how long at least (m), and whose it is to be.

    ``planned_m`` is the length already chosen for it, None if none is. ``run`` is the id of a link or hand-off;
    the higher ``rank``, the more it is missed.
    """

    run: str
    cable: str
    length_m: float
    planned_m: float | None = None
    owner: Owner = "rig"
    rank: int = 0


class Served(NamedTuple):
    """A need with the cable it gets, or the two to be joined."""

    need: Need
    items: tuple[Item, ...]

    @property
    def waste_m(self) -> float:
        """How much longer the cables are than the run, in m."""
        return round(sum(item.length_m for item in self.items) - self.need.length_m, 3)


class Missed(NamedTuple):
    """A need no cable is left for; ``short_by_m`` is what the longest one lacks, None where one would reach."""

    need: Need
    short_by_m: float | None

    @property
    def words(self) -> str:
        """What is wrong, in few words."""
        if self.short_by_m is None:
            return "all that reach are taken"
        return f"does not reach by {self.short_by_m:g} m"


class Shortage(Struct, frozen=True):
    """So many cables of one type and length (m) to be had from somewhere else."""

    cable: str
    length_m: float
    count: int


class StockPlan(Struct, frozen=True):
    """What lies where, in the order of the needs, and what is short.

    ``uncounted`` are needs of types whose owner counts none: nothing is known of them.
    """

    served: tuple[Served, ...]
    missed: tuple[Missed, ...]
    shortages: tuple[Shortage, ...]
    uncounted: tuple[Need, ...] = ()

    @property
    def waste_m(self) -> float:
        """Waste of all together in m."""
        return round(sum(one.waste_m for one in self.served), 3)


def stock_plan(patch: Patch) -> StockPlan:
    """Return which cables of the player's and the house's stock serve the runs of a gig best."""
    needs = needs_of(patch)
    owners: dict[Owner, tuple[Owner, ...]] = {"rig": ("rig", "house"), "house": ("house",)}
    known = [need for need in needs if any(is_counted(patch, one, need.cable) for one in owners[need.owner])]
    plan = assign(known, supply(patch.book.stock, patch.house.stock), patch.catalogue)
    return replace(plan, uncounted=tuple(need for need in needs if need not in known))


def needs_of(patch: Patch) -> tuple[Need, ...]:
    """Return the cables a gig wants: as long as its runs need where that is known, else as planned.

    A landing that is only intended wants the likeliest cable for it, once its length is known.
    """
    return tuple(need for run in cable_runs(patch) for need in _needs(patch, run))


def _needs(patch: Patch, run: CableRun) -> Iterator[Need]:
    name = run.of.id if isinstance(run.of, Link) else run.of.hand_off
    rank = _rank(patch, run)
    owners = _owners(run)
    for (cable, planned_m), owner in zip(run.cables, owners, strict=True):
        alone = len(run.cables) == 1 and (run.landing is None or len(run.landing.chain) == 1)
        length_m = run.required_m if alone and run.required_m is not None else planned_m
        shortest = min(patch.catalogue.cable_type(cable).stock_lengths_m)
        yield Need(name, cable, length_m or shortest, planned_m, owner, rank)
    if not run.cables and run.landing is not None and not run.landing.chain and run.required_m is not None:
        hop = next(one for one in patch.runs if one.landing is run.landing)
        likely = _likeliest(patch, hop)
        if likely is not None:
            yield Need(name, likely.id, run.required_m, rank=rank)


LEAST_ORDER = 1000
"""Above every order of importance a hand-off can have; a link inside the rig ranks here."""


def _rank(patch: Patch, run: CableRun) -> int:
    if run.landing is None:
        return LEAST_ORDER
    hand_off = patch.hand_off(run.landing)
    return LEAST_ORDER - hand_off.order if hand_off.importance == "must" else 0


def _owners(run: CableRun) -> list[Owner]:
    if run.link is not None:
        return [run.link.owner] * len(run.cables)
    chain = run.landing.chain if run.landing is not None else ()
    return [piece.owner for piece in chain if piece.kind == "cable"]


def _likeliest(patch: Patch, hop: Hop) -> CableType | None:
    """Return the first lead that joins both ends, else the owned type for that medium with the longest cable."""
    leads = leads_for(patch, hop)
    if leads:
        return leads[0]
    known, medium = patch.catalogue.cables, hop.source.port.carrier.medium
    owned = [
        (one.length_m or 0.0, one.type) for one in patch.book.stock
        if one.kind == "cable" and one.count and one.type in known and known[one.type].carries(medium)
    ]  # fmt: skip
    return known[max(owned)[1]] if owned else None


def assign(needs: Iterable[Need], stock: Supply, catalogue: Catalogue) -> StockPlan:
    """Return the best use of a stock for some needs; what would have to be bought is no stock.

    Parameters
    ----------
    needs
        The cables wanted.
    stock
        So many of each thing, whose; boxes in it are passed over.
    catalogue
        Tells which cables can be joined.

    Returns
    -------
    StockPlan
        Proven best by HiGHS, aim by aim (see the module).

    Examples
    --------
    >>> from rigcore.catalogue.loader import shipped
    >>> carried = {Item("cable", "xlr", length_m, "rig"): 1 for length_m in (3.0, 5.0, 6.0, 10.0, 15.0, 20.0)}
    >>> [one.items[0].length_m for one in assign([Need("voice", "xlr", 6.2)], carried, shipped()).served]
    [10.0]
    """
    wanted = list(needs)
    groups = _groups(wanted)
    program, short, options = Program(), {}, _Options()
    for key, members in groups.items():
        short[key] = program.column(len(members))
        row = {short[key]: 1}
        for items in _ways(key, stock, catalogue):
            options.add(program.column(len(members)), key, items)
            row[options.columns[-1]] = 1
        program.row(row, len(members), len(members))
    for item, count in stock.items():
        if terms := options.takers(item):
            program.row(terms, high=count)
    start = [0] * len(program.upper)
    for key, column in short.items():
        start[column] = len(groups[key])
    to_get_m = {key: _to_get_m(members[0], catalogue) for key, members in groups.items()}
    found = solve(program, _aims(short, options, to_get_m), start)
    return _plan(wanted, groups, options.taken(found.values), stock=stock, catalogue=catalogue)


Key = tuple[str, float, Owner, float | None, int]
"""Needs that are alike: cable type, length in m, whose, the length planned in m, and the rank."""


class _Options:
    """The ways to serve a group of needs, one column each."""

    def __init__(self) -> None:
        self.columns: list[int] = []
        self.keys: list[Key] = []
        self.items: list[tuple[Item, ...]] = []

    def add(self, column: int, key: Key, items: tuple[Item, ...]) -> None:
        self.columns.append(column)
        self.keys.append(key)
        self.items.append(items)

    def takers(self, item: Item) -> dict[int, int]:
        """Return how many of an item each column takes."""
        uses = ((column, items.count(item)) for column, items in zip(self.columns, self.items, strict=True))
        return {column: count for column, count in uses if count}

    def weighed(self, weigh: Mapping[int, int]) -> dict[int, int]:
        return {self.columns[number]: weight for number, weight in weigh.items() if weight}

    def taken(self, values: Sequence[int]) -> dict[Key, list[tuple[Item, ...]]]:
        """Return the items chosen for each group, once for each time they are taken."""
        found: dict[Key, list[tuple[Item, ...]]] = {}
        for column, key, items in zip(self.columns, self.keys, self.items, strict=True):
            found.setdefault(key, []).extend([items] * values[column])
        return found


def _groups(needs: Iterable[Need]) -> dict[Key, list[Need]]:
    found: dict[Key, list[Need]] = {}
    for need in needs:
        found.setdefault((need.cable, need.length_m, need.owner, need.planned_m, need.rank), []).append(need)
    return found


def _mm(length_m: float) -> int:
    return round(length_m * MM)


def _ways(key: Key, stock: Supply, catalogue: Catalogue) -> Iterator[tuple[Item, ...]]:
    """Yield the single cables that reach, then the pairs that reach joined though neither does alone."""
    cable, length_m, owner, *_ = key
    usable = [
        item for item, count in stock.items()
        if item.kind == "cable" and item.type == cable and count and (owner == "rig" or item.comes_from == "house")
    ]  # fmt: skip
    too_short = []
    for item in usable:
        if _mm(item.length_m) >= _mm(length_m):
            yield (item,)
        else:
            too_short.append(item)
    kind = catalogue.cable_type(cable)
    if catalogue.mating.fits(kind.end_b, kind.end_a):
        for one, other in itertools.combinations_with_replacement(too_short, 2):
            if _mm(one.length_m) + _mm(other.length_m) >= _mm(length_m) and (one != other or stock[one] > 1):
                yield (one, other)


def _aims(short: Mapping[Key, int], options: _Options, to_get_m: Mapping[Key, float]) -> list[Aim]:
    counted = list(enumerate(zip(options.keys, options.items, strict=True)))
    return [
        Aim("runs without a cable", dict.fromkeys(short.values(), 1)),
        Aim("length missing", {column: _mm(to_get_m[key]) for key, column in short.items()}),
        Aim("missed most", {column: key[4] for key, column in short.items() if key[4]}),
        Aim("of the house", options.weighed({
            number: sum(item.comes_from == "house" for item in items) for number, (key, items) in counted
            if key[2] == "rig"
        })),
        Aim("joints", options.weighed({number: len(items) - 1 for number, (_, items) in counted})),
        Aim("waste", options.weighed({
            number: sum(_mm(item.length_m) for item in items) - _mm(key[1]) for number, (key, items) in counted
        })),
        Aim("other than planned", options.weighed({
            number: int([item.length_m for item in items] != [key[3]]) for number, (key, items) in counted
            if key[3] is not None
        })),
    ]  # fmt: skip


def _plan(
    needs: Sequence[Need],
    groups: Mapping[Key, Sequence[Need]],
    taken: Mapping[Key, Sequence[tuple[Item, ...]]],
    *,
    stock: Supply,
    catalogue: Catalogue,
) -> StockPlan:
    got: dict[int, tuple[Item, ...]] = {}
    for key, members in groups.items():
        for need, items in zip(members, taken.get(key, ()), strict=False):
            got[id(need)] = items
    served = tuple(Served(need, got[id(need)]) for need in needs if id(need) in got)
    missed = tuple(Missed(need, _short_by_m(need, stock)) for need in needs if id(need) not in got)
    wanted = Counter((one.need.cable, _to_get_m(one.need, catalogue)) for one in missed)
    return StockPlan(served, missed, tuple(Shortage(*key, count) for key, count in sorted(wanted.items())))


def _short_by_m(need: Need, stock: Supply) -> float | None:
    longest = max(
        (item.length_m for item in stock if item.kind == "cable" and item.type == need.cable), default=0.0
    )  # fmt: skip
    return round(need.length_m - longest, 2) if longest < need.length_m else None


def _to_get_m(need: Need, catalogue: Catalogue) -> float:
    """Return the length to ask for in m: as planned if that reaches, else the next one in the trade, else made so."""
    if need.planned_m is not None and need.planned_m >= need.length_m:
        return need.planned_m
    lengths = catalogue.cable_type(need.cable).stock_lengths_m
    return min((one for one in lengths if one >= need.length_m), default=need.length_m)
