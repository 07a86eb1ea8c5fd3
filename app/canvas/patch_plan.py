"""Everything the Patch sheet shows, computed from a book: cards, tiles, ways. No painting, no Qt.

The scene compares one plan with the next and touches only what differs.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from msgspec import Struct, field

from app.canvas.dressing import Dresser
from app.canvas.house_layout import HouseRows, TileText, lay_tiles
from app.canvas.layout import Box, Card, Point, card_of
from app.canvas.patch_cables import Cable, Socket, landing_cable, link_cable, socket_of
from app.canvas.placed import NO_FLOW, RACK, AnyCard, PlacedCard, PlacedRack, only_feeds
from app.canvas.places import Flow, Racks, default_places
from app.canvas.rack_card import faces_of, rack_card
from app.canvas.routes import Way
from app.canvas.trunks import Drawn, Fan, Trunk, lay_all, trunks
from rigcore.book.book import Book
from rigcore.book.gig import Gig
from rigcore.book.house import House
from rigcore.book.ids import PortRef
from rigcore.book.rig import Case, HandOff, Rig
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType
from rigcore.rules.rule import Thing

MARGIN = 44.0


class SheetPlan(Struct, frozen=True):
    """One state of the Patch sheet. ``end`` of a landing's cable is a socket id.

    ``cards`` are those drawn: one for each unit, and one for each folded rack in place of the units inside, whose
    ``homes`` it is. ``units`` are all, each on the card it has or would have. ``ways`` are those of the cables and
    trunks drawn, ``fans`` the ends of the trunks; ``cables`` are all, also those inside a rack or a trunk.
    """

    cards: Mapping[str, AnyCard]
    units: Mapping[str, PlacedCard]
    homes: Mapping[str, str]
    unplaced: Mapping[str, Point]
    rows: HouseRows
    cables: Mapping[Thing, Cable]
    trunks: Mapping[Thing, Trunk]
    ways: Mapping[Thing, Way]
    fans: Mapping[Thing, Fan]
    hand_offs: Mapping[PortRef, HandOff]
    sockets: Mapping[str, PortRef]
    content: Box
    taken: frozenset[PortRef] = field(default=frozenset())

    def drawn(self, thing: Thing) -> Drawn:
        """Return the cable or trunk that is drawn under a thing."""
        return self.trunks.get(thing) or self.cables[thing]

    def trunk_of(self, thing: Thing) -> Trunk | None:
        """Return the trunk a cable is drawn in, or None."""
        cable = self.cables.get(thing)
        return self.trunks.get(Thing("loom", cable.loom)) if cable is not None and not cable.within else None

    def landed_at(self, socket_id: str) -> Cable | None:
        """Return the cable landed on a socket, or None."""
        return next((one for one in self.cables.values() if one.end == socket_id), None)

    def home(self, unit_id: str) -> str:
        """Return the card that shows a unit: its own, or that of the folded rack it is in."""
        return self.homes.get(unit_id, unit_id)

    def card_of(self, thing: Thing) -> str:
        """Return the card that stands for a thing: a unit's, or the folded rack a cable lies inside; or nothing."""
        if thing.kind == "unit":
            return self.home(thing.id)
        cable = self.cables.get(thing)
        return cable.within if cable else ""

    def shows(self, unit_id: str, port_id: str) -> bool:
        """Return whether a port has a face on the sheet; those used only inside a folded rack have none."""
        card, key = socket_of(self.homes, unit_id, port_id)
        placed = self.cards.get(card)
        return placed is not None and placed.card.spot(key) is not None

    def socket(self, ref: PortRef) -> Socket:
        """Return the card on which a port is, and what it is called there."""
        return socket_of(self.homes, ref.unit, ref.port)

    def cards_of(self, things: Iterable[Thing]) -> list[str]:
        """Return the cards of the units among some things, once each."""
        names = [self.home(one.id) for one in things if one.kind == "unit"]
        return list(dict.fromkeys(name for name in names if name in self.cards))

    def laid(self, places: Mapping[str, Point]) -> Laid:
        """Return what is laid where when cards are: with a folded rack, the units inside by the same shift."""
        units: dict[str, Point] = {}
        racks: dict[str, Point] = {}
        for name, place in places.items():
            placed = self.cards[name]
            by_x, by_y = place.x - placed.place.x, place.y - placed.place.y
            units |= {one.unit.id: Point(one.place.x + by_x, one.place.y + by_y) for one in placed.members}
            if isinstance(placed, PlacedRack):
                racks[placed.case.id] = place
        return Laid(units, racks)


