"""Edges of the families ``cable`` and ``stage`` that one sample cannot show."""

from __future__ import annotations

import pytest

from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.edits.gigs import bind_landing
from rigcore.book.edits.rebuild import checked
from rigcore.book.edits.units import move_on_stage
from rigcore.book.house import Stage
from rigcore.book.stock import StockItem
from rigcore.catalogue.loader import shipped
from rigcore.rules.rule import Finding
from tests.rule_samples.plan import Plan


def _found(book: Book, rule: str) -> list[Finding]:
    return [one for one in analyse(book, None, shipped()).findings if one.rule == rule]


def _apart(gap_m: float, cable: str) -> Plan:
    """Two splitters with so much floor between them on a wide stage."""
    plan = Plan()
    plan.house(stage=Stage(width_m=40.0, depth_m=30.0))
    width = shipped().gear_type("splitter-1x2").width_m
    for name, x in (("one", 0.0), ("two", gap_m + width)):
        plan.unit(name, "splitter-1x2", name.capitalize())
        plan.book = move_on_stage(plan.book, "rig", name, (x, 15.0, 0.0))
    plan.link("one.direct", "two.in", cable)
    return plan


def _with(plan: Plan, *stock: tuple[str, float, int]) -> Book:
    items = tuple(StockItem(kind="cable", type=kind, length_m=length, count=count) for kind, length, count in stock)
    return checked(plan.book, stock=items)


@pytest.mark.parametrize(
    ("gap_m", "severities"),
    [(3.63, []), (3.8, ["risk"]), (4.9, ["risk"]), (5.2, ["fault"])],
)
def test_short_of_slack_is_a_risk_and_short_of_the_way_a_fault(gap_m: float, severities: list[str]) -> None:
    """5 m of cable: 3.63 × 1.1 + 1 = 4.99 m; 3.8 needs 5.18, 4.9 needs 6.39, 5.2 is longer than the cable."""
    assert [one.severity for one in _found(_apart(gap_m, "xlr 5").book, "cable.does-not-reach")] == severities


def test_a_longer_cable_comes_from_the_stock_or_is_packed() -> None:
    plan = _apart(8.0, "xlr 5")  # needs 9.8 m
    for stock, words in (
        ((), ["Use XLR cable, 10 m"]),
        ((("xlr", 5.0, 1),), ["Use XLR cable, 10 m, and pack it"]),
        ((("xlr", 5.0, 1), ("xlr", 10.0, 1)), ["Use XLR cable, 10 m"]),
        ((("xlr", 5.0, 1), ("xlr", 20.0, 1)), ["Use XLR cable, 20 m", "Use XLR cable, 10 m, and pack it"]),
    ):
        book = _with(plan, *stock)
        [finding] = _found(book, "cable.does-not-reach")
        assert [remedy.words for remedy in finding.remedies] == words
        for remedy in finding.remedies:
            mended = remedy.apply(book)
            assert not _found(mended, "cable.does-not-reach")
            assert not _found(mended, "cable.not-enough")


def test_beyond_the_longest_in_the_trade_it_is_joined() -> None:
    plan = Plan()
    plan.unit("voice", "dynamic-handheld", "Voice")
    plan.land("voice.out", "in-1", "xlr 10", name="Lead vox")
    [landing] = plan.book.gig().landings
    book = bind_landing(plan.book, "gig", checked(landing, length_m=33.0), shipped())
    [finding] = _found(book, "cable.does-not-reach")
    assert "does not reach by 23 m" in finding.sentence
    assert [remedy.words for remedy in finding.remedies] == ["Join 2 × XLR cable, 20 m"]
    assert not _found(finding.remedies[0].apply(book), "cable.does-not-reach")


