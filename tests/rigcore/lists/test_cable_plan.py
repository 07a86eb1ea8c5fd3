"""Which owned cable lies where: every run once, nothing twice, and what is short told as by hand."""

from __future__ import annotations

from rigcore import resources
from rigcore.book.file import load
from rigcore.catalogue.loader import shipped
from rigcore.lists.cable_plan import cable_plan, shortage_words
from rigcore.patch.build import Patch, build_patch
from rigcore.solve.stock import stock_plan


def sample(name: str) -> Patch:
    return build_patch(load(resources.samples() / f"{name}.loom", shipped())[0], None, shipped())


def test_tandem_is_three_short_as_by_hand() -> None:
    """Worked by hand: eleven cables of 5 m needed, eight carried."""
    patch = sample("tandem")
    assert shortage_words(patch) == ("3 × XLR cable, 5 m short",)
    rows = cable_plan(patch)
    assert sum(row.served_by == "nothing" for row in rows) == 3
    assert len(rows) == len(stock_plan(patch).served) + 3
    assert {"Piano L", "Vocal to Splitter"} <= {row.run for row in rows}


def test_what_serves_a_run_reaches_it_and_says_what_is_over() -> None:
    for name in ("piper", "tandem", "ferry", "tour"):
        for row, one in zip(cable_plan(sample(name)), stock_plan(sample(name)).served, strict=False):
            assert sum(item.length_m for item in one.items) >= row.needed_m
            assert row.remark == "just reaches" or row.remark.endswith(" over")
