"""What a signal cable takes from the treble: its capacitance and the roll-off it makes with its source.

Not here: conductor resistance (see ``conductors``) and the longest run of data links (see ``lengths``).
A passive pickup and its cable form a resonant circuit: for them the roll-off only indicates.
"""

from __future__ import annotations

import math

from rigcore.quantities.checks import above_zero, zero_or_more

MICROPHONE_CABLE_PF_PER_M = 100.0
"""Typical capacitance of screened audio cable in pF/m (cable makers' tables; 100 to 200 effective)."""


def capacitance_pf(pf_per_m: float, length_m: float) -> float:
    """Return the capacitance in pF of a length of cable.

    Parameters
    ----------
    pf_per_m
        Capacitance in pF for each metre.
    length_m
        Length in m.

    Raises
    ------
    ValueError
        If one of them is negative.

    Examples
    --------
    >>> capacitance_pf(100.0, 6.0)
    600.0

    Source
    ------
    Proportion.
    """
    return zero_or_more(pf_per_m, "the capacitance") * zero_or_more(length_m, "the length")


def roll_off_hz(source_ohm: float, total_pf: float) -> float:
    """Return the frequency in Hz at which source and cable have lost 3 dB of treble.

    Parameters
    ----------
    source_ohm
        Impedance of the source, in ohm.
    total_pf
        Capacitance of the whole cable, in pF.

    Raises
    ------
    ValueError
        If one of them is not above zero.

    Examples
    --------
    >>> round(roll_off_hz(8000.0, 1600.0))
    12434

    Source
    ------
    First-order low pass, f = 1/(2 pi R C).
    """
    farad = above_zero(total_pf, "the capacitance") * 1e-12
    return 1.0 / (2.0 * math.pi * above_zero(source_ohm, "the source") * farad)


def loss_at_db(source_ohm: float, total_pf: float, frequency_hz: float) -> float:
    """Return the loss in dB, positive, that a cable's capacitance makes at one frequency.

    Parameters
    ----------
    source_ohm
        Impedance of the source, in ohm.
    total_pf
        Capacitance of the whole cable, in pF.
    frequency_hz
        Frequency in Hz.

    Raises
    ------
    ValueError
        If source or capacitance are not above zero or the frequency is negative.

    Examples
    --------
    >>> round(loss_at_db(10_000.0, 600.0, 26_526.0), 2)
    3.01

    Source
    ------
    First-order low pass.
    """
    share = zero_or_more(frequency_hz, "the frequency") / roll_off_hz(source_ohm, total_pf)
    return 10.0 * math.log10(1.0 + share * share)
