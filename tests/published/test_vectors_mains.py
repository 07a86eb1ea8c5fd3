"""Vectors PH, MP, LK and the mains verdicts: phantom feeds, mains, leakage. Sources stand in vectors.json."""

from __future__ import annotations

from typing import Any

import pint
import pytest

from rigcore.quantities import conductors, geometry, leakage, mains, phantom, voltage_drop
from tests.published.test_vectors_common import VECTORS, Adapter, Values, check

UNITS: Any = pint.UnitRegistry()


def _feed(given: Values) -> Values:
    feed = (given["V"], given["R_leg_ohm"])
    return {
        "R_feed_ohm": phantom.feed_ohm(given["R_leg_ohm"]),
        "I_short_both_mA": phantom.short_both_ma(*feed),
        "I_short_one_leg_mA": phantom.short_one_leg_ma(*feed),
        "P_matched_mW": phantom.matched_power_mw(*feed),
    }


def _at_microphone(given: Values) -> Values:
    feed = (given["V"] if "V" in given else given["V_min"], given["R_leg_ohm"])
    draws = given["I_mA"]
    if isinstance(draws, list):
        return {"V_at_mic": [phantom.at_microphone_v(*feed, draw) for draw in draws]}
    return {"V_at_mic": phantom.at_microphone_v(*feed, draws), "P_mW": phantom.at_microphone_mw(*feed, draws)}


def _continuous(given: Values) -> Values:
    assert given["continuous"]
    found = {"max_A": [mains.continuous_limit_a(breaker) for breaker in given["ocpd_A"]]}
    if "V" in given:
        found["max_W_at_pf1"] = [mains.continuous_limit_va(breaker, given["V"]) for breaker in given["ocpd_A"]]
    return found


def _drop(given: Values) -> Values:
    length_m = given["m"] if "m" in given else geometry.metres_from_feet(given["ft"])
    rest = (length_m, given["A"], given["V"])
    if "table" in given:
        drop = voltage_drop.drop_table_8(given["awg"], *rest)
    elif "awg" in given:
        assert given["solid"]
        assert given["temp_C"] == 20
        drop = voltage_drop.drop_solid_20_c(given["awg"], *rest)
    elif "cosphi" in given:
        assert given["rho1"] == voltage_drop.ANNEX_G_OHM_MM2_PER_M
        assert given["lambda_ohm_per_m"] == voltage_drop.ANNEX_G_REACTANCE_OHM_PER_M
        drop = voltage_drop.drop_annex_g(given["S_mm2"], *rest, power_factor=given["cosphi"])
    else:
        drop = voltage_drop.drop_class_5(given["S_mm2"], *rest)
    return {
        "drop_V": drop.drop_v,
        "drop_pct": drop.drop_pct,
        "V_end": drop.end_v,
        "within_3pct": drop.within(voltage_drop.BRANCH_LIMIT_PCT),
    }


def _one_core(given: Values) -> Values:
    pairs = zip(given["S_mm2"], given["m"], strict=True)
    return {"R_one_core_ohm": [conductors.core_ohm(conductors.class_5_ohm_per_m(s), m) for s, m in pairs]}


def _cooled(given: Values) -> Values:
    return {"R_at_20C": conductors.table_8_at_c(given["R_at_75C"], 20.0)}


def _awg(given: Values) -> Values:
    return {
        "dia_mm": [conductors.awg_diameter_mm(awg) for awg in given["awg"]],
        "area_mm2": [conductors.awg_area_mm2(awg) for awg in given["awg"]],
        "ohm_per_kft_20C": [
            conductors.core_ohm(conductors.awg_ohm_per_m(awg), geometry.metres_from_feet(1000)) for awg in given["awg"]
        ],
    }


def _cord_set(given: Values) -> Values:
    return {"rating_A": mains.weakest_a(given["cordset"].values())}


def _power_factor(given: Values) -> Values:
    load_va = mains.apparent_va(given["W"], given["pf"])
    return {"VA": load_va, "A": mains.amperes_of_va(load_va, given["V"])}


def _of_va(given: Values) -> Values:
    return {"A": [mains.amperes_of_va(load_va, given["V"]) for load_va in given["VA"]]}


def _rcd(given: Values) -> Values:
    rated = given["rcd_mA"]
    items = given.get("items_mA", [])
    return {
        "standing_limit_mA": leakage.rcd_standing_limit_ma(rated),
        "may_trip_from_mA": leakage.rcd_may_trip_from_ma(rated),
        "must_trip_mA": leakage.rcd_must_trip_ma(rated),
        "sum_mA": leakage.sum_ma(items),
        "ok": leakage.rcd_bears(rated, items),
    }


def _gfci(given: Values) -> Values:
    assert given["gfci"] == "class A"
    items = given["items_mA"]
    return {"sum_mA": leakage.sum_ma(items), "below_no_trip_4mA": leakage.gfci_bears(items)}


def _trip_time(given: Values) -> Values:
    return {"max_trip_s": [leakage.gfci_longest_trip_s(fault) for fault in given["fault_mA"]]}


def _capacitor(given: Values) -> Values:
    return {"I_uA": leakage.capacitor_leakage_ma(given["C_pF"], given["V"], given["Hz"]) * 1000}


def _two_continents(given: Values) -> Values:
    there = given["north_america"]
    limits = (
        there["inlet_A"], mains.CORD_AMPERES_BY_AWG[there["awg"]], mains.continuous_limit_a(there["breaker_A"]),
    )
    return {
        "europe_ok": mains.carries(given["load_A"], [given["europe"]["inlet_A"]]),
        "north_america_ok": mains.carries(given["load_A"], limits),
    }


