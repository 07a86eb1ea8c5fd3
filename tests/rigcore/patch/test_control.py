"""Control and data: what is driven, drawn, clocked and how long, and the edges of the rules on them."""

from __future__ import annotations

import pytest

from rigcore.analysis import analyse
from rigcore.catalogue.carriers import Carrier, DigitalAudio, Expression, FootSwitch, Midi, Usb, WordClock
from rigcore.catalogue.gear import Path
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import Patch, build_patch
from rigcore.patch.control import buses, clock_groups, link_limit, midi_fans
from rigcore.rules.rule import Finding
from tests.rule_samples.control import HUB, MIDI_Y, clocked, gear, port
from tests.rule_samples.plan import Plan


def _patch(plan: Plan) -> Patch:
    return build_patch(plan.book, None, shipped())


def _findings(plan: Plan) -> list[Finding]:
    return [one for one in analyse(plan.book, None, shipped()).findings if one.rule.startswith("control")]


def _rules(plan: Plan) -> list[str]:
    return [one.rule for one in _findings(plan)]


def _pair(source: Carrier, target: Carrier, connector: str = "bnc.f") -> Plan:
    """Two boxes of the book's own with one port each, joined bare or to be joined."""
    plan = Plan()
    plan.own(gear("one", "other", port("out", "out", connector, source)))
    plan.own(gear("two", "other", port("in", "in", connector, target)))
    plan.unit("one", "one", "One")
    plan.unit("two", "two", "Two")
    return plan


@pytest.mark.parametrize(
    ("source", "target", "cable", "row"),
    [
        ("controller-61.midi-out", "sound-module.midi-in", "midi 3", "midi_din"),
        ("drum-machine.midi-out", "synth-monophonic-37.midi-in", "midi-trs 1.5", "midi_trs_adapter"),
        ("laptop.usb-2", "controller-61.usb", "usb-a-b 2", "usb2"),
        ("mixer-rack-16.network", "mixer-rack-16.network", "network 5", "tia568_channel"),
        ("interface-8.optical-out", "interface-8.optical-in", "optical 2", "optical"),
        ("interface-8.wordclock", "interface-8.wordclock", "bnc 1", None),
        ("stage-piano-88.out-l", "mixer-in-ear.line-1", "ts 3", None),
    ],
)
def test_which_limit_a_link_falls_under(source: str, target: str, cable: str, row: str | None) -> None:
    plan = Plan()
    ends = []
    for number, text in enumerate((source, target)):
        kind, _, socket = text.partition(".")
        plan.unit(f"u{number}", kind, f"Unit {number}")
        ends.append(f"u{number}.{socket}")
    plan.link(*ends, cable)
    (hop,) = _patch(plan).hops
    assert link_limit(hop) == row


@pytest.mark.parametrize(
    ("carrier", "row"),
    [
        (DigitalAudio(medium="aes3", ohm=75.0), "aes3id"),
        (Usb(medium="usb", role="host", speed="super"), "usb3"),
    ],
)
def test_which_limit_gear_of_the_own_falls_under(carrier: Carrier, row: str) -> None:
    plan = _pair(carrier, carrier)
    plan.link("one.out", "two.in", "bnc 3")
    (hop,) = _patch(plan).hops
    assert link_limit(hop) == row


def test_different_media_have_no_common_limit() -> None:
    plan = _pair(DigitalAudio(medium="aes3"), WordClock(medium="wordclock"))
    plan.link("one.out", "two.in", "bnc 3")
    (hop,) = _patch(plan).hops
    assert link_limit(hop) is None


def test_a_thru_with_electronics_is_an_output_of_its_own() -> None:
    plan = Plan()
    plan.unit("keys", "controller-61", "Keys")
    plan.unit("thru", "midi-thru-box-4", "Thru")
    plan.unit("module", "sound-module", "Module")
    plan.link("keys.midi-out", "thru.midi-in", "midi 3")
    plan.link("thru.midi-thru-1", "module.midi-in", "midi 3")
    fans = {fan.output.node.unit: [end.node.unit for end in fan.inputs] for fan in midi_fans(_patch(plan))}
    assert fans == {"keys": ["thru"], "thru": ["module"]}


