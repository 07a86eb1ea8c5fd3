"""Where plugs meet sockets, and which way a connection faces."""

from __future__ import annotations

import pytest

from rigcore.catalogue.connectors import Consequence
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import Hop, Patch, build_patch
from rigcore.patch.joints import (
    broken_joints,
    contacts,
    facing,
    flawed,
    joints,
    leads_for,
    only_gender,
    same_medium,
    unpluggable,
)
from tests.rule_samples.plan import Plan

GEAR = {
    "piano": "stage-piano-88", "synth": "synth-61", "mixer": "mixer-small", "amp": "keyboard-amplifier",
    "wedge": "wedge-powered-lock20", "rack": "mixer-rack-16", "keys": "controller-61", "laptop": "laptop",
    "head": "guitar-head", "phones": "headphones-635", "turn": "adapter-xlr-turnaround-ff",
}


def _hop(source: str, target: str, cable: str = "") -> tuple[Patch, Hop]:
    plan = Plan()
    for unit in dict.fromkeys((source.partition(".")[0], target.partition(".")[0])):
        plan.unit(unit, GEAR[unit], unit.title())
    plan.link(source, target, cable)
    patch = build_patch(plan.book, None, shipped())
    return patch, patch.hops[0]


@pytest.mark.parametrize(
    ("source", "target", "wanted"),
    [
        ("piano.out-l", "amp.line-1", "along"),
        ("amp.line-1", "piano.out-l", "against"),
        ("piano.out-l", "synth.out-l", "output to output"),
        ("amp.line-1", "mixer.line-1", "input to input"),
        ("keys.usb", "laptop.usb-2", "along"),
        ("laptop.usb-2", "keys.usb", "along"),
        ("wedge.thru", "rack.in-1", "along"),
    ],
)
def test_facing(source: str, target: str, wanted: str) -> None:
    _, hop = _hop(source, target)
    assert facing(hop) == wanted


@pytest.mark.parametrize(
    ("source", "target", "cable", "sound", "marks"),
    [
        ("mixer.main-l", "wedge.in", "xlr 5", True, (False, False)),
        ("mixer.main-l", "wedge.in", "ts 5", False, (True, True)),
        ("synth.out-l", "amp.line-1", "ts 3", True, (True, False)),
        ("wedge.in", "mixer.main-l", "xlr 5", False, (False, False)),
    ],
)
def test_what_a_run_lacks(source: str, target: str, cable: str, *, sound: bool, marks: tuple[bool, bool]) -> None:
    patch, hop = _hop(source, target, cable)
    assert hop.coupling.is_sound is sound
    assert (hop in flawed(patch), hop in unpluggable(patch)) == marks
    assert hop.coupling.consequences == tuple(one.consequence for one in joints(patch, hop))


def test_joints_stand_from_source_to_target() -> None:
    patch, hop = _hop("mixer.main-l", "wedge.in", "xlr 5")
    first, last = joints(patch, hop)
    assert (first.one, first.other) == ("xlr3.m", "xlr3.f")
    assert first.one_words == "Mixer Main L"
    assert last.one_words == "XLR cable (5 m)"
    assert (last.one, last.other) == ("xlr3.m", "xlr3.f")
    assert not broken_joints(patch, hop)


def test_a_bare_connection_has_one_joint() -> None:
    patch, hop = _hop("piano.phones", "phones.in")
    assert [one.consequence for one in joints(patch, hop)] == [Consequence.FITS]


def test_two_contacts_in_three() -> None:
    patch, hop = _hop("mixer.monitor", "amp.line-1", "ts 3")
    assert [one.consequence for one in joints(patch, hop)] == [Consequence.RING_SHORTED] * 2
    assert contacts(patch, hop) == 2


def test_joined_cables_meet_each_other() -> None:
    plan = Plan()
    plan.unit("vox", "dynamic-handheld", "Vox mic")
    plan.land("vox.out", "in-1", "xlr 10", "xlr 20", name="Lead vox")
    patch = build_patch(plan.book, None, shipped())
    assert len(joints(patch, patch.hops[0])) == 3
    assert not broken_joints(patch, patch.hops[0])
    assert patch.hops[0].coupling.is_balanced


def test_gender_alone() -> None:
    patch, hop = _hop("turn.out", "wedge.in")
    (broken,) = broken_joints(patch, hop)
    assert only_gender(patch, broken)
    patch, hop = _hop("piano.out-l", "wedge.in")
    (broken,) = broken_joints(patch, hop)
    assert not only_gender(patch, broken)


def test_leads_are_those_that_fit_reach_and_carry() -> None:
    patch, hop = _hop("mixer.monitor", "amp.line-1")
    assert leads_for(patch, hop)[0].id == "trs"
    assert all(lead.carries("audio") for lead in leads_for(patch, hop))
    plan = Plan()
    plan.unit("vox", "dynamic-handheld", "Vox mic")
    plan.intend("vox.out", "in-1", 25.0, name="Lead vox")
    patch = build_patch(plan.book, None, shipped())
    assert leads_for(patch, patch.hops[0]) == ()


@pytest.mark.parametrize(
    ("source", "target", "cable", "balanced"),
    [
        ("mixer.main-l", "wedge.in", "xlr 5", True),
        ("synth.out-l", "amp.line-1", "trs 3", True),
        ("synth.out-l", "amp.line-1", "ts 3", False),
        ("piano.out-l", "amp.line-1", "ts 3", False),
        ("piano.phones", "amp.line-1", "trs 3", False),
    ],
)
def test_balanced_from_end_to_end(source: str, target: str, cable: str, balanced: bool) -> None:
    _, hop = _hop(source, target, cable)
    assert hop.coupling.is_balanced is balanced


def test_media() -> None:
    patch, hop = _hop("head.speaker", "amp.line-1", "speaker-jack 3")
    assert not same_medium(patch, hop)
    assert not hop.is_audio
    patch, hop = _hop("piano.out-l", "amp.line-1", "ts 3")
    assert same_medium(patch, hop)
    assert hop.is_audio
