"""Earth leakage: what may stand on a residual-current device or a class A GFCI before it trips.

The 30 % rule is for residual-current devices only; a class A GFCI has its no-trip limit of 4 mA instead.
Not here: which gear hangs on which device.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from types import MappingProxyType

from rigcore.quantities.checks import above_zero, zero_or_more

RCD_STANDING_SHARE = 0.3
"""Share of the rated residual current that may stand (BS 7671:2018 531.3.2(iii); IEC 60364-5-53 from memory)."""

RCD_NO_TRIP_SHARE = 0.5
"""Share up to which a residual-current device never trips (IEC 61008-1)."""

PERSONAL_PROTECTION_MA = 30.0
"""Highest rating for additional protection, within 40 ms at five times that (BS 7671 415.1.1)."""

GFCI_NO_TRIP_MA = 4.0
"""A class A GFCI does not trip below (UL 943)."""

GFCI_MUST_TRIP_MA = 6.0
"""A class A GFCI trips at or above (UL 943)."""

LEAKAGE_LIMITS_MA = MappingProxyType({
    "class II": 0.25,
    "class 0, 0I or III": 0.5,
    "class I, portable": 0.75,
    "class I, stationary, motor": 3.5,
    "class I, pluggable equipment": 3.5,
})
"""Highest leakage in mA: IEC 60335-1 cl. 13.2; the last IEC 60950-1 Table 5A."""

SLACK_MA = 1e-9
"""Slack in mA for sums of decimal figures."""


def sum_ma(items_ma: Iterable[float]) -> float:
    """Return the leakage in mA of all items behind one device: counted as if all in phase, the worst case.

    Parameters
    ----------
    items_ma
        Leakage of each item, in mA.

    Raises
    ------
    ValueError
        If one is negative.

    Examples
    --------
    >>> sum_ma([3.5, 3.5, 0.75])
    7.75

    Source
    ------
    BS 7671:2018 531.3.2(iii): accumulated currents.
    """
    return math.fsum(zero_or_more(item, "every leakage current") for item in items_ma)


def rcd_standing_limit_ma(rated_ma: float) -> float:
    """Return the leakage in mA that may stand behind a residual-current device.

    Parameters
    ----------
    rated_ma
        Rated residual current, in mA.

    Raises
    ------
    ValueError
        If the rating is not above zero.

    Examples
    --------
    >>> rcd_standing_limit_ma(30.0)
    9.0

    Source
    ------
    BS 7671:2018 531.3.2(iii): 30 %.
    """
    return above_zero(rated_ma, "the rating") * RCD_STANDING_SHARE


def rcd_may_trip_from_ma(rated_ma: float) -> float:
    """Return the current in mA over which a residual-current device may trip.

    Parameters
    ----------
    rated_ma
        Rated residual current, in mA; at it the device must trip.

    Raises
    ------
    ValueError
        If the rating is not above zero.

    Examples
    --------
    >>> rcd_may_trip_from_ma(30.0)
    15.0

    Source
    ------
    IEC 61008-1: never at half the rated current, always at the whole.
    """
    return above_zero(rated_ma, "the rating") * RCD_NO_TRIP_SHARE


def rcd_must_trip_ma(rated_ma: float) -> float:
    """Return the current in mA at which a residual-current device must trip: its rating.

    Parameters
    ----------
    rated_ma
        Rated residual current, in mA.

    Raises
    ------
    ValueError
        If the rating is not above zero.

    Examples
    --------
    >>> rcd_must_trip_ma(30.0)
    30.0

    Source
    ------
    IEC 61008-1.
    """
    return above_zero(rated_ma, "the rating")


def rcd_bears(rated_ma: float, items_ma: Iterable[float]) -> bool:
    """Return whether the items' standing leakage keeps to the 30 % rule.

    Parameters
    ----------
    rated_ma
        Rated residual current, in mA.
    items_ma
        Leakage of each item behind the device, in mA.

    Raises
    ------
    ValueError
        If the rating is not above zero or a leakage is negative.

    Examples
    --------
    >>> rcd_bears(30.0, [3.5, 3.5]), rcd_bears(30.0, [3.5, 3.5, 3.5])
    (True, False)

    Source
    ------
    BS 7671:2018 531.3.2(iii).
    """
    return sum_ma(items_ma) <= rcd_standing_limit_ma(rated_ma) + SLACK_MA


def gfci_bears(items_ma: Iterable[float]) -> bool:
    """Return whether the items' standing leakage stays below what a class A GFCI never trips at.

    Parameters
    ----------
    items_ma
        Leakage of each item behind the device, in mA.

    Raises
    ------
    ValueError
        If a leakage is negative.

    Examples
    --------
    >>> gfci_bears([0.75] * 5), gfci_bears([3.5, 0.75])
    (True, False)

    Source
    ------
    UL 943; NEC Article 100: must not trip below 4 mA.
    """
    return sum_ma(items_ma) < GFCI_NO_TRIP_MA


def gfci_longest_trip_s(fault_ma: float) -> float:
    """Return the longest time in s a class A GFCI may take to trip.

    Parameters
    ----------
    fault_ma
        Fault current in mA, 6 or more.

    Raises
    ------
    ValueError
        If the current is one at which the device need not trip.

    Examples
    --------
    >>> round(gfci_longest_trip_s(6.0), 3)
    5.594

    Source
    ------
    UL 943: T = (20/I)^1.43 with I in mA.
    """
    if not fault_ma >= GFCI_MUST_TRIP_MA:
        raise ValueError("a class A GFCI must trip at 6 mA or more only")
    return float((20.0 / fault_ma) ** 1.43)


def capacitor_leakage_ma(capacitance_pf: float, supply_v: float, frequency_hz: float) -> float:
    """Return the current in mA through a capacitance from mains to earth or screen.

    Parameters
    ----------
    capacitance_pf
        Capacitance in pF: mains filter, transformer windings.
    supply_v
        Supply voltage in V rms.
    frequency_hz
        Mains frequency in Hz.

    Raises
    ------
    ValueError
        If one of them is negative.

    Examples
    --------
    >>> round(capacitor_leakage_ma(847.0, 230.0, 50.0), 4)
    0.0612

    Source
    ------
    I = 2 pi f C V; Audio Engineering: Know It All, ch. 13, prints this case as 63 microamperes.
    """
    farad = zero_or_more(capacitance_pf, "the capacitance") * 1e-12
    omega = 2.0 * math.pi * zero_or_more(frequency_hz, "the frequency")
    return omega * farad * zero_or_more(supply_v, "the supply") * 1000.0
