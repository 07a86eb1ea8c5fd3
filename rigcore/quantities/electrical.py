"""Levels in dBu, dBV and volts, dB arithmetic, and mains power.

Audio levels never pass through a general units library: there, ``dBu`` is
decibel-microwatt. Pads, transformers, cables and mains supplies have rooms of their own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from rigcore.quantities.checks import above_zero, zero_or_more

DBU_REFERENCE_V = math.sqrt(0.6)
"""0 dBu in volts rms: 1 mW in 600 ohm, the square root of 0.6."""

PROFESSIONAL_NOMINAL_DBU = 4.0
"""Nominal level of professional line connections."""

CONSUMER_NOMINAL_DBV = -10.0
"""Nominal level of consumer line connections."""

BRIDGING_RATIO = 10.0
"""A load this many times its source takes at most 0.83 dB from it (the rule of bridging connections)."""


def volts_from_dbu(level_dbu: float) -> float:
    """Return the rms voltage in V of a level in dBu.

    Parameters
    ----------
    level_dbu
        Level in dBu.

    Examples
    --------
    >>> round(volts_from_dbu(4.0), 4)
    1.2277

    Source
    ------
    Definition: 0 dBu is 1 mW in 600 ohm.
    """
    return float(DBU_REFERENCE_V * 10.0 ** (level_dbu / 20.0))


def dbu_from_volts(level_v: float) -> float:
    """Return the level in dBu of an rms voltage in V.

    Parameters
    ----------
    level_v
        Voltage in V rms.

    Raises
    ------
    ValueError
        If the voltage is zero or negative: it has no level.

    Examples
    --------
    >>> round(dbu_from_volts(1.0), 4)
    2.2185

    Source
    ------
    Definition: 0 dBu is 1 mW in 600 ohm.
    """
    if not level_v > 0:
        raise ValueError("a level needs a voltage above zero")
    return 20.0 * math.log10(level_v / DBU_REFERENCE_V)


def dbu_from_dbv(level_dbv: float) -> float:
    """Return the level in dBu of a level in dBV (0 dBV = 1 V rms).

    Parameters
    ----------
    level_dbv
        Level in dBV.

    Examples
    --------
    >>> round(dbu_from_dbv(-10.0), 3)
    -7.782

    Source
    ------
    Definitions of 0 dBu and 0 dBV.
    """
    return level_dbv + dbu_from_volts(1.0)


def dbv_from_dbu(level_dbu: float) -> float:
    """Return the level in dBV of a level in dBu.

    Parameters
    ----------
    level_dbu
        Level in dBu.

    Examples
    --------
    >>> round(dbv_from_dbu(4.0), 3)
    1.782

    Source
    ------
    Definitions of 0 dBu and 0 dBV.
    """
    return level_dbu - dbu_from_volts(1.0)


def professional_to_consumer_gap_db() -> float:
    """Return how far +4 dBu lies above -10 dBV, in dB.

    Examples
    --------
    >>> round(professional_to_consumer_gap_db(), 2)
    11.78

    Source
    ------
    Definitions of 0 dBu and 0 dBV; the 14 dB often quoted is wrong.
    """
    return PROFESSIONAL_NOMINAL_DBU - dbu_from_dbv(CONSUMER_NOMINAL_DBV)


def ratio_db(level_v: float, reference_v: float) -> float:
    """Return how far one voltage lies above another, in dB.

    Parameters
    ----------
    level_v, reference_v
        The two voltages in V rms.

    Raises
    ------
    ValueError
        If one of them is not above zero.

    Examples
    --------
    >>> round(ratio_db(2.0, 1.0), 3)
    6.021

    Source
    ------
    Definition of the decibel for voltages.
    """
    return 20.0 * math.log10(above_zero(level_v, "the voltage") / above_zero(reference_v, "the reference"))


def power_sum_db(levels_db: Iterable[float]) -> float:
    """Return the level of several sources that know nothing of each other: their powers add.

    For noise, and for programme from different players. Two copies of one signal
    add in voltage instead and are not computed here.

    Parameters
    ----------
    levels_db
        Levels in dB over any one reference (dBu, dBV, dB SPL); minus infinity is silence.

    Returns
    -------
    float
        The sum, in dB over the same reference.

    Raises
    ------
    ValueError
        If there is no level at all, or one is not a number or plus infinity.

    Examples
    --------
    >>> round(power_sum_db([-90.0, -90.0]), 2)
    -86.99

    Source
    ------
    Definition of the decibel; uncorrelated powers add.
    """
    levels = tuple(levels_db)
    if not levels:
        raise ValueError("a sum needs at least one level")
    if any(math.isnan(level) or level == math.inf for level in levels):
        raise ValueError("every level must be a number")
    highest = max(levels)
    if highest == -math.inf:
        return highest
    return highest + 10.0 * math.log10(sum(10.0 ** ((level - highest) / 10.0) for level in levels))


def parallel_ohm(impedances_ohm: Iterable[float]) -> float:
    """Return the impedance of several side by side: the inputs on a split, loudspeakers on one amplifier.

    Parameters
    ----------
    impedances_ohm
        Impedances in ohm.

    Raises
    ------
    ValueError
        If there is none, or one is not above zero.

    Examples
    --------
    >>> round(parallel_ohm([8.0, 4.0]), 3)
    2.667

    Source
    ------
    Kirchhoff; amplifier manuals print the cases of equal loads.
    """
    conductance = sum(1.0 / above_zero(impedance, "every impedance") for impedance in impedances_ohm)
    return 1.0 / above_zero(conductance, "the count of impedances")


def loaded_v(emf_v: float, source_ohm: float, load_ohm: float) -> float:
    """Return the voltage in V that is left of an open-circuit voltage once it is loaded.

    Parameters
    ----------
    emf_v
        Open-circuit voltage in V rms.
    source_ohm, load_ohm
        Impedances in ohm.

    Raises
    ------
    ValueError
        If the load is not above zero or the source is negative.

    Examples
    --------
    A headphone output after IEC 61938, 5 V behind 120 ohm, into 32 ohm:

    >>> round(loaded_v(5.0, 120.0, 32.0), 4)
    1.0526

    Source
    ------
    Voltage divider.
    """
    load = above_zero(load_ohm, "the load")
    return emf_v * load / (load + zero_or_more(source_ohm, "the source"))


def divider_loss_db(source_ohm: float, load_ohm: float) -> float:
    """Return the loss in dB, positive, of a source of one impedance into a load of another.

    Parameters
    ----------
    source_ohm, load_ohm
        Impedances in ohm.

    Raises
    ------
    ValueError
        If the load is not above zero or the source is negative.

    Examples
    --------
    >>> round(divider_loss_db(200, 2000), 3)
    0.828

    Source
    ------
    Voltage divider.
    """
    load = above_zero(load_ohm, "the load")
    return 20.0 * math.log10((load + zero_or_more(source_ohm, "the source")) / load)


def is_bridged(source_ohm: float, load_ohm: float, ratio: float = BRIDGING_RATIO) -> bool:
    """Return whether a load is high enough over its source for a bridging connection.

    Parameters
    ----------
    source_ohm, load_ohm
        Impedances in ohm.
    ratio
        How many times the source the load must be; 10 by rule, 5 for microphones.

    Raises
    ------
    ValueError
        If load or ratio are not above zero or the source is negative.

    Examples
    --------
    >>> is_bridged(150.0, 1500.0), is_bridged(10_000.0, 10_000.0)
    (True, False)

    Source
    ------
    The 10:1 rule of impedance bridging, as live-sound articles and encyclopaedias print it.
    """
    wanted = above_zero(ratio, "the ratio") * zero_or_more(source_ohm, "the source")
    return above_zero(load_ohm, "the load") >= wanted


def watts(level_v: float, load_ohm: float) -> float:
    """Return the power in W of a voltage across a resistance.

    Parameters
    ----------
    level_v
        Voltage in V rms.
    load_ohm
        Resistance in ohm.

    Raises
    ------
    ValueError
        If the resistance is not above zero.

    Examples
    --------
    >>> round(watts(volts_from_dbu(30.0), 600.0), 3)
    1.0

    Source
    ------
    Joule's law.
    """
    return level_v**2 / above_zero(load_ohm, "the load")


def amperes(load_w: float, supply_v: float, power_factor: float = 1.0) -> float:
    """Return the current in A that a load of so many W draws from a supply of so many V.

    Parameters
    ----------
    load_w
        Real power in W.
    supply_v
        Supply voltage in V rms.
    power_factor
        Above 0, at most 1.

    Raises
    ------
    ValueError
        If voltage or power factor are not above zero.

    Examples
    --------
    >>> round(amperes(383, 230), 2)
    1.67

    Source
    ------
    Definition of the power factor.
    """
    if supply_v <= 0 or not 0 < power_factor <= 1:
        raise ValueError("voltage must be above zero and the power factor between 0 and 1")
    return load_w / supply_v / power_factor
