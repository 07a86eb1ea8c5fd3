"""48 V: what each supply reaches, who is fed, who is harmed."""

from __future__ import annotations

import pytest

from rigcore.analysis import analyse
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import Node, build_patch
from rigcore.patch.phantom import needs_phantom, reach, supplies
from tests.rule_samples.plan import Plan

BOX = Node("house", "box", "in-1")


def _rules(plan: Plan) -> set[str]:
    return {one.rule for one in analyse(plan.book, None, shipped()).findings if one.severity == "fault"}


def _split(direct: str, house: str, *, own_on: bool) -> Plan:
    """A condenser behind a transformer splitter; who has the direct leg, what the house does, what the own desk."""
    plan = Plan()
    plan.says(phantom=house)
    plan.unit("vox", "condenser-handheld", "Vox mic")
    plan.unit("split", "splitter-1x2", "Splitter")
    plan.unit("mixer", "mixer-in-ear", "Ear mixer")
    plan.link("vox.out", "split.in", "xlr 5")
    house_leg, own_leg = ("direct", "isolated") if direct == "house" else ("isolated", "direct")
    plan.land(f"split.{house_leg}", "in-1", "xlr 5", name="Lead vox")
    plan.link(f"split.{own_leg}", "mixer.mic-1", "xlr 1.5")
    plan.set("mixer.mic-1", phantom=own_on)
    return plan


@pytest.mark.parametrize(
    ("direct", "house", "own_on", "fed"),
    [
        ("house", "per channel", False, True),  # the house feeds, and has the direct leg
        ("own", "always on", False, False),  # the house feeds the isolated leg, the own desk is off
        ("own", "none", True, True),  # the own desk feeds, and has the direct leg
        ("house", "none", True, False),  # the own desk feeds the isolated leg
    ],
)
def test_all_four_ways_of_leg_and_supply(direct: str, house: str, own_on: bool, fed: bool) -> None:
    plan = _split(direct, house, own_on=own_on)
    assert ("phantom.missing" not in _rules(plan)) is fed


def test_the_isolated_leg_says_what_blocks() -> None:
    findings = analyse(_split("own", "always on", own_on=False).book, None, shipped()).findings
    (missing,) = [one for one in findings if one.rule == "phantom.missing"]
    assert "could feed it, but its 48 V is off" in missing.working[0]
    assert [remedy.words for remedy in missing.remedies] == ["Switch 48 V on at Ear mixer Mic 1"]


def test_required_and_present_are_two_facts() -> None:
    patch = build_patch(_split("own", "always on", own_on=False).book, None, shipped())
    assert not needs_phantom(patch, BOX)
    assert {supply.end.node: supply.is_on for supply in supplies(patch)} == {
        BOX: True, Node("rig", "mixer", "mic-1"): False,
    }


def _piano(*chain: str, house: str = "always on") -> Plan:
    plan = Plan()
    plan.says(phantom=house)
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.land("piano.out-l", "in-1", *chain, name="Piano")
    return plan


def test_a_passive_di_keeps_48_v_off_a_keyboard() -> None:
    plan = _piano("ts 3", "di-passive in-1 out-1", "xlr 5")
    assert _rules(plan) == set()
    reached = reach(build_patch(plan.book, None, shipped()), BOX)
    assert [end.words for end in reached] == ["Passive DI box Out"]


def test_an_active_di_is_fed_and_keeps_48_v_off_too() -> None:
    assert _rules(_piano("ts 3", "di-active in-1 out-1", "xlr 5", house="per channel")) == set()
    assert _rules(_piano("ts 3", "di-active in-1 out-1", "xlr 5", house="none")) == {"phantom.missing"}


@pytest.mark.parametrize("way", ["ts-xlr 3", "adapter-ts6m-xlr3m in out"])
def test_a_wire_lets_48_v_through(way: str) -> None:
    assert _rules(_piano(way)) == {"phantom.harmed"}
    assert _rules(_piano(way, house="none")) == set()
    assert _rules(_piano(way, house="per channel")) == set()


def test_what_has_no_cable_yet_is_not_harmed_yet() -> None:
    assert _rules(_piano()) == {"fit.no-cable"}


def test_an_unknown_house_is_taken_to_feed_always() -> None:
    plan = _piano("ts-xlr 3")
    plan.house(facts=())
    findings = analyse(plan.book, None, shipped()).findings
    (harmed,) = [one for one in findings if one.rule == "phantom.harmed"]
    assert harmed.assumed == ("phantom",)
    (note,) = [one for one in findings if one.rule == "phantom.global-switch"]
    assert "taken to be always on" in note.sentence


def _y(own_on: bool, house: str) -> Plan:
    plan = Plan()
    plan.says(phantom=house)
    plan.unit("vox", "condenser-handheld", "Vox mic")
    plan.unit("y", "y-lead-xlr", "Y-lead")
    plan.unit("mixer", "mixer-in-ear", "Ear mixer")
    plan.link("vox.out", "y.in", "xlr 5")
    plan.link("y.out-1", "mixer.mic-1")
    plan.land("y.out-2", "in-1", "xlr 5", name="Lead vox")
    plan.set("mixer.mic-1", phantom=own_on)
    return plan


def test_a_y_lead_passes_48_v_on_both_legs() -> None:
    assert _rules(_y(True, "none")) == set()
    assert _rules(_y(False, "per channel")) == set()
    assert _rules(_y(False, "none")) == {"phantom.missing"}


def test_a_global_switch_reaches_the_neighbours() -> None:
    plan = Plan()
    plan.says(phantom="global")
    plan.unit("vox", "condenser-handheld", "Vox mic")
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.land("piano.out-l", "in-1", "ts-xlr 3", name="Piano")
    assert _rules(plan) == set()
    plan.land("vox.out", "in-2", "xlr 5", name="Lead vox")
    assert _rules(plan) == {"phantom.harmed"}


def test_one_switch_of_an_own_mixer_feeds_both_inputs() -> None:
    plan = Plan()
    plan.unit("vox", "condenser-handheld", "Vox mic")
    plan.unit("mixer", "mixer-small", "Mixer")
    plan.link("vox.out", "mixer.mic-1", "xlr 5")
    plan.set("mixer.mic-2", phantom=True)
    assert _rules(plan) == set()


@pytest.mark.parametrize(("cable", "live"), [("ts-xlr 3", True), ("ts 3", False)])
def test_the_jack_half_of_a_combined_socket_supplies_nothing(cable: str, live: bool) -> None:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("mixer", "mixer-rack-16", "Mixer")
    plan.set("mixer.in-1", phantom=True)
    plan.link("piano.out-l", "mixer.in-1", cable)
    assert bool(supplies(build_patch(plan.book, None, shipped()))) is live


def test_a_mixer_between_ends_the_dependence_on_one_leg() -> None:
    """What a mixer sends on to a splitter is not the microphone's own line."""
    plan = Plan()
    plan.unit("vox", "condenser-handheld", "Vox mic")
    plan.unit("mixer", "mixer-small", "Mixer")
    plan.unit("split", "splitter-1x2", "Splitter")
    plan.unit("ears", "mixer-in-ear", "Ear mixer")
    plan.link("vox.out", "mixer.mic-1", "xlr 5")
    plan.set("mixer.mic-1", phantom=True)
    plan.link("mixer.main-l", "split.in", "xlr 3")
    plan.link("split.isolated", "ears.mic-1", "xlr 3")
    plan.land("split.direct", "in-1", "xlr 5", name="Voice")
    rules = {one.rule for one in analyse(plan.book, None, shipped()).findings}
    assert "phantom.one-leg" not in rules
