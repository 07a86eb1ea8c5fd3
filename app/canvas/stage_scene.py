"""The Stage sheet's scene: one footprint for each unit, the house's own locked, the floor beneath."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, QPointF, QRect, QRectF
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QGraphicsScene

from app.canvas.badges import Badge, joined
from app.canvas.fonts import readable
from app.canvas.footprint_item import HANDLE_RADIUS, FootprintItem, FootState
from app.canvas.layout import Box, Point
from app.canvas.painting import steady
from app.canvas.stage_floor import StageFloor
from app.canvas.stage_layout import stage_box, tray_places
from app.canvas.stage_names import NamesItem
from app.canvas.unit_item import rect_of
from app.desk import Desk
from app.theme import Theme
from rigcore.book.rig import Unit
from rigcore.patch.build import Patch
from rigcore.rules.rule import Thing

_HOUSE_REACH = 150.0
"""How far off the stage a house unit is still shown, in sheet units."""


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
        self.setSceneRect(self.floor.extent())
        self.write_names()
        self.update_states()

    def write_names(self) -> None:
        """Write every name where it hides nothing, as the footprints lie now."""
        items = [*self.footprints.values(), *self.house_units.values()]
        floor = stage_box(self.floor.stage)
        edge = Box(floor.left, floor.bottom - 4, floor.right, floor.bottom + 4)
        self.names.show_names([item.named() for item in items if not item.waiting], [edge], self._letters)

    def scale_letters(self, detail: float) -> None:
        """Write names so large that they can be read at a scale."""
        letters = readable(detail)
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
        for item in (*self.footprints.values(), *self.house_units.values()):
            item.set_theme(theme)
        self.invalidate()

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
        self._badges = badges
        self.update_states()

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
