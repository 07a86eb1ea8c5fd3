"""Pads of resistors: the loss of L, U and O pads, and the resistors of matched T, H and other pads.

Names follow the shape drawn: L one series and one shunt arm, U the balanced L, O a U with a second shunt
at its input, T and H matched at both ends. Not here: which pad a chain needs.
"""

from __future__ import annotations

import math

from msgspec import Struct

from rigcore.quantities.checks import above_zero, zero_or_more
from rigcore.quantities.electrical import divider_loss_db, parallel_ohm


class Resistors(Struct, frozen=True):
    """The arms of a pad in ohm: ``series_ohm`` is each series arm, ``shunt_ohm`` the one across the line."""

    series_ohm: float
    shunt_ohm: float


def l_pad_loss_db(series_ohm: float, shunt_ohm: float, load_ohm: float | None = None) -> float:
    """Return the loss in dB of an L pad fed from a source of low impedance.

    Parameters
    ----------
    series_ohm, shunt_ohm
        The two resistors, in ohm.
    load_ohm
        Input behind the pad, in ohm; None leaves the pad open.

    Raises
    ------
    ValueError
        If shunt or load are not above zero or the series arm is negative.

    Examples
    --------
    10 kohm and 100 ohm, open and into a microphone input of 1.5 kohm:

    >>> round(l_pad_loss_db(10_000.0, 100.0), 3), round(l_pad_loss_db(10_000.0, 100.0, 1500.0), 3)
    (40.086, 40.642)

    Source
    ------
    Voltage divider; line-to-microphone pads of electronics handbooks.
    """
    lower = shunt_ohm if load_ohm is None else parallel_ohm((shunt_ohm, load_ohm))
    return divider_loss_db(series_ohm, lower)


def l_pad_input_ohm(series_ohm: float, shunt_ohm: float, load_ohm: float | None = None) -> float:
    """Return the impedance in ohm that the source of an L pad meets.

    Parameters
    ----------
    series_ohm, shunt_ohm
        The two resistors, in ohm.
    load_ohm
        Input behind the pad, in ohm; None leaves the pad open.

    Raises
    ------
    ValueError
        If shunt or load are not above zero or the series arm is negative.

    Examples
    --------
    >>> l_pad_input_ohm(10_000.0, 100.0)
    10100.0

    Source
    ------
    Kirchhoff.
    """
    lower = above_zero(shunt_ohm, "the shunt") if load_ohm is None else parallel_ohm((shunt_ohm, load_ohm))
    return zero_or_more(series_ohm, "the series arm") + lower


def l_pad_output_ohm(series_ohm: float, shunt_ohm: float, source_ohm: float | None = None) -> float:
    """Return the impedance in ohm that the input behind an L pad meets.

    Parameters
    ----------
    series_ohm, shunt_ohm
        The two resistors, in ohm.
    source_ohm
        Impedance before the pad, in ohm; None takes the shunt alone, as makers print it.

    Raises
    ------
    ValueError
        If a resistor is not above zero or the source is negative.

    Examples
    --------
    >>> l_pad_output_ohm(10_000.0, 100.0), round(l_pad_output_ohm(10_000.0, 100.0, 150.0), 2)
    (100.0, 99.02)

    Source
    ------
    Kirchhoff.
    """
    shunt = above_zero(shunt_ohm, "the shunt")
    if source_ohm is None:
        return shunt
    before = zero_or_more(series_ohm, "the series arm") + zero_or_more(source_ohm, "the source")
    return parallel_ohm((shunt, before))


def _voltage_ratio(loss_db: float) -> float:
    return float(10.0 ** (above_zero(loss_db, "the loss") / 20.0))


def matched_t(impedance_ohm: float, loss_db: float) -> Resistors:
    """Return the resistors of a T pad that shows the same impedance at both ends.

    Parameters
    ----------
    impedance_ohm
        Impedance of the line, in ohm.
    loss_db
        Loss wanted, in dB.

    Returns
    -------
    Resistors
        Each of the two series arms, and the shunt.

    Raises
    ------
    ValueError
        If impedance or loss are not above zero.

    Examples
    --------
    >>> arms = matched_t(600.0, 20.0)
    >>> round(arms.series_ohm, 2), round(arms.shunt_ohm, 2)
    (490.91, 121.21)

    Source
    ------
    Passive attenuators in a radio engineering tutorial: Z(K-1)/(K+1) and 2ZK/(K^2-1).
    """
    z, k = above_zero(impedance_ohm, "the impedance"), _voltage_ratio(loss_db)
    return Resistors(z * (k - 1.0) / (k + 1.0), 2.0 * z * k / (k * k - 1.0))


def matched_h(impedance_ohm: float, loss_db: float) -> Resistors:
    """Return the resistors of an H pad, the balanced T: four series arms of half the value.

    Parameters
    ----------
    impedance_ohm
        Impedance of the line, in ohm.
    loss_db
        Loss wanted, in dB.

    Returns
    -------
    Resistors
        Each of the four series arms, and the shunt.

    Raises
    ------
    ValueError
        If impedance or loss are not above zero.

    Examples
    --------
    >>> round(matched_h(600.0, 50.0).series_ohm, 2)
    298.11

    Source
    ------
    As for ``matched_t``, the series arms halved.
    """
    arms = matched_t(impedance_ohm, loss_db)
    return Resistors(arms.series_ohm / 2.0, arms.shunt_ohm)


