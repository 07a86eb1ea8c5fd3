"""Cable types: two ends, what lies between them, and how far it may run."""

from typing import Literal

from pydantic import Field

from rigcore.catalogue.record import Id, Length, Name, NotNegative, Positive, Record, Text

Cold = Literal["", "open", "to sleeve"]
"""What becomes of a balanced line's second leg on the way to an unbalanced plug: left open, or laid on the sleeve."""

Wiring = Literal["balanced", "unbalanced", "stereo", "loudspeaker", "mains", "dc", "data", "control"]


class CableType(Record):
    """A kind of cable a player owns several of.

    ``end_a`` goes to the source, ``end_b`` to the load; where both ends are
    alike the direction does not matter. Lengths are in m, ``ohm_per_m`` is one
    conductor, ``pf_per_m`` conductor to conductor.
    """

    id: Id
    name: Name
    medium: Literal[
        "audio", "loudspeaker", "footswitch", "expression", "midi", "usb", "network",
        "aes3", "optical", "wordclock", "mains", "dc",
    ]
    also: tuple[str, ...] = ()
    end_a: Id
    end_b: Id
    wiring: Wiring
    ohm_per_m: NotNegative | None = None
    pf_per_m: NotNegative | None = None
    conductor_mm2: Positive | None = None
    cold: Cold = ""
    longest_m: Length
    why_longest: Text
    stock_lengths_m: tuple[Length, ...] = Field(min_length=1)
    source: Text

    def of(self, length: str) -> str:
        """Return a cable of this type and a length as spoken: a name that ends in a figure is kept off the length's."""
        return f"{self.name}{',' if self.name[-1].isdigit() else ''} {length}"

    def carries(self, medium: str) -> bool:
        """Return whether the cable is meant for a medium."""
        return medium == self.medium or medium in self.also
