"""Phantom feeds: voltage, feed resistors and currents after IEC 61938, and what reaches the microphone.

Not here: where 48 V travels in a rig and what it meets there.
"""

from __future__ import annotations

from types import MappingProxyType

from msgspec import Struct

from rigcore.quantities.checks import above_zero, zero_or_more

LEG_MATCH_PCT = 0.4
"""How far the two feed resistors may differ, in % (DIN 45596, IEC 61938)."""


class Feed(Struct, frozen=True):
    """One phantom feed: nominal voltage, resistor in each leg, highest current, tolerance where it is sure."""

    name: str
    supply_v: float
    leg_ohm: float
    max_ma: float
    tolerance_v: float | None
    source: str


FEEDS = MappingProxyType({
    feed.name: feed
    for feed in (
        Feed("P48", 48.0, 6800.0, 10.0, 4.0, "IEC 61938:2018"),
        Feed("P24", 24.0, 1200.0, 10.0, 4.0, "IEC 61938; tolerance and current from memory"),
        Feed("P12", 12.0, 680.0, 15.0, None, "IEC 61938; printed tolerances disagree (1 V from memory, 3 V printed)"),
        Feed("P12L", 12.0, 3300.0, 4.0, None, "IEC 61938:2018, special variant"),
        Feed("SP48", 48.0, 2200.0, 22.0, None, "IEC 61938:2018, special variant"),
    )
})
"""The feeds of the standard, by name."""


def feed_ohm(leg_ohm: float) -> float:
    """Return the resistance in ohm of a phantom feed: both legs side by side.

    Parameters
    ----------
    leg_ohm
        Resistor in each leg, in ohm.

    Raises
    ------
    ValueError
        If it is not above zero.

    Examples
    --------
    >>> feed_ohm(6800.0)
    3400.0

    Source
    ------
    IEC 61938:2018: equal resistors in both legs.
    """
    return above_zero(leg_ohm, "the feed resistor") / 2.0


def short_both_ma(supply_v: float, leg_ohm: float) -> float:
    """Return the current in mA with both legs shorted to the screen.

    Parameters
    ----------
    supply_v
        Voltage of the feed, in V.
    leg_ohm
        Resistor in each leg, in ohm.

    Raises
    ------
    ValueError
        If one of them is not above zero.

    Examples
    --------
    >>> round(short_both_ma(48.0, 6800.0), 2)
    14.12

    Source
    ------
    Ohm's law on the feed of IEC 61938:2018.
    """
    return above_zero(supply_v, "the supply") / feed_ohm(leg_ohm) * 1000.0


def short_one_leg_ma(supply_v: float, leg_ohm: float) -> float:
    """Return the current in mA with one leg tied to the screen, as in an unbalanced adapter.

    Parameters
    ----------
    supply_v
        Voltage of the feed, in V.
    leg_ohm
        Resistor in each leg, in ohm.

    Raises
    ------
    ValueError
        If one of them is not above zero.

    Examples
    --------
    >>> round(short_one_leg_ma(48.0, 6800.0), 2)
    7.06

    Source
    ------
    Ohm's law on the feed of IEC 61938:2018.
    """
    return short_both_ma(supply_v, leg_ohm) / 2.0


def matched_power_mw(supply_v: float, leg_ohm: float) -> float:
    """Return the most power in mW a phantom feed can give, into a load equal to its own resistance.

    Parameters
    ----------
    supply_v
        Voltage of the feed, in V.
    leg_ohm
        Resistor in each leg, in ohm.

    Raises
    ------
    ValueError
        If one of them is not above zero.

    Examples
    --------
    >>> round(matched_power_mw(48.0, 6800.0), 1)
    169.4

    Source
    ------
    Maximum power theorem on the feed of IEC 61938:2018; the current limit is not observed here.
    """
    return above_zero(supply_v, "the supply") ** 2 / (4.0 * feed_ohm(leg_ohm)) * 1000.0


