"""Levels in dBu, dBV and volts, dB arithmetic, and mains power.

Audio levels never pass through a general units library: there, ``dBu`` is
decibel-microwatt. Loads, cables and grounds are computed elsewhere.
"""

from __future__ import annotations

import math

DBU_REFERENCE_V = math.sqrt(0.6)
"""0 dBu in volts rms: 1 mW in 600 ohm, the square root of 0.6."""

PROFESSIONAL_NOMINAL_DBU = 4.0
"""Nominal level of professional line connections."""

CONSUMER_NOMINAL_DBV = -10.0
"""Nominal level of consumer line connections."""


def volts_from_dbu(level_dbu: float) -> float:
    """Return the rms voltage in V of a level in dBu.

    >>> round(volts_from_dbu(4.0), 4)
    1.2277
    """
    return float(DBU_REFERENCE_V * 10.0 ** (level_dbu / 20.0))


def dbu_from_volts(level_v: float) -> float:
    """Return the level in dBu of an rms voltage in V.

    Raises
    ------
    ValueError
        If the voltage is zero or negative: it has no level.

    >>> round(dbu_from_volts(1.0), 4)
    2.2185
    """
    if level_v <= 0:
        raise ValueError("a level needs a voltage above zero")
    return 20.0 * math.log10(level_v / DBU_REFERENCE_V)


def dbu_from_dbv(level_dbv: float) -> float:
    """Return the level in dBu of a level in dBV (0 dBV = 1 V rms).

    >>> round(dbu_from_dbv(-10.0), 3)
    -7.782
    """
    return level_dbv + dbu_from_volts(1.0)


def dbv_from_dbu(level_dbu: float) -> float:
    """Return the level in dBV of a level in dBu.

    >>> round(dbv_from_dbu(4.0), 3)
    1.782
    """
    return level_dbu - dbu_from_volts(1.0)


def professional_to_consumer_gap_db() -> float:
    """Return how far +4 dBu lies above -10 dBV, in dB.

    >>> round(professional_to_consumer_gap_db(), 2)
    11.78
    """
    return PROFESSIONAL_NOMINAL_DBU - dbu_from_dbv(CONSUMER_NOMINAL_DBV)


def divider_loss_db(source_ohm: float, load_ohm: float) -> float:
    """Return the loss in dB, positive, of a source of one impedance into a load of another.

    Raises
    ------
    ValueError
        If the load is not above zero or the source is negative.

    >>> round(divider_loss_db(200, 2000), 3)
    0.828
    """
    if load_ohm <= 0 or source_ohm < 0:
        raise ValueError("impedances must be positive")
    return 20.0 * math.log10((load_ohm + source_ohm) / load_ohm)


def amperes(load_w: float, supply_v: float, power_factor: float = 1.0) -> float:
    """Return the current in A that a load of so many W draws from a supply of so many V.

    Raises
    ------
    ValueError
        If voltage or power factor are not above zero.

    >>> round(amperes(383, 230), 2)
    1.67
    """
    if supply_v <= 0 or not 0 < power_factor <= 1:
        raise ValueError("voltage must be above zero and the power factor between 0 and 1")
    return load_w / supply_v / power_factor
