"""A landing by hand: the cheapest chain with what is left, and what had the socket before goes without."""

from __future__ import annotations

import pytest

from rigcore import resources
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.book.edits.pins import pin_landing
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
    assert found.chain is not None and found.landing.chain == found.chain.pieces
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
        assert found.chain is not None and found.chain.cost.price == 0


def test_who_joins_a_chain_goes_with_it(book: Book, catalogue: Catalogue) -> None:
    patch = build_patch(book, GIG, catalogue)
    free = next(one for one in takers(patch, patch.rig.hand_offs[0])
                if one.id not in {landing.socket for landing in patch.gig.landings})
    for landing in patch.gig.landings:
        if landing.socket in {one.id for one in takers(patch, patch.hand_off(landing))}:
            gig = pin_landing(book, GIG, landing.model_copy(), catalogue).gig(GIG)
            assert gig.landing(landing.hand_off) == landing
    assert free.direction == "in"


def test_only_sockets_of_the_right_direction_take_a_hand_off(book: Book, catalogue: Catalogue) -> None:
    patch = build_patch(book, GIG, catalogue)
    for hand_off in patch.rig.hand_offs:
        wanted = "in" if hand_off.direction == "to house" else "out"
        assert [one.id for one in takers(patch, hand_off)] == [
            one.id for one in patch.house.sockets if one.direction == wanted
        ]
