"""Two gigs compared: every change once, and none that is not there."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigcore import resources
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.book.edits.gigs import add_gig, bind_landing, change_gig, place_here, unbind_landing
from rigcore.book.edits.rebuild import checked
from rigcore.book.gig import CablePiece, GearPiece, Gig, Placement, SettingHere
from rigcore.book.rig import PortSetting
from rigcore.catalogue.loader import shipped
from rigcore.lists.gig_difference import Change, gig_difference
from rigcore.patch.build import build_patch

BOOKS = ("piper", "tandem", "ferry", "tour")


def _twice(name: str) -> tuple[Book, str]:
    """Return a sample with its first gig written down a second time, and that one's id."""
    book = book_file.load(resources.samples() / f"{name}.loom", shipped())[0]
    return add_gig(book, checked(book.gigs[0], id="again", name="The same again", date=None)), book.gigs[0].id


def _changes(book: Book, old: str, new: str) -> list[tuple[str, str]]:
    found = gig_difference(*(build_patch(book, one, shipped()) for one in (old, new)))
    return [(one.part, one.words) for one in found.changes]


@pytest.mark.parametrize("name", BOOKS)
def test_the_same_gig_written_in_another_order_differs_in_nothing(name: str) -> None:
    book, first = _twice(name)
    assert _changes(book, first, "again") == []
    gig = book.gig("again")
    landings = list(gig.landings)
    random.Random(3).shuffle(landings)
    shuffled = change_gig(book, "again", landings=tuple(landings), notes="other words", on_stage="21:00")
    assert _changes(shuffled, first, "again") == []


def test_an_added_di_and_lead_are_each_said_once_where_and_to_carry() -> None:
    book, first = _twice("tour")
    landing = book.gig("again").landing("keys-l")
    assert landing is not None
    chain = (
        CablePiece(kind="cable", cable="ts", length_m=3.0),
        GearPiece(kind="gear", gear="di-passive", enter="in-1", leave=("out-1",)), *landing.chain,
    )  # fmt: skip
    book = bind_landing(book, "again", checked(landing, chain=chain), shipped())
    assert _changes(book, first, "again") == [
        ("piece", "+ Keys L, 6.35 mm TS lead 3 m: 1 ×"), ("piece", "+ Keys L, Passive DI box: 1 ×"),
        ("carry", "+ 6.35 mm TS lead, 3 m: 1 ×"), ("carry", "+ Passive DI box: 1 ×"),
    ]  # fmt: skip


def test_a_setting_a_place_and_a_landing() -> None:
    book, first = _twice("tandem")
    here = SettingHere(unit="in-ear-mixer", setting=PortSetting(port="mic-1", gain_db=30.0, phantom=True))
    book = change_gig(book, "again", settings=(here,))
    book = place_here(book, "again", Placement(unit="vocal", x_m=1.0, y_m=1.85))
    book = unbind_landing(book, "again", "click")
    assert _changes(book, first, "again") == [
        ("landing", "− Click: SL7, house 7"),
        ("piece", "− Click, XLR cable 5 m: 1 ×"),
        ("setting", "+ In-ear mixer Mic 1, 48 V: on"),
        ("setting", "+ In-ear mixer Mic 1, gain: 30 dB"),
        ("place", "Vocal: x 0 m, y 1.85 m, 0° → x 1 m, y 1.85 m, 0°"),
        ("carry", "XLR cable, 5 m: 11 × → 10 ×"),
    ]


@given(st.data())
def test_backwards_says_the_same_the_other_way_round(data: st.DataObject) -> None:
    book, first = _twice(data.draw(st.sampled_from(BOOKS)))
    gig = book.gig("again")
    kept = tuple(one for one in gig.landings if data.draw(st.booleans()))
    book = change_gig(book, "again", landings=kept)
    old, new = (build_patch(book, one, shipped()) for one in (first, "again"))
    there, back = gig_difference(old, new).changes, gig_difference(new, old).changes
    assert {Change(one.part, one.of, one.now, one.was) for one in there} == set(back)
    assert len(set(there)) == len(there)
    lost = {old.hand_off(one).name for one in old.gig.landings if one not in kept}
    assert {one.of for one in there if one.part == "landing"} == lost


def test_two_rigs_differ_in_units_and_links() -> None:
    book = book_file.load(resources.samples() / "tandem.loom", shipped())[0]
    rig = checked(book.rigs[0], id="small", name="Small", links=(), hand_offs=(), units=book.rigs[0].units[:1])
    gig = Gig(id="small", name="Small night", rig="small", house=book.houses[0].id)
    book = add_gig(checked(book, rigs=(*book.rigs, rig)), gig)
    found = gig_difference(*(build_patch(book, one, shipped()) for one in (book.gigs[0].id, "small")))
    assert len(found.of("unit")) == 11
    assert len(found.of("link")) == 15
    assert all(one.now == "" for one in found.changes if one.part != "carry")
