"""What lies under a place of the Patch sheet, as a record. No painting, no Qt."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from rigcore.book.ids import PortRef
from rigcore.rules.rule import Thing


class Hit(Struct, frozen=True):
    """What lies under a place: a port, a card or its tape, a house tile, a cable, or nothing.

    ``id`` of a port is its unit's, inside a folded rack too; of a card it is the card's name, of a tile the socket's.
    """

    kind: Literal["port", "tape", "unit", "tile", "cable", "nothing"]
    id: str = ""
    port: str = ""
    thing: Thing | None = None

    @property
    def ref(self) -> PortRef | None:
        """The rig port hit, if it is one."""
        return PortRef(unit=self.id, port=self.port) if self.kind == "port" else None


NOTHING = Hit("nothing")
