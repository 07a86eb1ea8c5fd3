"""Audio transformers: what turns ratio n does to level and impedance, and what a passive DI loses in all.

Ideal transformers: windings, inductance and stray capacitance are left out, so a data sheet's input and
output impedances need not stand in the ratio n squared, and neither may be derived from the other.
"""

from __future__ import annotations

import math

from rigcore.quantities.checks import above_zero
from rigcore.quantities.electrical import divider_loss_db


def turns_loss_db(turns_ratio: float) -> float:
    """Return the loss in dB of a step-down transformer.

    Parameters
    ----------
    turns_ratio
        Primary over secondary turns, the number before the ":1".

    Returns
    -------
    float
        Loss in dB; negative where the transformer steps up.

    Raises
    ------
    ValueError
        If the ratio is not above zero.

    Examples
    --------
    >>> round(turns_loss_db(12.0), 3)
    21.584

    Source
    ------
    Handbook for Sound Engineers, chapter on audio transformers.
    """
    return 20.0 * math.log10(above_zero(turns_ratio, "the turns ratio"))


def impedance_ratio(turns_ratio: float) -> float:
    """Return the ratio of impedances, the square of the turns ratio.

    Parameters
    ----------
    turns_ratio
        Primary over secondary turns.

    Raises
    ------
    ValueError
        If the ratio is not above zero.

    Examples
    --------
    >>> impedance_ratio(12.0)
    144.0

    Source
    ------
    Handbook for Sound Engineers, chapter on audio transformers.
    """
    return above_zero(turns_ratio, "the turns ratio") ** 2


def reflected_ohm(turns_ratio: float, load_ohm: float) -> float:
    """Return the impedance in ohm that a source on the primary meets for a load on the secondary.

    Parameters
    ----------
    turns_ratio
        Primary over secondary turns.
    load_ohm
        Load on the secondary, in ohm.

    Raises
    ------
    ValueError
        If ratio or load are not above zero.

    Examples
    --------
    >>> reflected_ohm(12.0, 1500.0)
    216000.0

    Source
    ------
    Handbook for Sound Engineers, chapter on audio transformers.
    """
    return impedance_ratio(turns_ratio) * above_zero(load_ohm, "the load")


def di_loss_db(source_ohm: float, turns_ratio: float, load_ohm: float) -> float:
    """Return the loss in dB of a passive DI: its loading of the source, and its turns ratio.

    Parameters
    ----------
    source_ohm
        Impedance of the instrument, in ohm.
    turns_ratio
        Primary over secondary turns.
    load_ohm
        Microphone input behind the DI, in ohm.

    Returns
    -------
    float
        Loss in dB from the instrument's open-circuit voltage to the microphone input.

    Raises
    ------
    ValueError
        If ratio or load are not above zero or the source is negative.

    Examples
    --------
    A passive pickup of 10 kohm through a 12:1 DI into 1.5 kohm:

    >>> round(di_loss_db(10_000.0, 12.0, 1500.0), 3)
    21.977

    Source
    ------
    Voltage divider and turns ratio, Handbook for Sound Engineers, chapter on audio transformers.
    """
    return divider_loss_db(source_ohm, reflected_ohm(turns_ratio, load_ohm)) + turns_loss_db(turns_ratio)
