"""Gigs, rigs and houses as wholes: copy, rename, put away, remove; and every one of them undone by the book before."""

from __future__ import annotations

import pytest

from rigcore import resources
from rigcore.analysis import analyse
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.book.edits.plans import KINDS, Kind, copy, plan_of, plans, put_away, remove, rename, why_kept
from rigcore.catalogue.loader import shipped
from rigcore.errors import EditRefused


@pytest.fixture(scope="module")
def tour() -> Book:
    return book_file.load(resources.samples() / "tour.loom", shipped())[0]


@pytest.mark.parametrize("kind", KINDS)
def test_a_copy_stands_beside_and_is_alike(tour: Book, kind: Kind) -> None:
    old = plans(tour, kind)[0]
    book, copy_id = copy(tour, kind, old.id)
    new = plan_of(book, kind, copy_id)
    assert plans(book, kind)[1] is new
    assert new.name != old.name
    again, other_id = copy(book, kind, old.id)
    assert len({one.name for one in plans(again, kind)}) == len(plans(tour, kind)) + 2
    assert other_id != copy_id


def test_a_copied_gig_finds_the_same_and_was_sent_to_nobody(tour: Book) -> None:
    book, copy_id = copy(tour, "gig", "chapel")
    one, other = analyse(book, "chapel", shipped()), analyse(book, copy_id, shipped())
    assert {f.rule for f in one.findings} <= {f.rule for f in other.findings}
    assert book.gig(copy_id).letters == ()
    assert book.gig(copy_id).date is None


@pytest.mark.parametrize("kind", KINDS)
def test_rename_and_put_away_and_take_out_again(tour: Book, kind: Kind) -> None:
    plan = plans(tour, kind)[0]
    assert plan_of(rename(tour, kind, plan.id, "  Other "), kind, plan.id).name == "Other"
    away = put_away(tour, kind, plan.id)
    assert plan_of(away, kind, plan.id).archived
    assert put_away(away, kind, plan.id, away=False) == tour
    with pytest.raises(EditRefused, match="name"):
        rename(tour, kind, plan.id, " ")


def test_what_a_gig_needs_stays(tour: Book) -> None:
    for kind, plan_id in (("rig", tour.rigs[0].id), ("house", tour.houses[0].id)):
        assert "gig" in why_kept(tour, kind, plan_id)
        with pytest.raises(EditRefused):
            remove(tour, kind, plan_id)
    book = tour
    for gig in tour.gigs[1:]:
        book = remove(book, "gig", gig.id)
    with pytest.raises(EditRefused, match="only gig"):
        remove(book, "gig", book.gigs[0].id)
    assert len(remove(book, "house", tour.houses[1].id).houses) == len(tour.houses) - 1


def test_a_copy_is_removed_without_a_trace(tour: Book) -> None:
    for kind in KINDS:
        book, copy_id = copy(tour, kind, plans(tour, kind)[0].id)
        assert remove(book, kind, copy_id) == tour
