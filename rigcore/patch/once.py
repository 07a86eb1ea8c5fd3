"""Keeping what was worked out: once for a patch, for each thing of it, or for each kind of end."""

from __future__ import annotations

import functools
from collections.abc import Callable, Hashable
from typing import TypeVar

from rigcore.patch.build import End, Patch

Derived = TypeVar("Derived")
Thing = TypeVar("Thing", bound=Hashable)


def once_a_patch(derive: Callable[[Patch], Derived]) -> Callable[[Patch], Derived]:
    """Make a pure function of a patch keep its result with the patch: many rules ask the same thing."""

    @functools.wraps(derive)
    def kept(patch: Patch) -> Derived:
        try:
            known: Derived = patch.derived[derive]
            return known
        except KeyError:
            result = patch.derived[derive] = derive(patch)
        return result

    return kept


def once_each(derive: Callable[[Patch, Thing], Derived]) -> Callable[[Patch, Thing], Derived]:
    """Make a pure function of a patch and one thing of it, a hop or a node, keep its results with the patch."""

    @functools.wraps(derive)
    def kept(patch: Patch, thing: Thing) -> Derived:
        found: dict[Thing, Derived] | None = patch.derived.get(derive)
        if found is None:
            found = patch.derived[derive] = {}
        try:
            return found[thing]
        except KeyError:
            result = found[thing] = derive(patch, thing)
        return result

    return kept


def once_a_kind(derive: Callable[[Patch, End], Derived]) -> Callable[[Patch, End], Derived]:
    """Make a pure function of an end that asks nothing but its type answer once for all such ends."""

    @functools.wraps(derive)
    def kept(patch: Patch, end: End) -> Derived:
        found: dict[int, Derived] | None = patch.derived.get(derive)
        if found is None:
            found = patch.derived[derive] = {}
        # A port of a type is one and the same record in all units of the type.
        kind = id(end.port)
        try:
            return found[kind]
        except KeyError:
            result = found[kind] = derive(patch, end)
        return result

    return kept