def test_a_shortage_can_be_asked_of_the_house_unless_it_has_none_either() -> None:
    plan = Plan()
    for number in (1, 2):
        plan.unit(f"voice-{number}", "dynamic-handheld", f"Voice {number}")
        plan.land(f"voice-{number}.out", f"in-{number}", "xlr 5", name=f"Vox {number}")
    book = _with(plan, ("xlr", 5.0, 1))
    [finding] = _found(book, "cable.not-enough")
    offered = ["Pack 1 more XLR cable, 5 m", "Ask the house for 1 × XLR cable, 5 m"]
    assert [one.words for one in finding.remedies] == offered
    asked = finding.remedies[1].apply(book)
    assert sorted(piece.owner for one in asked.gig().landings for piece in one.chain) == ["house", "rig"]
    assert not _found(asked, "cable.not-enough")
    for count, remedies in ((0, 1), (1, 2)):
        stock = (StockItem(kind="cable", type="xlr", length_m=10.0, count=count),)
        plan.house(stock=stock)
        [finding] = _found(_with(plan, ("xlr", 5.0, 1)), "cable.not-enough")
        assert len(finding.remedies) == remedies


def test_what_the_house_is_asked_for_and_has_not_is_a_risk() -> None:
    plan = Plan()
    plan.unit("voice", "dynamic-handheld", "Voice")
    plan.land("voice.out", "in-1", "xlr 5", name="Lead vox")
    [landing] = plan.book.gig().landings
    theirs = checked(landing, chain=tuple(checked(piece, owner="house") for piece in landing.chain))
    plan.house(stock=(StockItem(kind="cable", type="xlr", length_m=3.0, count=4),))
    book = bind_landing(plan.book, "gig", theirs, shipped())
    [finding] = _found(book, "cable.not-enough")
    assert finding.severity == "risk"
    assert not _found(finding.remedies[0].apply(book), "cable.not-enough")


def test_a_cable_nobody_sells_is_a_risk_and_can_be_joined() -> None:
    plan = Plan()
    plan.unit("voice", "dynamic-handheld", "Voice")
    plan.land("voice.out", "in-1", "xlr 25", name="Lead vox")
    [finding] = _found(plan.book, "cable.longer-than-stock")
    assert finding.severity == "risk"
    assert not _found(finding.remedies[0].apply(plan.book), "cable.longer-than-stock")
    assert not _found(_with(plan, ("xlr", 25.0, 1)), "cable.longer-than-stock")


@pytest.mark.parametrize(
    ("cable", "length_m", "others"),
    [("ts", 7.0, "balance.unbalanced-run"), ("midi", 16.0, "control.too-long")],
)
def test_what_another_family_counts_is_not_said_twice(cable: str, length_m: float, others: str) -> None:
    plan = Plan()
    plan.unit("keys", "stage-piano-88", "Keys")
    if cable == "ts":
        plan.unit("mixer", "mixer-in-ear", "Mixer")
        plan.link("keys.out-l", "mixer.line-1", f"ts {length_m:g}")
    else:
        plan.unit("module", "sound-module", "Module")
        plan.link("keys.midi-out", "module.midi-in", f"midi {length_m:g}")
    assert _found(plan.book, others)
    assert not [one for one in analyse(plan.book, None, shipped()).findings if one.rule.startswith("cable.")]


def test_wholly_off_the_stage_is_a_note_and_in_the_wings_can_be_moved_on() -> None:
    plan = Plan()
    plan.house(stage=Stage(width_m=4.0, depth_m=3.0))
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.book = move_on_stage(plan.book, "rig", "piano", (5.0, 1.0, 0.0))
    [finding] = _found(plan.book, "stage.off-stage")
    assert finding.severity == "note"
    moved = finding.remedies[0].apply(plan.book)
    assert not _found(moved, "stage.off-stage")
    assert moved.rig("rig").units == plan.book.rig("rig").units
    plan.house(stage=Stage(width_m=1.0, depth_m=3.0))
    [finding] = _found(plan.book, "stage.off-stage")
    assert finding.remedies == ()
