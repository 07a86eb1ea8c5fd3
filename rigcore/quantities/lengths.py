"""How long a data or digital audio link may be: one table, and the verdict on a length.

``limit_m`` is what a standard sets, or the most that is known to work where no standard sets a length;
``usual_m`` is the advice where it is shorter. Not here: analogue cables (see ``cables``, ``loudspeaker``).
"""

from __future__ import annotations

from types import MappingProxyType

from msgspec import Struct

from rigcore.quantities.checks import above_zero, zero_or_more


class Limit(Struct, frozen=True):
    """Longest length of a link in m, the shorter usual one in m, whether a standard sets it, and which."""

    limit_m: float
    usual_m: float
    standard: bool
    source: str


UNBALANCED_FINE_M = 3.0
"""Up to here an unbalanced run is fine: live-sound articles give 3 to 6 m as the limit."""

UNBALANCED_LONGEST_M = 6.0
"""Over this an unbalanced run is too long, from the same articles."""

LIMITS = MappingProxyType({
    "midi_din": Limit(15.0, 15.0, True, "MIDI 1.0: 50 ft for each cable"),
    "midi_trs_adapter": Limit(2.0, 2.0, True, "MIDI RP-054"),
    "usb_low": Limit(3.0, 3.0, True, "USB 2.0, low speed"),
    "usb2": Limit(5.0, 5.0, True, "USB 2.0 delay budget, full and high speed"),
    "usb3": Limit(3.0, 2.0, False, "5 Gbit/s passive, in practice; the standard limits the loss"),
    "usb3_10g": Limit(1.0, 1.0, False, "10 Gbit/s passive, in practice; the standard limits the loss"),
    "usb4": Limit(0.8, 0.8, False, "in practice; the standard limits the loss"),
    "tia568_link": Limit(90.0, 90.0, True, "ANSI/TIA-568-C, permanent link"),
    "tia568_channel": Limit(100.0, 100.0, True, "ANSI/TIA-568-C, 90 m of permanent link and 10 m of cords"),
    "aes3": Limit(100.0, 100.0, True, "AES3-4:2009, balanced 110 ohm, about 100 m"),
    "aes3id": Limit(1000.0, 1000.0, False, "AES-3id, coaxial 75 ohm, typical"),
    "optical": Limit(10.0, 5.0, False, "consumer plastic fibre: 5 m usual, 10 m at most, in practice"),
})
"""Limits by link."""


def limit_of(link: str) -> Limit:
    """Return the limit of a link.

    Parameters
    ----------
    link
        One of the names in ``LIMITS``.

    Raises
    ------
    ValueError
        If no such link is known.

    Examples
    --------
    >>> limit_of("midi_din").limit_m
    15.0

    Source
    ------
    Each row of ``LIMITS`` names its own.
    """
    if link not in LIMITS:
        raise ValueError(f"{link!r} must be one of {', '.join(LIMITS)}")
    return LIMITS[link]


def over_limit(link: str, length_m: float) -> bool:
    """Return whether a link is longer than it may be.

    Parameters
    ----------
    link
        One of the names in ``LIMITS``.
    length_m
        Length in m.

    Raises
    ------
    ValueError
        If no such link is known or the length is negative.

    Examples
    --------
    >>> over_limit("usb2", 5.0), over_limit("usb2", 6.0)
    (False, True)

    Source
    ------
    Each row of ``LIMITS`` names its own.
    """
    return zero_or_more(length_m, "the length") > limit_of(link).limit_m


def over_usual(link: str, length_m: float) -> bool:
    """Return whether a link is longer than is usually advised.

    Parameters
    ----------
    link
        One of the names in ``LIMITS``.
    length_m
        Length in m.

    Raises
    ------
    ValueError
        If no such link is known or the length is negative.

    Examples
    --------
    >>> over_usual("optical", 7.0), over_limit("optical", 7.0)
    (True, False)

    Source
    ------
    Each row of ``LIMITS`` names its own.
    """
    return zero_or_more(length_m, "the length") > limit_of(link).usual_m


def longest_by_delay_m(budget_ns: float, delay_ns_per_m: float) -> float:
    """Return the longest cable in m that a delay budget allows.

    Parameters
    ----------
    budget_ns
        Delay allowed for the cable, in ns.
    delay_ns_per_m
        Delay of the cable, in ns/m.

    Raises
    ------
    ValueError
        If one of them is not above zero.

    Examples
    --------
    >>> longest_by_delay_m(26.0, 5.2)
    5.0

    Source
    ------
    USB 2.0: 26 ns for the cable, 5.2 ns/m.
    """
    return above_zero(budget_ns, "the budget") / above_zero(delay_ns_per_m, "the delay")
