"""The fit of the three rigs worked by hand first: what their landings need must be what the hand lists say."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from rigcore.book.file import load
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import build_patch
from rigcore.solve.fit import Fit, fit
from rigcore.solve.fit_question import Asked


@pytest.fixture(scope="module")
def fits(samples_folder: Path) -> dict[str, Fit]:
    found = {}
    for name in ("piper", "tandem", "ferry"):
        book = load(samples_folder / f"{name}.loom", shipped())[0]
        found[name] = fit(build_patch(book, None, shipped()), Asked(fresh=True))
    return found


def pieces(done: Fit, *, bought: bool = False) -> Counter[tuple[str, float]]:
    found: Counter[tuple[str, float]] = Counter()
    for item, count in done.taken.items():
        if not bought or item.comes_from == "buy":
            found[item.type, item.length_m] += count
    return found


def test_everything_lands_proven(fits: dict[str, Fit]) -> None:
    for done in fits.values():
        assert done.answer.proven
        assert not done.unsettled


def test_piper_joins_two_cables_and_isolates_at_the_bar(fits: dict[str, Fit]) -> None:
    """By hand: a TRS plug to XLR, 2 x 10 m XLR, the 1:1 transformer, XLR to RCA for transformers, an RCA Y."""
    assert pieces(fits["piper"]) == {
        ("adapter-trs6m-xlr3m", 0.0): 1, ("xlr", 10.0): 2, ("line-isolator", 0.0): 1,
        ("adapter-xlr3f-rcam", 0.0): 1, ("adapter-rca-y", 0.0): 1,
    }  # fmt: skip
    assert sum(pieces(fits["piper"], bought=True).values()) == 3


def test_tandem_lacks_three_leads_and_two_adapters(fits: dict[str, Fit]) -> None:
    """By hand: 10 leads of 5 m, 8 carried less the voice's own: 3 short; and 2 adapters from XLR to TRS plug."""
    assert pieces(fits["tandem"]) == {("xlr", 5.0): 10, ("adapter-xlr3f-trs6m", 0.0): 2}
    assert pieces(fits["tandem"], bought=True) == {("xlr", 5.0): 3, ("adapter-xlr3f-trs6m", 0.0): 2}
    assert [one.socket for one in fits["tandem"].lines if one.hand_off not in ("ears-l", "ears-r")] == [
        "sl1", "sl2", "sl3", "sl4", "sl5", "sl6", "sl7", "sl8",
    ]  # fmt: skip


def test_ferry_fills_the_keyboard_lines_in_order(fits: dict[str, Fit]) -> None:
    """By hand: keys and tracks on B1 to B6, which they fill."""
    at = {one.hand_off: one.socket for one in fits["ferry"].lines}
    names = ("keys-1-l", "keys-1-r", "keys-2-l", "keys-2-r", "tracks-l", "tracks-r")
    assert [at[name] for name in names] == ["b1", "b2", "b3", "b4", "b5", "b6"]


def test_what_is_owned_is_used_before_anything_is_bought(fits: dict[str, Fit]) -> None:
    for done in fits.values():
        for item in done.to_buy:
            owned = item._replace(comes_from="rig")
            assert done.taken[owned] == done.posed.question.supply.get(owned, 0), item
