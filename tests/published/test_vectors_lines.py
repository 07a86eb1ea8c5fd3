"""Vectors SP, CN, RK and BX-17: loudspeaker lines, links, racks, colours. Sources stand in vectors.json."""

from __future__ import annotations

from typing import Any

import pint
import pytest

from rigcore.quantities import conductors, electrical, geometry, lengths, loudspeaker, numbering, rack, serial
from tests.published.test_vectors_common import VECTORS, Adapter, Values, check

UNITS: Any = pint.UnitRegistry()


def _awg_loop(awg: int, length_ft: float) -> float:
    return conductors.loop_ohm(conductors.awg_ohm_per_m(awg), geometry.metres_from_feet(length_ft))


def _line_power(given: Values) -> Values:
    volts = loudspeaker.rated_v(given["W_rated"], given["Z_ohm"])
    loop = given["cable_ohm_per_ft_loop"] * given["ft"]
    power = loudspeaker.line_power(volts, given["Z_ohm"], loop)
    return {
        "V_rms": volts,
        "Z_total_ohm": volts**2 / power.amplifier_w,
        "P_amp_W": power.amplifier_w,
        "P_cable_W": power.cable_w,
        "P_load_W": power.load_w,
    }


def _printed_runs(given: Values) -> Values:
    shares, losses = [], []
    for row in given["rows"]:
        per_m = conductors.ohm_per_m_from_ohm_per_kft(row["ohm_per_kft"])
        loop = conductors.loop_ohm(per_m, geometry.metres_from_feet(row["ft"]))
        shares.append(loudspeaker.loop_share_pct(row["Z_ohm"], loop))
        losses.append(loudspeaker.line_loss_db(row["Z_ohm"], loop))
    return {"loop_pct": shares, "loss_dB": losses}


def _line_loss(given: Values) -> Values:
    loop = _awg_loop(given["awg"], given["ft"])
    return {"loss_dB": [loudspeaker.line_loss_db(load, loop) for load in given["Z_ohm"]]}


def _damping_by_awg(given: Values) -> Values:
    before = loudspeaker.amplifier_output_ohm(given["DF_amp"], given["Z_ohm"])
    loop = _awg_loop(given["awg"], given["ft"])
    return {
        "Zout_ohm": before, "R_loop_ohm": loop, "DF_system": loudspeaker.line_damping(given["Z_ohm"], before, loop),
    }


def _damping(given: Values) -> Values:
    return {"DF_system": loudspeaker.line_damping(given["Z_ohm"], given["Z_amp_ohm"], given["R_wire_ohm"])}


def _output(given: Values) -> Values:
    return {"Zout_ohm": loudspeaker.amplifier_output_ohm(given["DF"], given["min_load_ohm"])}


def _parallel(given: Values) -> Values:
    return {"Z_ohm": [electrical.parallel_ohm(loads) for loads in given["parallel_ohm"]]}


def _amplifier(given: Values) -> Values:
    loads = given["loads_ohm"]
    return {
        "Z_ohm": electrical.parallel_ohm(loads), "ok": loudspeaker.amplifier_bears(loads, given["lowest_ohm"]),
    }


def _delay(given: Values) -> Values:
    return {"max_m": lengths.longest_by_delay_m(given["usb2_delay_ns_total"], given["ns_per_m"])}


def _byte(given: Values) -> Values:
    assert (given["midi_baud"], given["bits_per_byte"]) == (serial.MIDI_BAUD, serial.MIDI_BITS_PER_BYTE)
    return {"us_per_byte": serial.byte_us(given["midi_baud"], given["bits_per_byte"])}


def _over(given: Values) -> Values:
    pairs = zip(given["link"], given["m"], strict=True)
    return {"over_limit": [lengths.over_limit(link, length_m) for link, length_m in pairs]}


def _rack(given: Values) -> Values:
    return {"mm": [rack.units_mm(units) for units in given["U"]]}


def _colours(given: Values) -> Values:
    return {"colour": [" ".join(numbering.colours_of(channel)) for channel in given["channel"]]}


ADAPTERS: dict[str, Adapter] = {
    "SP-01": _line_power,
    "SP-02": _printed_runs,
    **dict.fromkeys(("SP-03", "SP-04"), _line_loss),
    **dict.fromkeys(("SP-05", "SP-05b"), _damping_by_awg),
    **dict.fromkeys(("SP-06", "SP-07"), _damping),
    "SP-08": _output,
    "SP-09": _parallel,
    "BX-17": _amplifier,
    "CN-01": _delay,
    "CN-02": _byte,
    **dict.fromkeys(("CN-03", "CN-04"), _over),
    "RK-01": _rack,
    "RK-02": _colours,
}


@pytest.mark.parametrize("name", ADAPTERS)
def test_vector(name: str) -> None:
    """The source of each vector stands beside it in vectors.json."""
    vector = VECTORS[name]
    found = ADAPTERS[name](vector["inputs"])
    check(vector, {key: found[key] for key in vector["expected"]})


@pytest.mark.parametrize("row", VECTORS["SP-02"]["inputs"]["rows"], ids=lambda row: f"{row['awg']}-{row['Z_ohm']}")
def test_longest_runs_of_the_printed_table(row: Values) -> None:
    """A mixer manual's table, from our own wire resistance: each run within 8 % (printed in steps of 5 ft and more)."""
    longest = loudspeaker.longest_run_m(row["Z_ohm"], conductors.awg_ohm_per_m(row["awg"]))
    assert geometry.feet_from_metres(longest) == pytest.approx(row["ft"], rel=0.08)


@pytest.mark.parametrize("units_high", [1, 2, 4, 6])
def test_rack_units_against_pint(units_high: int) -> None:
    """EIA-310: 1 U is 1.75 inch."""
    height = (1.75 * units_high * UNITS.inch).to(UNITS.millimetre).magnitude
    assert rack.units_mm(units_high) == pytest.approx(height)


def test_line_power_against_pint() -> None:
    """SP-01 with volts, ohms and watts carried by a units library."""
    given = VECTORS["SP-01"]["inputs"]
    loop = given["cable_ohm_per_ft_loop"] * UNITS.ohm / UNITS.foot * given["ft"] * UNITS.foot
    volts = (given["W_rated"] * UNITS.watt * given["Z_ohm"] * UNITS.ohm) ** 0.5
    current = volts / (given["Z_ohm"] * UNITS.ohm + loop)
    found = _line_power(given)
    assert found["V_rms"] == pytest.approx(volts.to(UNITS.volt).magnitude)
    assert found["P_cable_W"] == pytest.approx((current**2 * loop).to(UNITS.watt).magnitude)
