"""Edges of single rules: what must be said once, what must not be said, and what a remedy leaves behind."""

from __future__ import annotations

import pytest

from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.catalogue.loader import shipped
from rigcore.rules.rule import Finding
from tests.rule_samples.plan import Plan

FAMILIES = ("fit", "level", "balance", "phantom", "channels")


def _found(book: Book) -> list[Finding]:
    return list(analyse(book, None, shipped()).findings)


def _rules(plan: Plan) -> list[str]:
    """Return the rules of the families looked at here that speak."""
    return [one.rule for one in _found(plan.book) if one.rule.partition(".")[0] in FAMILIES]


def _linked(source: str, target: str, cable: str = "") -> Plan:
    """Two units named after their gear, joined at a port each."""
    plan = Plan()
    ends = []
    for number, text in enumerate((source, target)):
        gear, _, port = text.partition(".")
        plan.unit(f"u{number}", gear, f"{gear} {number}")
        ends.append(f"u{number}.{port}")
    plan.link(*ends, cable)
    return plan


def test_a_wrong_cable_names_the_right_one() -> None:
    plan = _linked("mixer-small.main-l", "wedge-powered-lock20.in", "xlr-trs 3")
    (finding,) = _found(plan.book)
    assert finding.rule == "fit.no-mating"
    assert finding.sentence.endswith("XLR cable would do.")
    assert _found(finding.remedies[0].apply(plan.book)) == []


def test_a_run_longer_than_any_cable_is_joined() -> None:
    plan = Plan()
    plan.unit("vox", "dynamic-handheld", "Vox mic")
    plan.intend("vox.out", "in-1", 45.0, name="Lead vox")
    (finding,) = _found(plan.book)
    assert finding.sentence == "Lead vox has no cable yet; XLR cable would do, 3 joined."
    mended = finding.remedies[0].apply(plan.book)
    assert len(mended.gig().landings[0].chain) == 3
    assert _found(mended) == []


def test_no_lead_is_offered_where_48_v_would_do_harm() -> None:
    plan = Plan()
    plan.says(phantom="always on")
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.intend("piano.out-l", "in-1", 3.0, name="Piano")
    (fault,) = [one for one in _found(plan.book) if one.severity == "fault"]
    assert "needs a DI box" in fault.sentence
    assert fault.remedies == ()


def test_a_distance_matters_even_where_ports_mate_bare() -> None:
    plan = Plan()
    plan.unit("vox", "dynamic-handheld", "Vox mic")
    plan.land("vox.out", "in-1", name="Lead vox")
    assert _rules(plan) == []
    plan.unit("second", "dynamic-handheld", "Second mic")
    plan.intend("second.out", "in-2", 4.0, name="Second vox")
    assert _rules(plan) == ["fit.no-cable"]


def test_the_second_leg_of_a_socket_is_not_said_again() -> None:
    plan = Plan()
    plan.bar_system()
    plan.unit("mixer", "mixer-small", "Mixer")
    chain = ("adapter-xlr3f-rcam in out", "adapter-rca-y in out-1 out-2")
    plan.land("mixer.main-l", "bar", *chain, name="Bar feed")
    assert _rules(plan).count("level.consumer") == 1


@pytest.mark.parametrize("rule", ["fit.output-to-output", "fit.input-to-input"])
def test_a_misplugged_cable_is_not_also_one_too_many(rule: str) -> None:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("organ", "organ-73", "Organ")
    plan.unit("mixer", "mixer-line-8", "Mixer")
    plan.link("piano.out-l", "mixer.line-1-l", "ts 3")
    if rule == "fit.output-to-output":
        plan.link("piano.out-l", "organ.out-l", "ts 3")
    else:
        plan.link("mixer.line-2-l", "mixer.line-1-l", "trs 1")
    assert _rules(plan) == [rule]


def test_two_on_one_mix_of_the_house_is_said_once() -> None:
    plan = Plan()
    for name in ("left", "right"):
        plan.unit(name, "wedge-powered", f"Wedge {name}")
        plan.land(f"{name}.in", "mix-1", "xlr 5", name=f"Mix {name}")
    assert _rules(plan) == ["channels.two-on-one"]


def test_the_last_free_line_taken_leaves_only_giving_up() -> None:
    plan = Plan()
    plan.lines(1)
    for name in ("lead", "second"):
        plan.unit(name, "dynamic-handheld", f"{name} mic")
        plan.land(f"{name}.out", "in-1", "xlr 5", name=f"{name} vox")
    faults = {one.rule: one for one in _found(plan.book) if one.severity == "fault"}
    assert set(faults) == {"channels.two-on-one", "channels.too-many"}
    assert [one.words for one in faults["channels.two-on-one"].remedies] == ["Land second vox nowhere for now"]


def test_a_stand_in_needs_no_line_of_its_own() -> None:
    plan = Plan()
    plan.lines(1)
    plan.unit("piano", "stage-piano-73", "Piano")
    plan.land("piano.out-l", "in-1", "trs-xlr 3", name="Piano L", falls_back_to=None)
    plan.hand_off("piano.phones", "Piano mono")
    plan.hand_off("piano.out-r", "Piano R", importance="nice", falls_back_to="piano-mono")
    found = [(one.rule, one.severity) for one in _found(plan.book) if one.rule.startswith("channels")]
    assert found == [("channels.unbound", "note")]


