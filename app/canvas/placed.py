"""Cards with their place on the Patch sheet: that of a unit, and the one that stands for a folded rack. No Qt.

A card knows its ports by keys. On a unit's card a key is the port's id; on a
folded rack's it is the unit's id and the port's, since two units inside may have
ports of the same id.
"""

from __future__ import annotations

from msgspec import Struct

from app.canvas.layout import Box, Card, Point, Spot
from rigcore.book.rig import Case, Unit
from rigcore.catalogue.gear import GearType, Port

NO_FLOW = frozenset({"mains", "dc"})
RACK = "rack/"
"""Begins the name of a folded rack's card; no unit's id holds a stroke."""


class PlacedCard(Struct, frozen=True):
    """A unit with its card and where it lies."""

    unit: Unit
    gear: GearType
    card: Card
    place: Point

    @property
    def name(self) -> str:
        """What the sheet calls the card."""
        return self.unit.id

    @property
    def title(self) -> str:
        """What stands on its tape."""
        return self.unit.name

    @property
    def about(self) -> str:
        """What stands below the tape."""
        return self.gear.name

    @property
    def members(self) -> tuple[PlacedCard, ...]:
        """The units it stands for, each on a card of its own."""
        return (self,)

    @property
    def is_lent(self) -> bool:
        """Whether the house supplies it."""
        return self.unit.owner == "house"

    @property
    def only_feeds(self) -> bool:
        """Whether the unit does nothing but hand power on."""
        return only_feeds(self.gear)

    @property
    def box(self) -> Box:
        """The card's rectangle on the sheet."""
        return self.card.box_at(self.place)

    def key(self, unit_id: str, port_id: str) -> str:
        """Return what the card calls a port."""
        return port_id

    def end(self, key: str) -> tuple[str, str]:
        """Return the unit and the port a key stands for."""
        return self.unit.id, key

    def port(self, key: str) -> Port | None:
        """Return the port a key stands for."""
        return self.gear.port(key)

    def label(self, spot: Spot) -> str:
        """Return what is written beside a port's face."""
        port = self.gear.port(spot.port)
        return port.name if port else ""

    def is_drawn_as(self, other: AnyCard) -> bool:
        """Return whether another state of the card looks the same, wherever it lies."""
        return (
            isinstance(other, PlacedCard)
            and self.unit is other.unit and self.gear is other.gear and self.card is other.card
        )  # fmt: skip


class PlacedRack(Struct, frozen=True):
    """A case folded into one card: the units inside, each with the card it would have, and where the one card lies."""

    case: Case
    members: tuple[PlacedCard, ...]
    card: Card
    place: Point

    @property
    def name(self) -> str:
        """What the sheet calls the card."""
        return RACK + self.case.id

    @property
    def title(self) -> str:
        """What stands on its tape."""
        return self.case.name

    @property
    def about(self) -> str:
        """What stands below the tape: what is inside."""
        return ", ".join(one.unit.name for one in self.members)

    @property
    def is_lent(self) -> bool:
        """Whether the house supplies it; racks are the player's."""
        return False

    @property
    def only_feeds(self) -> bool:
        """Whether all that is inside does nothing but hand power on."""
        return all(one.only_feeds for one in self.members)

    @property
    def box(self) -> Box:
        """The card's rectangle on the sheet."""
        return self.card.box_at(self.place)

    def key(self, unit_id: str, port_id: str) -> str:
        """Return what the card calls a port."""
        return rack_key(unit_id, port_id)

    def end(self, key: str) -> tuple[str, str]:
        """Return the unit and the port a key stands for."""
        unit_id, _, port_id = key.partition("/")
        return unit_id, port_id

    def port(self, key: str) -> Port | None:
        """Return the port a key stands for."""
        unit_id, port_id = self.end(key)
        return next((one.gear.port(port_id) for one in self.members if one.unit.id == unit_id), None)

    def label(self, spot: Spot) -> str:
        """Return what is written beside a port's face."""
        return spot.words

    def is_drawn_as(self, other: AnyCard) -> bool:
        """Return whether another state of the card looks the same, wherever it lies."""
        same = isinstance(other, PlacedRack) and self.card is other.card and self.title == other.title
        return same and self.about == other.about


AnyCard = PlacedCard | PlacedRack


def rack_key(unit_id: str, port_id: str) -> str:
    """Return what a folded rack's card calls a port."""
    return f"{unit_id}/{port_id}"


def only_feeds(gear: GearType) -> bool:
    """Return whether a gear type does nothing but hand power on."""
    outs = [port for port in gear.ports if port.direction == "out"]
    return bool(outs) and all(port.carrier.medium in NO_FLOW for port in gear.ports)
