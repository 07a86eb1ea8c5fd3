"""Everything the Patch sheet shows, computed from a book: cards, tiles, ways. No painting, no Qt.

The scene compares one plan with the next and touches only what differs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field

from app.canvas.dressing import Dresser
from app.canvas.house_layout import HouseRows, TileText, lay_tiles
from app.canvas.layout import Box, Card, Point, Side, card_of
from app.canvas.looks import CableLook, look_of
from app.canvas.places import Flow, default_places
from app.canvas.routes import Way, Wire, plain_ways
from rigcore.book.book import Book
from rigcore.book.gig import CablePiece, Gig, Landing
from rigcore.book.house import House
from rigcore.book.ids import PortRef
from rigcore.book.rig import HandOff, Link, Rig, Unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType
from rigcore.rules.rule import Thing
from rigcore.values import dataclass

MARGIN = 44.0
_NO_FLOW = frozenset({"mains", "dc"})


@dataclass(frozen=True)
class PlacedCard:
    """A unit with its card and where it lies."""

    unit: Unit
    gear: GearType
    card: Card
    place: Point

    @property
    def only_feeds(self) -> bool:
        """Whether the unit does nothing but hand power on."""
        return _only_feeds(self.gear)

    @property
    def box(self) -> Box:
        """The card's rectangle on the sheet."""
        return self.card.box_at(self.place)


@dataclass(frozen=True)
class Cable:
    """A link or landing as drawn: its thing, its two ends, its look, what is tied into it."""

    thing: Thing
    start: PortRef
    end: PortRef | str
    look: CableLook
    words: str
    pieces: tuple[str, ...] = ()
    loom: str = ""
    is_signal: bool = True


@dataclass(frozen=True)
class SheetPlan:
    """One state of the Patch sheet. ``end`` of a landing's cable is a socket id."""

    cards: Mapping[str, PlacedCard]
    unplaced: Mapping[str, Point]
    rows: HouseRows
    cables: Mapping[Thing, Cable]
    ways: Mapping[Thing, Way]
    hand_offs: Mapping[PortRef, HandOff]
    sockets: Mapping[str, PortRef]
    content: Box
    taken: frozenset[PortRef] = field(default=frozenset())

    def landed_at(self, socket_id: str) -> Cable | None:
        """Return the cable landed on a socket, or None."""
        return next((one for one in self.cables.values() if one.end == socket_id), None)


class Planner:
    """Makes plans; remembers card measures by gear type and name."""

    def __init__(self) -> None:
        self._cards: dict[tuple[int, str], tuple[GearType, Card]] = {}
        self._dresser = Dresser()

    def plan(self, book: Book, gig_id: str, catalogue: Catalogue, *, view: tuple[float, float]) -> SheetPlan:
        """Return the sheet of a gig, no smaller than ``view``, the window at 100 %."""
        gig = book.gig(gig_id)
        rig, house = book.rig(gig.rig), book.house(gig.house)
        gears = {unit.id: catalogue.gear_type(unit.gear) for unit in rig.units}
        measures = {unit.id: self._card(gears[unit.id], catalogue, unit.name) for unit in rig.units}
        fixed = {
            unit.id: (unit.card_x, unit.card_y)
            for unit in rig.units
            if unit.card_x is not None and unit.card_y is not None
        }
        flow = [
            (link.source.unit, link.target.unit) for link in rig.links if _medium(gears, link.source) not in _NO_FLOW
        ]
        places = default_places(measures, _flow(flow, gears, (gig, rig, house)), fixed)
        cards = {unit.id: PlacedCard(unit, gears[unit.id], measures[unit.id], places[unit.id]) for unit in rig.units}
        landed = {one.socket: rig.hand_off(one.hand_off) for one in gig.landings}
        rows, content = _house_rows(house, landed, [card.box for card in cards.values()], view)
        cables = [_link_cable(link, cards, catalogue) for link in rig.links]
        cables += [_landing_cable(one, rig.hand_off(one.hand_off), cards, catalogue) for one in gig.landings]
        by_thing = {cable.thing: cable for cable in cables}
        return SheetPlan(
            cards=cards,
            unplaced={name: place for name, place in places.items() if name not in fixed},
            rows=rows,
            cables=by_thing,
            ways=self._dresser.lay(_wires(cables, cards, rows), [card.box for card in cards.values()]),
            hand_offs={PortRef(unit=one.unit, port=one.port): one for one in rig.hand_offs},
            sockets={one.id: PortRef(unit=one.unit, port=one.ports[0]) for one in house.sockets},
            content=content,
            taken=frozenset(end for cable in cables for end in (cable.start, cable.end) if isinstance(end, PortRef)),
        )

    def _card(self, gear: GearType, catalogue: Catalogue, name: str) -> Card:
        kept = self._cards.get((id(gear), name))
        if kept is None:
            kept = (gear, card_of(gear, catalogue.connectors, name))
            self._cards[(id(gear), name)] = kept
        return kept[1]


def plain_cables(cables: Iterable[Cable], cards: Mapping[str, PlacedCard], rows: HouseRows) -> dict[Thing, Way]:
    """Return quick ways of cables that move with the hand: they go through whatever lies there."""
    return plain_ways(_wires(cables, cards, rows))


def _wires(cables: Iterable[Cable], cards: Mapping[str, PlacedCard], rows: HouseRows) -> list[Wire[Thing]]:
    return [wire for cable in cables if (wire := _wire(cable, cards, rows))]


