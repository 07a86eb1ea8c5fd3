"""Resistance of copper conductors: three published bases, never mixed, each function named after its own.

* IEC 60228 class 5 (flexible), highest resistance at 20 degrees C, by mm2;
* NEC chapter 9 Table 8, uncoated copper at 75 degrees C, by AWG;
* ASTM B258 geometry of solid AWG wire with the resistivity of annealed copper at 20 degrees C.

The same conductor differs by 13 to 25 % between them. Not here: voltage drop and loudspeaker losses.
"""

from __future__ import annotations

import math
from types import MappingProxyType

from rigcore.quantities.checks import above_zero, zero_or_more
from rigcore.quantities.geometry import METRES_PER_FOOT

COPPER_OHM_MM2_PER_M = 0.017241
"""Resistivity of annealed copper at 20 degrees C."""

COPPER_PER_K = 0.00393
"""Rise of the resistance of copper for each K, from its value at 20 degrees C."""

TABLE_8_PER_K = 0.00323
"""Rise for each K from the value at 75 degrees C, as a note to NEC chapter 9 Table 8 has it (from memory)."""

CLASS_5_OHM_PER_KM = MappingProxyType({0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95})
"""IEC 60228 class 5, plain copper: highest resistance at 20 degrees C in ohm/km, by mm2."""

TABLE_8_STRANDED_OHM_PER_KFT = MappingProxyType({18: 7.95, 16: 4.99, 14: 3.14, 12: 1.98, 10: 1.24})
"""NEC chapter 9 Table 8, stranded uncoated copper at 75 degrees C, ohm per 1000 ft, by AWG."""

TABLE_8_SOLID_OHM_PER_KFT = MappingProxyType({18: 7.77, 16: 4.89, 14: 3.07, 12: 1.93, 10: 1.21})
"""NEC chapter 9 Table 8, solid uncoated copper at 75 degrees C, ohm per 1000 ft, by AWG."""


def ohm_per_m_from_ohm_per_kft(ohm_per_kft: float) -> float:
    """Return a resistance in ohm/m that was printed in ohm per 1000 ft.

    Parameters
    ----------
    ohm_per_kft
        Resistance in ohm per 1000 ft.

    Examples
    --------
    >>> round(ohm_per_m_from_ohm_per_kft(1.98) * 1000, 3)
    6.496

    Source
    ------
    International foot, 0.3048 m.
    """
    return ohm_per_kft / (1000.0 * METRES_PER_FOOT)


def class_5_ohm_per_m(area_mm2: float) -> float:
    """Return the highest resistance in ohm/m of one flexible conductor at 20 degrees C.

    Parameters
    ----------
    area_mm2
        Nominal cross-section in mm2: 0.75, 1, 1.5, 2.5 or 4.

    Raises
    ------
    ValueError
        If the cross-section is not in the table.

    Examples
    --------
    >>> round(class_5_ohm_per_m(1.5), 5)
    0.0133

    Source
    ------
    IEC 60228 class 5, plain copper.
    """
    if area_mm2 not in CLASS_5_OHM_PER_KM:
        raise ValueError(f"{area_mm2} mm2 must be one of {', '.join(map(str, CLASS_5_OHM_PER_KM))}")
    return CLASS_5_OHM_PER_KM[area_mm2] / 1000.0


def table_8_ohm_per_m(awg: int, *, stranded: bool = True) -> float:
    """Return the resistance in ohm/m of one uncoated copper conductor at 75 degrees C.

    Parameters
    ----------
    awg
        Wire gauge: 18, 16, 14, 12 or 10.
    stranded
        Stranded (default) or solid.

    Raises
    ------
    ValueError
        If the gauge is not in the table.

    Examples
    --------
    >>> round(table_8_ohm_per_m(12) * 1000, 3)
    6.496

    Source
    ------
    NEC chapter 9 Table 8.
    """
    table = TABLE_8_STRANDED_OHM_PER_KFT if stranded else TABLE_8_SOLID_OHM_PER_KFT
    if awg not in table:
        raise ValueError(f"AWG {awg} must be one of {', '.join(map(str, table))}")
    return ohm_per_m_from_ohm_per_kft(table[awg])