def test_a_passive_split_through_two_leads_is_counted_through() -> None:
    """Y into Y: three inputs on one output, reported once."""
    plan = Plan()
    second = gear(
        "midi-y-two", "adapter", port("in", "in", "din5.f", Midi(medium="midi")),
        *(port(f"out-{n}", "out", "din5.m", Midi(medium="midi")) for n in (1, 2)),
        paths=tuple(Path(source="in", target=f"out-{n}", kind="wire") for n in (1, 2)),
    )
    plan.own(MIDI_Y)
    plan.own(second)
    plan.unit("keys", "controller-61", "Keys")
    plan.unit("first", "midi-y-lead", "First lead")
    plan.unit("second", "midi-y-two", "Second lead")
    for number in (1, 2, 3):
        plan.unit(f"module-{number}", "sound-module", f"Module {number}")
    plan.link("keys.midi-out", "first.in")
    plan.link("first.out-1", "module-1.midi-in")
    plan.link("first.out-2", "second.in")
    plan.link("second.out-1", "module-2.midi-in")
    plan.link("second.out-2", "module-3.midi-in")
    (finding,) = _findings(plan)
    assert finding.rule == "control.midi-split"
    assert finding.working == ("5 mA loop / 3 inputs = 1.7 mA for each, needed 5 mA",)


def test_two_plugs_in_one_midi_output_are_said_once() -> None:
    plan = Plan()
    plan.unit("keys", "controller-61", "Keys")
    for number in (1, 2):
        plan.unit(f"module-{number}", "sound-module", f"Module {number}")
        plan.link("keys.midi-out", f"module-{number}.midi-in", "midi 3")
    assert [one.rule for one in analyse(plan.book, None, shipped()).findings] == ["fit.one-to-many"]


def test_a_hub_without_a_supply_draws_for_all_that_hangs_on_it() -> None:
    plan = Plan()
    plan.own(HUB)
    plan.unit("laptop", "laptop", "Laptop")
    plan.unit("hub", "small-hub", "Hub")
    plan.unit("keys", "controller-61", "Keys")
    plan.link("laptop.usb-2", "hub.up", "usb-a-b 1")
    plan.link("hub.down-1", "keys.usb", "usb-a-b 2")
    (bus,) = buses(_patch(plan))
    assert bus.host.node.unit == "laptop"
    assert (bus.gives_ma, bus.drawn_ma) == (500.0, 350.0)
    assert [(end.name, one) for end, one in bus.draws] == [("Hub", 100.0), ("Keys", 250.0)]


def test_two_usb_hosts_have_no_bus() -> None:
    plan = Plan()
    plan.unit("one", "laptop", "One laptop")
    plan.unit("two", "laptop", "Two laptop")
    plan.link("one.usb-1", "two.usb-1", "usb-c-c 2")
    assert buses(_patch(plan)) == ()
    (finding,) = _findings(plan)
    assert finding.rule == "control.usb-roles"
    assert "both USB hosts" in finding.sentence


def _clocks(*roles: str) -> Plan:
    """Units chained by word clock, each of its own type with one socket in and one out."""
    plan = Plan()
    for number, role in enumerate(roles):
        clock = WordClock(medium="wordclock", role=role)  # type: ignore[arg-type]
        sockets = [port(name, "both", "bnc.f", clock) for name in ("a", "b")]
        plan.own(gear(f"unit-{number}", "processor", *sockets))
        plan.unit(f"u{number}", f"unit-{number}", f"Clocked {number}")
        if number:
            plan.link(f"u{number - 1}.b", f"u{number}.a", "bnc 1")
    return plan


@pytest.mark.parametrize(
    ("roles", "said"),
    [
        (("master", "follower", "follower"), None),
        (("master", "either", "either"), None),
        (("master", "follower", "master"), "fault"),
        (("follower", "follower"), "fault"),
        (("either", "either"), "note"),
        (("follower", "either"), "note"),
    ],
)
def test_word_clock_has_one_master(roles: tuple[str, ...], said: str | None) -> None:
    plan = _clocks(*roles)
    (group,) = clock_groups(_patch(plan))
    assert {end.node.unit for end in group} == {f"u{number}" for number in range(len(roles))}
    assert [one.severity for one in _findings(plan)] == ([] if said is None else [said])


