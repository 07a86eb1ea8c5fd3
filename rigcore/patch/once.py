"""Keeping what was worked out: once for a patch, for each thing of it, for each port or for each kind of port.

What holds for a kind of port holds as long as the catalogue is the same. What holds for a port
by its net outlives an edit elsewhere; see :mod:`rigcore.patch.renew`.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Hashable
from typing import Any, TypeVar

from rigcore.patch.patch import End, Node, Patch

Derived = TypeVar("Derived")
Thing = TypeVar("Thing", bound=Hashable)

RENEWED: set[Callable[..., Any]] = set()
"""The functions that start from what they found before."""


def once_a_patch(derive: Callable[[Patch], Derived]) -> Callable[[Patch], Derived]:
    """Make a pure function of a patch keep its result with the patch: many rules ask the same thing."""
    return _kept_in("derived", derive)


def once_each(derive: Callable[[Patch, Thing], Derived]) -> Callable[[Patch, Thing], Derived]:
    """Make a pure function of a patch and one thing of it, a hop or a node, keep its results with the patch."""
    return _kept_by_thing("derived", derive)


def once_a_kind(derive: Callable[[Patch, End], Derived]) -> Callable[[Patch, End], Derived]:
    """Make a pure function of an end that asks nothing but its type answer once for all such ends."""

    @functools.wraps(derive)
    def kept(patch: Patch, end: End) -> Derived:
        found: dict[int, Derived] | None = patch.of_kinds.get(derive)
        if found is None:
            found = patch.of_kinds[derive] = {}
        # A port of a type is one and the same record in all units of the type.
        kind = id(end.port)
        try:
            return found[kind]
        except KeyError:
            result = found[kind] = derive(patch, end)
        return result

    return kept


def once_a_net(derive: Callable[[Patch, Node], Derived]) -> Callable[[Patch, Node], Derived]:
    """Make a pure function of a port keep its results, over edits elsewhere too.

    It may ask what the port's net tells, and nothing else: the units, settings and connections it
    comes to over connections and over ways without electronics, up or down.
    """
    return _kept_by_thing("of_nets", derive)


def once_of_mains(derive: Callable[[Patch], Derived]) -> Callable[[Patch], Derived]:
    """Make a pure function of a patch keep its result, over edits that leave the mains as they are too.

    It may ask the units and where they stand, the house, and the mains connections, and nothing else.
    """
    return _kept_in("of_mains", derive)


def once_renewed(derive: Callable[[Patch, Derived | None], Derived]) -> Callable[[Patch], Derived]:
    """Make a pure function of a patch keep its result, and start from what it found before an edit.

    That may spare work and must not change the result. ``patch.stale`` tells for which ports it no longer holds.
    """

    @functools.wraps(derive)
    def kept(patch: Patch) -> Derived:
        try:
            known: Derived = patch.derived[derive]
            return known
        except KeyError:
            earlier: Derived | None = patch.earlier.pop(derive, None)
            result = patch.derived[derive] = derive(patch, earlier)
        return result

    RENEWED.add(derive)
    return kept


def _kept_in(where: str, derive: Callable[[Patch], Derived]) -> Callable[[Patch], Derived]:
    @functools.wraps(derive)
    def kept(patch: Patch) -> Derived:
        known: dict[object, Derived] = getattr(patch, where)
        try:
            return known[derive]
        except KeyError:
            result = known[derive] = derive(patch)
        return result

    return kept


def _kept_by_thing(where: str, derive: Callable[[Patch, Thing], Derived]) -> Callable[[Patch, Thing], Derived]:
    @functools.wraps(derive)
    def kept(patch: Patch, thing: Thing) -> Derived:
        known: dict[object, dict[Thing, Derived]] = getattr(patch, where)
        found = known.get(derive)
        if found is None:
            found = known[derive] = {}
        try:
            return found[thing]
        except KeyError:
            result = found[thing] = derive(patch, thing)
        return result

    return kept
