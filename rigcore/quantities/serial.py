"""Serial control links: how long one byte takes.

Not here: how long their cables may be (see ``lengths``).
"""

from __future__ import annotations

from rigcore.quantities.checks import above_zero

MIDI_BAUD = 31250.0
"""Symbols each second on a MIDI 1.0 link, 1 % either way (IEC 63035)."""

MIDI_BITS_PER_BYTE = 10
"""One start bit, eight of data, one stop bit (IEC 63035)."""


def byte_us(baud: float = MIDI_BAUD, bits_per_byte: int = MIDI_BITS_PER_BYTE) -> float:
    """Return the time in microseconds of one byte.

    Parameters
    ----------
    baud
        Symbols each second.
    bits_per_byte
        Bits sent for each byte, start and stop included.

    Raises
    ------
    ValueError
        If one of them is not above zero.

    Examples
    --------
    >>> byte_us()
    320.0

    Source
    ------
    IEC 63035.
    """
    return above_zero(bits_per_byte, "the count of bits") / above_zero(baud, "the rate") * 1e6
