"""Levels, loads and ladders through whole chains."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigcore.book.book import Book
from rigcore.book.edits.links import set_cable
from rigcore.catalogue.loader import shipped
from rigcore.catalogue.record import changed
from rigcore.patch.build import Node, Patch, build_patch
from rigcore.patch.ladder import gain_plan, ladder
from rigcore.patch.loads import loadings
from rigcore.patch.stages import ONE_LEG_DB, levels
from rigcore.quantities.electrical import divider_loss_db, power_sum_db
from tests.rule_samples.plan import Plan


def _patch(book: Book) -> Patch:
    return build_patch(book, None, shipped())


def _house(patch: Patch, number: int) -> Node:
    return Node("house", "box", f"in-{number}")


def _cable_db(length_m: float, into_ohm: float) -> float:
    """What a lead of 0.22 mm² takes, there and back: 79 mΩ a metre by IEC 60228, and the divider it makes."""
    return 20 * math.log10((into_ohm + 2 * 0.079 * length_m) / into_ohm)


def _synth_through_di(*, pad: bool = False, isolator: bool = False) -> Plan:
    plan = Plan()
    plan.unit("synth", "synth-61", "Synth")
    plan.unit("di", "di-passive", "DI")
    plan.link("synth.out-l", "di.in-1", "ts 3")
    plan.land("di.out-1", "in-1", "xlr 5", *(["line-isolator in out", "xlr 5"] if isolator else []), name="Synth")
    if pad:
        plan.set("di.in-1", pad=True)
    return plan


def test_a_synth_through_a_passive_di() -> None:
    """+20 − 21.6 less the divider of 200 Ω into 140 kΩ, 0.012 dB, and the two cables."""
    patch = _patch(_synth_through_di().book)
    level = levels(patch).level(_house(patch, 1))
    loss = divider_loss_db(200.0, 140_000.0) + _cable_db(3.0, 140_000.0) + _cable_db(5.0, 2000.0)
    assert level.peak_dbu == pytest.approx(20.0 - 21.6 - loss)
    assert level.nominal_dbu == pytest.approx(4.0 - 21.6 - loss)
    assert level.noise_dbu == pytest.approx(-84.0 - 21.6 - loss)


def test_a_thru_adds_its_load() -> None:
    plan = _synth_through_di()
    plan.unit("mixer", "mixer-in-ear", "Ears")
    plan.link("di.thru-1", "mixer.line-1", "ts 3")
    loading = loadings(_patch(plan.book))[Node("rig", "synth", "out-l")]
    assert loading.parallel_ohm == pytest.approx(1 / (1 / 140_000 + 1 / 20_000))
    assert {load.end.name for load in loading.loads} == {"DI", "Ears"}
    assert loading.length_m == 6.0


def test_a_transformer_split_loads_the_microphone_with_both_inputs() -> None:
    """Two inputs of 2 kΩ, one of them behind a 1:1 transformer: 1 kΩ (IM-07's rule, split inputs in parallel)."""
    plan = Plan()
    plan.unit("vox", "dynamic-handheld", "Vox")
    plan.unit("split", "splitter-1x2", "Splitter")
    plan.unit("mixer", "mixer-in-ear", "Ears")
    plan.link("vox.out", "split.in", "xlr 5")
    plan.link("split.isolated", "mixer.mic-1", "xlr 1.5")
    plan.land("split.direct", "in-1", "xlr 5", name="Vox")
    patch = _patch(plan.book)
    assert loadings(patch)[Node("rig", "vox", "out")].parallel_ohm == pytest.approx(1000.0)
    lost = divider_loss_db(250.0, 1000.0)
    lost += _cable_db(5.0, 1000.0)
    for node, length_m in ((_house(patch, 1), 5.0), (Node("rig", "mixer", "mic-1"), 1.5)):
        assert levels(patch).level(node).nominal_dbu == pytest.approx(-42.0 - lost - _cable_db(length_m, 2000.0))


@given(st.sampled_from(["pad-12-xlr", "pad-20-xlr", "pad-40-xlr"]))
@settings(max_examples=6, deadline=None)
def test_a_pad_lowers_every_level_below_it_by_what_it_says(pad: str) -> None:
    """Metamorphic: a pad of x dB in a line lowers nominal, peak and noise behind it by x."""
    plan = Plan()
    plan.unit("di", "di-passive", "DI")
    plan.unit("synth", "synth-61", "Synth")
    plan.link("synth.out-l", "di.in-1", "ts 3")
    plan.land("di.out-1", "in-1", "xlr 5", name="Synth")
    bare = _patch(plan.book)
    padded = Plan()
    padded.unit("di", "di-passive", "DI")
    padded.unit("synth", "synth-61", "Synth")
    padded.link("synth.out-l", "di.in-1", "ts 3")
    padded.land("di.out-1", "in-1", "xlr 5", f"{pad} in out", "xlr 5", name="Synth")
    with_pad = _patch(padded.book)
    gain_db = shipped().gear_type(pad).paths[0].gain_db
    before, after = levels(bare).level(_house(bare, 1)), levels(with_pad).level(_house(with_pad, 1))
    assert gain_db in (-12.0, -20.0, -40.0)
    for one, other in (
        (before.nominal_dbu, after.nominal_dbu), (before.peak_dbu, after.peak_dbu), (before.noise_dbu, after.noise_dbu),
    ):  # fmt: skip
        assert other == pytest.approx(one + gain_db, abs=0.02)  # the cables lead to other loads


def test_swapping_two_identical_cables_changes_nothing() -> None:
    plan = Plan()
    plan.unit("synth", "synth-61", "Synth")
    plan.unit("di", "di-passive-stereo", "DI")
    plan.link("synth.out-l", "di.in-1", "ts 3")
    plan.link("synth.out-r", "di.in-2", "ts 3")
    first, second = plan.book.rig("rig").links
    swapped = set_cable(plan.book, "rig", first.id, (second.cable, second.length_m), catalogue=shipped())
    swapped = set_cable(swapped, "rig", second.id, (first.cable, first.length_m), catalogue=shipped())
    assert levels(_patch(swapped)) == levels(_patch(plan.book))


@given(st.randoms(use_true_random=False))
@settings(max_examples=15, deadline=None)
def test_the_order_of_units_does_not_matter(random) -> None:
    plan = _synth_through_di()
    plan.unit("mixer", "mixer-in-ear", "Ears")
    plan.link("di.thru-1", "mixer.line-1", "ts 3")
    rig = plan.book.rig("rig")
    units, links = list(rig.units), list(rig.links)
    random.shuffle(units)
    random.shuffle(links)
    mixed = changed(plan.book, rigs=(changed(rig, units=tuple(units), links=tuple(links)),))
    assert levels(_patch(mixed)).at == levels(_patch(plan.book)).at


def test_one_leg_of_a_driven_pair_costs_6_db() -> None:
    plan = Plan()
    plan.unit("mixer", "mixer-in-ear", "Ears")
    plan.unit("amp", "keyboard-amplifier", "Amp")
    plan.link("mixer.main-l", "amp.line-1", "ts 3")
    patch = _patch(plan.book)
    out = levels(patch).level(Node("rig", "mixer", "main-l")).nominal_dbu
    arriving = levels(patch).level(Node("rig", "amp", "line-1")).nominal_dbu
    assert pytest.approx(20 * math.log10(0.5), abs=1e-4) == ONE_LEG_DB
    assert arriving == pytest.approx(out + ONE_LEG_DB - _cable_db(3.0, 20_000.0))


def test_dialled_gains_add_in_power_in_a_mixer() -> None:
    """Two microphones at the same gain: 3.01 dB over one of them, against a direct power sum."""
    plan = Plan()
    plan.unit("a", "dynamic-handheld", "A")
    plan.unit("b", "dynamic-handheld", "B")
    plan.unit("mixer", "mixer-in-ear", "Ears")
    plan.link("a.out", "mixer.mic-1", "xlr 5")
    plan.link("b.out", "mixer.mic-2", "xlr 5")
    plan.unit("left", "powered-monitor", "Left")
    plan.link("mixer.main-l", "left.in", "trs-xlr 3")
    plan.set("mixer.mic-1", gain_db=30.0)
    plan.set("mixer.mic-2", gain_db=30.0)
    patch = _patch(plan.book)
    at = levels(patch)
    one = at.level(Node("rig", "mixer", "mic-1")).nominal_dbu + 30.0
    out = at.level(Node("rig", "mixer", "main-l"))
    assert out.nominal_dbu == pytest.approx(10 * math.log10(2 * 10 ** (one / 10)), abs=0.1)
    noise = at.level(Node("rig", "mixer", "mic-1")).noise_dbu + 30.0
    lost = loadings(patch)[Node("rig", "mixer", "main-l")].loss_db
    assert out.noise_dbu == pytest.approx(power_sum_db([noise, noise, -86.0]) - lost)


def test_a_circle_is_reported_and_ends() -> None:
    plan = Plan()
    plan.unit("mixer", "mixer-in-ear", "Ears")
    plan.link("mixer.main-l", "mixer.line-8", "trs 1.5")
    [circle] = levels(_patch(plan.book)).circles
    assert Node("rig", "mixer", "line-8") in circle


def test_transformers_that_feed_each_other_in_a_circle_are_counted_once() -> None:
    """The load behind a transformer is asked for behind the next, and so on: in a circle that must end."""
    plan = Plan()
    plan.unit("vox", "dynamic-handheld", "Vox")
    plan.unit("one", "splitter-1x2", "One")
    plan.unit("two", "splitter-1x2", "Two")
    plan.link("vox.out", "one.in", "xlr 5")
    plan.link("one.isolated", "two.in", "xlr 3")
    plan.link("two.isolated", "one.in", "xlr 3")
    patch = _patch(plan.book)
    assert Node("rig", "vox", "out") not in loadings(patch)  # nothing in the circle states a load
    [circle] = levels(patch).circles
    assert {node.unit for node in circle} == {"one", "two"}


def test_the_ladder_of_a_line() -> None:
    patch = _patch(_synth_through_di(isolator=True).book)
    rungs = ladder(patch, _house(patch, 1))
    assert [(rung.name, rung.port) for rung in rungs][:2] == [("Synth", "L/mono"), ("DI", "In")]
    assert rungs[-1].node == _house(patch, 1)
    assert rungs[-1].head_room_db == pytest.approx(10.0 - rungs[-1].level.peak_dbu)
    assert all(rung.level.noise_dbu <= rung.level.nominal_dbu <= rung.level.peak_dbu for rung in rungs)


def test_the_gain_plan_brings_nominal_to_reference() -> None:
    plan = _synth_through_di()
    plan.unit("vox", "dynamic-handheld", "Vox")
    plan.unit("mixer", "mixer-in-ear", "Ears")
    plan.link("vox.out", "mixer.mic-1", "xlr 5")
    patch = _patch(plan.book)
    advice = {one.name: one for one in gain_plan(patch)}
    voice = advice["Ears Mic 1"]
    assert voice.arriving.nominal_dbu + voice.gain_db == pytest.approx(voice.reference_dbu) == pytest.approx(4.0)
    assert voice.problem == ""
    assert advice["Stage box In 1"].gain_db == pytest.approx(21.6, abs=0.1)


def test_the_gain_plan_names_the_stage_that_makes_it_impossible() -> None:
    plan = Plan()
    plan.unit("synth", "synth-61", "Synth")
    plan.land("synth.out-l", "in-1", "trs-xlr 5", name="Synth")
    [advice] = gain_plan(_patch(plan.book))
    assert "clips 9" in advice.problem


@pytest.mark.parametrize(("isolator", "lost"), [(False, ONE_LEG_DB), (True, 0.0)])
def test_an_adapter_that_goes_on_with_one_leg_costs_6_db_but_not_behind_a_transformer(
    isolator: bool, lost: float
) -> None:
    plan = Plan()
    plan.bar_system()
    plan.unit("mixer", "mixer-in-ear", "Ears")
    chain = ["trs-xlr 3", *(["line-isolator in out"] if isolator else []), "adapter-xlr3f-rcam in out"]
    plan.land("mixer.main-l", "bar-l", *chain, name="Feed")
    patch = _patch(plan.book)
    out = levels(patch).level(Node("rig", "mixer", "main-l")).nominal_dbu
    arriving = levels(patch).level(Node("house", "box", "in-l")).nominal_dbu
    assert arriving == pytest.approx(out + lost, abs=0.01)


def test_a_microphone_coil_floats_and_loses_nothing() -> None:
    plan = Plan()
    plan.unit("vox", "dynamic-handheld", "Vox")
    plan.unit("amp", "keyboard-amplifier", "Amp")
    plan.link("vox.out", "amp.line-1", "xlr-ts 3")
    patch = _patch(plan.book)
    arriving = levels(patch).level(Node("rig", "amp", "line-1")).nominal_dbu
    leaving = levels(patch).level(Node("rig", "vox", "out")).nominal_dbu
    assert arriving == pytest.approx(leaving - _cable_db(3.0, 20_000.0))


@pytest.mark.parametrize(("length_m", "lost_db"), [(3.0, 0.064), (6.0, 0.128)])
def test_an_extension_takes_of_what_headphones_get(length_m: float, lost_db: float) -> None:
    """Of 64 Ω, 6 m there and back at 79 mΩ a metre take 20 log(64.948 / 64) = 0.128 dB: the divider, by hand."""
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("phones", "headphones-635", "Phones")
    plan.link("piano.phones", "phones.in", f"phones-extension {length_m:g}")
    patch = _patch(plan.book)
    leaving = levels(patch).level(Node("rig", "piano", "phones")).nominal_dbu
    arriving = levels(patch).level(Node("rig", "phones", "in")).nominal_dbu
    assert leaving - arriving == pytest.approx(lost_db, abs=0.001)


def test_the_loads_on_a_thru_lie_beside_the_input() -> None:
    """What a cable leads to is the DI and the mixer on its thru: 140 kΩ beside 20 kΩ."""
    plan = _synth_through_di()
    plan.unit("mixer", "mixer-in-ear", "Ears")
    plan.link("di.thru-1", "mixer.line-1", "ts 3")
    patch = _patch(plan.book)
    out = levels(patch).level(Node("rig", "synth", "out-l")).nominal_dbu
    into = 1 / (1 / 140_000 + 1 / 20_000)
    assert levels(patch).level(Node("rig", "di", "in-1")).nominal_dbu == pytest.approx(out - _cable_db(3.0, into))
