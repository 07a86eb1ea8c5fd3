"""The classic mistakes: each reported once, at its place, with its number; mended, not one of them is left."""

from __future__ import annotations

import pytest

from rigcore import resources
from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.file import load, to_bytes
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import build_patch
from rigcore.patch.loads import runs
from rigcore.rules.rule import Finding
from rigcore.rules.rulebook import RULES
from tests.rigcore.planted import Mistake, made
from tests.rigcore.planted_rest import REST
from tests.rigcore.planted_signal import SIGNAL
from tests.rule_samples.plan import Plan

MISTAKES: list[Mistake] = [*SIGNAL, *REST]

SIGNAL_FAMILIES = {"fit", "level", "load", "balance", "phantom", "ground", "control", "power", "channels"}

every_mistake = pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake.rule)


def _shipped(name: str) -> Book:
    return load(resources.samples() / f"{name}.loom", shipped())[0]


@pytest.fixture(scope="module")
def planted() -> tuple[Finding, ...]:
    return analyse(_shipped("mistakes"), None, shipped()).findings


@pytest.fixture(scope="module")
def mended() -> tuple[Finding, ...]:
    return analyse(_shipped("mistakes-mended"), None, shipped()).findings


def test_shipped_books_are_what_is_planted() -> None:
    for name, whether in (("mistakes", False), ("mistakes-mended", True)):
        on_disk = (resources.samples() / f"{name}.loom").read_bytes()
        assert on_disk == to_bytes(made(MISTAKES, mended=whether)), "run python tests/make_samples.py"


def test_enough_is_planted_in_every_family() -> None:
    known = {rule.id for rule in RULES}
    assert len(MISTAKES) >= 25
    assert len({mistake.rule for mistake in MISTAKES}) == len(MISTAKES)
    assert {mistake.rule for mistake in MISTAKES} <= known
    assert {mistake.rule.partition(".")[0] for mistake in MISTAKES} >= SIGNAL_FAMILIES & {rule.family for rule in RULES}


@every_mistake
def test_each_is_reported_once_at_its_place(mistake: Mistake, planted: tuple[Finding, ...]) -> None:
    [finding] = [one for one in planted if one.rule == mistake.rule]
    assert finding.severity == mistake.severity
    assert frozenset(finding.things) == mistake.things


@every_mistake
def test_each_shows_its_decisive_number(mistake: Mistake, planted: tuple[Finding, ...]) -> None:
    [finding] = [one for one in planted if one.rule == mistake.rule]
    assert mistake.number
    assert any(mistake.number in line for line in finding.working), finding.working


def test_nothing_else_is_a_fault(planted: tuple[Finding, ...]) -> None:
    meant = {(mistake.rule, mistake.things) for mistake in MISTAKES}
    others = [one for one in planted if (one.rule, frozenset(one.things)) not in meant]
    assert [one.sentence for one in others if one.severity == "fault"] == []


def test_mended_there_is_no_fault_and_none_of_them(mended: tuple[Finding, ...]) -> None:
    rules = {mistake.rule for mistake in MISTAKES}
    assert [one.sentence for one in mended if one.severity == "fault" or one.rule in rules] == []


# -- edges of the rules of balance and 48 V that one sample cannot show ------------------------------------------


def _found(plan: Plan, rule: str) -> list[Finding]:
    return [one for one in analyse(plan.book, None, shipped()).findings if one.rule == rule]


def _strap(first_m: float, then_m: float) -> Plan:
    """An unbalanced keyboard over an adapter and two leads into a line input."""
    plan = Plan()
    plan.unit("keys", "keyboard-strap", "Keys")
    plan.unit("adapter", "adapter-trs6f-xlr3m", "Adapter")
    plan.unit("mixer", "mixer-in-ear", "Mixer")
    plan.link("keys.out-l", "adapter.in", f"ts {first_m:g}")
    plan.link("adapter.out", "mixer.line-1", f"xlr-trs {then_m:g}")
    return plan


@pytest.mark.parametrize(
    ("first_m", "then_m", "severities"),
    [(1.5, 1.5, []), (2.0, 1.5, ["risk"]), (3.0, 3.0, ["risk"]), (3.0, 3.5, ["fault"])],
)
def test_unbalanced_lengths_add_up_over_an_adapter(first_m: float, then_m: float, severities: list[str]) -> None:
    assert [one.severity for one in _found(_strap(first_m, then_m), "balance.unbalanced-run")] == severities


def test_a_transformer_ends_a_run() -> None:
    plan = Plan()
    plan.unit("keys", "keyboard-strap", "Keys")
    plan.land("keys.out-l", "in-1", "ts 3", "di-passive in-1 out-1", "xlr 20", name="Keys")
    assert _found(plan, "balance.unbalanced-run") == []
    assert sorted(run.length_m for run in runs(build_patch(plan.book, None, shipped()))) == [3.0, 20.0]


