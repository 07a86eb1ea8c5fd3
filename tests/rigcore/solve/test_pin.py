"""A landing by hand: the cheapest chain with what is left, and what had the socket before goes without."""

from __future__ import annotations

import pytest

from rigcore import resources
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.book.edits.gigs import bind_landing
from rigcore.book.edits.pins import pin_landing
from rigcore.book.edits.rebuild import checked
from rigcore.book.gig import Join, Landing
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import build_patch
from rigcore.solve.pin import pin, takers

GIG = "chapel"


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return shipped()


@pytest.fixture
def book(catalogue: Catalogue) -> Book:
    return book_file.load(resources.samples() / "tour.loom", catalogue)[0]


def test_it_takes_the_socket_and_ousts_who_had_it(book: Book, catalogue: Catalogue) -> None:
    patch = build_patch(book, GIG, catalogue)
    there = patch.gig.landing("keys-l").socket
    found = pin(patch, "lead-vox", there)
    assert found.ousted == ("keys-l",)
    assert found.chain is not None
    assert found.landing.chain == found.chain.pieces
    gig = pin_landing(book, GIG, found.landing, catalogue).gig(GIG)
    assert gig.landing("lead-vox").socket == there
    assert gig.landing("keys-l") is None
    assert {one.hand_off for one in gig.landings} == {one.hand_off for one in book.gig(GIG).landings} - {"keys-l"}


def test_landing_again_where_it_is_costs_no_second_cable(book: Book, catalogue: Catalogue) -> None:
    """Its own chain goes back into the stock first: nothing has to be bought for what is there already."""
    patch = build_patch(book, GIG, catalogue)
    for landing in patch.gig.landings:
        found = pin(patch, landing.hand_off, landing.socket)
        assert found.ousted == ()
        assert found.chain is not None
        assert found.chain.cost.price == 0


def test_with_an_empty_stock_it_is_bought(book: Book, catalogue: Catalogue) -> None:
    patch = build_patch(checked(book, stock=()), GIG, catalogue)
    free = next(one for one in takers(patch, next(one for one in patch.rig.hand_offs if one.id == "lead-vox"))
                if one.id not in {landing.socket for landing in patch.gig.landings})
    found = pin(patch, "lead-vox", free.id)
    assert found.chain is not None
    assert found.chain.cost.price > 0
    assert {item.comes_from for item in found.chain.items} <= {"buy", "house"}


def test_who_joins_a_chain_goes_when_it_is_moved(book: Book, catalogue: Catalogue) -> None:
    patch = build_patch(book, GIG, catalogue)
    host = patch.gig.landing("keys-l")
    number, box = next((n, one) for n, one in enumerate(host.chain, start=1) if one.kind == "gear")
    free = next(one.id for one in catalogue.gear_type(box.gear).ports if one.id not in (box.enter, *box.leave))
    joined = Landing(hand_off="keys-r", socket=host.socket, joins=Join(hand_off="keys-l", piece=number, port=free))
    book = bind_landing(book, GIG, joined, catalogue)
    patch = build_patch(book, GIG, catalogue)
    elsewhere = next(one.id for one in takers(patch, patch.hand_off(host))
                     if one.id not in {landing.socket for landing in patch.gig.landings})
    found = pin(patch, "keys-l", elsewhere)
    gig = pin_landing(book, GIG, found.landing, catalogue).gig(GIG)
    assert gig.landing("keys-l").socket == elsewhere
    assert gig.landing("keys-r") is None


def test_only_sockets_of_the_right_direction_take_a_hand_off(book: Book, catalogue: Catalogue) -> None:
    patch = build_patch(book, GIG, catalogue)
    for hand_off in patch.rig.hand_offs:
        wanted = "in" if hand_off.direction == "to house" else "out"
        assert [one.id for one in takers(patch, hand_off)] == [
            one.id for one in patch.house.sockets if one.direction == wanted
        ]
