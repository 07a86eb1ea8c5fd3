"""Channels: the trade's order, pairs on odd-even numbers, and the player's own order."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigcore.book.edits.gigs import change_gig
from rigcore.book.edits.units import change_unit
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import build_patch
from rigcore.patch.channels import Channel, channels, fallen_back_to, house_inputs, is_settled, own_lines
from tests.rule_samples.plan import Plan

MONO = {
    "kick": "kick-mic", "bass": "bass-active", "guitar": "electric-guitar", "organ": "synth-monophonic-37",
    "horn": "horn-clip-mic", "violin": "string-clip-mic", "vox": "dynamic-handheld", "room": "condenser-omni",
}
PAIRS = {"piano": ("stage-piano-88", "out-l", "out-r"), "tracks": ("laptop-interface-4", "out-1", "out-2")}


def _land(plan: Plan, name: str, line: int) -> int:
    """Land one source, mono or a pair, from a line on; return the next free line."""
    if name in MONO:
        plan.unit(name, MONO[name], name.title())
        plan.land(f"{name}.out", f"in-{line}", name=name.title())
        return line + 1
    gear, *ports = PAIRS[name]
    plan.unit(name, gear, name.title())
    for offset, (port, side) in enumerate(zip(ports, "LR", strict=True)):
        label = f"{name.title()} {side}"
        plan.land(f"{name}.{port}", f"in-{line + offset}", name=label, group=name, side=side)
    return line + 2


def _plan(*names: str) -> Plan:
    plan = Plan()
    line = 1
    for name in names:
        line = _land(plan, name, line)
    return plan


def _channels(plan: Plan) -> tuple[Channel, ...]:
    return channels(build_patch(plan.book, None, shipped()))


def _names(plan: Plan) -> list[str]:
    return [one.hand_off.name for one in _channels(plan)]


def test_the_order_of_the_trade() -> None:
    plan = _plan("room", "vox", "violin", "horn", "organ", "guitar", "bass", "kick")
    assert _names(plan) == ["Kick", "Bass", "Guitar", "Organ", "Horn", "Violin", "Vox", "Room"]


def test_within_a_family_the_order_of_the_rig() -> None:
    assert _names(_plan("organ", "piano"))[0] == "Organ"
    assert _names(_plan("piano", "organ")) == ["Piano L", "Piano R", "Organ"]


def test_a_single_of_the_family_is_drawn_forward_so_that_a_pair_starts_odd() -> None:
    plan = _plan("vox", "bass", "piano", "organ")
    assert _names(plan) == ["Bass", "Organ", "Piano L", "Piano R", "Vox"]
    assert [one.mate for one in _channels(plan)] == [None, None, 4, 3, None]


def test_no_single_of_another_family_is_drawn_forward() -> None:
    assert _names(_plan("bass", "piano", "vox")) == ["Bass", "Piano L", "Piano R", "Vox"]


def test_half_a_pair_counts_as_a_single() -> None:
    plan = _plan("bass", "piano", "organ")
    plan.book = change_gig(plan.book, "gig", landings=tuple(
        one for one in plan.book.gig().landings if one.hand_off != "piano-r"
    ))
    assert _names(plan) == ["Bass", "Piano L", "Organ"]
    assert all(one.mate is None for one in _channels(plan))


def test_left_comes_first_whatever_the_rig_says() -> None:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.land("piano.out-r", "in-2", name="Piano R", group="piano", side="R")
    plan.land("piano.out-l", "in-1", name="Piano L", group="piano", side="L")
    assert _names(plan) == ["Piano L", "Piano R"]


def test_the_player_s_order_comes_first() -> None:
    plan = _plan("bass", "piano", "vox")
    plan.order("vox", "piano-r")
    assert _names(plan) == ["Vox", "Piano R", "Bass", "Piano L"]


def test_the_player_s_word_on_the_family_wins() -> None:
    plan = _plan("vox", "bass")
    plan.book = change_unit(plan.book, "rig", "vox", family="drums")
    assert _names(plan) == ["Vox", "Bass"]


def test_a_mix_of_one_family_is_of_that_family() -> None:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("synth", "synth-61", "Synth")
    plan.unit("mixer", "mixer-line-8", "Keyboard mixer")
    plan.link("piano.out-l", "mixer.line-1-l", "ts 1")
    plan.link("synth.out-l", "mixer.line-2-l", "trs 1")
    plan.land("mixer.main-l", "in-1", name="Keys")
    (one,) = _channels(plan)
    assert one.family == "keys"
    assert [end.name for end in one.sources] == ["Piano", "Synth"]


def test_what_is_no_audio_is_no_channel() -> None:
    plan = _plan("vox")
    plan.unit("mixer", "mixer-in-ear", "Ear mixer")
    plan.land("mixer.line-1", "mix-1", "xlr-trs 5", name="Band mix")
    patch = build_patch(plan.book, None, shipped())
    assert [one.hand_off.name for one in channels(patch)] == ["Vox"]
    assert [hand_off.name for hand_off, _ in own_lines(patch)] == ["Vox", "Band mix"]
    assert len(house_inputs(patch)) == 8


def test_falling_back() -> None:
    plan = _plan("vox")
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.hand_off("piano.out-l", "Piano L", falls_back_to="vox")
    patch = build_patch(plan.book, None, shipped())
    assert fallen_back_to(patch) == {"vox"}
    assert all(is_settled(patch, one) for one in patch.rig.hand_offs)


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_numbers_are_one_to_n_and_every_landing_has_one(data: st.DataObject) -> None:
    names = data.draw(st.lists(st.sampled_from([*MONO, *PAIRS]), unique=True, max_size=6))
    plan = Plan()
    plan.lines(8)
    line = 1
    for name in names:
        if line + (name in PAIRS) <= 8:
            line = _land(plan, name, line)
    landed = [one.hand_off for one in plan.book.gig().landings]
    plan.order(*data.draw(st.lists(st.sampled_from(landed), unique=True) if landed else st.just([])))
    lines = _channels(plan)
    assert [one.number for one in lines] == list(range(1, len(landed) + 1))
    assert sorted(one.hand_off.id for one in lines) == sorted(landed)
    by_number = {one.number: one for one in lines}
    for one in lines:
        if one.mate is not None:
            assert by_number[one.mate].mate == one.number
            assert by_number[one.mate].hand_off.group == one.hand_off.group
    if not plan.book.gig().order:
        assert all(abs(one.number - one.mate) == 1 for one in lines if one.mate is not None)


@pytest.mark.parametrize("extra", ["piano", "tracks"])
def test_a_pair_alone_starts_on_one(extra: str) -> None:
    lines = _channels(_plan(extra))
    assert [(one.number, one.mate, one.hand_off.side) for one in lines] == [(1, 2, "L"), (2, 1, "R")]
