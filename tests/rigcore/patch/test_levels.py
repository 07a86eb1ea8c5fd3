"""Levels at the two ends of one connection, and what passive boxes do to them."""

from __future__ import annotations

import pytest

from rigcore.catalogue.loader import shipped
from rigcore.patch.build import Node, Patch, build_patch
from rigcore.patch.levels import Level, behind_wires, clip_dbu, is_wire, level_out, professional_into_consumer
from tests.rule_samples.plan import Plan

DI_OUT = Node("rig", "di", "out-1")


def _patch(plan: Plan) -> Patch:
    return build_patch(plan.book, None, shipped())


def _into_di(gear: str, port: str, *, pad: bool = False) -> Patch:
    plan = Plan()
    plan.unit("source", gear, "Source")
    plan.unit("di", "di-passive", "DI")
    plan.link(f"source.{port}", "di.in-1", "ts 3")
    plan.set("di.in-1", pad=pad)
    return _patch(plan)


@pytest.mark.parametrize(
    ("gear", "port", "pad", "highest"),
    [
        ("synth-61", "out-l", False, -1.6),  # +20 dBu through 12:1
        ("laptop-interface-4", "out-1", False, -3.6),  # +18 dBu through 12:1
        ("synth-61", "out-l", True, -21.6),  # and the 20 dB pad
    ],
)
def test_a_passive_di(gear: str, port: str, pad: bool, highest: float) -> None:
    level = level_out(_into_di(gear, port, pad=pad), DI_OUT)
    assert level.max_dbu == pytest.approx(highest)


def test_the_pad_of_a_di_does_not_lower_its_thru() -> None:
    level = level_out(_into_di("synth-61", "out-l", pad=True), Node("rig", "di", "thru-1"))
    assert level == Level(4.0, 20.0)


def test_nothing_in_nothing_out() -> None:
    plan = Plan()
    plan.unit("di", "di-passive", "DI")
    assert level_out(_patch(plan), DI_OUT) == Level(None, None)


def test_what_is_active_gives_what_its_type_states() -> None:
    plan = Plan()
    plan.unit("synth", "synth-61", "Synth")
    plan.unit("di", "di-active", "DI")
    plan.link("synth.out-l", "di.in-1", "ts 3")
    assert level_out(_patch(plan), DI_OUT) == Level(-10.0, 9.0)


def test_a_mixer_is_set_by_hand_and_peaks_12_db_over_nominal() -> None:
    plan = Plan()
    plan.unit("mixer", "mixer-small", "Mixer")
    assert level_out(_patch(plan), Node("rig", "mixer", "main-l")) == Level(4.0, 16.0)


def test_a_pad_lifts_the_clip_level() -> None:
    patch = _into_di("synth-61", "out-l")
    assert clip_dbu(patch.hops[0].target, patch.hops[0]) == 24.0
    patch = _into_di("synth-61", "out-l", pad=True)
    assert clip_dbu(patch.hops[0].target, patch.hops[0]) == 44.0


@pytest.mark.parametrize(("chain", "over"), [((), 11.78), (("pad-12-xlr in out",), None)])
def test_professional_into_consumer(chain: tuple[str, ...], over: float | None) -> None:
    plan = Plan()
    plan.bar_system()
    plan.unit("mixer", "mixer-small", "Mixer")
    plan.land("mixer.main-l", "bar-l", *chain, "xlr-rca 3", name="Bar feed")
    patch = _patch(plan)
    found = professional_into_consumer(patch, patch.hops[-1])
    assert found == (None if over is None else pytest.approx(over, abs=0.01))


def test_behind_wires_stands_what_feeds_them() -> None:
    plan = Plan()
    plan.unit("tablet", "tablet", "Tablet")
    plan.unit("y", "y-lead-trs3-2ts", "Y-lead")
    plan.unit("di", "di-passive-stereo", "DI boxes")
    plan.link("tablet.phones", "y.in")
    plan.link("y.out-1", "di.in-1")
    patch = _patch(plan)
    assert behind_wires(patch, Node("rig", "y", "out-1")).name == "Tablet"
    assert behind_wires(patch, Node("rig", "di", "thru-1")).name == "Tablet"
    assert behind_wires(patch, DI_OUT).name == "DI boxes"
    assert is_wire(patch.end(Node("rig", "y", "in")).port.carrier)
    assert not is_wire(patch.end(Node("rig", "di", "in-1")).port.carrier)


def test_a_loop_of_passive_boxes_has_no_level() -> None:
    plan = Plan()
    plan.unit("one", "adapter-xlr-polarity", "One")
    plan.unit("two", "adapter-xlr-polarity", "Two")
    plan.link("one.out", "two.in", "xlr 1.5")
    plan.link("two.out", "one.in", "xlr 1.5")
    patch = _patch(plan)
    assert level_out(patch, Node("rig", "one", "out")) == Level(None, None)
    assert behind_wires(patch, Node("rig", "one", "out")).node.place == "rig"
