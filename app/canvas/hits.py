"""What lies under a place of the Patch sheet, as a record. No painting, no Qt."""

from __future__ import annotations

from typing import Literal

from rigcore.book.ids import PortRef
from rigcore.rules.rule import Thing
from rigcore.values import dataclass


@dataclass(frozen=True)
class Hit:
    """What lies under a place: a port or tape or card of a unit, a house tile, a cable, or nothing."""

    kind: Literal["port", "tape", "unit", "tile", "cable", "nothing"]
    id: str = ""
    port: str = ""
    thing: Thing | None = None

    @property
    def ref(self) -> PortRef | None:
        """The rig port hit, if it is one."""
        return PortRef(unit=self.id, port=self.port) if self.kind == "port" else None


NOTHING = Hit("nothing")


def thing_of(hit: Hit) -> Thing | None:
    """Return what of the book a hit stands for."""
    if hit.kind == "port":
        return Thing("unit", hit.id, hit.port)
    if hit.kind in ("unit", "tape"):
        return Thing("unit", hit.id)
    if hit.kind == "tile":
        return Thing("socket", hit.id)
    return hit.thing
