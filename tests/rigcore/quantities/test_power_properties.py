"""What must hold for any feed, mains lead, leakage and loudspeaker line, whatever the numbers."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigcore.quantities import (
    conductors,
    leakage,
    lengths,
    loudspeaker,
    mains,
    numbering,
    phantom,
    rack,
    voltage_drop,
)

PATIENT = settings(deadline=None)
"""A busy machine is no fault of the numbers."""

AREAS = st.sampled_from(sorted(conductors.CLASS_5_OHM_PER_KM))
TABLE_GAUGES = st.sampled_from(sorted(conductors.TABLE_8_STRANDED_OHM_PER_KFT))
LENGTHS = st.floats(0, 200)
CURRENTS = st.floats(0, 32)
FEEDS = st.sampled_from(sorted(phantom.FEEDS.values(), key=lambda feed: feed.name))


def _every_model(length_m: float, current_a: float) -> list[voltage_drop.Drop]:
    return [
        voltage_drop.drop_class_5(2.5, length_m, current_a, 230.0),
        voltage_drop.drop_annex_g(2.5, length_m, current_a, 230.0),
        voltage_drop.drop_table_8(14, length_m, current_a, 120.0),
        voltage_drop.drop_solid_20_c(14, length_m, current_a, 120.0),
    ]


@PATIENT
@given(LENGTHS, CURRENTS, st.floats(1, 10))
def test_drop_is_proportional_to_length_and_current(length_m: float, current_a: float, factor: float) -> None:
    for once, longer, stronger in zip(
        _every_model(length_m, current_a),
        _every_model(length_m * factor, current_a),
        _every_model(length_m, current_a * factor),
        strict=True,
    ):
        assert longer.drop_v == pytest.approx(once.drop_v * factor)
        assert stronger.drop_v == pytest.approx(once.drop_v * factor)
        assert once.end_v + once.drop_v == pytest.approx(once.supply_v)
        assert once.within(once.drop_pct)
        assert not once.within(once.drop_pct - 0.1)


def test_every_drop_names_its_own_model() -> None:
    assert len({drop.model for drop in _every_model(10, 1)}) == 4


@PATIENT
@given(LENGTHS, CURRENTS, AREAS, st.floats(0.1, 1))
def test_three_phases_drop_half(length_m: float, current_a: float, area_mm2: float, power_factor: float) -> None:
    single = voltage_drop.drop_annex_g(area_mm2, length_m, current_a, 230.0, power_factor=power_factor)
    three = voltage_drop.drop_annex_g(
        area_mm2, length_m, current_a, 230.0, power_factor=power_factor, three_phase=True
    )
    assert three.drop_v == pytest.approx(single.drop_v / 2)


def test_thicker_conductors_resist_less() -> None:
    for bases in (
        [conductors.class_5_ohm_per_m(area) for area in sorted(conductors.CLASS_5_OHM_PER_KM)],
        [conductors.table_8_ohm_per_m(awg) for awg in (18, 16, 14, 12, 10)],
        [conductors.table_8_ohm_per_m(awg, stranded=False) for awg in (18, 16, 14, 12, 10)],
        [conductors.awg_ohm_per_m(awg) for awg in range(40, -4, -1)],
    ):
        assert bases == sorted(bases, reverse=True)
        assert len(set(bases)) == len(bases)


@PATIENT
@given(TABLE_GAUGES)
def test_table_8_lies_about_a_quarter_above_20_degrees(awg: int) -> None:
    """NEC chapter 9 Table 8 is at 75 degrees C, about 22 % above 20; strands add about 2 %."""
    solid = conductors.table_8_ohm_per_m(awg, stranded=False)
    assert 1.20 < solid / conductors.awg_ohm_per_m(awg) < 1.24
    assert 1.01 < conductors.table_8_ohm_per_m(awg) / solid < 1.03


@PATIENT
@given(st.floats(0.001, 10), st.floats(-20, 90))
def test_copper_warms_up(ohm: float, temperature_c: float) -> None:
    assert (conductors.copper_at_c(ohm, temperature_c) > ohm) == (temperature_c > 20 + 1e-9) or temperature_c == (
        pytest.approx(20, abs=1e-6)
    )
    assert conductors.copper_at_c(ohm, 20.0) == ohm
    assert conductors.table_8_at_c(conductors.copper_at_c(ohm, 75.0), 20.0) == pytest.approx(ohm, rel=1e-3)


@PATIENT
@given(FEEDS, st.floats(0, 1))
def test_a_feed_gives_less_the_more_is_drawn(feed: phantom.Feed, share: float) -> None:
    draw = share * phantom.short_both_ma(feed.supply_v, feed.leg_ohm) * (1 - 1e-9)
    left = phantom.at_microphone_v(feed.supply_v, feed.leg_ohm, draw)
    assert left == pytest.approx(feed.supply_v * (1 - share), abs=1e-5)
    most = phantom.matched_power_mw(feed.supply_v, feed.leg_ohm)
    assert phantom.at_microphone_mw(feed.supply_v, feed.leg_ohm, draw) <= most * (1 + 1e-9)


@PATIENT
@given(FEEDS)
def test_the_standards_current_can_be_drawn(feed: phantom.Feed) -> None:
    assert phantom.draw_allowed(feed, feed.max_ma)
    assert not phantom.draw_allowed(feed, feed.max_ma + 0.01)
    assert phantom.at_microphone_v(feed.supply_v, feed.leg_ohm, feed.max_ma) > 0
    assert phantom.supply_allowed(feed, feed.supply_v) is (None if feed.tolerance_v is None else True)


@pytest.mark.parametrize(("supply_v", "allowed"), [(43.9, False), (44.0, True), (52.0, True), (52.1, False)])
def test_p48_keeps_between_44_and_52_v(supply_v: float, allowed: bool) -> None:
    """IEC 61938:2018: 48 V, 4 V either way."""
    assert phantom.supply_allowed(phantom.FEEDS["P48"], supply_v) is allowed


def test_no_lowest_voltage_where_the_tolerance_is_unsure() -> None:
    assert phantom.lowest_at_microphone_v(phantom.FEEDS["P12"], 1.0) is None


@PATIENT
@given(st.floats(1, 400))
def test_a_continuous_load_times_125_percent_is_the_breaker(breaker_a: float) -> None:
    assert mains.continuous_limit_a(breaker_a) * 1.25 == pytest.approx(breaker_a)


@PATIENT
@given(st.lists(st.floats(0.1, 63), min_size=1, max_size=6), st.floats(0.1, 63))
def test_a_cord_set_is_never_better_for_one_part_more(ratings: list[float], another: float) -> None:
    assert mains.weakest_a([*ratings, another]) <= mains.weakest_a(ratings)
    assert mains.carries(mains.weakest_a(ratings), ratings)


@PATIENT
@given(st.floats(0, 10_000), st.floats(0.1, 1), st.floats(50, 400))
def test_va_is_never_below_w(load_w: float, power_factor: float, supply_v: float) -> None:
    load_va = mains.apparent_va(load_w, power_factor)
    assert load_va >= load_w
    assert mains.amperes_of_va(load_va, supply_v) * supply_v * power_factor == pytest.approx(load_w)


@PATIENT
@given(st.lists(st.floats(0, 10), max_size=30), st.sampled_from([10.0, 30.0, 100.0]))
def test_one_item_more_never_helps(items: list[float], rated_ma: float) -> None:
    if not leakage.rcd_bears(rated_ma, items):
        assert not leakage.rcd_bears(rated_ma, [*items, 0.25])
    if not leakage.gfci_bears(items):
        assert not leakage.gfci_bears([*items, 0.25])


def test_the_limits_themselves() -> None:
    """BS 7671:2018 531.3.2(iii) allows 30 %; UL 943 may trip at 4 mA."""
    assert leakage.rcd_bears(30.0, [0.1] * 90)
    assert not leakage.rcd_bears(30.0, [0.1] * 91)
    assert leakage.gfci_bears([3.9])
    assert not leakage.gfci_bears([4.0])


@PATIENT
@given(st.floats(6, 300), st.floats(1, 100))
def test_a_stronger_fault_trips_sooner(fault_ma: float, more_ma: float) -> None:
    assert leakage.gfci_longest_trip_s(fault_ma + more_ma) < leakage.gfci_longest_trip_s(fault_ma)


@PATIENT
@given(st.floats(1, 32), st.floats(0, 5), st.floats(1, 100))
def test_no_power_is_lost_on_paper(load_ohm: float, loop_ohm: float, amplifier_v: float) -> None:
    power = loudspeaker.line_power(amplifier_v, load_ohm, loop_ohm)
    assert power.cable_w + power.load_w == pytest.approx(power.amplifier_w)
    assert power.amplifier_w <= amplifier_v**2 / load_ohm * (1 + 1e-9)


@PATIENT
@given(st.floats(1, 32), st.floats(0.001, 0.1), st.floats(0.1, 3))
def test_the_longest_run_loses_just_what_it_may(load_ohm: float, ohm_per_m: float, loss_db: float) -> None:
    run_m = loudspeaker.longest_run_m(load_ohm, ohm_per_m, loss_db)
    loop = conductors.loop_ohm(ohm_per_m, run_m)
    assert loudspeaker.line_loss_db(load_ohm, loop) == pytest.approx(loss_db, rel=1e-6)


@PATIENT
@given(st.floats(1, 32), st.floats(0.001, 1), st.floats(0, 5))
def test_a_cable_only_takes_damping_away(load_ohm: float, amplifier_ohm: float, loop_ohm: float) -> None:
    alone = loudspeaker.line_damping(load_ohm, amplifier_ohm, 0.0)
    assert loudspeaker.line_damping(load_ohm, amplifier_ohm, loop_ohm) <= alone
    assert loudspeaker.amplifier_output_ohm(alone, load_ohm) == pytest.approx(amplifier_ohm)


@PATIENT
@given(st.sampled_from([4.0, 8.0, 16.0]), st.integers(1, 8))
def test_equal_boxes_just_meet_their_share(load_ohm: float, boxes: int) -> None:
    assert loudspeaker.amplifier_bears([load_ohm] * boxes, load_ohm / boxes)


@pytest.mark.parametrize("link", lengths.LIMITS)
def test_at_its_limit_a_link_still_works(link: str) -> None:
    limit = lengths.limit_of(link)
    assert limit.usual_m <= limit.limit_m
    assert not lengths.over_limit(link, limit.limit_m)
    assert lengths.over_limit(link, limit.limit_m + 0.01)
    assert lengths.over_usual(link, limit.usual_m + 0.01)
    assert limit.source


@PATIENT
@given(st.integers(1, 50))
def test_a_panel_fits_its_units(units: int) -> None:
    assert rack.units_needed(rack.units_mm(units)) == units
    assert rack.units_needed(rack.panel_mm(units)) == units
    assert rack.units_needed(rack.units_mm(units) + 0.1) == units + 1


@PATIENT
@given(st.integers(0, 9999))
def test_colours_read_back_as_the_number(number: int) -> None:
    digits = "".join(str(numbering.DIGIT_COLOURS.index(colour)) for colour in numbering.colours_of(number))
    assert int(digits) == number