def _fused_plug(given: Values) -> Values:
    return {"ok": mains.carries(given["load_A"], [given["fuse_A"]])}


ADAPTERS: dict[str, Adapter] = {
    **dict.fromkeys((f"PH-{name}" for name in phantom.FEEDS), _feed),
    **dict.fromkeys(("PH-06", "PH-07", "PH-08"), _at_microphone),
    **dict.fromkeys(("MP-01", "MP-02"), _continuous),
    **dict.fromkeys(("MP-03", "MP-04", "MP-05", "MP-06", "MP-07", "MP-08", "MP-10"), _drop),
    "MP-09": _one_core,
    "MP-11": _cooled,
    "MP-12": _awg,
    "MP-13": _cord_set,
    "MP-14": _power_factor,
    "MP-15": _of_va,
    **dict.fromkeys(("LK-01", "LK-02", "LK-03"), _rcd),
    **dict.fromkeys(("LK-04", "LK-05"), _gfci),
    "LK-06": _trip_time,
    "LK-07": _capacitor,
    "BX-15": _two_continents,
    "BX-18": _fused_plug,
}


@pytest.mark.parametrize("name", ADAPTERS)
def test_vector(name: str) -> None:
    """The source of each vector stands beside it in vectors.json."""
    vector = VECTORS[name]
    found = ADAPTERS[name](vector["inputs"])
    check(vector, {key: found[key] for key in vector["expected"]})


@pytest.mark.parametrize("name", phantom.FEEDS)
def test_feeds_are_the_vectors(name: str) -> None:
    """IEC 61938:2018: the table of feeds has the voltage and resistor of its vector."""
    given = VECTORS[f"PH-{name}"]["inputs"]
    feed = phantom.FEEDS[name]
    assert (feed.supply_v, feed.leg_ohm) == (given["V"], given["R_leg_ohm"])


@pytest.mark.parametrize("name", ["MP-03", "MP-05", "MP-10"])
def test_drop_against_pint(name: str) -> None:
    """Feet, ohm per 1000 ft, amperes and volts handled by a units library give the same drop."""
    given = VECTORS[name]["inputs"]
    if "S_mm2" in given:
        per_length = conductors.CLASS_5_OHM_PER_KM[given["S_mm2"]] * UNITS.ohm / UNITS.kilometre
        length = given["m"] * UNITS.metre
    else:
        printed = conductors.TABLE_8_STRANDED_OHM_PER_KFT[given["awg"]] if "table" in given else 4.016
        per_length = printed * UNITS.ohm / (1000 * UNITS.foot)
        length = given["ft"] * UNITS.foot
    drop = (2 * length * per_length * given["A"] * UNITS.ampere).to(UNITS.volt).magnitude
    assert _drop(given)["drop_V"] == pytest.approx(drop, rel=2e-4)


@pytest.mark.parametrize(("awg", "mils"), [(36, 5.0), (-3, 460.0)])
def test_awg_anchors_against_pint(awg: int, mils: float) -> None:
    """ASTM B258: No. 36 is 5 mil and 4/0 is 460 mil thick, all others lie between in even ratios."""
    diameter = (mils * UNITS.thou).to(UNITS.millimetre).magnitude
    area = (mils**2 * UNITS.circular_mil).to(UNITS.millimetre**2).magnitude
    assert conductors.awg_diameter_mm(awg) == pytest.approx(diameter, rel=1e-9)
    assert conductors.awg_area_mm2(awg) == pytest.approx(area, rel=1e-9)


@pytest.mark.parametrize(("awg", "circular_mils"), [(18, 1620), (16, 2580), (14, 4110), (12, 6530), (10, 10380)])
def test_awg_areas_of_the_table(awg: int, circular_mils: int) -> None:
    """NEC chapter 9 Table 8 (from memory): circular mil, half a step of 10 either way, by a units library."""
    area = (conductors.awg_area_mm2(awg) * UNITS.millimetre**2).to(UNITS.circular_mil).magnitude
    assert area == pytest.approx(circular_mils, abs=5)


def test_leakage_and_power_against_pint() -> None:
    """LK-07 and MP-14 with every unit carried by a units library."""
    given = VECTORS["LK-07"]["inputs"]
    omega = 2 * 3.141592653589793 * given["Hz"] / UNITS.second
    current = (omega * given["C_pF"] * UNITS.picofarad * given["V"] * UNITS.volt).to(UNITS.microampere).magnitude
    assert _capacitor(given)["I_uA"] == pytest.approx(current)
    given = VECTORS["MP-14"]["inputs"]
    amps = (given["W"] * UNITS.watt / given["pf"] / (given["V"] * UNITS.volt)).to(UNITS.ampere).magnitude
    assert _power_factor(given)["A"] == pytest.approx(amps)


@pytest.mark.parametrize("awg", conductors.TABLE_8_SOLID_OHM_PER_KFT)
def test_the_two_american_bases_agree_once_at_one_temperature(awg: int) -> None:
    """NEC chapter 9 Table 8 solid at 75 degrees C against ASTM B258 at 20, warmed by 0.00393 per K: within 1 %."""
    warmed = conductors.copper_at_c(conductors.awg_ohm_per_m(awg), 75.0)
    assert conductors.table_8_ohm_per_m(awg, stranded=False) == pytest.approx(warmed, rel=0.01)
