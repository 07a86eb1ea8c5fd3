"""The Stage sheet's scene: one footprint for each unit, the house's own locked, the floor beneath."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise

from msgspec.structs import replace
from PySide6.QtCore import QObject, QPointF, QRect, QRectF
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QGraphicsScene

from app.canvas.badge_places import Wanted, spread
from app.canvas.badges import Badge, badge_size, joined
from app.canvas.badges_item import SCALE, BadgesItem, PlacedBadge
from app.canvas.fonts import letters_at
from app.canvas.footprint_item import CHIP_BADGE, HANDLE_RADIUS, FootprintItem, FootState
from app.canvas.ground import Ground, along, around, middle
from app.canvas.layout import Point
from app.canvas.names_item import NamesItem
from app.canvas.overlay_item import OverlayItem
from app.canvas.overlay_plates import Plan, plates
from app.canvas.painting import steady
from app.canvas.stage_floor import StageFloor
from app.canvas.stage_layout import on_sheet, stage_box, tray_places
from app.canvas.stage_names import Name, Named, place_names
from app.canvas.unit_item import rect_of
from app.desk import Desk
from app.theme import Theme
from rigcore.book.rig import Unit
from rigcore.lists.overlays import Kind, Overlay, overlay
from rigcore.lists.plot import SMALL_M2
from rigcore.patch.build import Patch
from rigcore.rules.rule import Thing

_HOUSE_REACH = 150.0
"""How far off the stage a house unit is still shown, in sheet units."""
LEADER_ROOM = 6.0
"""Width kept free of an overlay's words along the line that leads to a name."""