def t_pad_input_ohm(arms: Resistors, load_ohm: float) -> float:
    """Return the impedance in ohm that the source of a T pad meets.

    Parameters
    ----------
    arms
        The pad's resistors.
    load_ohm
        Load behind the pad, in ohm.

    Raises
    ------
    ValueError
        If a resistor or the load are not above zero.

    Examples
    --------
    >>> round(t_pad_input_ohm(matched_t(600.0, 20.0), 600.0), 6)
    600.0

    Source
    ------
    Kirchhoff.
    """
    series = zero_or_more(arms.series_ohm, "the series arms")
    return series + parallel_ohm((arms.shunt_ohm, series + above_zero(load_ohm, "the load")))


def u_pad_loss_db(each_series_ohm: float, shunt_ohm: float, load_ohm: float | None = None) -> float:
    """Return the loss in dB of a U pad: a series arm in each leg, a shunt at the output.

    Parameters
    ----------
    each_series_ohm
        Each of the two series arms, in ohm.
    shunt_ohm
        The resistor across the output, in ohm.
    load_ohm
        Input behind the pad, in ohm; None leaves the pad open.

    Raises
    ------
    ValueError
        If shunt or load are not above zero or the series arms are negative.

    Examples
    --------
    >>> round(u_pad_loss_db(3600.0, 200.0), 3)
    31.364

    Source
    ------
    Voltage divider.
    """
    return l_pad_loss_db(2.0 * each_series_ohm, shunt_ohm, load_ohm)


def u_pad_input_ohm(each_series_ohm: float, shunt_ohm: float, load_ohm: float | None = None) -> float:
    """Return the impedance in ohm that the source of a U pad meets.

    Parameters
    ----------
    each_series_ohm
        Each of the two series arms, in ohm.
    shunt_ohm
        The resistor across the output, in ohm.
    load_ohm
        Input behind the pad, in ohm; None leaves the pad open.

    Raises
    ------
    ValueError
        If shunt or load are not above zero or the series arms are negative.

    Examples
    --------
    >>> u_pad_input_ohm(3600.0, 200.0)
    7400.0

    Source
    ------
    Kirchhoff.
    """
    return l_pad_input_ohm(2.0 * each_series_ohm, shunt_ohm, load_ohm)


def o_pad_shunt_ohm(actual_ohm: float, wanted_ohm: float) -> float:
    """Return the resistor in ohm that, across its input, makes an O pad of a U pad.

    Parameters
    ----------
    actual_ohm
        Input impedance of the U pad, in ohm.
    wanted_ohm
        Input impedance wanted, in ohm: lower than the actual one.

    Raises
    ------
    ValueError
        If the impedances are not above zero or the wanted one is not the lower.

    Examples
    --------
    >>> round(o_pad_shunt_ohm(7400.0, 2000.0), 2)
    2740.74

    Source
    ------
    Kirchhoff.
    """
    actual, wanted = above_zero(actual_ohm, "the actual impedance"), above_zero(wanted_ohm, "the wanted impedance")
    if wanted >= actual:
        raise ValueError("a shunt can only lower an impedance")
    return 1.0 / (1.0 / wanted - 1.0 / actual)


def _higher_and_lower(one_ohm: float, other_ohm: float) -> tuple[float, float]:
    higher = max(above_zero(one_ohm, "the impedance"), above_zero(other_ohm, "the impedance"))
    return higher, min(one_ohm, other_ohm)


def minimum_loss_db(one_ohm: float, other_ohm: float) -> float:
    """Return the least loss in dB of an L pad that matches two impedances.

    Parameters
    ----------
    one_ohm, other_ohm
        The two impedances in ohm, in any order.

    Raises
    ------
    ValueError
        If one of them is not above zero.

    Examples
    --------
    >>> round(minimum_loss_db(600.0, 150.0), 3)
    11.439

    Source
    ------
    Handbook for Sound Engineers ch. 22 eq. (22-21).
    """
    higher, lower = _higher_and_lower(one_ohm, other_ohm)
    ratio = higher / lower
    return 20.0 * math.log10(math.sqrt(ratio) + math.sqrt(ratio - 1.0))


def minimum_loss_l(one_ohm: float, other_ohm: float) -> Resistors:
    """Return the resistors of the L pad of least loss: series arm towards the higher impedance.

    Parameters
    ----------
    one_ohm, other_ohm
        The two impedances in ohm, in any order, but not equal.

    Raises
    ------
    ValueError
        If one of them is not above zero, or they are equal and need no pad.

    Examples
    --------
    >>> arms = minimum_loss_l(600.0, 150.0)
    >>> round(arms.series_ohm, 1), round(arms.shunt_ohm, 1)
    (519.6, 173.2)

    Source
    ------
    From memory; the loss is that of Handbook for Sound Engineers ch. 22 eq. (22-21).
    """
    higher, lower = _higher_and_lower(one_ohm, other_ohm)
    if higher == lower:
        raise ValueError("equal impedances match without a pad")
    root = math.sqrt(1.0 - lower / higher)
    return Resistors(higher * root, lower / root)


def branching_arm_ohm(impedance_ohm: float, circuits: int) -> float:
    """Return each arm in ohm of a branching pad that joins so many circuits of one impedance.

    Parameters
    ----------
    impedance_ohm
        Impedance of every circuit, in ohm.
    circuits
        How many circuits branch off the common one.

    Raises
    ------
    ValueError
        If the impedance is not above zero or there are fewer than two circuits.

    Examples
    --------
    >>> branching_arm_ohm(600.0, 2)
    200.0

    Source
    ------
    Handbook for Sound Engineers ch. 22 eq. (22-22): Z(N-1)/(N+1).
    """
    if circuits < 2:
        raise ValueError("a branching pad must have two circuits at least")
    return above_zero(impedance_ohm, "the impedance") * (circuits - 1) / (circuits + 1)
