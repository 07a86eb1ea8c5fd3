"""Noise of an unbalanced link: the screen's current times the screen's resistance adds to the signal.

Not here: where the current comes from (see ``leakage``) and which paths form a loop.
"""

from __future__ import annotations

from rigcore.quantities.checks import above_zero, zero_or_more
from rigcore.quantities.electrical import ratio_db, volts_from_dbu


def screen_noise_uv(screen_ua: float, screen_ohm: float) -> float:
    """Return the noise in microvolts that a current along the screen adds to an unbalanced signal.

    Parameters
    ----------
    screen_ua
        Current along the screen, in microamperes.
    screen_ohm
        Resistance of screen and contacts, in ohm.

    Raises
    ------
    ValueError
        If one of them is negative.

    Examples
    --------
    >>> screen_noise_uv(100.0, 1.0)
    100.0

    Source
    ------
    Common-impedance coupling, as AES tutorials teach it.
    """
    return zero_or_more(screen_ua, "the current") * zero_or_more(screen_ohm, "the resistance")


def signal_over_noise_db(signal_dbu: float, noise_uv: float) -> float:
    """Return how far a signal lies above a noise voltage, in dB.

    Parameters
    ----------
    signal_dbu
        Level of the signal, in dBu.
    noise_uv
        Noise in microvolts rms.

    Raises
    ------
    ValueError
        If the noise is not above zero.

    Examples
    --------
    >>> round(signal_over_noise_db(-7.782, screen_noise_uv(100.0, 1.0)), 1)
    70.0

    Source
    ------
    Difference of two levels.
    """
    return ratio_db(volts_from_dbu(signal_dbu), above_zero(noise_uv, "the noise") * 1e-6)
