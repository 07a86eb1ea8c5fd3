"""Accepted risks: covered while the numbers hold, a finding again when they change, never a fault."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from rigcore import resources
from rigcore.analysis import analyse
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.book.edits.risks import accept_risk, take_back
from rigcore.catalogue.loader import shipped
from rigcore.catalogue.record import changed
from rigcore.rules.accepted import acceptance, can_accept


@pytest.fixture(scope="module")
def book() -> Book:
    return book_file.load(resources.samples() / "tandem.loom", shipped())[0]


def test_an_accepted_risk_is_no_finding_and_comes_back_when_taken_back(book: Book) -> None:
    before = analyse(book, None, shipped())
    risk = next(one for one in before.findings if can_accept(one))
    taken = accept_risk(book, acceptance(risk, before.gig.id, "heard it at rehearsal"))
    after = analyse(taken, None, shipped())
    assert set(before.findings) - set(after.findings) == {risk}
    assert [(one.rule, how.reason) for one, how in after.accepted] == [(risk.rule, "heard it at rehearsal")]
    assert after.lapsed == ()
    assert analyse(take_back(taken, taken.accepted[0]), None, shipped()).findings == before.findings


def test_other_numbers_make_it_a_finding_again(book: Book) -> None:
    before = analyse(book, None, shipped())
    risk = next(one for one in before.findings if can_accept(one) and one.working)
    stale = changed(acceptance(risk, before.gig.id, "was quiet"), working=("quite other numbers",))
    after = analyse(accept_risk(book, stale), None, shipped())
    assert after.findings == before.findings
    assert after.lapsed == (stale,)


def test_a_fault_is_never_accepted(book: Book) -> None:
    before = analyse(book, None, shipped())
    fault = next(one for one in before.findings if one.severity == "fault")
    after = analyse(accept_risk(book, acceptance(fault, before.gig.id, "who cares")), None, shipped())
    assert fault in after.findings


def test_an_acceptance_holds_for_its_gig_only_and_wants_a_reason(book: Book) -> None:
    before = analyse(book, None, shipped())
    risk = next(one for one in before.findings if can_accept(one))
    elsewhere = analyse(accept_risk(book, acceptance(risk, "another-gig", "fine there")), None, shipped())
    assert risk in elsewhere.findings
    with pytest.raises(ValidationError):
        acceptance(risk, before.gig.id, "")
