"""Rack sizes: units of height in mm, and how many a thing takes.

Not here: weights, depths and what stands in which rack.
"""

from __future__ import annotations

import math

from rigcore.quantities.checks import above_zero

UNIT_MM = 44.45
"""Height of one U, 1.75 inch (EIA-310; IEC 60297-3-100)."""

PANEL_WIDTH_MM = 482.6
"""Width of a panel, 19 inch (EIA-310; IEC 60297-3-100)."""

HOLE_CENTRES_MM = 465.1
"""Between the centres of the fixing holes (EIA-310; IEC 60297-3-100)."""

OPENING_MM = 450.0
"""Least width between the posts (EIA-310; IEC 60297-3-100)."""

PANEL_GAP_MM = 0.79
"""By how much a panel is less high than its units (EIA-310, from memory)."""


def units_mm(units: int) -> float:
    """Return the height in mm of so many U.

    Parameters
    ----------
    units
        Count of U.

    Raises
    ------
    ValueError
        If the count is not above zero.

    Examples
    --------
    >>> units_mm(1), units_mm(4)
    (44.45, 177.8)

    Source
    ------
    EIA-310; IEC 60297-3-100.
    """
    return above_zero(units, "the count of units") * UNIT_MM


def panel_mm(units: int) -> float:
    """Return the height in mm of a panel of so many U.

    Parameters
    ----------
    units
        Count of U.

    Raises
    ------
    ValueError
        If the count is not above zero.

    Examples
    --------
    >>> round(panel_mm(1), 2)
    43.66

    Source
    ------
    EIA-310, from memory.
    """
    return units_mm(units) - PANEL_GAP_MM


def units_needed(height_mm: float) -> int:
    """Return how many U a thing of so many mm takes.

    Parameters
    ----------
    height_mm
        Height in mm.

    Raises
    ------
    ValueError
        If the height is not above zero.

    Examples
    --------
    >>> units_needed(44.0), units_needed(44.45), units_needed(88.0), units_needed(90.0)
    (1, 1, 2, 3)

    Source
    ------
    EIA-310; IEC 60297-3-100.
    """
    return math.ceil(above_zero(height_mm, "the height") / UNIT_MM - 1e-9)
