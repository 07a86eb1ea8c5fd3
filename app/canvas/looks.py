"""How a cable looks: a table from what travels to colour, weight and stroke.

What travels, at what level and how balanced is read from the catalogue's records;
this table only says how each is drawn.
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from rigcore.catalogue.cables import CableType
from rigcore.catalogue.carriers import Audio, Carrier

Stroke = Literal["solid", "dashed", "dotted", "double"]


class CableLook(Struct, frozen=True):
    """A colour's name in the theme, a width in sheet units, a stroke."""

    colour: str
    width: float
    stroke: Stroke


_AUDIO = {
    "mic": ("mic", 1.8),
    "instrument": ("line", 1.8),
    "line": ("line", 2.6),
    "consumer": ("line", 2.6),
    "headphone": ("line", 2.6),
}
_OTHERS = {
    "loudspeaker": CableLook("loudspeaker", 4.2, "solid"),
    "footswitch": CableLook("control", 2.4, "dotted"),
    "expression": CableLook("control", 2.4, "dotted"),
    "midi": CableLook("control", 2.4, "dotted"),
    "mains": CableLook("mains", 4.6, "double"),
    "dc": CableLook("mains", 3.6, "double"),
}
_DATA = CableLook("data", 2.2, "solid")
_ONE_LEG = frozenset({"unbalanced", "stereo"})


def look_of(carrier: Carrier, cable: CableType | None) -> CableLook:
    """Return how a cable looks that carries this, through this cable type or none."""
    if not isinstance(carrier, Audio):
        return _OTHERS.get(carrier.medium, _DATA)
    colour, width = _AUDIO[carrier.level]
    balance = cable.wiring if cable is not None else carrier.balance
    return CableLook(colour, width, "dashed" if balance in _ONE_LEG else "solid")
