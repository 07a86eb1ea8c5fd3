"""The Patch sheet's scene: keeps one item for each unit and cable in step with the plan.

It compares parts by identity and touches only what differs. It takes no mouse
and makes no edits; the view and its gestures do.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from PySide6.QtCore import QCoreApplication, QObject, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPixmap
from PySide6.QtWidgets import QGraphicsScene

from app.canvas.badges import Badge, joined
from app.canvas.badges_item import BadgesItem, PlacedBadge
from app.canvas.cable_item import CableItem, CableState
from app.canvas.fonts import font, readable
from app.canvas.house_line import HouseLine, HouseState, SocketFace
from app.canvas.layout import FACE, Point
from app.canvas.painting import steady
from app.canvas.patch_marks import carry_badges, place_badges
from app.canvas.patch_plan import PlacedCard, Planner, SheetPlan, lay_cables, port_on_sheet
from app.canvas.unit_item import UnitItem, UnitState
from app.desk import Desk
from app.theme import Theme
from rigcore.book.ids import PortRef
from rigcore.catalogue.gear import Port
from rigcore.patch.meeting import Meeting
from rigcore.rules.rule import Thing

DOTS = 24
_CABLE_REACH = 7.0


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
        self.marks = BadgesItem(theme)
        self.addItem(self.marks)
        self._settled: list[PlacedBadge] = []
        self._badges: dict[Thing, Badge] = {}
        self._selection: frozenset[Thing] = frozenset()
        self._pulsing: frozenset[Thing] = frozenset()
        self._hover = NOTHING
        self._focus = NOTHING
        self._answers: Mapping[PortRef | str, Meeting] | None = None
        self._show(self.plan)

    def _make_plan(self) -> SheetPlan:
        self._catalogue = self._desk.catalogue
        return self._planner.plan(self._desk.book, self._desk.gig_id, self._catalogue, view=self._view_size)

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
        for unit in self.units.values():
            unit.set_theme(theme)
        for cable in self.cables.values():
            cable.set_theme(theme)
        self.invalidate()

    def _show(self, plan: SheetPlan) -> None:
        self.plan = plan
        for name in [name for name in self.units if name not in plan.cards]:
            self.removeItem(self.units.pop(name))
        for name, placed in plan.cards.items():
            self._show_card(name, placed)
        for thing in [thing for thing in self.cables if thing not in plan.ways]:
            self.removeItem(self.cables.pop(thing))
        for thing, way in plan.ways.items():
            item = self.cables.get(thing)
            if item is None:
                self.cables[thing] = CableItem(plan.cables[thing], way, self._theme)
                self.addItem(self.cables[thing])
            elif item.way != way or item.cable != plan.cables[thing]:
                item.show_way(plan.cables[thing], way)
        self.house.show_rows(plan.rows, self._socket_faces(), self._house_name())
        content = plan.content
        self.setSceneRect(content.left, content.top, content.right - content.left, content.bottom - content.top)
        self.update_states()
        self.place_marks()

    def _show_card(self, name: str, placed: PlacedCard) -> None:
        item = self.units.get(name)
        if item is None:
            item = UnitItem(placed, self._catalogue.connectors, self._theme)
            self.units[name] = item
            self.addItem(item)
            return
        before = item.placed
        same = before.unit is placed.unit and before.gear is placed.gear and before.card is placed.card
        if not same or before.place != placed.place or item.pos() != QPointF(*placed.place):
            item.show_card(placed)

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
            port = item.placed.card.port_at(*local)
            if port is not None:
                return Hit("port", name, port)
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

    def things_in(self, area: QRectF) -> list[Thing]:
        """Return the units whose cards touch an area and the cables that lie wholly inside it."""
        found = [
            Thing("unit", name)
            for name, item in self.units.items()
            if QRectF(item.pos().x(), item.pos().y(), item.placed.card.width, item.placed.card.height).intersects(area)
        ]
        return found + [
            thing for thing, item in self.cables.items() if all(area.contains(QPointF(*p)) for p in item.way)
        ]

    def place_of(self, hit: Hit) -> QRectF:
        """Return the area of what was hit, on the sheet."""
        if hit.kind == "tile":
            tile = self.plan.rows.tile(hit.id)
            return QRectF() if tile is None else QRectF(QPointF(*tile.box[:2]), QPointF(*tile.box[2:]))
        item = self.units.get(hit.id)
        if item is None:
            return QRectF()
        if hit.kind == "port":
            spot = item.placed.card.spot(hit.port)
            at = item.pos() + (QPointF(*spot.at) if spot else QPointF())
            return QRectF(at.x() - FACE, at.y() - FACE, 2 * FACE, 2 * FACE)
        return QRectF(item.pos().x(), item.pos().y(), item.placed.card.width, item.placed.card.height)

    def area_of(self, thing: Thing) -> QRectF:
        """Return the area of a thing on the sheet; empty where it is not shown here."""
        if thing.kind == "unit":
            return self.place_of(Hit("port", thing.id, thing.port) if thing.port else Hit("unit", thing.id))
        if thing.kind == "socket":
            return self.place_of(Hit("tile", thing.id))
        if thing.kind == "hand-off":
            for ref, hand_off in self.plan.hand_offs.items():
                if hand_off.id == thing.id:
                    return self.place_of(Hit("port", ref.unit, ref.port))
        item = self.cables.get(thing)
        return item.boundingRect() if item is not None else QRectF()

    def face_at(self, end: PortRef | str) -> tuple[Point, str]:
        """Return where the face of a rig port or house socket lies, and the edge it lies on."""
        if isinstance(end, str):
            tile = self.plan.rows.tile(end)
            return (tile.face if tile else Point(0, 0)), "top"
        return port_on_sheet(self._cards_as_they_lie(), end) or (Point(0, 0), "bottom")

    def port(self, ref: PortRef) -> Port | None:
        """Return a port of a rig unit."""
        placed = self.plan.cards.get(ref.unit)
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
        for name in names:
            self.units[name].setPos(QPointF(*self.plan.cards[name].place) + by)
        moved = [
            cable
            for cable in self.plan.cables.values()
            if cable.start.unit in names or (isinstance(cable.end, PortRef) and cable.end.unit in names)
        ]
        ways = lay_cables(moved, self._cards_as_they_lie(), self.plan.rows)
        for thing, way in ways.items():
            self.cables[thing].show_way(self.plan.cables[thing], way)
        self.marks.show_badges(carry_badges(self._settled, names, (by.x(), by.y()), ways))

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
        self.marks.show_badges(self._settled)

    def _cards_as_they_lie(self) -> Mapping[str, PlacedCard]:
        return {
            name: replace(placed, place=Point(item.pos().x(), item.pos().y()))
            if (item := self.units.get(name)) is not None and item.pos() != QPointF(*placed.place)
            else placed
            for name, placed in self.plan.cards.items()
        }

    # -- what is lit ------------------------------------------------------------------------

    def show_findings(self, badges: dict[Thing, Badge]) -> None:
        """Put the marks of findings where they belong."""
        self._badges = badges
        self.update_states()
        self.place_marks()

    def show_selection(self, things: Sequence[Thing]) -> None:
        """Mark the selected things."""
        self._selection = frozenset(things)
        self.update_states()

    def show_pulse(self, things: Sequence[Thing]) -> None:
        """Light some things for a moment."""
        self._pulsing = frozenset(things)
        self.update_states()

    def show_hover(self, hit: Hit) -> None:
        """Light what lies under the mouse."""
        if hit != self._hover:
            self._hover = hit
            self.update_states()

    def show_focus(self, hit: Hit) -> None:
        """Ring what the keyboard is at."""
        if hit != self._focus:
            self._focus = hit
            self.update_states()

    def show_answers(self, answers: Mapping[PortRef | str, Meeting] | None) -> None:
        """Light the ports and tiles that would take the cable in the hand, dim the others."""
        self._answers = answers
        self.update_states()

    def update_states(self) -> None:
        """Tell every item what of it is lit; those it does not concern stay unpainted."""
        for name, item in self.units.items():
            item.show_state(self._unit_state(name))
        for thing, cable_item in self.cables.items():
            cable_item.show_state(self._cable_state(thing, cable_item))
        self.house.show_state(self._house_state())

    def _unit_state(self, name: str) -> UnitState:
        marks = {thing: badge for thing, badge in self._badges.items() if thing.kind == "unit" and thing.id == name}
        ports = {thing.port: badge for thing, badge in marks.items() if thing.port}
        ends = {ref: hand_off for ref, hand_off in self.plan.hand_offs.items() if ref.unit == name}
        for ref, hand_off in ends.items():
            badge = self._badges.get(Thing("hand-off", hand_off.id))
            if badge is not None:
                ports[ref.port] = joined([badge, *([ports[ref.port]] if ref.port in ports else [])]) or badge
        answers = self._answers or {}
        mine = {ref.port: answer for ref, answer in answers.items() if isinstance(ref, PortRef) and ref.unit == name}
        focus, hover = self._focus, self._hover
        return UnitState(
            selected=any(one.kind == "unit" and one.id == name for one in self._selection),
            focused=focus.id == name and focus.kind in ("unit", "tape"),
            focused_port=focus.port if focus.kind == "port" and focus.id == name else "",
            hovered_port=hover.port if hover.kind == "port" and hover.id == name else "",
            pulsing=any(one.kind == "unit" and one.id == name for one in self._pulsing),
            takers=frozenset(port for port, answer in mine.items() if answer.takes),
            dimmed=frozenset(port for port, answer in mine.items() if not answer.takes),
            taken=frozenset(ref.port for ref in self.plan.taken if ref.unit == name),
            loose=frozenset(ref.port for ref in ends if ref not in self.plan.taken),
            badge=joined(badge for thing, badge in marks.items() if not thing.port),
            port_badges=ports,
        )

    def _cable_state(self, thing: Thing, item: CableItem) -> CableState:
        return CableState(
            selected=thing in self._selection,
            hovered=self._hover.thing == thing,
            dimmed=self._answers is not None,
            pulsing=thing in self._pulsing,
            badge=self._badges.get(thing),
        )

    def _house_state(self) -> HouseState:
        answers = {one: answer for one, answer in (self._answers or {}).items() if isinstance(one, str)}
        return HouseState(
            selected=frozenset(one.id for one in self._selection if one.kind == "socket"),
            focused=self._focus.id if self._focus.kind == "tile" else "",
            hovered=self._hover.id if self._hover.kind == "tile" else "",
            pulsing=frozenset(one.id for one in self._pulsing if one.kind == "socket"),
            takers=frozenset(name for name, answer in answers.items() if answer.takes),
            dimmed=frozenset(name for name, answer in answers.items() if not answer.takes),
            badges={one.id: badge for one, badge in self._badges.items() if one.kind == "socket"},
        )

    def badge_words(self, hit: Hit) -> tuple[str, ...]:
        """Return the findings about what was hit, one sentence each."""
        if hit.kind == "cable" and hit.thing is not None:
            things = [hit.thing]
        elif hit.kind == "tile":
            things = [Thing("socket", hit.id)]
        else:
            things = [
                one for one in self._badges if one.kind == "unit" and one.id == hit.id and one.port in ("", hit.port)
            ]
        found = joined(self._badges[one] for one in things if one in self._badges)
        return found.sentences if found else ()

    # -- ground ------------------------------------------------------------------------------

    @steady
    def drawBackground(self, painter: QPainter, rect: QRectF | QRect) -> None:
        painter.fillRect(rect, QColor(self._theme.sheet))
        scale = painter.worldTransform().m11()
        if scale > 0.5:
            painter.fillRect(rect, QBrush(self._dots))
        painter.setPen(QColor(self._theme.text_soft))
        painter.setFont(font("edge", readable(scale, 1.75)))
        head = QRectF(self.sceneRect().left(), self.sceneRect().top() + 4, self.sceneRect().width(), 22)
        painter.drawText(head, Qt.AlignmentFlag.AlignCenter, QCoreApplication.translate("PatchSheet", "UPSTAGE"))


def _dotted(theme: Theme) -> QPixmap:
    """Return one cell of the sheet's dots."""
    cell = QPixmap(DOTS, DOTS)
    cell.fill(QColor(theme.sheet))
    painter = QPainter(cell)
    painter.fillRect(0, 0, 2, 2, QColor(theme.sheet_dots))
    painter.end()
    return cell