def test_two_houses_of_clocks_are_judged_apart() -> None:
    plan = Plan()
    plan.own(clocked("master", "master"))
    plan.own(clocked("slow", "follower"))
    for number in (1, 2):
        plan.unit(f"m{number}", "master", f"Master {number}")
        plan.unit(f"f{number}", "slow", f"Follower {number}")
        plan.link(f"m{number}.wordclock", f"f{number}.wordclock", "bnc 1")
    assert len(clock_groups(_patch(plan))) == 2
    assert _rules(plan) == []


def test_no_clock_no_group() -> None:
    assert clock_groups(_patch(Plan())) == ()


def test_a_cable_longer_than_usual_is_a_note_and_longer_than_possible_a_risk() -> None:
    for length, severity in ((5, None), (7, "note"), (11, "risk")):
        plan = Plan()
        plan.unit("one", "interface-8", "One")
        plan.unit("two", "interface-8", "Two")
        plan.link("one.optical-out", "two.optical-in", f"optical {length}")
        found = _findings(plan)
        assert [one.severity for one in found] == ([] if severity is None else [severity])
        for finding in found:
            plan.book = finding.remedies[0].apply(plan.book)
            assert _findings(plan) == []


def test_a_landing_too_long_is_cut_in_its_chain() -> None:
    plan = Plan()
    wire = DigitalAudio(medium="aes3", ohm=110.0)
    plan.own(gear("converter", "processor", port("out", "out", "xlr3.m", wire)))
    plan.own(gear("digital-desk", "desk", port("in", "in", "xlr3.f", wire)))
    plan.house(
        units=(plan.book.houses[0].units[0].model_copy(update={"gear": "digital-desk", "name": "Desk"}),),
        sockets=(plan.book.houses[0].sockets[0].model_copy(update={"ports": ("in",)}),),
    )
    plan.unit("converter", "converter", "Converter")
    plan.land("converter.out", "in-1", "aes3 110", name="Digital")
    (finding,) = _findings(plan)
    assert finding.rule == "control.too-long"
    plan.book = finding.remedies[0].apply(plan.book)
    assert _findings(plan) == []
    assert len(plan.book.gig().landings[0].chain) == 1


def test_joined_cables_count_together_and_are_not_cut() -> None:
    plan = Plan()
    plan.unit("keys", "controller-61", "Keys")
    plan.unit("module", "sound-module", "Module")
    plan.link("keys.midi-out", "module.midi-in", "midi 15.5")
    (finding,) = _findings(plan)
    assert finding.working[0] == "length 15.5 m − 15 m = 0.5 m over"
    assert [one.words for one in finding.remedies] == ["Use MIDI cable, 5-pin DIN, 10 m, if that reaches"]


@pytest.mark.parametrize(("pedal", "socket"), [("open", "closed"), ("closed", "open")])
def test_polarity_both_ways(pedal: str, socket: str) -> None:
    plan = _pair(
        FootSwitch(medium="footswitch", rest=pedal),  # type: ignore[arg-type]
        FootSwitch(medium="footswitch", rest=socket),  # type: ignore[arg-type]
        "trs6.f",
    )
    plan.link("one.out", "two.in", "pedal 2")
    (finding,) = _findings(plan)
    assert finding.rule == "control.pedal-polarity"
    assert finding.working == (f"foot off the pedal: contact {pedal}; expected: contact {socket}",)


@pytest.mark.parametrize(("pedal", "socket"), [("tip", "ring"), ("ring", "tip")])
def test_expression_both_ways(pedal: str, socket: str) -> None:
    plan = _pair(
        Expression(medium="expression", wiper=pedal),  # type: ignore[arg-type]
        Expression(medium="expression", wiper=socket),  # type: ignore[arg-type]
        "trs6.f",
    )
    plan.link("one.out", "two.in", "pedal 2")
    assert _rules(plan) == ["control.expression-wiring"]


def test_the_set_up_step_names_pedal_and_keyboard() -> None:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("pedal", "pedal-sustain-closed", "Sustain pedal")
    plan.link("pedal.out", "piano.pedal")
    (finding,) = _findings(plan)
    assert finding.severity == "note"
    assert finding.sentence == "Switch Piano on with the plug home and the foot off Sustain pedal."
