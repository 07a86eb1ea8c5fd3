"""The advance: short, polite, numbers first, and only questions that the book leaves open."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given, settings

from rigcore import resources
from rigcore.analysis import Analysis
from rigcore.book.book import Book
from rigcore.book.edits.gigs import change_gig
from rigcore.book.edits.houses import change_house, learn
from rigcore.book.file import load
from rigcore.book.house import Fact
from rigcore.catalogue.loader import shipped
from rigcore.lists.advance import MOST_WORDS, advance, questions
from rigcore.lists.supply import assumed
from rigcore.patch.build import Patch, build_patch
from tests.rigcore.book.plans import keys_and_voice
from tests.rigcore.paper.hostile import hostile, texts

SAMPLES = ("piper", "tandem", "ferry")


def sample(name: str) -> Book:
    """Return a shipped sample."""
    return load(resources.samples() / f"{name}.loom", shipped())[0]


def patch_of(book: Book) -> Patch:
    """Return the patch of the first gig."""
    return build_patch(book, None, shipped())


@pytest.mark.parametrize("name", SAMPLES)
def test_the_text_is_short_and_says_who_where_when_and_how_many(name: str) -> None:
    book = sample(name)
    told = advance(patch_of(book), "Sat 21 Aug 2027")
    text = told.text
    gig, house = book.gig(), book.house(book.gig().house)
    for words in (gig.act, house.name, "Sat 21 Aug 2027", "channel", gig.contact, "Thank you"):
        assert words in text
    assert len(" ".join([*told.paragraphs, *told.ending]).split()) <= MOST_WORDS
    assert f"{len(told.questions)}. " in text


def test_every_assumption_of_the_packet_is_a_question_and_no_other_fact() -> None:
    patch = patch_of(keys_and_voice())
    asked = questions(patch)
    facts = [one for one in asked if one.assumed]
    assert tuple(one.assumed for one in facts) == assumed(patch)
    assert {one.key for one in asked} - {one.key for one in facts} == {"contact", "load in", "crew"}


def test_what_is_answered_is_asked_no_more() -> None:
    book = keys_and_voice()
    keys = [one.key for one in questions(patch_of(book))]
    assert "phantom" in keys
    book = learn(book, "house", Fact(key="phantom", value="per channel"))
    book = change_house(book, "house", contact="Ada", crew="one")
    book = change_gig(book, "gig", load_in=dt.time(18))
    left = [one.key for one in questions(patch_of(book))]
    assert left == [key for key in keys if key not in ("phantom", "contact", "crew", "load in")]


def test_a_house_that_has_told_everything_is_asked_nothing() -> None:
    book = keys_and_voice()
    for one in questions(patch_of(book)):
        if one.assumed:
            value = {"pa": "mono", "phantom": "none", "monitor layout": "mono"}.get(one.key, "0")
            book = learn(book, "house", Fact.model_validate({"key": one.key, "value": value}))
    book = change_house(book, "house", contact="Ada", crew="one")
    book = change_gig(book, "gig", load_in=dt.time(18))
    told = advance(patch_of(book), "some day")
    assert told.questions == ()
    assert "no open questions" in told.text


@settings(max_examples=30, deadline=None)
@given(texts)
def test_long_names_do_not_make_it_long(text: str) -> None:
    analysis: Analysis = hostile(text)
    told = advance(analysis.patch, "Fri 14 Aug 2026")
    assert len(" ".join([*told.paragraphs, *told.ending]).split()) <= MOST_WORDS
    assert "\n" not in told.subject
