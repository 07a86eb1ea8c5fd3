"""What must hold for any levels, pads, transformers and cables, whatever the numbers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigcore.quantities import cables, electrical, full_scale, microphone, pads, screens, transformer

PATIENT = settings(deadline=None)
"""A busy machine is no fault of the numbers."""

LEVELS = st.floats(-120, 60)
OHMS = st.floats(0.1, 1e6)
LOSSES = st.floats(0.1, 80)


@PATIENT
@given(LEVELS, st.integers(0, 7))
def test_each_doubling_of_equal_levels_adds_3_db(level: float, doublings: int) -> None:
    total = electrical.power_sum_db([level] * 2**doublings)
    assert total == pytest.approx(level + 10 * math.log10(2) * doublings, abs=1e-9)


@PATIENT
@given(st.lists(LEVELS, min_size=1, max_size=20))
def test_a_sum_lies_above_its_highest_and_no_order_matters(levels: list[float]) -> None:
    total = electrical.power_sum_db(levels)
    assert max(levels) - 1e-9 <= total <= max(levels) + 10 * math.log10(len(levels)) + 1e-9
    assert total == pytest.approx(electrical.power_sum_db(reversed(levels)), abs=1e-9)
    assert total == pytest.approx(electrical.power_sum_db([*levels, -math.inf]), abs=1e-9)


def test_the_sum_of_silence_is_silence() -> None:
    assert electrical.power_sum_db([-math.inf, -math.inf]) == -math.inf


@PATIENT
@given(st.floats(-3000, 3000))
def test_far_levels_neither_overflow_nor_vanish(level: float) -> None:
    assert electrical.power_sum_db([level, level]) == pytest.approx(level + 3.0103, abs=1e-3)


@PATIENT
@given(LEVELS)
def test_levels_go_there_and_back(level: float) -> None:
    assert electrical.dbu_from_volts(electrical.volts_from_dbu(level)) == pytest.approx(level, abs=1e-9)
    assert electrical.dbv_from_dbu(electrical.dbu_from_dbv(level)) == pytest.approx(level, abs=1e-9)


@PATIENT
@given(st.lists(OHMS, min_size=1, max_size=8))
def test_loads_side_by_side_lie_below_the_lowest(loads: list[float]) -> None:
    together = electrical.parallel_ohm(loads)
    assert min(loads) / len(loads) * (1 - 1e-9) <= together <= min(loads) * (1 + 1e-9)


@PATIENT
@given(OHMS, OHMS, OHMS)
def test_a_higher_load_takes_less(source: float, load: float, more: float) -> None:
    assert electrical.divider_loss_db(source, load + more) <= electrical.divider_loss_db(source, load)


@PATIENT
@given(OHMS, OHMS)
def test_loss_and_voltage_left_are_one(source: float, load: float) -> None:
    left = electrical.loaded_v(1.0, source, load)
    assert -electrical.ratio_db(left, 1.0) == pytest.approx(electrical.divider_loss_db(source, load), abs=1e-6)


@PATIENT
@given(OHMS)
def test_bridging_costs_less_than_a_decibel(source: float) -> None:
    load = source * electrical.BRIDGING_RATIO
    assert electrical.is_bridged(source, load)
    assert electrical.divider_loss_db(source, load) == pytest.approx(0.828, abs=0.001)
    assert not electrical.is_bridged(source, load * 0.99)


@PATIENT
@given(LEVELS, st.floats(-30, 0), st.floats(-20, 30))
def test_full_scale_lies_above_alignment(dbfs_level: float, alignment_dbfs: float, alignment_dbu: float) -> None:
    full = full_scale.full_scale_dbu(alignment_dbfs, alignment_dbu)
    assert full_scale.dbu_from_dbfs(alignment_dbfs, full) == pytest.approx(alignment_dbu, abs=1e-9)
    assert full_scale.overload_db(full_scale.dbu_from_dbfs(dbfs_level, full), full) == pytest.approx(
        max(0.0, dbfs_level), abs=1e-9
    )


@PATIENT
@given(st.floats(0.05, 60), st.floats(20, 140), st.floats(0, 40))
def test_a_microphone_follows_the_sound(sensitivity: float, sound: float, louder: float) -> None:
    dbv = microphone.sensitivity_dbv_per_pa(sensitivity)
    step = microphone.output_dbu(dbv, sound + louder) - microphone.output_dbu(dbv, sound)
    assert step == pytest.approx(louder, abs=1e-9)
    at_one_pascal = electrical.volts_from_dbu(microphone.output_dbu(dbv, microphone.ONE_PASCAL_DB_SPL))
    assert at_one_pascal * 1000 == pytest.approx(sensitivity)


@PATIENT
@given(OHMS, LOSSES)
def test_a_matched_t_presents_its_impedance_and_loses_what_it_says(impedance: float, loss: float) -> None:
    arms = pads.matched_t(impedance, loss)
    assert pads.t_pad_input_ohm(arms, impedance) == pytest.approx(impedance, rel=1e-9)
    first = electrical.parallel_ohm((arms.shunt_ohm, arms.series_ohm + impedance))
    through = first / (arms.series_ohm + first) * impedance / (arms.series_ohm + impedance)
    assert -20 * math.log10(through) == pytest.approx(loss, abs=1e-6)


@PATIENT
@given(OHMS, LOSSES)
def test_an_h_is_a_t_with_its_series_arms_in_both_legs(impedance: float, loss: float) -> None:
    t_arms, h_arms = pads.matched_t(impedance, loss), pads.matched_h(impedance, loss)
    assert (2 * h_arms.series_ohm, h_arms.shunt_ohm) == pytest.approx((t_arms.series_ohm, t_arms.shunt_ohm))


@PATIENT
@given(OHMS, LOSSES, st.floats(0.1, 20))
def test_more_loss_needs_more_series_and_less_shunt(impedance: float, loss: float, more: float) -> None:
    weaker, stronger = pads.matched_t(impedance, loss), pads.matched_t(impedance, loss + more)
    assert stronger.series_ohm > weaker.series_ohm
    assert stronger.shunt_ohm < weaker.shunt_ohm


@PATIENT
@given(OHMS, OHMS, OHMS, OHMS)
def test_pad_loss_is_monotone(series: float, shunt: float, load: float, more: float) -> None:
    loss = pads.l_pad_loss_db(series, shunt, load)
    assert pads.l_pad_loss_db(series + more, shunt, load) >= loss
    assert pads.l_pad_loss_db(series, shunt + more, load) <= loss + 1e-9
    assert pads.l_pad_loss_db(series, shunt, load + more) <= loss + 1e-9
    assert pads.l_pad_loss_db(series, shunt) <= loss + 1e-9


@PATIENT
@given(OHMS, OHMS)
def test_a_u_is_an_l_with_its_series_arm_in_both_legs(series: float, shunt: float) -> None:
    assert pads.u_pad_loss_db(series / 2, shunt) == pytest.approx(pads.l_pad_loss_db(series, shunt))
    assert pads.u_pad_input_ohm(series / 2, shunt) == pytest.approx(pads.l_pad_input_ohm(series, shunt))


@PATIENT
@given(OHMS, st.floats(0.01, 0.99))
def test_the_shunt_of_an_o_gives_the_wanted_impedance(actual: float, share: float) -> None:
    wanted = actual * share
    shunt = pads.o_pad_shunt_ohm(actual, wanted)
    assert electrical.parallel_ohm((actual, shunt)) == pytest.approx(wanted, rel=1e-9)


@PATIENT
@given(OHMS, st.floats(1.01, 1000))
def test_the_pad_of_least_loss_matches_both_ends(lower: float, ratio: float) -> None:
    higher = lower * ratio
    arms = pads.minimum_loss_l(higher, lower)
    assert pads.l_pad_input_ohm(arms.series_ohm, arms.shunt_ohm, lower) == pytest.approx(higher, rel=1e-6)
    assert pads.l_pad_output_ohm(arms.series_ohm, arms.shunt_ohm, higher) == pytest.approx(lower, rel=1e-6)
    power_loss = pads.l_pad_loss_db(arms.series_ohm, arms.shunt_ohm, lower) - 10 * math.log10(ratio)
    assert power_loss == pytest.approx(pads.minimum_loss_db(lower, higher), abs=1e-6)


@PATIENT
@given(OHMS, st.integers(2, 12))
def test_a_branching_pad_shows_its_impedance_to_the_source(impedance: float, circuits: int) -> None:
    arm = pads.branching_arm_ohm(impedance, circuits)
    assert arm + (arm + impedance) / circuits == pytest.approx(impedance)


@PATIENT
@given(st.floats(0.1, 50), OHMS, OHMS)
def test_a_di_loses_its_ratio_and_something_more(ratio: float, source: float, load: float) -> None:
    assert transformer.di_loss_db(0.0, ratio, load) == pytest.approx(transformer.turns_loss_db(ratio), abs=1e-9)
    assert transformer.di_loss_db(source, ratio, load) >= transformer.turns_loss_db(ratio)
    assert transformer.turns_loss_db(1 / ratio) == pytest.approx(-transformer.turns_loss_db(ratio), abs=1e-9)


@PATIENT
@given(OHMS, st.floats(1, 1e6), st.floats(1.1, 10))
def test_roll_off_falls_as_the_cable_grows(source: float, total_pf: float, factor: float) -> None:
    corner = cables.roll_off_hz(source, total_pf)
    assert cables.roll_off_hz(source, total_pf * factor) == pytest.approx(corner / factor)
    assert cables.loss_at_db(source, total_pf, corner) == pytest.approx(10 * math.log10(2))
    assert cables.loss_at_db(source, total_pf, 0.0) == 0.0


@PATIENT
@given(st.floats(0.01, 1e4), st.floats(0.01, 10), LEVELS)
def test_twice_the_screen_current_costs_6_db(current: float, resistance: float, level: float) -> None:
    once = screens.signal_over_noise_db(level, screens.screen_noise_uv(current, resistance))
    twice = screens.signal_over_noise_db(level, screens.screen_noise_uv(2 * current, resistance))
    assert once - twice == pytest.approx(20 * math.log10(2), abs=1e-9)