def awg_diameter_mm(awg: int) -> float:
    """Return the diameter in mm of solid AWG wire.

    Parameters
    ----------
    awg
        Wire gauge; 0 is 1/0, -1 is 2/0, down to -3.

    Raises
    ------
    ValueError
        If the gauge is not between -3 and 40.

    Examples
    --------
    >>> round(awg_diameter_mm(12), 3)
    2.053

    Source
    ------
    ASTM B258: 0.127 mm times 92 to the power of (36 - n)/39.
    """
    if not -3 <= awg <= 40:
        raise ValueError("the gauge must lie between -3 (4/0) and 40")
    return float(0.127 * 92.0 ** ((36 - awg) / 39.0))


def awg_area_mm2(awg: int) -> float:
    """Return the cross-section in mm2 of solid AWG wire.

    Parameters
    ----------
    awg
        Wire gauge.

    Raises
    ------
    ValueError
        If the gauge is not between -3 and 40.

    Examples
    --------
    >>> round(awg_area_mm2(12), 3)
    3.309

    Source
    ------
    ASTM B258.
    """
    return math.pi / 4.0 * awg_diameter_mm(awg) ** 2


def awg_ohm_per_m(awg: int) -> float:
    """Return the resistance in ohm/m of solid AWG copper wire at 20 degrees C.

    Parameters
    ----------
    awg
        Wire gauge.

    Raises
    ------
    ValueError
        If the gauge is not between -3 and 40.

    Examples
    --------
    >>> round(awg_ohm_per_m(12) * 1000, 2)
    5.21

    Source
    ------
    ASTM B258 with the resistivity of annealed copper, 0.017241 ohm mm2/m.
    """
    return COPPER_OHM_MM2_PER_M / awg_area_mm2(awg)


def core_ohm(ohm_per_m: float, length_m: float) -> float:
    """Return the resistance in ohm of one core of a lead.

    Parameters
    ----------
    ohm_per_m
        Resistance of one conductor in ohm/m.
    length_m
        One-way length in m.

    Raises
    ------
    ValueError
        If one of them is negative.

    Examples
    --------
    >>> round(core_ohm(class_5_ohm_per_m(1.5), 20.0), 3)
    0.266

    Source
    ------
    Proportion.
    """
    return zero_or_more(ohm_per_m, "the resistance") * zero_or_more(length_m, "the length")


def loop_ohm(ohm_per_m: float, length_m: float) -> float:
    """Return the resistance in ohm of a lead there and back: twice one core.

    Parameters
    ----------
    ohm_per_m
        Resistance of one conductor in ohm/m.
    length_m
        One-way length in m.

    Raises
    ------
    ValueError
        If one of them is negative.

    Examples
    --------
    >>> round(loop_ohm(awg_ohm_per_m(12), 3.6576), 4)
    0.0381

    Source
    ------
    Kirchhoff: the current flows there and back.
    """
    return 2.0 * core_ohm(ohm_per_m, length_m)


def copper_at_c(ohm_at_20_c: float, temperature_c: float) -> float:
    """Return a resistance known at 20 degrees C at another temperature.

    Parameters
    ----------
    ohm_at_20_c
        Resistance at 20 degrees C, in ohm or ohm/m.
    temperature_c
        The other temperature, in degrees C, above -200.

    Returns
    -------
    float
        Resistance in the unit given.

    Raises
    ------
    ValueError
        If the resistance is not above zero or copper does not behave linearly there.

    Examples
    --------
    >>> round(copper_at_c(1.0, 75.0), 3)
    1.216

    Source
    ------
    Annealed copper: 0.00393 per K at 20 degrees C.
    """
    return _at_c(ohm_at_20_c, COPPER_PER_K * (temperature_c - 20.0))


def table_8_at_c(ohm_at_75_c: float, temperature_c: float) -> float:
    """Return a resistance of NEC chapter 9 Table 8 at another temperature.

    Parameters
    ----------
    ohm_at_75_c
        Resistance as printed, at 75 degrees C, in any unit.
    temperature_c
        The other temperature, in degrees C.

    Returns
    -------
    float
        Resistance in the unit given.

    Raises
    ------
    ValueError
        If the resistance is not above zero or copper does not behave linearly there.

    Examples
    --------
    >>> round(table_8_at_c(1.98, 20.0), 3)
    1.628

    Source
    ------
    Note to NEC chapter 9 Table 8: 0.00323 per K at 75 degrees C (from memory).
    """
    return _at_c(ohm_at_75_c, TABLE_8_PER_K * (temperature_c - 75.0))


def _at_c(known_ohm: float, change: float) -> float:
    if not -0.85 < change < 2.0:
        raise ValueError("the temperature must be one at which copper behaves linearly")
    return above_zero(known_ohm, "the resistance") * (1.0 + change)
