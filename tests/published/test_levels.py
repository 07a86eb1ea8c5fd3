"""Level units against their definitions and printed values.

Sources: the definition of 0 dBu as 1 mW in 600 ohm (university audio manual
prints 0.7746 V); +4 dBu printed as 1.228 V and -10 dBV as 0.316 V in the same
manual; the gap of the two nominal levels printed as 11.79 dB in a trade
article; +30 dBu printed as 24.5 V, 1 W in 600 ohm, in a large-console manual;
SMPTE RP 155 and EBU R 68 for full scale. Voltage-divider ratios printed by an
encyclopaedia's article on impedance bridging and a calculator page.
"""

from __future__ import annotations

import math

import pint
import pytest

from rigcore.quantities import electrical as e


@pytest.mark.parametrize(
    ("dbu", "volts", "tolerance"),
    [
        (0.0, 0.774597, 1e-5),  # LV-01, definition
        (4.0, 1.2277, 0.0005),  # LV-02, printed 1.228 V
        (30.0, 24.495, 0.01),  # LV-06, printed 24.5 V
        (24.0, 12.2765, 0.01),  # LV-07, SMPTE RP 155: -20 dBFS = +4 dBu, full scale +24 dBu
        (18.0, 6.1528, 0.01),  # LV-08, EBU R 68: -18 dBFS = 0 dBu, full scale +18 dBu
    ],
)
def test_dbu_in_volts(dbu: float, volts: float, tolerance: float) -> None:
    """Definition and printed values, see the head of this file."""
    assert e.volts_from_dbu(dbu) == pytest.approx(volts, abs=tolerance)
    assert e.dbu_from_volts(volts) == pytest.approx(dbu, abs=0.01)


def test_30_dbu_is_one_watt_in_600_ohm() -> None:
    """Large-console manual, level classes: 24.5 V is 1 W in 600 ohm; the power sum checked with pint."""
    units = pint.UnitRegistry()
    power = (e.volts_from_dbu(30.0) * units.volt) ** 2 / (600 * units.ohm)
    assert power.to(units.watt).magnitude == pytest.approx(1.0, abs=0.002)


def test_dbv_against_dbu() -> None:
    """0 dBV = 1 V by definition, so dBu = dBV + 2.2185 (pages that print 2.21 use 0.775 V)."""
    assert e.dbu_from_dbv(0.0) == pytest.approx(2.2185, abs=0.0005)
    assert e.dbu_from_dbv(-10.0) == pytest.approx(-7.782, abs=0.005)
    assert e.dbv_from_dbu(4.0) == pytest.approx(1.782, abs=0.005)
    assert e.volts_from_dbu(e.dbu_from_dbv(-10.0)) == pytest.approx(0.31623, abs=0.0001)


def test_the_gap_of_the_two_nominal_levels() -> None:
    """+4 dBu over -10 dBV is 11.78 dB (printed 11.79 and 'about 12'), not the 14 dB often quoted."""
    assert e.professional_to_consumer_gap_db() == pytest.approx(11.782, abs=0.01)


@pytest.mark.parametrize(
    ("source", "load", "loss"),
    [(150, 10000, 0.129), (200, 2000, 0.828), (250, 1000, 1.938), (300, 600, 3.522), (600, 600, 6.021)],
)
def test_divider_loss(source: float, load: float, loss: float) -> None:
    """IM-01 to IM-05: printed ratios 0.985, 0.909, 0.8, 0.667 and 0.5."""
    assert e.divider_loss_db(source, load) == pytest.approx(loss, abs=0.01)


@pytest.mark.parametrize(("watts", "volts", "amps"), [(207, 230, 0.9), (276, 230, 1.2), (383, 230, 1.67)])
def test_amperes_against_pint(watts: float, volts: float, amps: float) -> None:
    """MP-15 (207 and 276 VA at 230 V), and the division done by a units library."""
    units = pint.UnitRegistry()
    by_pint = (watts * units.watt / (volts * units.volt)).to(units.ampere).magnitude
    assert e.amperes(watts, volts) == pytest.approx(by_pint)
    assert e.amperes(watts, volts) == pytest.approx(amps, abs=0.01)


def test_power_factor() -> None:
    """MP-14: 200 W at a power factor of 0.6 on 120 V draw 2.778 A."""
    assert e.amperes(200, 120, 0.6) == pytest.approx(2.778, rel=0.002)


def test_impossible_values_are_refused() -> None:
    """No source needed: a level of nothing, a load of nothing, a supply of nothing do not exist."""
    for call in (
        lambda: e.dbu_from_volts(0.0),
        lambda: e.divider_loss_db(100, 0.0),
        lambda: e.amperes(100, 0.0),
        lambda: e.amperes(100, 230, 0.0),
    ):
        with pytest.raises(ValueError, match=r"must be|above zero"):
            call()


def test_round_trip() -> None:
    """Property: converting there and back gives the same level."""
    for tenth in range(-1200, 400, 7):
        level = tenth / 10
        assert math.isclose(e.dbu_from_volts(e.volts_from_dbu(level)), level, abs_tol=1e-9)
