"""The keyboard on the Patch sheet: whatever the mouse can do, it can do too."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent

from app.canvas.gestures.draw_cable import DrawCable, end_of
from app.canvas.gestures.gesture import Pointer
from app.canvas.gestures.move_cards import GRID, move_edit
from app.canvas.layout import Point
from app.canvas.patch_scene import NOTHING, Hit
from app.canvas.walk import DOWN, LEFT, RIGHT, UP, Stop, next_in_order, next_that_way
from rigcore.rules.rule import Thing

if TYPE_CHECKING:
    from app.canvas.patch_view import PatchSheet

_WAYS = {Qt.Key.Key_Up: UP, Qt.Key.Key_Down: DOWN, Qt.Key.Key_Left: LEFT, Qt.Key.Key_Right: RIGHT}


def thing_of(hit: Hit) -> Thing | None:
    """Return what of the book a hit stands for."""
    if hit.kind == "port":
        return Thing("unit", hit.id, hit.port)
    if hit.kind in ("unit", "tape"):
        return Thing("unit", hit.id)
    if hit.kind == "tile":
        return Thing("socket", hit.id)
    return hit.thing


class PatchKeys:
    """Where the keyboard is on the sheet, and what each key does there."""

    def __init__(self, sheet: PatchSheet) -> None:
        self._sheet = sheet
        self.here = NOTHING

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key asks for; return whether it asked for anything."""
        key = Qt.Key(event.key())
        ctrl = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if key in _WAYS and ctrl:
            self._nudge(_WAYS[key])
        elif key in _WAYS:
            self._go(next_that_way(self._stops(), self._here_at(), _WAYS[key]))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._enter()
        elif key == Qt.Key.Key_F2:
            self._sheet.rename(self.here.id)
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._sheet.delete_selection()
        else:
            return False
        return True

    def tab(self, *, back: bool) -> bool:
        """Go to the next unit or house tile; return False past the last, so that the focus moves on."""
        stops = [stop for stop in self._stops() if isinstance(stop.name, Hit) and stop.name.kind != "port"]
        here = self.here
        if here.kind == "port" and self._drawing() is None:
            here = Hit("unit", here.id)
        found = next_in_order(stops, here, back=back)
        if found is None:
            self.leave()
            return False
        self._go(found)
        return True

    def go_to(self, hit: Hit) -> None:
        """Put the keyboard where the mouse has been."""
        self.here = hit if hit.kind in ("port", "unit", "tile") else NOTHING
        if hit.kind == "tape":
            self.here = Hit("unit", hit.id)

    def leave(self) -> None:
        """Take the focus ring away."""
        self.here = NOTHING
        self._sheet.patch.show_focus(NOTHING)

    def _drawing(self) -> DrawCable | None:
        gesture = self._sheet.gesture
        return gesture if isinstance(gesture, DrawCable) else None

    def _stops(self) -> list[Stop]:
        scene = self._sheet.patch
        hits = [Hit("tile", tile.text.socket) for tile in scene.plan.rows.tiles]
        for name, placed in scene.plan.cards.items():
            hits.append(Hit("unit", name))
            hits += [Hit("port", name, spot.port) for spot in placed.card.spots]
        return [Stop(hit, self._at(hit)) for hit in hits]

    def _at(self, hit: Hit) -> Point:
        centre = self._sheet.patch.place_of(hit).center()
        return Point(centre.x(), centre.y())

    def _here_at(self) -> Point:
        if self.here.kind != "nothing":
            return self._at(self.here)
        corner = self._sheet.patch.sceneRect().topLeft()
        return Point(corner.x() - 50, corner.y() - 50)

    def _go(self, stop: Stop | None) -> None:
        if stop is None or not isinstance(stop.name, Hit):
            return
        self.here = stop.name
        sheet = self._sheet
        sheet.patch.show_focus(self.here)
        sheet.bring_into_view([sheet.patch.place_of(self.here).adjusted(-30, -30, 30, 30)])
        drawing = self._drawing()
        if drawing is not None:
            drawing.hold_over(self.here, QPointF(*stop.at))
            sheet.viewport().update()
            return
        thing = thing_of(self.here)
        sheet.desk.select((thing,) if thing else ())

    def _enter(self) -> None:
        sheet, drawing = self._sheet, self._drawing()
        at = QPointF(*self._here_at())
        pointer = Pointer(at, sheet.mapFromScene(at))
        if drawing is not None:
            sheet.gesture = None
            drawing.end(pointer)
            sheet.viewport().update()
        elif end_of(self.here) is not None:
            sheet.begin(DrawCable(sheet.desk, sheet.patch, self.here, sheet.theme), pointer)
        elif self.here.kind == "unit":
            ports = [stop for stop in self._stops() if isinstance(stop.name, Hit) and stop.name.kind == "port"]
            self._go(next((stop for stop in ports if stop.name.id == self.here.id), None))  # type: ignore[attr-defined]

    def _nudge(self, way: tuple[int, int]) -> None:
        sheet = self._sheet
        plan = sheet.patch.plan
        names = [one.id for one in sheet.desk.selection if one.kind == "unit" and one.id in plan.cards]
        if names:
            places = {name: plan.cards[name].place for name in names}
            by = (way[0] * GRID, way[1] * GRID)
            edit = move_edit(sheet.desk.rig_id, plan.unplaced, places, by)
            sheet.desk.edit(edit.words, edit.change)
