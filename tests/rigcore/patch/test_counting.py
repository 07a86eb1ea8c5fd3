"""Cables needed against cables owned."""

from __future__ import annotations

import pytest

from rigcore.book.edits.houses import change_house
from rigcore.book.edits.rebuild import checked
from rigcore.book.stock import StockItem
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import build_patch
from rigcore.patch.counting import Shortfall, shortfalls
from tests.rule_samples.plan import Plan


def _item(cable: str, length_m: float, count: int) -> StockItem:
    return StockItem(kind="cable", type=cable, length_m=length_m, count=count)


def _short(*stock: StockItem, theirs: tuple[StockItem, ...] = (), owner: str = "rig") -> tuple[Shortfall, ...]:
    """Return what is short of three voices on 5 m and a keyboard on a TS lead."""
    plan = Plan()
    for number in (1, 2, 3):
        plan.unit(f"voice-{number}", "dynamic-handheld", f"Voice {number}")
        plan.land(f"voice-{number}.out", f"in-{number}", "xlr 5", name=f"Vox {number}", order=number)
    plan.unit("keys", "stage-piano-88", "Keys")
    plan.unit("di", "di-passive", "DI")
    plan.link("keys.out-l", "di.in-1", "ts 3")
    gig = plan.book.gig()
    landings = tuple(
        checked(one, chain=tuple(checked(piece, owner=owner) for piece in one.chain)) for one in gig.landings
    )
    book = checked(plan.book, stock=stock, gigs=(checked(gig, landings=landings),))
    return shortfalls(build_patch(change_house(book, "house", stock=theirs), None, shipped()))


@pytest.mark.parametrize(
    ("stock", "short"),
    [
        ((), 0),  # nothing is counted, nothing is known
        ((_item("ts", 3.0, 1),), 0),  # XLR cables are not counted
        ((_item("xlr", 5.0, 0),), 3),  # counted: there is none
        ((_item("xlr", 5.0, 1),), 2),
        ((_item("xlr", 5.0, 1), _item("xlr", 3.0, 9)), 2),
        ((_item("xlr", 5.0, 1), _item("xlr", 10.0, 2)), 0),
    ],
)
def test_only_types_the_stock_lists_are_counted(stock: tuple[StockItem, ...], short: int) -> None:
    found = _short(*stock)
    expected = [("xlr", 5.0, 3, short)] if short else []
    assert [(one.cable, one.length_m, one.needed, one.short) for one in found] == expected


def test_the_least_important_goes_without() -> None:
    [found] = _short(_item("xlr", 5.0, 1))
    assert found.have == 1
    assert [one.hand_off for one in found.without] == ["vox-3", "vox-2"]  # type: ignore[union-attr]


def test_what_the_house_brings_is_counted_at_the_house() -> None:
    assert _short(_item("xlr", 5.0, 0), owner="house") == ()
    [found] = _short(theirs=(_item("xlr", 5.0, 1),), owner="house")
    assert (found.owner, found.short) == ("house", 2)