def at_microphone_v(supply_v: float, leg_ohm: float, draw_ma: float) -> float:
    """Return the voltage in V left at a microphone that draws so many mA.

    Parameters
    ----------
    supply_v
        Voltage of the feed, in V.
    leg_ohm
        Resistor in each leg, in ohm.
    draw_ma
        Current of the microphone, in mA.

    Raises
    ------
    ValueError
        If the current is negative or more than the feed gives when shorted.

    Examples
    --------
    >>> round(at_microphone_v(48.0, 6800.0, 10.0), 2)
    14.0

    Source
    ------
    Ohm's law on the feed of IEC 61938:2018.
    """
    if zero_or_more(draw_ma, "the current") > short_both_ma(supply_v, leg_ohm):
        raise ValueError("the current must not be more than the feed gives when shorted")
    return supply_v - draw_ma / 1000.0 * feed_ohm(leg_ohm)


def at_microphone_mw(supply_v: float, leg_ohm: float, draw_ma: float) -> float:
    """Return the power in mW a microphone takes that draws so many mA.

    Parameters
    ----------
    supply_v
        Voltage of the feed, in V.
    leg_ohm
        Resistor in each leg, in ohm.
    draw_ma
        Current of the microphone, in mA.

    Raises
    ------
    ValueError
        If the current is negative or more than the feed gives when shorted.

    Examples
    --------
    >>> round(at_microphone_mw(12.0, 680.0, 15.0), 1)
    103.5

    Source
    ------
    Ohm's law on the feed of IEC 61938:2018.
    """
    return at_microphone_v(supply_v, leg_ohm, draw_ma) * draw_ma


def draw_allowed(feed: Feed, draw_ma: float) -> bool:
    """Return whether the standard lets a microphone draw so much from this feed.

    Parameters
    ----------
    feed
        One of ``FEEDS``.
    draw_ma
        Current of the microphone, in mA.

    Raises
    ------
    ValueError
        If the current is negative.

    Examples
    --------
    >>> draw_allowed(FEEDS["P48"], 10.0), draw_allowed(FEEDS["P48"], 10.5)
    (True, False)

    Source
    ------
    IEC 61938:2018 (P24: from memory).
    """
    return zero_or_more(draw_ma, "the current") <= feed.max_ma


def supply_allowed(feed: Feed, supply_v: float) -> bool | None:
    """Return whether a measured supply keeps to the standard; None where its tolerance is not sure.

    Parameters
    ----------
    feed
        One of ``FEEDS``.
    supply_v
        Voltage without load, in V.

    Raises
    ------
    ValueError
        If the voltage is negative.

    Examples
    --------
    >>> supply_allowed(FEEDS["P48"], 44.0), supply_allowed(FEEDS["P48"], 36.0), supply_allowed(FEEDS["P12"], 12.0)
    (True, False, None)

    Source
    ------
    IEC 61938:2018: 44 to 52 V for P48 (P24: from memory).
    """
    measured = zero_or_more(supply_v, "the supply")
    if feed.tolerance_v is None:
        return None
    return abs(measured - feed.supply_v) <= feed.tolerance_v


def lowest_at_microphone_v(feed: Feed, draw_ma: float) -> float | None:
    """Return the voltage in V at a microphone on the weakest supply the standard allows; None if not sure.

    Parameters
    ----------
    feed
        One of ``FEEDS``.
    draw_ma
        Current of the microphone, in mA.

    Raises
    ------
    ValueError
        If the current is negative or more than the feed gives when shorted.

    Examples
    --------
    >>> round(lowest_at_microphone_v(FEEDS["P48"], 10.0), 2)
    10.0

    Source
    ------
    IEC 61938:2018, lowest supply and highest current.
    """
    if feed.tolerance_v is None:
        return None
    return at_microphone_v(feed.supply_v - feed.tolerance_v, feed.leg_ohm, draw_ma)


def legs_matched(one_ohm: float, other_ohm: float) -> bool:
    """Return whether two feed resistors match well enough.

    Parameters
    ----------
    one_ohm, other_ohm
        The resistors, in ohm.

    Raises
    ------
    ValueError
        If one of them is not above zero.

    Examples
    --------
    >>> legs_matched(6800.0, 6820.0), legs_matched(6800.0, 6900.0)
    (True, False)

    Source
    ------
    DIN 45596 and IEC 61938: 0.4 %.
    """
    mean = (above_zero(one_ohm, "the resistor") + above_zero(other_ohm, "the resistor")) / 2.0
    return abs(one_ohm - other_ohm) <= LEG_MATCH_PCT / 100.0 * mean
