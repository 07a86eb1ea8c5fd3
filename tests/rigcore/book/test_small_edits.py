"""Stock, cases, looms and stereo pairs: small edits of what hangs on a rig."""

from __future__ import annotations

import pytest

from rigcore.book.book import Book
from rigcore.book.edits.cases import change_case, pack, pack_in_new_case, remove_case
from rigcore.book.edits.gigs import land_port
from rigcore.book.edits.houses import new_plan
from rigcore.book.edits.links import bundle, plug, put_in_loom, rename_loom
from rigcore.book.edits.stereo import pair, partner_of, unpair
from rigcore.book.edits.stock import joined, keep_stock, stock_from_draft
from rigcore.book.edits.units import add_unit
from rigcore.book.ids import PortRef
from rigcore.book.rig import HandOff, Unit
from rigcore.book.stock import StockItem
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.loader import shipped
from rigcore.errors import EditRefused, UnknownThing


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return shipped()


@pytest.fixture
def book(catalogue: Catalogue) -> Book:
    """Three voices, each on a line of its own; a piano with a cable into a DI box."""
    book = new_plan(catalogue)
    for number in (1, 2, 3):
        unit = Unit(id=f"vox-{number}", name=f"Vox {number}", gear="dynamic-handheld")
        book = add_unit(book, "rig", unit, catalogue)
        book = land_port(book, "gig", PortRef(unit=unit.id, port="out"), f"in-{number}", catalogue=catalogue)
    book = add_unit(book, "rig", Unit(id="piano", name="Piano", gear="stage-piano-88"), catalogue)
    book = add_unit(book, "rig", Unit(id="di", name="DI", gear="di-passive"), catalogue)
    return plug(book, "rig", (PortRef(unit="piano", port="out-l"), PortRef(unit="di", port="in-1")), catalogue)


def half(book: Book, number: int) -> HandOff:
    return next(one for one in book.rig("rig").hand_offs if one.unit == f"vox-{number}")


def test_two_hand_offs_become_a_pair_and_part_again(book: Book) -> None:
    ids = [half(book, number).id for number in (1, 2, 3)]
    paired = pair(book, "rig", (ids[0], ids[1]))
    assert [half(paired, number).side for number in (1, 2, 3)] == ["L", "R", ""]
    assert half(paired, 1).group == half(paired, 2).group is not None
    again = pair(paired, "rig", (ids[2], ids[1]))
    assert [half(again, number).side for number in (1, 2, 3)] == ["", "R", "L"]
    assert half(again, 1).group is None
    assert partner_of(again.rig("rig"), half(again, 3)) == half(again, 2)
    parted = unpair(again, "rig", ids[1])
    assert all(half(parted, number).group is None for number in (1, 2, 3))


def test_a_pair_needs_two_that_run_alike(book: Book, catalogue: Catalogue) -> None:
    one = half(book, 1).id
    with pytest.raises(EditRefused, match="two different"):
        pair(book, "rig", (one, one))
    with pytest.raises(UnknownThing):
        pair(book, "rig", (one, "gone"))
    ears = add_unit(book, "rig", Unit(id="ears", name="Ears", gear="mixer-in-ear"), catalogue)
    ears = land_port(ears, "gig", PortRef(unit="ears", port="line-1"), "mix-1", catalogue=catalogue)
    back = next(each for each in ears.rig("rig").hand_offs if each.unit == "ears")
    with pytest.raises(EditRefused, match="different directions"):
        pair(ears, "rig", (one, back.id))


def test_a_unit_goes_into_a_case_and_the_case_goes(book: Book) -> None:
    packed = pack_in_new_case(book, "rig", "piano", "Case")
    packed = pack_in_new_case(packed, "rig", "di", "Case")
    first, second = packed.rig("rig").cases
    assert (first.name, second.name) == ("Case", "Case 2")
    packed = pack(packed, "rig", "di", first.id)
    packed = change_case(packed, "rig", first.id, name="Keys trunk", mass_kg=6.5, rack_u=4.0)
    assert packed.rig("rig").cases[0].mass_kg == 6.5
    gone = remove_case(packed, "rig", first.id)
    assert [one.case for one in gone.rig("rig").units] == [None] * 5
    with pytest.raises(UnknownThing, match="no case"):
        remove_case(gone, "rig", first.id)
    with pytest.raises(EditRefused):
        pack(gone, "rig", "di", "gone")


def test_a_cable_changes_its_loom_and_an_empty_loom_goes(book: Book) -> None:
    link = book.rig("rig").links[0].id
    dressed = bundle(book, "rig", [link], "Loom 1")
    loom = dressed.rig("rig").looms[0].id
    assert rename_loom(dressed, "rig", loom, " Keys ").rig("rig").looms[0].name == "Keys"
    with pytest.raises(EditRefused):
        rename_loom(dressed, "rig", loom, " ")
    with pytest.raises(UnknownThing):
        rename_loom(book, "rig", loom, "Keys")
    loose = put_in_loom(dressed, "rig", link, None)
    assert (loose.rig("rig").links[0].loom, loose.rig("rig").looms) == (None, ())
    with pytest.raises(EditRefused):
        put_in_loom(book, "rig", link, "gone")


def test_a_stock_counts_each_thing_once(book: Book, catalogue: Catalogue) -> None:
    items = (
        StockItem(kind="cable", type="xlr", length_m=5.0, count=3, note="black"),
        StockItem(kind="gear", type="di-passive", count=1),
        StockItem(kind="cable", type="xlr", length_m=5.0, count=2, note="red"),
        StockItem(kind="cable", type="xlr", length_m=10.0, count=1),
    )
    kept = keep_stock(book, items, catalogue).stock
    assert [(one.length_m, one.count, one.note) for one in kept] == [
        (5.0, 5, "black; red"), (None, 1, ""), (10.0, 1, ""),
    ]
    assert joined(kept) == kept


@pytest.mark.parametrize(
    ("item", "words"),
    [
        (StockItem(kind="cable", type="none"), "no cable type"),
        (StockItem(kind="gear", type="none"), "no gear type"),
        (StockItem(kind="gear", type="di-passive", length_m=3.0), "has no length"),
    ],
)
def test_a_stock_holds_only_what_exists(book: Book, catalogue: Catalogue, item: StockItem, words: str) -> None:
    with pytest.raises(EditRefused, match=words):
        keep_stock(book, [item], catalogue)


def test_a_drafted_stock_says_what_does_not_hold() -> None:
    assert stock_from_draft([{"kind": "gear", "type": "di-passive", "count": 2}])[1] == ""
    items, told = stock_from_draft([{"kind": "gear", "type": "di-passive", "count": -2}])
    assert items is None
    assert "di-passive" in told
