"""Impossible values are refused with ValueError, everywhere alike. No source needed: they do not exist."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from rigcore.quantities import (
    cables,
    checks,
    conductors,
    electrical,
    full_scale,
    leakage,
    lengths,
    loudspeaker,
    mains,
    microphone,
    numbering,
    pads,
    phantom,
    rack,
    screens,
    serial,
    transformer,
    voltage_drop,
)

P48 = phantom.FEEDS["P48"]

MUST_BE_ABOVE_ZERO: tuple[Callable[[float], object], ...] = (
    lambda x: checks.above_zero(x, "it"),
    electrical.dbu_from_volts,
    lambda x: electrical.ratio_db(x, 1),
    lambda x: electrical.ratio_db(1, x),
    lambda x: electrical.parallel_ohm([8, x]),
    lambda x: electrical.loaded_v(1, 1, x),
    lambda x: electrical.divider_loss_db(100, x),
    lambda x: electrical.is_bridged(100, x),
    lambda x: electrical.is_bridged(100, 1000, x),
    lambda x: electrical.watts(1, x),
    lambda x: electrical.amperes(1, 230, x),
    microphone.sensitivity_dbv_per_pa,
    transformer.turns_loss_db,
    transformer.impedance_ratio,
    lambda x: transformer.reflected_ohm(12, x),
    lambda x: transformer.di_loss_db(100, 12, x),
    lambda x: pads.l_pad_loss_db(100, x),
    lambda x: pads.l_pad_loss_db(100, 100, x),
    lambda x: pads.l_pad_input_ohm(100, x),
    lambda x: pads.l_pad_output_ohm(100, x),
    lambda x: pads.matched_t(x, 20),
    lambda x: pads.matched_t(600, x),
    lambda x: pads.matched_h(600, x),
    lambda x: pads.t_pad_input_ohm(pads.matched_t(600, 20), x),
    lambda x: pads.u_pad_loss_db(100, x),
    lambda x: pads.u_pad_input_ohm(100, x),
    lambda x: pads.o_pad_shunt_ohm(x, 100),
    lambda x: pads.o_pad_shunt_ohm(100, x),
    lambda x: pads.minimum_loss_db(600, x),
    lambda x: pads.minimum_loss_l(x, 150),
    lambda x: pads.branching_arm_ohm(x, 2),
    lambda x: cables.roll_off_hz(x, 100),
    lambda x: cables.roll_off_hz(100, x),
    lambda x: conductors.copper_at_c(x, 75),
    lambda x: conductors.table_8_at_c(x, 20),
    phantom.feed_ohm,
    lambda x: phantom.short_both_ma(x, 6800),
    lambda x: phantom.short_one_leg_ma(48, x),
    lambda x: phantom.matched_power_mw(x, 6800),
    lambda x: phantom.legs_matched(6800, x),
    lambda x: mains.apparent_va(100, x),
    lambda x: mains.amperes_of_va(100, x),
    mains.continuous_limit_a,
    lambda x: mains.continuous_limit_va(15, x),
    lambda x: mains.weakest_a([10, x]),
    lambda x: mains.carries(1, [x]),
    mains.supply_range_v,
    lambda x: voltage_drop.drop_class_5(1.5, 10, 1, x),
    lambda x: voltage_drop.drop_table_8(12, 10, 1, x),
    lambda x: voltage_drop.drop_annex_g(x, 10, 1, 230),
    lambda x: voltage_drop.drop_annex_g(1.5, 10, 1, 230, power_factor=x),
    leakage.rcd_standing_limit_ma,
    leakage.rcd_may_trip_from_ma,
    leakage.rcd_must_trip_ma,
    lambda x: leakage.rcd_bears(x, []),
    leakage.gfci_longest_trip_s,
    lambda x: screens.signal_over_noise_db(4, x),
    lambda x: loudspeaker.rated_v(x, 8),
    lambda x: loudspeaker.line_power(10, x, 0.1),
    lambda x: loudspeaker.loop_share_pct(x, 0.1),
    lambda x: loudspeaker.line_loss_db(x, 0.1),
    lambda x: loudspeaker.longest_run_m(8, x),
    lambda x: loudspeaker.longest_run_m(8, 0.01, x),
    lambda x: loudspeaker.amplifier_output_ohm(x, 8),
    lambda x: loudspeaker.line_damping(x, 0.01, 0.1),
    lambda x: loudspeaker.amplifier_bears([8], x),
    lambda x: lengths.longest_by_delay_m(26, x),
    lambda x: serial.byte_us(x),
    rack.units_needed,
    rack.panel_mm,
)

MUST_NOT_BE_NEGATIVE: tuple[Callable[[float], object], ...] = (
    lambda x: checks.zero_or_more(x, "it"),
    lambda x: electrical.loaded_v(1, x, 100),
    lambda x: electrical.divider_loss_db(x, 100),
    lambda x: electrical.is_bridged(x, 1000),
    lambda x: transformer.di_loss_db(x, 12, 1500),
    lambda x: pads.l_pad_loss_db(x, 100),
    lambda x: pads.l_pad_input_ohm(x, 100),
    lambda x: pads.l_pad_output_ohm(100, 100, x),
    lambda x: pads.l_pad_output_ohm(x, 100, 150),
    lambda x: cables.capacitance_pf(x, 1),
    lambda x: cables.capacitance_pf(1, x),
    lambda x: cables.loss_at_db(100, 100, x),
    lambda x: conductors.core_ohm(x, 1),
    lambda x: conductors.loop_ohm(1, x),
    lambda x: phantom.at_microphone_v(48, 6800, x),
    lambda x: phantom.at_microphone_mw(48, 6800, x),
    lambda x: phantom.draw_allowed(P48, x),
    lambda x: phantom.supply_allowed(P48, x),
    lambda x: phantom.lowest_at_microphone_v(P48, x),
    lambda x: mains.apparent_va(x, 0.9),
    lambda x: mains.amperes_of_va(x, 230),
    lambda x: mains.carries(x, [10]),
    lambda x: voltage_drop.drop_class_5(1.5, x, 1, 230),
    lambda x: voltage_drop.drop_solid_20_c(12, 10, x, 120),
    lambda x: voltage_drop.drop_annex_g(1.5, x, 1, 230),
    lambda x: voltage_drop.drop_annex_g(1.5, 10, x, 230),
    lambda x: leakage.sum_ma([1, x]),
    lambda x: leakage.rcd_bears(30, [x]),
    lambda x: leakage.gfci_bears([x]),
    lambda x: leakage.capacitor_leakage_ma(x, 230, 50),
    lambda x: leakage.capacitor_leakage_ma(100, x, 50),
    lambda x: leakage.capacitor_leakage_ma(100, 230, x),
    lambda x: screens.screen_noise_uv(x, 1),
    lambda x: screens.screen_noise_uv(1, x),
    lambda x: loudspeaker.line_power(x, 8, 0.1),
    lambda x: loudspeaker.line_loss_db(8, x),
    lambda x: loudspeaker.line_damping(8, x, 0.1),
    lambda x: lengths.over_limit("usb2", x),
    lambda x: lengths.over_usual("usb2", x),
)

OTHERS: tuple[Callable[[], object], ...] = (
    lambda: electrical.power_sum_db([]),
    lambda: electrical.power_sum_db([0.0, math.nan]),
    lambda: electrical.power_sum_db([math.inf]),
    lambda: electrical.parallel_ohm([]),
    lambda: electrical.amperes(1, 230, 1.1),
    lambda: full_scale.full_scale_dbu(1.0, 4.0),
    lambda: pads.o_pad_shunt_ohm(2000, 7400),
    lambda: pads.minimum_loss_l(600, 600),
    lambda: pads.branching_arm_ohm(600, 1),
    lambda: conductors.class_5_ohm_per_m(1.7),
    lambda: conductors.table_8_ohm_per_m(13),
    lambda: conductors.awg_diameter_mm(-4),
    lambda: conductors.awg_area_mm2(41),
    lambda: conductors.copper_at_c(1, -250),
    lambda: phantom.at_microphone_v(48, 6800, 14.2),
    lambda: mains.apparent_va(100, 1.1),
    lambda: mains.weakest_a([]),
    lambda: voltage_drop.drop_annex_g(1.5, 10, 1, 230, power_factor=1.1),
    lambda: leakage.gfci_longest_trip_s(5.9),
    lambda: loudspeaker.line_damping(8, 0, 0),
    lambda: loudspeaker.amplifier_bears([], 4),
    lambda: lengths.limit_of("string and two tins"),
    lambda: numbering.colours_of(-1),
    lambda: rack.units_mm(0),
)


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan])
@pytest.mark.parametrize("call", MUST_BE_ABOVE_ZERO)
def test_above_zero(call: Callable[[float], object], value: float) -> None:
    with pytest.raises(ValueError, match=r"must|needs"):
        call(value)


@pytest.mark.parametrize("value", [-1.0, math.nan, math.inf])
@pytest.mark.parametrize("call", MUST_NOT_BE_NEGATIVE)
def test_not_negative(call: Callable[[float], object], value: float) -> None:
    with pytest.raises(ValueError, match="must"):
        call(value)


@pytest.mark.parametrize("call", OTHERS)
def test_others(call: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=r"must|need|only|match"):
        call()
