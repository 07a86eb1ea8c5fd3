"""Helpers with which rules speak: the place of a hop, and who sits at its ends."""

from __future__ import annotations

import re

from rigcore.patch.build import End, Hop, Patch
from rigcore.rules.rule import Thing

NO_BREAK = "\u00a0"
_UNITS = (
    "m|mm|cm|ft|mm²|kg|g|U|V|mV|W|kW|VA|A|mA|dB|dBu|dBV|dBFS|Hz|kHz|ohm|kohm|Ω|kΩ|AWG|min|s|ms|h|°"
)  # fmt: skip
_BLANK = rf"(?<!\d) | (?!(?:{_UNITS})(?!\w))"
"""A blank at which a line may be broken: not the one between a number and its unit."""


def place(hop: Hop) -> tuple[Thing, ...]:
    """Return the thing a hop is in the book: its link, or the landing it is part of."""
    if hop.link is not None:
        return (Thing("link", hop.link.id),)
    assert hop.landing is not None  # a hop comes from one or the other
    return (Thing("landing", hop.landing.hand_off), Thing("socket", hop.landing.socket))


def unit_of(end: End) -> Thing:
    """Return the unit an end belongs to, narrowed to its port."""
    if end.node.place == "house":
        return Thing("house unit", end.node.unit, end.node.port)
    if end.node.place == "chain":
        return Thing("landing", end.node.unit.partition("/")[0])
    return Thing("unit", end.node.unit, end.node.port)


def from_to(hop: Hop) -> str:
    """Return a hop as spoken."""
    return f"{hop.source.words} to {hop.target.words}"


def name_of(patch: Patch, hop: Hop) -> str:
    """Return the name a hop goes by: its hand-off, its label, or what it joins."""
    if hop.landing is not None:
        return patch.hand_off(hop.landing).name
    if hop.link is not None and hop.link.label:
        return hop.link.label
    return from_to(hop)


def metres(length_m: float) -> str:
    """Return a length with its unit."""
    return f"{length_m:g} m"


def decibels(level: float) -> str:
    """Return a level difference with one decimal and its unit."""
    return f"{level:.1f} dB"


def level(level_dbu: float) -> str:
    """Return a level with sign, one decimal and its unit."""
    return f"{level_dbu:+.1f} dBu".replace("-", "−")


def pieces(text: str) -> list[str]:
    """Return the parts of a text between which a line may be broken, to be joined by blanks.

    >>> pieces("XLR cable 5 m, 48 V on 2 lines")
    ['XLR', 'cable', '5 m,', '48 V', 'on', '2', 'lines']
    """
    return re.split(_BLANK, text)


def tied(text: str) -> str:
    """Return a text for the eye in which no number is parted from its unit at a line's end.

    Only for what wraps by itself: what is written into a file or compared keeps its plain blanks.
    """
    return " ".join(part.replace(" ", NO_BREAK) for part in pieces(text))


def joined(names: list[str]) -> str:
    """Return names as a list in words.

    >>> joined(["a", "b", "c"])
    'a, b and c'
    """
    if len(names) < 2:
        return "".join(names)
    return ", ".join(names[:-1]) + " and " + names[-1]
