"""What two ports and the cables between them come to, told by their types alone.

Hundreds of hops of a rig are of a few dozen kinds: what depends only on the two
ports and the cables is worked out once a kind and shared by all hops of it.
Lengths, settings and whatever else one hop has to itself are not here.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Literal

from msgspec import Struct

from rigcore.catalogue.cables import CableType
from rigcore.catalogue.carriers import Audio, Carrier
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.connectors import Consequence
from rigcore.catalogue.gear import Port
from rigcore.catalogue.record import changed

Facing = Literal["along", "against", "output to output", "input to input"]
_FACING: Mapping[tuple[str, str], Facing] = {
    ("out", "out"): "output to output", ("in", "in"): "input to input",
    ("in", "out"): "against", ("in", "both"): "against", ("both", "out"): "against",
}  # fmt: skip
"""What lies wrong, by the directions of source and target."""


class Coupling(Struct, frozen=True, eq=False, dict=True):
    """Two ports and the cables that join them, no cable where they meet bare; equal to itself alone.

    ``begins`` and ``arrives`` are what travels at the source and at the target,
    as the plugs there decide. ``consequences`` are those of each joint from
    source to target; ``goes_together`` says that every plug goes in,
    ``is_sound`` that the connection lies the right way round as well.
    """

    source: Port
    target: Port
    cables: tuple[CableType, ...]
    begins: Carrier
    arrives: Carrier
    facing: Facing
    consequences: tuple[Consequence, ...]
    goes_together: bool
    is_sound: bool
    is_balanced: bool

    @cached_property
    def media(self) -> tuple[str, str]:
        """The media of the two ports, source first."""
        return self.source.carrier.medium, self.target.carrier.medium

    @property
    def plugs(self) -> tuple[str | None, str | None]:
        """The connector that meets the source and the one that meets the target, None where ports meet bare."""
        return (self.cables[0].end_a, self.cables[-1].end_b) if self.cables else (None, None)

    @property
    def is_audio(self) -> bool:
        """Whether both ports carry analogue audio."""
        return self.media == ("audio", "audio")

    @property
    def audio(self) -> tuple[Audio, Audio] | None:
        """What travels at both ends where analogue audio gets across, else None."""
        if self.is_sound and isinstance(self.begins, Audio) and isinstance(self.arrives, Audio):
            return self.begins, self.arrives
        return None


def coupled(catalogue: Catalogue, source: Port, target: Port, cables: tuple[CableType, ...]) -> Coupling:
    """Return what two ports and some cables joined end to end come to; a single cable lies the way round it fits."""
    if len(cables) == 1:
        cables = (_as_plugged(catalogue, cables[0], source, target),)
    first, last = (cables[0].end_a, cables[-1].end_b) if cables else (target.connector, source.connector)
    begins, arrives = catalogue.carrier_at(source, first), catalogue.carrier_at(target, last)
    facing = _FACING.get((source.direction, target.direction), "along")
    consequences = _consequences(catalogue, source, target, cables)
    fits = Consequence.DOES_NOT_FIT not in consequences
    balanced = _balanced(begins) and _balanced(arrives) and all(one.wiring == "balanced" for one in cables)
    return Coupling(
        source, target, cables, begins, arrives, facing, consequences, fits, fits and facing == "along", balanced
    )


def _as_plugged(catalogue: Catalogue, cable: CableType, source: Port, target: Port) -> CableType:
    """Return the cable with its ends the way round they fit, as delivered if neither does."""
    ends = catalogue.ends_at(cable, source, target)
    if ends is None or ends == (cable.end_a, cable.end_b):
        return cable
    return changed(cable, end_a=ends[0], end_b=ends[1])


def _consequences(
    catalogue: Catalogue, source: Port, target: Port, cables: tuple[CableType, ...]
) -> tuple[Consequence, ...]:
    """Return what comes of each joint, from source to target."""
    met = [source.connector, *(end for cable in cables for end in (cable.end_a, cable.end_b)), target.connector]
    return tuple(catalogue.mating.consequence(one, other) for one, other in zip(met[::2], met[1::2], strict=True))


def _balanced(carrier: Carrier) -> bool:
    return isinstance(carrier, Audio) and carrier.balance != "unbalanced" and carrier.layout != "stereo"
