"""The two tests every quantity makes of what it is given: above zero, or not below it.

Not here: limits of a standard, which belong to the quantity they limit.
"""

from __future__ import annotations

import math


def above_zero(value: float, what: str) -> float:
    """Return the value if it is a finite number above zero.

    Parameters
    ----------
    value
        Any quantity, in the unit its name carries.
    what
        The words for it, used in the message.

    Raises
    ------
    ValueError
        If the value is zero, negative, infinite or not a number.

    Examples
    --------
    >>> above_zero(0.5, "the load")
    0.5
    """
    if not (math.isfinite(value) and value > 0):
        raise ValueError(f"{what} must be a number above zero, not {value}")
    return value


def zero_or_more(value: float, what: str) -> float:
    """Return the value if it is a finite number, zero or above.

    Parameters
    ----------
    value
        Any quantity, in the unit its name carries.
    what
        The words for it, used in the message.

    Raises
    ------
    ValueError
        If the value is negative, infinite or not a number.

    Examples
    --------
    >>> zero_or_more(0.0, "the source")
    0.0
    """
    if not (math.isfinite(value) and value >= 0):
        raise ValueError(f"{what} must be a number not below zero, not {value}")
    return value
