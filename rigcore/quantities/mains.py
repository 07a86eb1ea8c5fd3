"""Mains: VA and W, what a supply, a cord and a cord set may carry.

Not here: voltage drop (see ``voltage_drop``), earth leakage (see ``leakage``), couplers and plugs (catalogue).
"""

from __future__ import annotations

from collections.abc import Iterable
from types import MappingProxyType

from rigcore.quantities.checks import above_zero, zero_or_more

CONTINUOUS_SHARE = 0.8
"""A load of three hours or more may take this share of its circuit (NEC 210.19(A) and 210.20(A), 125 % rule)."""

SUPPLY_TOLERANCE_PCT = 10.0
"""How far a public supply may stray from its nominal voltage, in % (IEC 60038)."""

CORD_AMPERES_BY_AWG = MappingProxyType({18: 10.0, 16: 13.0, 14: 18.0, 12: 25.0})
"""NEC 400.5(A): flexible cord with two loaded conductors, A by AWG."""

CORD_AMPERES_BY_MM2 = MappingProxyType({0.5: 3.0, 0.75: 6.0, 1.0: 10.0, 1.25: 13.0, 1.5: 15.0})
"""British flexible cord, A by mm2 (electricians' tables)."""

SLACK_A = 1e-9
"""Slack in A for sums of decimal figures."""


def apparent_va(load_w: float, power_factor: float) -> float:
    """Return the apparent power in VA of a load.

    Parameters
    ----------
    load_w
        Real power in W.
    power_factor
        Above 0, at most 1.

    Raises
    ------
    ValueError
        If the load is negative or the power factor is not between 0 and 1.

    Examples
    --------
    >>> round(apparent_va(200.0, 0.6), 1)
    333.3

    Source
    ------
    Definition of the power factor.
    """
    if not 0 < power_factor <= 1:
        raise ValueError("the power factor must be above 0 and at most 1")
    return zero_or_more(load_w, "the load") / power_factor


def amperes_of_va(load_va: float, supply_v: float) -> float:
    """Return the current in A of an apparent power.

    Parameters
    ----------
    load_va
        Apparent power in VA.
    supply_v
        Supply voltage in V rms.

    Raises
    ------
    ValueError
        If the load is negative or the voltage not above zero.

    Examples
    --------
    >>> amperes_of_va(276.0, 230.0)
    1.2

    Source
    ------
    Definition of apparent power.
    """
    return zero_or_more(load_va, "the load") / above_zero(supply_v, "the supply")


def continuous_limit_a(breaker_a: float) -> float:
    """Return the current in A that a circuit may carry for three hours or more.

    Parameters
    ----------
    breaker_a
        Rating of the overcurrent device, in A.

    Raises
    ------
    ValueError
        If the rating is not above zero.

    Examples
    --------
    >>> continuous_limit_a(15.0), continuous_limit_a(20.0)
    (12.0, 16.0)

    Source
    ------
    NEC 210.19(A) and 210.20(A): device and conductor 125 % of a continuous load.
    """
    return above_zero(breaker_a, "the rating") * CONTINUOUS_SHARE


def continuous_limit_va(breaker_a: float, supply_v: float) -> float:
    """Return the power in VA that a circuit may carry for three hours or more.

    Parameters
    ----------
    breaker_a
        Rating of the overcurrent device, in A.
    supply_v
        Supply voltage in V rms.

    Raises
    ------
    ValueError
        If one of them is not above zero.

    Examples
    --------
    >>> continuous_limit_va(15.0, 120.0)
    1440.0

    Source
    ------
    NEC 210.19(A) and 210.20(A).
    """
    return continuous_limit_a(breaker_a) * above_zero(supply_v, "the supply")


def weakest_a(ratings_a: Iterable[float]) -> float:
    """Return the rating in A of a cord set or a chain: that of its weakest part.

    Parameters
    ----------
    ratings_a
        Ratings of plug, fuse, wire, connector and inlet, in A.

    Raises
    ------
    ValueError
        If there is none, or one is not above zero.

    Examples
    --------
    >>> weakest_a([15.0, 10.0, 15.0])
    10.0

    Source
    ------
    Trade practice for cord sets; IEC 60799 cl. 5.2.2: the plug's rating is not below the connector's.
    """
    ratings = tuple(above_zero(rating, "every rating") for rating in ratings_a)
    if not ratings:
        raise ValueError("a cord set must have parts")
    return min(ratings)


def carries(load_a: float, ratings_a: Iterable[float]) -> bool:
    """Return whether every part bears the load.

    Parameters
    ----------
    load_a
        Current of the load, in A.
    ratings_a
        What each part on the way may carry, in A.

    Raises
    ------
    ValueError
        If the load is negative, there is no part, or a rating is not above zero.

    Examples
    --------
    16 A through a British plug with its largest fuse, 13 A:

    >>> carries(16.0, [13.0])
    False

    Source
    ------
    BS 1363 with the fuses of BS 1362; trade practice for cord sets.
    """
    return zero_or_more(load_a, "the load") <= weakest_a(ratings_a) + SLACK_A


def supply_range_v(nominal_v: float) -> tuple[float, float]:
    """Return the lowest and highest voltage in V of a public supply.

    Parameters
    ----------
    nominal_v
        Nominal voltage in V.

    Raises
    ------
    ValueError
        If it is not above zero.

    Examples
    --------
    >>> [round(limit, 6) for limit in supply_range_v(230.0)]
    [207.0, 253.0]

    Source
    ------
    IEC 60038: 10 % either way.
    """
    stray = above_zero(nominal_v, "the supply") * SUPPLY_TOLERANCE_PCT / 100.0
    return nominal_v - stray, nominal_v + stray
