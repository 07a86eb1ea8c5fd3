"""What a microphone gives: its output level from its sensitivity and the sound at its place.

Not here: its noise, its feed (see ``phantom``) and the load it meets (see ``electrical``).
"""

from __future__ import annotations

from rigcore.quantities.checks import above_zero
from rigcore.quantities.electrical import dbu_from_dbv, ratio_db

ONE_PASCAL_DB_SPL = 94.0
"""Sound pressure level of 1 Pa in dB SPL, the rounded figure sensitivities are stated for (93.98 exactly)."""


def sensitivity_dbv_per_pa(sensitivity_mv_per_pa: float) -> float:
    """Return a sensitivity in dB over 1 V/Pa.

    Parameters
    ----------
    sensitivity_mv_per_pa
        Sensitivity in mV/Pa.

    Raises
    ------
    ValueError
        If the sensitivity is not above zero.

    Examples
    --------
    >>> round(sensitivity_dbv_per_pa(2.0), 2)
    -53.98

    Source
    ------
    IEC 60268-4, definition of sensitivity (from memory).
    """
    return ratio_db(above_zero(sensitivity_mv_per_pa, "the sensitivity"), 1000.0)


def output_dbv(sensitivity_dbv: float, sound_db_spl: float) -> float:
    """Return the open-circuit output level of a microphone in dBV.

    Parameters
    ----------
    sensitivity_dbv
        Sensitivity in dB over 1 V/Pa.
    sound_db_spl
        Sound pressure level at the microphone, in dB SPL.

    Examples
    --------
    >>> output_dbv(-54.5, 72.0)
    -76.5

    Source
    ------
    IEC 60268-4, definition of sensitivity (from memory).
    """
    return sensitivity_dbv + sound_db_spl - ONE_PASCAL_DB_SPL


def output_dbu(sensitivity_dbv: float, sound_db_spl: float) -> float:
    """Return the open-circuit output level of a microphone in dBu.

    Parameters
    ----------
    sensitivity_dbv
        Sensitivity in dB over 1 V/Pa.
    sound_db_spl
        Sound pressure level at the microphone, in dB SPL.

    Examples
    --------
    A loud voice into a dynamic handheld microphone of 2.5 mV/Pa:

    >>> round(output_dbu(sensitivity_dbv_per_pa(2.5), 124.0), 1)
    -19.8

    Source
    ------
    IEC 60268-4, definition of sensitivity (from memory).
    """
    return dbu_from_dbv(output_dbv(sensitivity_dbv, sound_db_spl))


def gain_needed_db(level_dbu: float, wanted_dbu: float = 0.0) -> float:
    """Return the gain in dB that brings a level to the wanted one.

    Parameters
    ----------
    level_dbu
        Level that arrives, in dBu.
    wanted_dbu
        Level wanted, in dBu.

    Examples
    --------
    >>> round(gain_needed_db(output_dbu(-54.5, 72.0)), 2)
    74.28

    Source
    ------
    Difference of two levels.
    """
    return wanted_dbu - level_dbu