def test_a_balanced_line_is_unbalanced_all_the_way_once_its_far_end_is() -> None:
    plan = Plan()
    plan.bar_system()
    plan.unit("mixer", "mixer-small", "Mixer")
    plan.land("mixer.main-l", "bar-l", "xlr 10", "adapter-xlr3f-rcam in out", name="Bar feed")
    [run] = _found(plan, "balance.unbalanced-run")
    assert run.severity == "fault"
    [leg] = _found(plan, "balance.leg-lost")
    assert "over 10 m" in leg.sentence


def test_a_shorted_leg_is_said_once() -> None:
    plan = Plan()
    plan.unit("mixer", "mixer-line-8", "Mixer")
    plan.unit("cabinet", "rotary-cabinet", "Cabinet")
    plan.link("mixer.main-l", "cabinet.in", "ts 3")
    assert _found(plan, "balance.leg-lost") == []
    assert len(_found(plan, "fit.ring-shorted")) == 1


def _y(second: str, *, needs: bool, cable: str = "") -> Plan:
    plan = Plan()
    plan.unit("vox", "condenser-handheld" if needs else "dynamic-handheld", "Vox mic")
    plan.unit("split", "y-lead-xlr", "Y-lead")
    plan.unit("other", second.partition(".")[0], "Other")
    plan.link("vox.out", "split.in", "xlr 5")
    plan.link("split.out-1", f"other.{second.partition('.')[2]}", cable)
    plan.land("split.out-2", "in-1", "xlr 5", name="Vox")
    return plan


def test_48_v_at_an_input_that_could_feed_it_is_a_note() -> None:
    """A microphone input with its own 48 V off bears that of another; a line input need not."""
    assert [one.severity for one in _found(_y("mixer-in-ear.mic-1", needs=True), "phantom.through-split")] == ["note"]
    plan = _y("equaliser-15.in-1", needs=True, cable="xlr 3")
    assert [one.severity for one in _found(plan, "phantom.through-split")] == ["risk"]
    assert _found(_y("equaliser-15.in-1", needs=False, cable="xlr 3"), "phantom.through-split") == []


def test_a_lift_in_a_line_to_a_house_without_48_v_is_not_the_cause() -> None:
    plan = Plan()
    plan.says(phantom="none")
    plan.unit("vox", "condenser-handheld", "Vox mic")
    plan.land("vox.out", "in-1", "xlr 5", "adapter-xlr-lift in out", name="Vox")
    assert _found(plan, "phantom.lifted") == []
    assert len(_found(plan, "phantom.missing")) == 1


def test_an_active_di_with_its_lift_open_is_told_of_it_once() -> None:
    plan = Plan()
    plan.unit("guitar", "electric-guitar", "Guitar")
    plan.unit("di", "di-active", "DI")
    plan.link("guitar.out", "di.in-1", "ts 3")
    plan.land("di.out-1", "in-1", "xlr 5", name="Guitar")
    assert _found(plan, "phantom.lifted") == []
    plan.set("di.out-1", lift=True)
    [note] = _found(plan, "phantom.lifted")
    assert note.severity == "note"
    assert note.remedies[0].apply(plan.book).rig("rig").unit("di").setting("out-1").lift is False


def test_a_silent_house_is_asked_once_and_its_worst_case_is_named() -> None:
    plan = Plan()
    plan.house(facts=())
    for number in (1, 2):
        plan.unit(f"vox-{number}", "condenser-handheld", f"Vox mic {number}")
        plan.land(f"vox-{number}.out", f"in-{number}", "xlr 5", name=f"Vox {number}")
    [note] = _found(plan, "phantom.unasked")
    assert note.assumed == ("phantom",)
    assert _found(plan, "phantom.global-switch") == []
    assert analyse(note.remedies[0].apply(plan.book), None, shipped()).findings == ()


def test_a_chain_of_lines_is_judged_only_once_per_supply() -> None:
    plan = _y("mixer-rack-16.in-1", needs=True)
    plan.set("other.in-1", phantom=True)
    assert len(_found(plan, "phantom.two-supplies")) == 1
    plan.says(phantom="none")
    assert _found(plan, "phantom.two-supplies") == []


def test_an_in_line_pad_is_offered_where_the_input_has_none_and_is_enough() -> None:
    plan = Plan()
    plan.unit("mixer", "mixer-in-ear", "Mixer")
    plan.land("mixer.main-l", "in-1", "trs-xlr 5", name="Mix")
    [hot] = _found(plan, "level.hot")
    assert [remedy.words for remedy in hot.remedies] == ["Put XLR in-line pad, 12 dB in"]
    assert analyse(hot.remedies[0].apply(plan.book), None, shipped()).findings == ()


def test_a_hand_off_that_must_land_is_not_offered_to_land_nowhere() -> None:
    for importance, offered in (("must", 0), ("nice", 1)):
        plan = Plan()
        plan.unit("tablet", "tablet", "Tablet")
        plan.land("tablet.phones", "in-1", "trs3-trs3 1.5", name="Break music", importance=importance)
        [broken] = _found(plan, "fit.no-mating")
        assert len([one for one in broken.remedies if "nowhere" in one.words]) == offered
