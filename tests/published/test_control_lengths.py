"""Published limits and verdicts of control and data links, asked of whole books and not only of the table.

The identifiers are those of our collection of test vectors.
"""

from __future__ import annotations

from typing import Any

import pytest

from rigcore.analysis import analyse
from rigcore.catalogue.carriers import DigitalAudio, Midi
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import build_patch
from rigcore.patch.control import link_limit
from rigcore.quantities.lengths import LIMITS, over_limit
from rigcore.rules import basis
from rigcore.rules.rule import Finding
from tests.published.test_vectors_common import VECTORS
from tests.rule_samples.control import MIDI_Y, gear, port
from tests.rule_samples.plan import Plan

AES3 = DigitalAudio(medium="aes3", ohm=110.0)

ENDS = {
    "midi_din": ("controller-61.midi-out", "sound-module.midi-in", "midi"),
    "midi_trs_adapter": ("drum-machine.midi-out", "synth-monophonic-37.midi-in", "midi-trs"),
    "usb2": ("laptop.usb-2", "controller-61.usb", "usb-a-b"),
    "aes3": ("aes3-sender.out", "aes3-receiver.in", "aes3"),
    "tia568_channel": ("mixer-rack-16.network", "mixer-rack-16.network", "network"),
    "optical": ("interface-8.optical-out", "interface-8.optical-in", "optical"),
}


def _plan(link: str, length_m: float) -> Plan:
    source, target, cable = ENDS[link]
    plan = Plan()
    plan.own(gear("aes3-sender", "processor", port("out", "out", "xlr3.m", AES3)))
    plan.own(gear("aes3-receiver", "processor", port("in", "in", "xlr3.f", AES3)))
    plan.unit("one", source.partition(".")[0], "One")
    plan.unit("two", target.partition(".")[0], "Two")
    plan.link(f"one.{source.partition('.')[2]}", f"two.{target.partition('.')[2]}", f"{cable} {length_m:g}")
    return plan


def _found(plan: Plan) -> list[Finding]:
    found = analyse(plan.book, None, shipped()).findings
    return [one for one in found if one.severity != "note" and not one.rule.startswith("cable.")]


def _cases(name: str) -> list[Any]:
    inputs = VECTORS[name]["inputs"]
    expected = VECTORS[name]["expected"]["over_limit"]
    rows = zip(inputs["link"], inputs["m"], expected, strict=True)
    return [pytest.param(*row, id=f"{name}-{row[0]}") for row in rows]


@pytest.mark.parametrize(("link", "length_m", "over"), _cases("CN-03") + _cases("CN-04"))
def test_lengths_of_whole_books(link: str, length_m: float, over: bool) -> None:
    """CN-03, CN-04: MIDI 1.0 and RP-054, USB 2.0, AES3-4:2009, ANSI/TIA-568-C; optical typical."""
    plan = _plan(link, length_m)
    (hop,) = build_patch(plan.book, None, shipped()).hops
    assert link_limit(hop) == link
    assert over_limit(link, length_m) is over
    assert ([one.rule for one in _found(plan)] == ["control.too-long"]) is over
    for finding in _found(plan):
        assert LIMITS[link].source in " ".join(finding.working)


def test_bx_09_midi_output_into_two_inputs() -> None:
    """BX-09: a MIDI output feeding two inputs by a passive Y fails. IEC 63035:2017: one output drives one input."""
    plan = Plan()
    plan.own(MIDI_Y)
    plan.unit("keys", "controller-61", "Keys")
    plan.unit("split", "midi-y-lead", "Y-lead")
    plan.link("keys.midi-out", "split.in")
    for number in (1, 2):
        plan.unit(f"module-{number}", "sound-module", f"Module {number}")
        plan.link(f"split.out-{number}", f"module-{number}.midi-in")
    (finding,) = _found(plan)
    assert (finding.rule, finding.severity) == ("control.midi-split", "fault")
    assert "5 mA" in finding.working[0]
    assert "IEC 63035:2017" in basis.MIDI


@pytest.mark.parametrize(
    ("source", "target", "fails"),
    [("type-a", "type-b", True), ("type-b", "type-a", True), ("type-a", "type-a", False), ("type-b", "type-b", False)],
)
def test_bx_10_type_a_into_type_b(source: str, target: str, fails: bool) -> None:
    """BX-10: a type A unit to a type B unit over a straight lead fails; swap tip and ring. MIDI RP-054."""
    plan = Plan()
    for name, wiring, way in (("one", source, "out"), ("two", target, "in")):
        carrier = Midi(medium="midi", wiring=wiring)  # type: ignore[arg-type]
        plan.own(gear(name, "keys", port("midi", way, "trs3.f", carrier)))  # type: ignore[arg-type]
        plan.unit(name, name, name.title())
    plan.link("one.midi", "two.midi", "midi-trs 1.5")
    found = _found(plan)
    assert [(one.rule, one.severity) for one in found] == ([("control.midi-wiring", "fault")] if fails else [])
    assert all("swap tip and ring" in one.sentence for one in found)
    assert "RP-054" in basis.MIDI_TRS


def test_type_a_is_named_with_its_contacts() -> None:
    """MIDI RP-054: tip = DIN 5, ring = DIN 4 (type A)."""
    assert "tip is DIN 5, ring is DIN 4 (type A)" in basis.MIDI_TRS
