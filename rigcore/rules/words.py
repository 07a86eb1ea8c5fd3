"""Helpers with which rules speak: the place of a hop, and who sits at its ends."""

from __future__ import annotations

from rigcore.patch.build import End, Hop, Patch
from rigcore.rules.rule import Thing


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


def joined(names: list[str]) -> str:
    """Return names as a list in words.

    >>> joined(["a", "b", "c"])
    'a, b and c'
    """
    if len(names) < 2:
        return "".join(names)
    return ", ".join(names[:-1]) + " and " + names[-1]
