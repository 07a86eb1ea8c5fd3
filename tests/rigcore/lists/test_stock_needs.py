"""What a gig needs of a stock: the numbers beside what is owned."""

from __future__ import annotations

from collections import Counter

import pytest

from rigcore import resources
from rigcore.book.edits.stock import keep_stock
from rigcore.book.file import load
from rigcore.catalogue.loader import shipped
from rigcore.lists.carry_list import carry_list
from rigcore.lists.stock_needs import stock_needs
from rigcore.patch.build import Patch, build_patch
from rigcore.patch.spares import Thing


def patch_of(name: str) -> Patch:
    catalogue = shipped()
    book, _ = load(resources.samples() / f"{name}.loom", catalogue)
    return build_patch(book, None, catalogue)


@pytest.mark.parametrize("name", ["piper", "tandem", "ferry"])
def test_cables_are_counted_as_the_carry_list_counts_them(name: str) -> None:
    patch = patch_of(name)
    needs = {need.thing: need for need in stock_needs(patch, patch.book.stock) if need.thing.kind == "cable"}
    for row in carry_list(patch).cables:
        assert needs.pop(row.thing).needed == row.needed
    assert needs == {}


@pytest.mark.parametrize("name", ["piper", "tandem", "ferry"])
def test_owning_what_is_short_leaves_nothing_short(name: str) -> None:
    patch = patch_of(name)
    short = [item for need in stock_needs(patch, patch.book.stock) if (item := need.item) is not None]
    book = keep_stock(patch.book, [*patch.book.stock, *short], shipped())
    after = build_patch(book, patch.gig.id, shipped())
    assert [need for need in stock_needs(after, book.stock) if need.short] == []


def test_the_house_is_counted_by_itself() -> None:
    patch = patch_of("ferry")
    needs = stock_needs(patch, patch.house.stock, "house")
    assert Counter({need.thing: need.needed for need in needs})[Thing("cable", "xlr", 5.0)] == 3


def test_a_box_in_the_rig_counts_where_the_stock_counts_its_kind() -> None:
    patch = patch_of("ferry")
    strip = next(need for need in stock_needs(patch, patch.book.stock) if need.thing.type == "strip-6")
    assert (strip.needed, strip.short) == (1, 0)
    assert "strip-6" not in {need.thing.type for need in stock_needs(patch, ())}