@pytest.mark.parametrize(
    ("source", "target", "cable", "rules"),
    [
        ("mixer-small.monitor", "pedal-delay-stereo.in-l", "trs 3", ["fit.ring-shorted"]),  # shorted at the far end
        ("mixer-small.main-l", "keyboard-amplifier.line-1", "xlr-ts 3", ["balance.leg-lost"]),  # pin 3 open
        ("stage-piano-88.phones", "headphones-635.in", "phones-extension 6", []),  # no hum after the last amplifier
        ("synth-61.out-l", "headphone-amplifier-4.in-l", "trs 3", []),
        ("laptop-interface-4.out-1", "headphones-635.in", "", ["level.hot", "channels.one-ear"]),  # nothing on the ring
        ("power-amplifier-2.out-1", "speaker-passive-12.in", "speaker 5", ["fit.half-lost"]),
        ("guitar-head.speaker", "guitar-cabinet.in", "ts 1", ["fit.medium"]),  # not made for it
        ("pedal-sustain-closed.out", "stage-piano-88.pedal", "", []),
        ("synth-monophonic-37.midi-out", "synth-monophonic-37.midi-in", "trs3-trs3 1.5", []),
        ("synth-61.out-l", "keyboard-amplifier.line-1", "", ["fit.no-cable"]),  # sockets both, but no turnaround
        ("powered-monitor.thru", "powered-monitor.in", "xlr 5", []),
    ],
)
def test_one_connection(source: str, target: str, cable: str, rules: list[str]) -> None:
    assert _rules(_linked(source, target, cable)) == rules


@pytest.mark.parametrize(("source", "rules"), [("mixer-small.main-l", ["fit.ring-shorted"]), ("line-isolator.out", [])])
def test_the_second_leg_of_a_transformer_may_lie_on_the_sleeve(source: str, rules: list[str]) -> None:
    plan = _linked(source, "adapter-xlr3f-trs6m.in", "")
    plan.unit("pedal", "pedal-delay-stereo", "Pedal")
    plan.link("u1.out", "pedal.in-l", "")
    assert [rule for rule in _rules(plan) if rule.startswith("fit.ring")] == rules


def test_two_poles_of_four_are_only_a_note() -> None:
    (finding,) = _found(_linked("power-amplifier-2.out-1", "speaker-passive-12.in", "speaker 5").book)
    assert finding.severity == "note"


def test_a_lead_made_for_something_else_is_exchanged() -> None:
    plan = _linked("guitar-head.speaker", "guitar-cabinet.in", "ts 1")
    (finding,) = _found(plan.book)
    assert finding.severity == "risk"
    assert _found(finding.remedies[0].apply(plan.book)) == []


def test_the_jack_half_of_a_combined_socket_is_a_line_input() -> None:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("phones", "headphones-635", "Headphones")
    plan.unit("mixer", "mixer-rack-16", "Mixer")
    plan.link("piano.out-l", "mixer.in-1", "ts 3")
    plan.link("piano.phones", "phones.in")
    plan.unit("di", "di-passive", "DI")
    plan.link("piano.out-r", "di.in-1", "ts 3")
    assert _rules(plan) == []


def test_headphones_are_no_sound_a_full_mixer_misses() -> None:
    plan = Plan()
    plan.unit("mixer", "mixer-passive-4", "Mixer")
    for number, name in enumerate(("piano", "second")):
        plan.unit(name, "stage-piano-88", name.title())
        plan.link(f"{name}.out-l", f"mixer.in-{2 * number + 1}", "ts 3")
        plan.link(f"{name}.out-r", f"mixer.in-{2 * number + 2}", "ts 3")
    plan.unit("phones", "headphones-635", "Headphones")
    plan.link("piano.phones", "phones.in")
    assert _rules(plan) == []


def test_both_halves_on_one_line_are_not_also_split() -> None:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("di", "di-passive-stereo", "DI boxes")
    for number, side in ((1, "L"), (2, "R")):
        plan.link(f"piano.out-{side.lower()}", f"di.in-{number}", "ts 1")
        plan.land(f"di.out-{number}", "in-1", "xlr 5", name=f"Piano {side}", group="piano", side=side)
    assert _rules(plan) == ["channels.two-on-one"]


def test_ears_only_pairs_are_not_summed_by_the_house() -> None:
    plan = Plan()
    plan.says(pa="mono")
    plan.unit("tracks", "laptop-interface-4", "Tracks")
    plan.unit("di", "di-passive-stereo", "DI boxes")
    for number, side in ((1, "L"), (2, "R")):
        plan.link(f"tracks.out-{number}", f"di.in-{number}", "ts 1")
        fields = {"group": "tracks", "side": side, "ears_only": True}
        plan.land(f"di.out-{number}", f"in-{number}", "xlr 5", name=f"Tracks {side}", **fields)
    assert _rules(plan) == []