class StageScene(QGraphicsScene):
    """Items of one gig's stage plan."""

    def __init__(self, desk: Desk, theme: Theme, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._theme = theme
        self.units: dict[str, Unit] = {}
        self.footprints: dict[str, FootprintItem] = {}
        self.house_units: dict[str, FootprintItem] = {}
        self.floor = StageFloor(desk.book.house(desk.book.gig(desk.gig_id).house).stage, theme)
        self.addItem(self.floor)
        self.names = NamesItem(theme)
        self.addItem(self.names)
        self.marks = BadgesItem(theme)
        self.addItem(self.marks)
        self.over = OverlayItem(theme)
        self.addItem(self.over)
        self.over_kind: Kind | None = None
        self._laid = Overlay()
        self._feet = False
        self._named: dict[str, Named] = {}
        self._middles: dict[str, Point] = {}
        self._wanted: frozenset[str] = frozenset()
        self._badges: dict[Thing, Badge] = {}
        self._selection: frozenset[Thing] = frozenset()
        self._pulsing: frozenset[Thing] = frozenset()
        self._hover = ""
        self._letters = 1.0
        self.focus = ""
        self.refresh()

    def refresh(self) -> None:
        """Bring the items in step with the book."""
        desk = self._desk
        patch = Patch(desk.book, desk.book.gig(desk.gig_id), desk.shipped)
        self.units = patch.units
        waiting = [unit.id for unit in patch.units.values() if unit.x_m is None or unit.y_m is None]
        self.floor.show_stage(patch.house.stage, len(waiting))
        tray = tray_places(patch.house.stage, waiting)
        house = [unit for unit in patch.house.units if unit.x_m is not None and unit.y_m is not None]
        for shown, units, locked in (
            (self.footprints, list(patch.units.values()), False),
            (self.house_units, [unit for unit in house if self._is_near(unit)], True),
        ):
            self._sync(shown, units, patch, locked=locked)
            for unit in units:
                shown[unit.id].show_unit(unit, tray.get(unit.id) if not locked else None)
        self._wanted = frozenset(one.unit for one in patch.rig.hand_offs)
        self.setSceneRect(self.floor.extent())
        self.update_states()
        self.write_names()

    def write_names(self, moving: Collection[str] = ()) -> None:
        """Write every name where it hides nothing, as the footprints lie now.

        While some units are moving only their names go along with them.
        """
        items = [one for one in (*self.footprints.values(), *self.house_units.values()) if not one.waiting]
        things = {one.name_id: replace(one.named(), optional=self._is_optional(one)) for one in items}
        things |= {one.id: one for one in self.floor.named()}
        ids = {self.footprints[name].name_id for name in moving if name in self.footprints}
        if ids:
            self._carry_badges(moving)
        else:
            self._place_badges(items)
        about = self.floor.surroundings(self._letters)
        blocked = [one.box for one in self.marks.badges] + [box for one in items if (box := one.arrow()) is not None]
        if not ids:
            self._laid = self._what_is_laid_over()
        lines = [(on_sheet(*a), on_sheet(*b)) for one in self._laid.strokes for a, b in pairwise(one.points)]
        about = replace(about, blocked=(*about.blocked, *blocked), laid_over=tuple(lines))
        if ids and self._named:
            kept = [self._carried(name, things) for name in self.names.names if name.id in things]
            fresh = [things[one] for one in things if one in ids and all(name.id != one for name in kept)]
            about = replace(about, kept=tuple(kept), blocked=(*about.blocked, *(one.bounds for one in things.values())))
            names = [*kept, *place_names(fresh, about, self._letters)]
        else:
            names = place_names(list(things.values()), about, self._letters)
        self._named = things
        self.names.show_names(names, self._letters)
        if not ids:
            self.lay_over()

    def show_overlay(self, kind: Kind | None) -> None:
        """Lay one thing over the plan, or nothing."""
        self.over_kind = kind
        self.write_names()

    def _what_is_laid_over(self) -> Overlay:
        if self.over_kind is None:
            return Overlay()
        return overlay(self._desk.analysis().patch, self.over_kind, feet=self._feet)

    def lay_over(self) -> None:
        """Bring the overlay in step with the book and the names."""
        self.names.stand_out(self.over_kind is not None)
        if self.over_kind is None:
            if self.over.shown != Overlay():
                self.over.show_overlay(Overlay(), (), self._letters)
            return
        self.over.show_overlay(self._laid, plates(self._laid, self._plan(), self._letters), self._letters)

    def _plan(self) -> Plan:
        """Return what the words of an overlay keep clear of."""
        about = self.floor.surroundings(self._letters)
        taken = [*about.blocked, *(name.box for name in self.names.names), *(one.box for one in self.marks.badges)]
        for name in self.names.names:
            taken += [around(point, LEADER_ROOM, LEADER_ROOM) for point in along(name.leader)] if name.leader else []
        taken += [one.bounds for one in self.floor.named() if one.kind == "thing"]
        items = [one for one in (*self.footprints.values(), *self.house_units.values()) if not one.waiting]
        bodies = {one.name_id: one.body() for one in items if one.gear.glyph != "riser"}
        assert about.sheet is not None
        words = [*(name.box for name in self.names.names), *about.words]
        return Plan(taken, bodies, about.sheet, words)

    def _carried(self, name: Name, things: dict[str, Named]) -> Name:
        """Return a name moved as far as its thing has moved since it was last written."""
        old, new = middle(self._named[name.id].bounds), middle(things[name.id].bounds)
        return name if old == new else name.shifted((new.x - old.x, new.y - old.y))

    def _is_optional(self, item: FootprintItem) -> bool:
        """Return whether a name may be given up where it is crowded: a small box the house has no line from."""
        small = item.gear.width_m * item.gear.depth_m < SMALL_M2 and item.gear.glyph != "mic"
        return small and not item.locked and item.unit.id not in self._wanted

    def _place_badges(self, items: Sequence[FootprintItem]) -> None:
        """Put the badges at the corners of their footprints, none on another nor on another footprint."""
        bodies = Ground((item.body(), item.name_id) for item in items)
        for one in self.floor.named():
            if one.kind == "thing":
                bodies.take(one.bounds, one.id)
        bodies_of = [item for item in self.footprints.values() if item.state.badge is not None]
        wanted, marked = [], []
        for item in bodies_of:
            badge = item.state.badge
            assert badge is not None
            body = item.body()
            size = badge_size(badge, SCALE)
            # What is hardly larger than its badge would lie hidden under it.
            small = max(body.right - body.left, body.bottom - body.top) < 1.5 * size[1]
            off = size[1] / 2 + 2 if small else 3
            left, right, top, bottom = body.left - off, body.right + off, body.top - off, body.bottom + off
            corners = (Point(right, top), Point(left, top), Point(right, bottom), Point(left, bottom))
            if item.waiting:
                corners = (Point(body.right - CHIP_BADGE / 2, (top + bottom) / 2), *corners)
            edge = not item.waiting
            wanted.append(Wanted(size, corners, middle(body), item.name_id, on_edge=edge))
            marked.append((item, badge))
        places = spread(wanted, Ground(), bodies)
        placed = zip(marked, places, strict=True)
        self.marks.show_badges([PlacedBadge(item.unit.id, badge, place) for (item, badge), place in placed])
        self._middles = {name: middle(item.body()) for name, item in self.footprints.items()}

    def _carry_badges(self, moving: Collection[str]) -> None:
        """Let the badges of units in the hand go along with them."""
        by = {}
        for name in moving:
            old, new = self._middles[name], middle(self.footprints[name].body())
            by[name] = (new.x - old.x, new.y - old.y)
            self._middles[name] = new
        self.marks.show_badges([one.shifted(by[one.about]) if one.about in by else one for one in self.marks.badges])

    def scale_letters(self, detail: float) -> None:
        """Write names so large that they can be read at a scale."""
        letters = letters_at(detail)
        if letters != self._letters:
            self._letters = letters
            self.write_names()

    def _sync(self, shown: dict[str, FootprintItem], units: Sequence[Unit], patch: Patch, *, locked: bool) -> None:
        wanted = {unit.id: unit for unit in units}
        for name in list(shown):
            if name not in wanted or wanted[name].gear != shown[name].unit.gear:
                self.removeItem(shown.pop(name))
        for name, unit in wanted.items():
            if name not in shown:
                item = FootprintItem(unit, patch.catalogue.gear_type(unit.gear), self._theme, locked=locked)
                shown[name] = item
                self.addItem(item)

    def _is_near(self, unit: Unit) -> bool:
        floor = rect_of(stage_box(self.floor.stage)).adjusted(-_HOUSE_REACH, -_HOUSE_REACH, _HOUSE_REACH, _HOUSE_REACH)
        return unit.x_m is not None and unit.y_m is not None and floor.contains(unit.x_m * 100, -unit.y_m * 100)

    def set_theme(self, theme: Theme) -> None:
        """Change colours."""
        self._theme = theme
        self.floor.set_theme(theme)
        self.names.set_theme(theme)
        self.marks.set_theme(theme)
        self.over.set_theme(theme)
        for item in (*self.footprints.values(), *self.house_units.values()):
            item.set_theme(theme)
        self.invalidate()

    def set_feet(self, feet: bool) -> None:
        """Show lengths in feet, or in metres."""
        self._feet = feet
        self.floor.set_feet(feet)
        self.write_names()

    # -- what lies where -----------------------------------------------------------------------

    def unit_at(self, at: QPointF) -> str:
        """Return the rig's unit under a place, or nothing; the smaller of two that overlap."""
        hits = [item for item in self.footprints.values() if item.takes_hold(at)]
        best = min(hits, key=lambda one: one.size[0] * one.size[1], default=None)
        return best.unit.id if best is not None else ""

    def house_unit_at(self, at: QPointF) -> str:
        """Return the house's unit under a place, or nothing."""
        return next((name for name, item in self.house_units.items() if item.takes_hold(at)), "")

    def handle_at(self, at: QPointF) -> str:
        """Return the unit whose rotation handle lies under a place, or nothing."""
        for name, item in self.footprints.items():
            if item.state.handle:
                away = item.handle_place() - at
                if (away.x() ** 2 + away.y() ** 2) ** 0.5 <= HANDLE_RADIUS + 5:
                    return name
        return ""

    def things_in(self, area: QRectF) -> list[Thing]:
        """Return the units whose footprints touch an area."""
        return [
            Thing("unit", name)
            for name, item in self.footprints.items()
            if item.mapToScene(item.shape()).boundingRect().intersects(area)
        ]

    def area_of(self, thing: Thing) -> QRectF:
        """Return the area of a thing on the sheet; empty where it is not shown here."""
        items = self.footprints if thing.kind == "unit" else self.house_units if thing.kind == "house unit" else {}
        item = items.get(thing.id)
        return item.mapToScene(item.shape()).boundingRect() if item is not None else QRectF()

    def is_in_tray(self, at: Point) -> bool:
        """Return whether a place lies in the tray."""
        return self.floor.waiting > 0 and self.floor.tray.holds(at)

    # -- what is lit ---------------------------------------------------------------------------

    def show_findings(self, badges: dict[Thing, Badge]) -> None:
        """Put the marks of findings where they belong."""
        before = self.marks.badges
        self._badges = badges
        self.update_states()
        self._place_badges([one for one in (*self.footprints.values(), *self.house_units.values()) if not one.waiting])
        if self.marks.badges != before:
            self.write_names()

    def show_selection(self, things: Sequence[Thing]) -> None:
        """Mark the selected things."""
        self._selection = frozenset(things)
        self.update_states()

    def show_pulse(self, things: Sequence[Thing]) -> None:
        """Light some things for a moment."""
        self._pulsing = frozenset(things)
        self.update_states()

    def show_hover(self, unit_id: str) -> None:
        """Light what lies under the mouse."""
        if unit_id != self._hover:
            self._hover = unit_id
            self.update_states()

    def show_focus(self, unit_id: str) -> None:
        """Ring what the keyboard is at."""
        self.focus = unit_id
        self.update_states()

    def update_states(self) -> None:
        """Tell every item what of it is lit."""
        chosen = {one.id for one in self._selection if one.kind == "unit"}
        pulsing = {(one.kind, one.id) for one in self._pulsing}
        for name, item in self.footprints.items():
            marks = [badge for thing, badge in self._badges.items() if thing.kind == "unit" and thing.id == name]
            item.show_state(
                FootState(
                    selected=name in chosen,
                    focused=name == self.focus,
                    hovered=name == self._hover,
                    pulsing=("unit", name) in pulsing,
                    handle=chosen == {name} and not item.waiting,
                    badge=joined(marks),
                )
            )
        for name, item in self.house_units.items():
            here = Thing("house unit", name)
            item.show_state(FootState(selected=here in self._selection, pulsing=("house unit", name) in pulsing))

    def badge_words(self, unit_id: str) -> tuple[str, ...]:
        """Return the findings about a unit, one sentence each."""
        found = joined(badge for thing, badge in self._badges.items() if thing.kind == "unit" and thing.id == unit_id)
        return found.sentences if found else ()

    @steady
    def drawBackground(self, painter: QPainter, rect: QRectF | QRect) -> None:
        painter.fillRect(rect, QColor(self._theme.sheet))
