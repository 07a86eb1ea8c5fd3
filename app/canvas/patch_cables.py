"""The cables of the Patch sheet: what each is, where it is plugged in, how it is laid. No painting, no Qt."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

from app.canvas.house_layout import HouseRows
from app.canvas.layout import Point, Side
from app.canvas.looks import CableLook, look_of
from app.canvas.placed import NO_FLOW, AnyCard, PlacedCard, rack_key
from app.canvas.routes import Wire
from rigcore.book.gig import CablePiece, Landing
from rigcore.book.ids import PortRef
from rigcore.book.rig import HandOff, Link
from rigcore.catalogue.catalogue import Catalogue
from rigcore.rules.rule import Thing

Socket = tuple[str, str]
"""A card, and what it calls one of its ports."""


class Cable(Struct, frozen=True):
    """A link or landing as drawn: its thing, its two ends, its look, what is tied into it.

    ``plugs`` are the faces on the cards where it goes in: one for each end in the rig.
    """

    thing: Thing
    start: PortRef
    end: PortRef | str
    look: CableLook
    words: str
    plugs: tuple[Socket, ...]
    pieces: tuple[str, ...] = ()
    loom: str = ""
    is_signal: bool = True

    @property
    def within(self) -> str:
        """The folded rack it lies wholly inside, or nothing."""
        cards = {card for card, _ in self.plugs}
        return self.plugs[0][0] if len(self.plugs) == 2 and len(cards) == 1 and "/" in self.plugs[0][1] else ""


def socket_of(homes: Mapping[str, str], unit_id: str, port_id: str) -> Socket:
    """Return the card on which a unit's port is, and what it is called there; ``homes`` are those of units in racks."""
    home = homes.get(unit_id)
    return (unit_id, port_id) if home is None else (home, rack_key(unit_id, port_id))


def link_cable(link: Link, units: Mapping[str, PlacedCard], homes: Mapping[str, str], catalogue: Catalogue) -> Cable:
    """Return a link as a cable of the sheet."""
    source, target = units[link.source.unit], units[link.target.unit]
    port, other = source.gear.port(link.source.port), target.gear.port(link.target.port)
    assert port is not None  # the book was checked when it was opened
    assert other is not None
    cable = catalogue.cable_type(link.cable) if link.cable else None
    plug = cable.end_a if cable else other.connector
    return Cable(
        Thing("link", link.id),
        link.source,
        link.target,
        look_of(catalogue.carrier_at(port, plug), cable),
        f"{source.unit.name} {port.name} → {target.unit.name} {other.name}",
        tuple(socket_of(homes, end.unit, end.port) for end in (link.source, link.target)),
        loom=link.loom or "",
        is_signal=port.carrier.medium not in NO_FLOW,
    )


def landing_cable(
    landing: Landing, hand_off: HandOff, units: Mapping[str, PlacedCard], homes: Mapping[str, str], *,
    catalogue: Catalogue,
) -> Cable:  # fmt: skip
    """Return a landing as a cable of the sheet."""
    placed = units[hand_off.unit]
    port = placed.gear.port(hand_off.port)
    assert port is not None  # the book was checked when it was opened
    kinds = [catalogue.cable_type(one.cable) for one in landing.chain if isinstance(one, CablePiece)]
    pieces = [catalogue.gear_type(one.gear).name for one in landing.chain if not isinstance(one, CablePiece)]
    cable = kinds[0] if kinds else None
    plug = cable.end_a if cable else None
    return Cable(
        Thing("landing", hand_off.id),
        PortRef(unit=hand_off.unit, port=hand_off.port),
        landing.socket,
        look_of(catalogue.carrier_at(port, plug), cable),
        hand_off.name,
        (socket_of(homes, hand_off.unit, hand_off.port),),
        tuple(pieces),
    )


def wires_of(cables: Iterable[Cable], cards: Mapping[str, AnyCard], rows: HouseRows) -> list[Wire[Thing]]:
    """Return cables as wires to be laid; those wholly inside a folded rack are not."""
    return [wire for cable in cables if not cable.within and (wire := _wire(cable, cards, rows))]


def on_sheet(cards: Mapping[str, AnyCard], socket: Socket) -> tuple[Point, Side] | None:
    """Return where a port's face lies on the sheet, and on which edge of its card."""
    placed = cards.get(socket[0])
    spot = placed.card.spot(socket[1]) if placed else None
    if placed is None or spot is None:
        return None
    return Point(placed.place.x + spot.at.x, placed.place.y + spot.at.y), spot.side


def _wire(cable: Cable, cards: Mapping[str, AnyCard], rows: HouseRows) -> Wire[Thing] | None:
    start = on_sheet(cards, cable.plugs[0])
    if start is None:
        return None
    if not isinstance(cable.end, str):
        end = on_sheet(cards, cable.plugs[1])
        return Wire(cable.thing, *start, *end) if end else None
    tile = rows.tile(cable.end)
    if tile is None:
        return None
    way_in = rows.way_in(tile)
    if len(way_in) == 1:
        return Wire(cable.thing, *start, tile.face, "top", late=True)
    return Wire(cable.thing, *start, Point(way_in[0].x, rows.strip.top - 3), "top", tail=way_in, late=True)