def port_on_sheet(cards: Mapping[str, PlacedCard], ref: PortRef) -> tuple[Point, Side] | None:
    """Return where a rig port's face lies on the sheet, and on which edge."""
    placed = cards.get(ref.unit)
    spot = placed.card.spot(ref.port) if placed else None
    if placed is None or spot is None:
        return None
    return Point(placed.place.x + spot.at.x, placed.place.y + spot.at.y), spot.side


def _wire(cable: Cable, cards: Mapping[str, PlacedCard], rows: HouseRows) -> Wire[Thing] | None:
    start = port_on_sheet(cards, cable.start)
    if start is None:
        return None
    if isinstance(cable.end, PortRef):
        end = port_on_sheet(cards, cable.end)
        return Wire(cable.thing, *start, *end) if end else None
    tile = rows.tile(cable.end)
    if tile is None:
        return None
    way_in = rows.way_in(tile)
    if len(way_in) == 1:
        return Wire(cable.thing, *start, tile.face, "top", late=True)
    return Wire(cable.thing, *start, Point(way_in[0].x, rows.strip.top - 3), "top", tail=way_in, late=True)


def _flow(pairs: list[tuple[str, str]], gears: Mapping[str, GearType], night: tuple[Gig, Rig, House]) -> Flow:
    """Return how the rig hangs together, for laying out what nobody has laid."""
    gig, rig, house = night
    order = {socket.id: float(number) for number, socket in enumerate(house.sockets)}
    landings: dict[str, float] = {}
    for landing in gig.landings:
        hand_off = rig.hand_off(landing.hand_off)
        if hand_off is not None:
            here = order[landing.socket]
            landings[hand_off.unit] = min(here, landings.get(hand_off.unit, here))
    feeders = {name for name, gear in gears.items() if _only_feeds(gear)}
    return Flow(pairs, feeders, landings)


def _only_feeds(gear: GearType) -> bool:
    """Return whether a gear type does nothing but hand power on."""
    outs = [port for port in gear.ports if port.direction == "out"]
    return bool(outs) and all(port.carrier.medium in _NO_FLOW for port in gear.ports)


def _medium(gears: Mapping[str, GearType], ref: PortRef) -> str:
    port = gears[ref.unit].port(ref.port)
    return port.carrier.medium if port else ""


def _link_cable(link: Link, cards: Mapping[str, PlacedCard], catalogue: Catalogue) -> Cable:
    source, target = cards[link.source.unit], cards[link.target.unit]
    port, other = source.gear.port(link.source.port), target.gear.port(link.target.port)
    assert port is not None  # the book was checked when it was opened
    assert other is not None
    cable = catalogue.cable_type(link.cable) if link.cable else None
    plug = cable.end_a if cable else other.connector
    words = f"{source.unit.name} {port.name} → {target.unit.name} {other.name}"
    look = look_of(catalogue.carrier_at(port, plug), cable)
    return Cable(Thing("link", link.id), link.source, link.target, look, words, loom=link.loom or "",
                 is_signal=port.carrier.medium not in _NO_FLOW)


def _landing_cable(
    landing: Landing, hand_off: HandOff | None, cards: Mapping[str, PlacedCard], catalogue: Catalogue
) -> Cable:
    assert hand_off is not None  # the book's validator saw to it
    placed = cards[hand_off.unit]
    port = placed.gear.port(hand_off.port)
    assert port is not None  # the book was checked when it was opened
    kinds = [catalogue.cable_type(one.cable) for one in landing.chain if isinstance(one, CablePiece)]
    pieces = [catalogue.gear_type(one.gear).name for one in landing.chain if not isinstance(one, CablePiece)]
    cable = kinds[0] if kinds else None
    ref = PortRef(unit=hand_off.unit, port=hand_off.port)
    plug = cable.end_a if cable else None
    return Cable(
        Thing("landing", hand_off.id),
        ref,
        landing.socket,
        look_of(catalogue.carrier_at(port, plug), cable),
        hand_off.name,
        tuple(pieces),
    )


def _house_rows(
    house: House, landed: Mapping[str, HandOff | None], boxes: list[Box], view: tuple[float, float]
) -> tuple[HouseRows, Box]:
    """Return the tiles under the cards; the sheet is as large as the window and no flatter."""
    texts = [_tile_text(house, number, landed) for number in range(len(house.sockets))]
    cards = Box(
        min((box.left for box in boxes), default=0.0),
        min((box.top for box in boxes), default=0.0),
        max((box.right for box in boxes), default=0.0),
        max((box.bottom for box in boxes), default=0.0),
    )
    width = max(cards.right - cards.left + 2 * MARGIN, view[0])
    left = (cards.left + cards.right - width) / 2
    top = cards.top - MARGIN
    trial = lay_tiles(texts, left=left, width=width, top=0.0).strip
    room = 50.0 + 7.0 * min(len(landed), 10)
    least_height = view[1] * width / max(view[0], 1.0)
    line_top = max(cards.bottom + room, top + least_height - trial.bottom)
    rows = lay_tiles(texts, left=left, width=width, top=line_top)
    return rows, Box(left, top, left + width, rows.strip.bottom)


def _tile_text(house: House, number: int, landed: Mapping[str, HandOff | None]) -> TileText:
    socket = house.sockets[number]
    hand_off = landed.get(socket.id)
    shown = str(socket.number)
    label = "" if socket.label == shown else socket.label
    return TileText(socket.id, shown, label, hand_off.name if hand_off else "", socket.block)
