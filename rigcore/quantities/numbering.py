"""Colours for numbers, as rings and tapes on cables have them: one colour for each digit.

Not here: what the colours look like on paper and screen.
"""

from __future__ import annotations

DIGIT_COLOURS = ("black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white")
"""Colours of the digits 0 to 9 (IEC 60062)."""


def colours_of(number: int) -> tuple[str, ...]:
    """Return the colours of a channel's number, highest digit first.

    Parameters
    ----------
    number
        Number of the channel, zero or above.

    Raises
    ------
    ValueError
        If the number is negative.

    Examples
    --------
    >>> colours_of(5), colours_of(14)
    (('green',), ('brown', 'yellow'))

    Source
    ------
    IEC 60062.
    """
    if number < 0:
        raise ValueError("a channel's number must not be negative")
    return tuple(DIGIT_COLOURS[int(digit)] for digit in str(number))