class Laid(Struct, frozen=True):
    """Where units and folded racks are laid, by their ids."""

    units: Mapping[str, Point]
    racks: Mapping[str, Point]


class Planner:
    """Makes plans; remembers card measures by gear type and name."""

    def __init__(self) -> None:
        self._cards: dict[tuple[int, str], tuple[GearType, Card]] = {}
        self._racks: dict[str, tuple[object, Card]] = {}
        self._dresser = Dresser()

    def plan(self, book: Book, gig_id: str, catalogue: Catalogue, *, view: tuple[float, float]) -> SheetPlan:
        """Return the sheet of a gig, no smaller than ``view``, the window at 100 %."""
        gig = book.gig(gig_id)
        rig, house = book.rig(gig.rig), book.house(gig.house)
        units, unplaced = self._units((gig, rig, house), catalogue)
        folded = {case.id: RACK + case.id for case in rig.cases if case.fold is not None}
        homes = {unit.id: folded[unit.case] for unit in rig.units if unit.case in folded}
        cables = _cables(gig, rig, (units, homes), catalogue)
        cards = self._with_racks(rig, (units, homes), cables, catalogue)
        if unplaced and homes:
            racks = Racks([one.box for one in cards.values() if isinstance(one, PlacedRack)], homes)
            units, unplaced = self._units((gig, rig, house), catalogue, racks)
            cards = self._with_racks(rig, (units, homes), cables, catalogue)
        boxes = [card.box for card in cards.values()]
        bundled = trunks({loom.id: loom.name for loom in rig.looms if loom.folded}, cables)
        landed = {one.socket: rig.hand_off(one.hand_off) for one in gig.landings}
        rows, content = _house_rows(house, landed, boxes, view)
        single = [cable for cable in cables if Thing("loom", cable.loom) not in bundled]
        ways, fans = lay_all(
            [*single, *bundled.values()], cards, rows, lambda wires, bars: self._dresser.lay(wires, [*boxes, *bars])
        )
        return SheetPlan(
            cards=cards,
            units=units,
            homes=homes,
            unplaced=unplaced,
            rows=rows,
            cables={cable.thing: cable for cable in cables},
            trunks=bundled,
            ways=ways,
            fans=fans,
            hand_offs={PortRef(unit=one.unit, port=one.port): one for one in rig.hand_offs},
            sockets={one.id: PortRef(unit=one.unit, port=one.ports[0]) for one in house.sockets},
            content=content,
            taken=frozenset(end for cable in cables for end in (cable.start, cable.end) if isinstance(end, PortRef)),
        )

    def measure_rack(self, book: Book, gig_id: str, catalogue: Catalogue, case_id: str) -> Card:
        """Return the card a case would have if it were folded, its place aside."""
        gig = book.gig(gig_id)
        rig = book.rig(gig.rig)
        units, _ = self._units((gig, rig, book.house(gig.house)), catalogue)
        homes = {unit.id: RACK + case_id for unit in rig.units if unit.case == case_id}
        case = next(one for one in rig.cases if one.id == case_id)
        members = tuple(units[name] for name in homes)
        return self._rack(case, members, _leaving(rig, _cables(gig, rig, (units, homes), catalogue), homes), catalogue)

    def _units(
        self, night: tuple[Gig, Rig, House], catalogue: Catalogue, racks: Racks | None = None
    ) -> tuple[dict[str, PlacedCard], dict[str, Point]]:
        """Return every unit on a card of its own, and the places of those nobody has laid."""
        rig = night[1]
        gears = {unit.id: catalogue.gear_type(unit.gear) for unit in rig.units}
        measures = {unit.id: self._card(gears[unit.id], catalogue, unit.name) for unit in rig.units}
        fixed = {
            unit.id: (unit.card_x, unit.card_y)
            for unit in rig.units
            if unit.card_x is not None and unit.card_y is not None
        }
        flow = [
            (link.source.unit, link.target.unit) for link in rig.links if _medium(gears, link.source) not in NO_FLOW
        ]
        places = default_places(measures, _flow(flow, gears, night), fixed, racks)
        units = {unit.id: PlacedCard(unit, gears[unit.id], measures[unit.id], places[unit.id]) for unit in rig.units}
        return units, {name: place for name, place in places.items() if name not in fixed}

    def _with_racks(
        self,
        rig: Rig,
        among: tuple[Mapping[str, PlacedCard], Mapping[str, str]],
        cables: list[Cable],
        catalogue: Catalogue,
    ) -> dict[str, AnyCard]:
        """Return the cards drawn: that of a folded rack stands where the first unit inside would."""
        units, homes = among
        leaving = _leaving(rig, cables, homes) if homes else set()
        cases = {RACK + case.id: case for case in rig.cases}
        cards: dict[str, AnyCard] = {}
        for name, placed in units.items():
            home = homes.get(name)
            if home is None:
                cards[name] = placed
            elif home not in cards:
                case = cases[home]
                assert case.fold is not None  # that is what made it a home
                members = tuple(units[one] for one in units if homes.get(one) == home)
                card = self._rack(case, members, leaving, catalogue)
                cards[home] = PlacedRack(case, members, card, Point(case.fold.card_x, case.fold.card_y))
        return cards

    def _rack(
        self, case: Case, members: tuple[PlacedCard, ...], leaving: Collection[Socket], catalogue: Catalogue
    ) -> Card:
        faces = faces_of(members, leaving, catalogue.connectors)
        about = ", ".join(one.unit.name for one in members)
        looks = (case.name, about, faces)
        kept = self._racks.get(case.id)
        if kept is None or kept[0] != looks:
            kept = self._racks[case.id] = (looks, rack_card(case.name, about, faces))
        return kept[1]

    def _card(self, gear: GearType, catalogue: Catalogue, name: str) -> Card:
        kept = self._cards.get((id(gear), name))
        if kept is None:
            kept = (gear, card_of(gear, catalogue.connectors, name))
            self._cards[(id(gear), name)] = kept
        return kept[1]


def _cables(
    gig: Gig, rig: Rig, among: tuple[Mapping[str, PlacedCard], Mapping[str, str]], catalogue: Catalogue
) -> list[Cable]:
    units, homes = among
    cables = [link_cable(link, units, homes, catalogue) for link in rig.links]
    for landing in gig.landings:
        hand_off = rig.hand_off(landing.hand_off)
        assert hand_off is not None  # the book's validator saw to it
        cables.append(landing_cable(landing, hand_off, units, homes, catalogue=catalogue))
    return cables


def _leaving(rig: Rig, cables: Iterable[Cable], homes: Mapping[str, str]) -> set[Socket]:
    """Return the ports of folded racks that are seen: where a cable leaves, and where the rig meets the house."""
    seen = {plug for cable in cables if not cable.within for plug in cable.plugs}
    return seen | {socket_of(homes, one.unit, one.port) for one in rig.hand_offs}


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
    feeders = {name for name, gear in gears.items() if only_feeds(gear)}
    return Flow(pairs, feeders, landings)


def _medium(gears: Mapping[str, GearType], ref: PortRef) -> str:
    port = gears[ref.unit].port(ref.port)
    return port.carrier.medium if port else ""


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
