"""Loudspeaker lines: what the cable takes, what is left of the damping, and loads side by side.

Loads are taken as resistances at their nominal value. Not here: conductor tables (see ``conductors``).
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct

from rigcore.quantities.checks import above_zero, zero_or_more
from rigcore.quantities.electrical import divider_loss_db, parallel_ohm

ADVISED_LOSS_DB = 0.5
"""Loss a loudspeaker line should not exceed: a loop of 6 % of the load (a mixer manual's table)."""

ADEQUATE_DAMPING = 20.0
"""Damping factor at the loudspeaker that is enough (engineers' practice; cable-length tables use 25)."""


class LinePower(Struct, frozen=True):
    """Powers in W on a loudspeaker line: from the amplifier, lost in the cable, left for the load."""

    amplifier_w: float
    cable_w: float
    load_w: float


def rated_v(rated_w: float, load_ohm: float) -> float:
    """Return the voltage in V rms of a rated power.

    Parameters
    ----------
    rated_w
        Rated power in W.
    load_ohm
        Load it is rated for, in ohm.

    Raises
    ------
    ValueError
        If one of them is not above zero.

    Examples
    --------
    >>> round(rated_v(75.0, 8.0), 3)
    24.495

    Source
    ------
    Joule's law.
    """
    return math.sqrt(above_zero(rated_w, "the power") * above_zero(load_ohm, "the load"))


def line_power(amplifier_v: float, load_ohm: float, cable_loop_ohm: float) -> LinePower:
    """Return where the power goes on a loudspeaker line.

    Parameters
    ----------
    amplifier_v
        Voltage of the amplifier in V rms.
    load_ohm
        Load in ohm.
    cable_loop_ohm
        Resistance of the cable there and back, in ohm.

    Raises
    ------
    ValueError
        If the load is not above zero, or voltage or loop are negative.

    Examples
    --------
    >>> power = line_power(rated_v(75.0, 8.0), 8.0, 0.3264)
    >>> round(power.amplifier_w, 2), round(power.cable_w, 2), round(power.load_w, 2)
    (72.06, 2.82, 69.24)

    Source
    ------
    Joule's law; an amplifier manual prints the case as 72, 3 and 69 W.
    """
    load, loop = above_zero(load_ohm, "the load"), zero_or_more(cable_loop_ohm, "the loop")
    square_a = (zero_or_more(amplifier_v, "the voltage") / (load + loop)) ** 2
    return LinePower(square_a * (load + loop), square_a * loop, square_a * load)


def loop_share_pct(load_ohm: float, cable_loop_ohm: float) -> float:
    """Return the loop's resistance in % of the load's.

    Parameters
    ----------
    load_ohm
        Load in ohm.
    cable_loop_ohm
        Resistance of the cable there and back, in ohm.

    Raises
    ------
    ValueError
        If the load is not above zero or the loop is negative.

    Examples
    --------
    >>> loop_share_pct(8.0, 0.48)
    6.0

    Source
    ------
    A mixer manual's table: 6 % is 0.5 dB.
    """
    return 100.0 * zero_or_more(cable_loop_ohm, "the loop") / above_zero(load_ohm, "the load")


def line_loss_db(load_ohm: float, cable_loop_ohm: float) -> float:
    """Return the loss of level in dB on a loudspeaker line.

    Parameters
    ----------
    load_ohm
        Load in ohm.
    cable_loop_ohm
        Resistance of the cable there and back, in ohm.

    Raises
    ------
    ValueError
        If the load is not above zero or the loop is negative.

    Examples
    --------
    >>> round(line_loss_db(8.0, 0.48), 3)
    0.506

    Source
    ------
    Voltage divider.
    """
    return divider_loss_db(cable_loop_ohm, load_ohm)


def longest_run_m(load_ohm: float, ohm_per_m: float, loss_db: float = ADVISED_LOSS_DB) -> float:
    """Return the longest one-way run in m for a loss.

    Parameters
    ----------
    load_ohm
        Load in ohm.
    ohm_per_m
        Resistance of one conductor in ohm/m.
    loss_db
        Loss accepted, in dB.

    Raises
    ------
    ValueError
        If one of them is not above zero.

    Examples
    --------
    12 AWG (5.21 mohm/m) to 8 ohm:

    >>> round(longest_run_m(8.0, 0.00521), 1)
    45.5

    Source
    ------
    Voltage divider; a mixer manual's table prints 150 ft for this case.
    """
    share = 10.0 ** (above_zero(loss_db, "the loss") / 20.0) - 1.0
    return float(share * above_zero(load_ohm, "the load") / (2.0 * above_zero(ohm_per_m, "the resistance")))


def amplifier_output_ohm(damping_factor: float, load_ohm: float) -> float:
    """Return the output impedance in ohm of an amplifier from its damping factor.

    Parameters
    ----------
    damping_factor
        As its maker states it.
    load_ohm
        The load it is stated for, in ohm.

    Raises
    ------
    ValueError
        If one of them is not above zero.

    Examples
    --------
    >>> amplifier_output_ohm(400.0, 2.0)
    0.005

    Source
    ------
    Definition of the damping factor.
    """
    return above_zero(load_ohm, "the load") / above_zero(damping_factor, "the damping factor")


def line_damping(load_ohm: float, amplifier_ohm: float, cable_loop_ohm: float) -> float:
    """Return the damping factor that is left at the loudspeaker.

    Parameters
    ----------
    load_ohm
        Load in ohm.
    amplifier_ohm
        Output impedance of the amplifier, in ohm.
    cable_loop_ohm
        Resistance of the cable there and back, in ohm.

    Raises
    ------
    ValueError
        If the load is not above zero, a resistance is negative, or both are zero.

    Examples
    --------
    >>> round(line_damping(8.0, 0.01, 0.19), 6)
    40.0

    Source
    ------
    Definition of the damping factor, the cable counted to the amplifier.
    """
    before = zero_or_more(amplifier_ohm, "the amplifier") + zero_or_more(cable_loop_ohm, "the loop")
    return above_zero(load_ohm, "the load") / above_zero(before, "amplifier and cable")


def amplifier_bears(loads_ohm: Iterable[float], lowest_ohm: float) -> bool:
    """Return whether loudspeakers side by side stay at or above the lowest load of an amplifier.

    Parameters
    ----------
    loads_ohm
        The loads, in ohm.
    lowest_ohm
        Lowest load the amplifier bears, in ohm.

    Raises
    ------
    ValueError
        If there is no load, or a figure is not above zero.

    Examples
    --------
    Two boxes of 4 ohm on an amplifier for 4 ohm and more:

    >>> amplifier_bears([4.0, 4.0], 4.0)
    False

    Source
    ------
    Amplifier manuals; Kirchhoff.
    """
    return parallel_ohm(loads_ohm) >= above_zero(lowest_ohm, "the lowest load") * (1.0 - 1e-9)
