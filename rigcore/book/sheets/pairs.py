"""Makes stereo pairs of hand-offs: by their names first, by the ports they sit at second."""

from __future__ import annotations

import re
from collections import Counter

from rigcore.book.ids import new_id
from rigcore.book.rig import HandOff
from rigcore.book.sheets.cells import folded
from rigcore.book.sheets.units import Units
from rigcore.catalogue.record import changed

Half = tuple[str, str]
"""A stem or a port pair, and the side."""


def stem_and_side(name: str) -> Half | None:
    """Return what a stereo name says before its side, and the side, or None.

    >>> stem_and_side("Piano L"), stem_and_side("Keys 1 right"), stem_and_side("Vocal")
    (('piano', 'L'), ('keys 1', 'R'), None)
    """
    match = re.fullmatch(r"(.*[^\s_-])[\s_-]+\(?(l|r|left|right)\)?", folded(name))
    return (match[1], match[2][0].upper()) if match else None


def paired(hand_offs: list[HandOff], units: Units) -> list[HandOff]:
    """Return the hand-offs with group and side where two of them are the halves of one thing."""
    named = {one.id: stem_and_side(one.name) for one in hand_offs}
    whole = _complete(hand_offs, named)
    gear_of = {one.unit.id: one.gear for one in units.by_name.values() if one}
    wired: dict[str, Half | None] = {}
    for one in hand_offs:
        port = gear_of[one.unit].port(one.port)
        loose = one.id not in whole and port is not None and port.pair and port.side
        wired[one.id] = (f"{one.unit}-{port.pair}", port.side) if loose and port is not None else None
    whole = {**whole, **_complete(hand_offs, wired)}
    groups: dict[tuple[str, str], str] = {}
    result = []
    for one in hand_offs:
        half = whole.get(one.id)
        if half is not None:
            key = (one.direction, half[0])
            if key not in groups:
                groups[key] = new_id(half[0], set(groups.values()))
            one = changed(one, group=groups[key], side=half[1])
        result.append(one)
    return result


def _complete(hand_offs: list[HandOff], halves: dict[str, Half | None]) -> dict[str, Half]:
    """Return the halves whose other half is there, each exactly once and running the same way."""
    counts = Counter((one.direction, halves[one.id]) for one in hand_offs)
    found = {}
    for one in hand_offs:
        half = halves[one.id]
        if half is None:
            continue
        mate = (half[0], "R" if half[1] == "L" else "L")
        if counts[one.direction, half] == counts[one.direction, mate] == 1:
            found[one.id] = half
    return found
