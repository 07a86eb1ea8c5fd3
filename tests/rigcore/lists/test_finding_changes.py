"""Findings before and after, matched by rule and things concerned."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rigcore.analysis import analyse
from rigcore.book.edits.houses import learn
from rigcore.book.house import Fact
from rigcore.catalogue.loader import shipped
from rigcore.lists.finding_changes import finding_changes
from rigcore.rules.rule import Finding, Severity, Thing
from tests.rigcore.book.plans import keys_and_voice

SEVERITIES: tuple[Severity, ...] = ("fault", "risk", "note")

findings = st.builds(
    Finding, st.sampled_from(["a.b", "a.c"]), st.sampled_from(SEVERITIES), st.sampled_from(["one", "two"]),
    st.sampled_from([(), (Thing("unit", "x"),), (Thing("unit", "y"),)]),
)  # fmt: skip


@given(st.lists(findings, max_size=8), st.lists(findings, max_size=8))
def test_nothing_is_lost_or_made_up(before: list[Finding], after: list[Finding]) -> None:
    changes = finding_changes(before, after)
    assert len(before) - len(changes.gone) == len(after) - len(changes.new)
    assert set(changes.gone) <= set(before)
    assert set(changes.new) <= set(after)
    for was, now in changes.changed:
        assert (was.rule, was.things) == (now.rule, now.things)
        assert (was.severity, was.sentence) != (now.severity, now.sentence)


@given(st.lists(findings, max_size=8))
def test_the_same_findings_are_no_change(same: list[Finding]) -> None:
    assert finding_changes(same, same).is_empty


def test_an_answer_settles_what_rested_on_an_assumption() -> None:
    book = keys_and_voice()
    mono = learn(book, "house", Fact(key="phantom", value="always on"))
    per_channel = learn(book, "house", Fact(key="phantom", value="per channel"))
    before, same, after = (analyse(one, None, shipped()).findings for one in (book, mono, per_channel))
    assert {one.rule for one in before if "phantom" in one.assumed} == {
        was.rule for was, _ in finding_changes(before, same).changed
    }
    assert {one.rule for one in finding_changes(before, after).gone} >= {
        one.rule for one in before if "phantom" in one.assumed and one not in after
    } - {was.rule for was, _ in finding_changes(before, after).changed}
