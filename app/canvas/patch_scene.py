"""The Patch sheet's scene: keeps one item for each unit and cable in step with the plan.

It compares parts by identity and touches only what differs. It takes no mouse
and makes no edits; the view and its gestures do.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication, QObject, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPixmap
from PySide6.QtWidgets import QGraphicsScene

from app.canvas.badges import Badge
from app.canvas.badges_item import Afar, BadgesItem, PlacedBadge
from app.canvas.cable_item import CableItem
from app.canvas.far_names import LEAST_PX, rooms_of
from app.canvas.fonts import font, readable
from app.canvas.ground import Ground
from app.canvas.held import Held
from app.canvas.hits import NOTHING, Hit
from app.canvas.house_line import HouseLine, SocketFace
from app.canvas.layout import FACE, Box, Card, Point
from app.canvas.lights import Lights
from app.canvas.looms import tie_looms
from app.canvas.looms_item import LoomsItem, write_beside
from app.canvas.painting import steady
from app.canvas.patch_cables import on_sheet
from app.canvas.patch_marks import Lying, blocked, carried, place_badges
from app.canvas.patch_plan import MARGIN, Planner, SheetPlan
from app.canvas.placed import AnyCard
from app.canvas.routes import Way
from app.canvas.trunk_item import TrunkItem
from app.canvas.trunks import Fan, Trunk, lay_all
from app.canvas.unit_item import UnitItem, rect_of
from app.desk import Desk
from app.theme import Theme
from rigcore.book.ids import PortRef
from rigcore.catalogue.gear import Port
from rigcore.patch.meeting import Meeting
from rigcore.rules.rule import Thing

DOTS = 24
_CABLE_REACH = 7.0


class PatchScene(QGraphicsScene):
    """Items of one gig's Patch sheet."""

    def __init__(self, desk: Desk, theme: Theme, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._theme = theme
        self._dots = _dotted(theme)
        self._planner = Planner()
        self._view_size = (860.0, 520.0)
        self._catalogue = desk.catalogue
        self.plan: SheetPlan = self._make_plan()
        self.units: dict[str, UnitItem] = {}
        self.cables: dict[Thing, CableItem] = {}
        self.house = HouseLine(self.plan.rows, theme)
        self.addItem(self.house)
        self.looms = LoomsItem(theme)
        self.addItem(self.looms)
        self.marks = BadgesItem(theme)
        self.addItem(self.marks)
        self.lights = Lights(self.plan)
        self._settled: list[PlacedBadge] = []
        self._held: Held | None = None
        self._rooms: dict[str, Box] | None = None
        self._show(self.plan)

    def _make_plan(self) -> SheetPlan:
        self._catalogue = self._desk.catalogue
        return self._planner.plan(self._desk.book, self._desk.gig_id, self._catalogue, view=self._view_size)

    def measure_rack(self, case_id: str) -> Card:
        """Return the card a case would have if it were folded."""
        return self._planner.measure_rack(self._desk.book, self._desk.gig_id, self._catalogue, case_id)

    def refresh(self) -> None:
        """Bring the items in step with the book."""
        self._show(self._make_plan())

    def resize_sheet(self, width: float, height: float) -> None:
        """Make the sheet at least as large as the window is at 100 %."""
        if (width, height) != self._view_size:
            self._view_size = (width, height)
            self.refresh()

    def set_theme(self, theme: Theme) -> None:
        """Change colours."""
        self._theme = theme
        self._dots = _dotted(theme)
        self.house.set_theme(theme)
        self.marks.set_theme(theme)
        self.looms.set_theme(theme)
        for unit in self.units.values():
            unit.set_theme(theme)
        for cable in self.cables.values():
            cable.set_theme(theme)
        self.invalidate()

    def _show(self, plan: SheetPlan) -> None:
        before, self.plan = self.plan, plan
        self.lights.show_plan(plan)
        if self._held is not None:
            self._held.let_go()
            self._held = None
        for name in [name for name in self.units if name not in plan.cards]:
            self.removeItem(self.units.pop(name))
        for name, placed in plan.cards.items():
            self._show_card(name, placed)
        for thing in [thing for thing in self.cables if thing not in plan.ways]:
            self.removeItem(self.cables.pop(thing))
        for thing, way in plan.ways.items():
            self._show_cable(thing, way, plan.fans.get(thing))
        bodies = [card.box for card in plan.cards.values()]
        for cable in self.cables.values():
            cable.clear_sleeve(bodies)
        self.house.show_rows(plan.rows, self._socket_faces(), self._house_name())
        content = plan.content
        if self.sceneRect() != rect_of(content):
            self.update(self._head())
            self.setSceneRect(rect_of(content))
            self.update(self._head())
        self._renew_rooms()
        self.update_states()
        self.tie_looms()
        self._settle_marks(before)

    def _show_cable(self, thing: Thing, way: Way, fan: Fan | None) -> None:
        item, drawn = self.cables.get(thing), self.plan.drawn(thing)
        if item is None:
            kind = TrunkItem if isinstance(drawn, Trunk) else CableItem
            self.cables[thing] = kind(drawn, way, self._theme, fan)
            self.addItem(self.cables[thing])
        elif item.way != way or item.cable != drawn or item.fan != fan:
            item.show_way(drawn, way, fan)

    def _show_card(self, name: str, placed: AnyCard) -> None:
        item = self.units.get(name)
        if item is None:
            item = UnitItem(placed, self._catalogue.connectors, self._theme)
            item.room = self._room
            self.units[name] = item
            self.addItem(item)
            return
        before = item.placed
        if not before.is_drawn_as(placed) or before.place != placed.place or item.pos() != QPointF(*placed.place):
            item.show_card(placed)

    def _room(self, card: str) -> Box | None:
        """Return how far a card's tape may reach from afar; reckoned when first asked."""
        if self._rooms is None:
            self._rooms = self._make_rooms()
        return self._rooms.get(card)

    def _make_rooms(self) -> dict[str, Box]:
        return rooms_of({name: card.box for name, card in self.plan.cards.items()}, self.plan.content)

    def _renew_rooms(self) -> None:
        """Paint again what another card leaves more or less room."""
        if self._rooms is not None:
            before, self._rooms = self._rooms, self._make_rooms()
            for name in [name for name, room in self._rooms.items() if before.get(name) != room]:
                self.units[name].update()

    def _house_name(self) -> str:
        return self._desk.book.house(self._desk.book.gig(self._desk.gig_id).house).name

    def _socket_faces(self) -> dict[str, SocketFace]:
        faces = {}
        for socket in self._desk.book.house(self._desk.book.gig(self._desk.gig_id).house).sockets:
            port = self.house_port(socket.id)
            connector = self._catalogue.connectors.get(port.connector) if port else None
            if connector is not None:
                faces[socket.id] = SocketFace(connector.face, connector.side == "male", socket.direction == "in")
        return faces

    # -- what lies where ---------------------------------------------------------------------

    def hit(self, at: QPointF, *, cables: bool = True) -> Hit:
        """Return what lies under a place."""
        x, y = at.x(), at.y()
        for name in reversed(list(self.units)):
            item = self.units[name]
            local = Point(x - item.pos().x(), y - item.pos().y())
            key = item.placed.card.port_at(*local)
            if key is not None:
                return Hit("port", *item.placed.end(key))
        for name in reversed(list(self.units)):
            item = self.units[name]
            local = Point(x - item.pos().x(), y - item.pos().y())
            card = item.placed.card
            if 0 <= local.x <= card.width and 0 <= local.y <= card.height:
                return Hit("tape" if card.tape.holds(local) else "unit", name)
        tile = self.plan.rows.tile_at(x, y)
        if tile is not None:
            return Hit("tile", tile.text.socket)
        return self._cable_hit(x, y) if cables else NOTHING

    def _cable_hit(self, x: float, y: float) -> Hit:
        near = [(item.distance_to(x, y), item) for item in self.cables.values()]
        distance, item = min(near, key=lambda pair: pair[0], default=(1e9, None))
        if item is None or distance > _CABLE_REACH:
            return NOTHING
        return Hit("cable", item.cable.thing.id, thing=item.cable.thing)

    def things(self, hit: Hit) -> tuple[Thing, ...]:
        """Return what of the book a hit stands for: of a folded rack all units inside."""
        if hit.kind == "port":
            return (Thing("unit", hit.id, hit.port),)
        if hit.kind in ("unit", "tape"):
            placed = self.plan.cards.get(hit.id)
            return tuple(Thing("unit", one.unit.id) for one in placed.members) if placed else ()
        if hit.kind == "tile":
            return (Thing("socket", hit.id),)
        trunk = self.plan.trunks.get(hit.thing) if hit.thing else None
        if trunk is not None:
            return tuple(cable.thing for cable in trunk.cables)
        return (hit.thing,) if hit.thing else ()

    def things_in(self, area: QRectF) -> list[Thing]:
        """Return the units whose cards touch an area and the cables that lie wholly inside it."""
        touched = [name for name in self.units if self.place_of(Hit("unit", name)).intersects(area)]
        lying = [(thing, item.points()) for thing, item in self.cables.items()]
        inside = [thing for thing, points in lying if all(area.contains(QPointF(*point)) for point in points)]
        units = [thing for name in touched for thing in self.things(Hit("unit", name))]
        return units + [one for thing in inside for one in self.things(Hit("cable", thing.id, thing=thing))]

    def place_of(self, hit: Hit) -> QRectF:
        """Return the area of what was hit, on the sheet."""
        if hit.kind == "tile":
            tile = self.plan.rows.tile(hit.id)
            return QRectF() if tile is None else QRectF(QPointF(*tile.box[:2]), QPointF(*tile.box[2:]))
        item = self.units.get(self.plan.home(hit.id))
        if item is None:
            return QRectF()
        spot = item.placed.card.spot(item.placed.key(hit.id, hit.port)) if hit.kind == "port" else None
        if spot is not None:
            at = item.pos() + QPointF(*spot.at)
            return QRectF(at.x() - FACE, at.y() - FACE, 2 * FACE, 2 * FACE)
        return QRectF(item.pos().x(), item.pos().y(), item.placed.card.width, item.placed.card.height)

    def area_of(self, thing: Thing) -> QRectF:
        """Return the area of a thing on the sheet, or of the folded rack it is in; empty where it is not shown here."""
        if thing.kind == "unit":
            return self.place_of(Hit("port", thing.id, thing.port) if thing.port else Hit("unit", thing.id))
        if thing.kind == "socket":
            return self.place_of(Hit("tile", thing.id))
        if thing.kind == "hand-off":
            for ref, hand_off in self.plan.hand_offs.items():
                if hand_off.id == thing.id:
                    return self.place_of(Hit("port", ref.unit, ref.port))
        if rack := self.plan.card_of(thing):
            return self.place_of(Hit("unit", rack))
        trunk = self.plan.trunk_of(thing)
        item = self.cables.get(trunk.thing if trunk else thing)
        return item.boundingRect() if item is not None else QRectF()

    def face_at(self, end: PortRef | str) -> tuple[Point, str]:
        """Return where the face of a rig port or house socket lies, and the edge it lies on."""
        if isinstance(end, str):
            tile = self.plan.rows.tile(end)
            return (tile.face if tile else Point(0, 0)), "top"
        return on_sheet(self._cards_as_they_lie(), self.plan.socket(end)) or (Point(0, 0), "bottom")

    def port(self, ref: PortRef) -> Port | None:
        """Return a port of a rig unit."""
        placed = self.plan.units.get(ref.unit)
        return placed.gear.port(ref.port) if placed else None

    def house_port(self, socket_id: str) -> Port | None:
        """Return the first port of a house socket."""
        ref = self.plan.sockets.get(socket_id)
        house = self._desk.book.house(self._desk.book.gig(self._desk.gig_id).house)
        unit = house.unit(ref.unit) if ref else None
        return self._catalogue.gear_type(unit.gear).port(ref.port) if unit and ref else None

    # -- cards in the hand -------------------------------------------------------------------

    def shift_cards(self, names: Collection[str], by: QPointF) -> None:
        """Show some cards moved, with their cables, before anything is decided."""
        if self._held is None:
            self._held = self._take_up(frozenset(names))
        self._held.shift(by)
        leading = [item.cable for item in self._held.leading]
        ways, fans = lay_all(leading, self._cards_as_they_lie(), self.plan.rows)
        for thing, way in ways.items():
            self.cables[thing].show_way(self.plan.drawn(thing), way, fans.get(thing))

    def _take_up(self, names: frozenset[str]) -> Held:
        inner: list[CableItem] = []
        leading: list[CableItem] = []
        for item in self.cables.values():
            touched = {card in names for card, _ in item.cable.plugs}
            if True in touched:
                wholly = touched == {True} and isinstance(item.cable.end, PortRef)
                (inner if wholly else leading).append(item)
        held = Held([self.units[name] for name in self.units if name in names], inner, leading, self._theme)
        self.marks.show_badges(held.take_badges(self._settled))
        return held

    def paint_held(self, painter: QPainter, shown: QRectF) -> None:
        """Paint what is in the hand; ``shown`` is what the window shows of the sheet."""
        if self._held is not None:
            self._held.paint(painter, shown)

    @property
    def badges_shown(self) -> list[PlacedBadge]:
        """Every badge on the sheet and in the hand, with its place."""
        return [*self.marks.badges, *(self._held.badges_now() if self._held is not None else ())]

    def tie_looms(self) -> None:
        """Tie the cables of each loom where they run side by side."""
        rig = self._desk.book.rig(self._desk.rig_id)
        names = {one.id: one.name for one in rig.looms}
        ways: dict[str, list[Way]] = {}
        for thing, cable in self.plan.cables.items():
            if cable.loom and len(self.plan.ways.get(thing, ())) > 1:
                ways.setdefault(cable.loom, []).append(self.plan.ways[thing])
        ties = [(tie, names.get(tie.loom, "")) for tie in tie_looms(ways)]
        taken = Ground((box, "") for box in blocked(self.plan, self.plan.cards, self.plan.ways)) if ties else Ground()
        self.looms.show_ties(write_beside(ties, taken, self.plan.ways.values()))

    def _settle_marks(self, before: SheetPlan) -> None:
        """Let the badges go along after an edit, until the findings are told anew; then they find their places."""
        if not self._settled or before.cards is self.plan.cards:
            return
        self._settled = list(carried(self._settled, before, self.plan))
        self.marks.show_badges(self._settled)

    def place_marks(self) -> None:
        """Put the badges where they belong and cover nothing, as cards and cables lie now."""
        shown: dict[Thing, Badge] = {thing: one.state.badge for thing, one in self.cables.items() if one.state.badge}
        shown |= {Thing("socket", name): badge for name, badge in self.house.state.badges.items()}
        loose = set()
        for name, unit in self.units.items():
            shown |= {Thing("unit", name, port): badge for port, badge in unit.state.port_badges.items()}
            loose |= {(name, port) for port in unit.state.loose}
            if unit.state.badge is not None:
                shown[Thing("unit", name)] = unit.state.badge
        ways = {thing: item.way for thing, item in self.cables.items()}
        lying = (self._cards_as_they_lie(), ways)
        self._settled = place_badges(self.plan, lying, shown, loose) if shown else []
        self.marks.show_badges(self._settled, self._afar(lying, shown) if shown else None)

    def _afar(self, lying: Lying, shown: Mapping[Thing, Badge]) -> Afar:
        """Return what finds the badges their places by the scale of the sheet, each scale once."""
        found: dict[float, list[PlacedBadge]] = {}

        def places(detail: float) -> list[PlacedBadge]:
            from app.canvas.far_marks import far_badges, step_of

            step = step_of(detail)
            if step not in found:
                names = {name: unit.strip(step) for name, unit in self.units.items()}
                found[step] = far_badges(self.plan, lying, shown, names, detail=step)
            return found[step]

        return places

    def _cards_as_they_lie(self) -> Mapping[str, AnyCard]:
        return {
            name: replace(placed, place=Point(item.pos().x(), item.pos().y()))
            if (item := self.units.get(name)) is not None and item.pos() != QPointF(*placed.place)
            else placed
            for name, placed in self.plan.cards.items()
        }

    # -- what is lit ------------------------------------------------------------------------

    def show_findings(self, badges: dict[Thing, Badge]) -> None:
        """Put the marks of findings where they belong."""
        self.lights.tell_badges(badges)
        self.update_states()
        self.place_marks()

    def show_selection(self, things: Sequence[Thing]) -> None:
        """Mark the selected things."""
        self.lights.select(things)
        self.update_states()

    def show_pulse(self, things: Sequence[Thing]) -> None:
        """Light some things for a moment."""
        self.lights.pulsing = frozenset(things)
        self.update_states()

    def show_hover(self, hit: Hit) -> None:
        """Light what lies under the mouse."""
        if hit != self.lights.hover:
            self.lights.hover = hit
            self.update_states()

    def show_focus(self, hit: Hit) -> None:
        """Ring what the keyboard is at."""
        if hit != self.lights.focus:
            self.lights.focus = hit
            self.update_states()

    def show_answers(self, answers: Mapping[PortRef | str, Meeting] | None) -> None:
        """Light the ports and tiles that would take the cable in the hand, dim the others."""
        self.lights.answer(answers)
        self.update_states()

    def show_only(self, things: Collection[Thing] | None) -> None:
        """Let some units, cables and house sockets stand out and the others fade; None lights all alike."""
        self.lights.only = None if things is None else frozenset(things)
        self.marks.let_fade(None if things is None else self.lights.is_behind)
        self.update_states()

    def update_states(self) -> None:
        """Tell every item what of it is lit; those it does not concern stay unpainted."""
        lights = self.lights
        for name, item in self.units.items():
            item.show_state(lights.card(name))
        for thing, cable_item in self.cables.items():
            cable_item.show_state(lights.cable(thing))
        self.house.show_state(lights.house())

    # -- ground ------------------------------------------------------------------------------

    @steady
    def drawBackground(self, painter: QPainter, rect: QRectF | QRect) -> None:
        painter.fillRect(rect, QColor(self._theme.sheet))
        scale = painter.worldTransform().m11()
        if scale > 0.5:
            painter.fillRect(rect, QBrush(self._dots))
        letters = font("edge", readable(scale, 2.75))
        if letters.pixelSize() * scale >= LEAST_PX:
            painter.setPen(QColor(self._theme.text_soft))
            painter.setFont(letters)
            words = QCoreApplication.translate("PatchSheet", "UPSTAGE")
            painter.drawText(self._head(), Qt.AlignmentFlag.AlignCenter, words)

    def _head(self) -> QRectF:
        """Return where the sheet says which way is up."""
        return QRectF(self.sceneRect().left(), self.sceneRect().top(), self.sceneRect().width(), MARGIN - 6)


def _dotted(theme: Theme) -> QPixmap:
    """Return one cell of the sheet's dots."""
    cell = QPixmap(DOTS, DOTS)
    cell.fill(QColor(theme.sheet))
    painter = QPainter(cell)
    painter.fillRect(0, 0, 2, 2, QColor(theme.sheet_dots))
    painter.end()
    return cell
