"""The keyboard on the Patch sheet: whatever the mouse can do, it can do too."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence

from app.canvas.gestures.draw_cable import DrawCable, End, end_of
from app.canvas.gestures.gesture import Pointer
from app.canvas.gestures.move_cards import GRID, move_edit
from app.canvas.gestures.move_end import MoveEnd
from app.canvas.hits import NOTHING, Hit
from app.canvas.layout import Point
from app.canvas.patch_cables import Cable
from app.canvas.walk import DOWN, LEFT, RIGHT, UP, Stop, next_in_order, next_that_way
from rigcore.rules.rule import Thing

if TYPE_CHECKING:
    from app.canvas.patch_view import PatchSheet

_WAYS = {Qt.Key.Key_Up: UP, Qt.Key.Key_Down: DOWN, Qt.Key.Key_Left: LEFT, Qt.Key.Key_Right: RIGHT}


def is_own_shortcut(event: QKeyEvent) -> bool:
    """Return whether a key means something on the sheet although the window has a shortcut of the same keys."""
    return event.matches(QKeySequence.StandardKey.Find)


class PatchKeys:
    """Where the keyboard is on the sheet, and what each key does there."""

    def __init__(self, sheet: PatchSheet) -> None:
        self._sheet = sheet
        self.here = NOTHING

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key asks for; return whether it asked for anything."""
        key = Qt.Key(event.key())
        ctrl = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if event.matches(QKeySequence.StandardKey.Find):
            self._sheet.open_find()
        elif self._command(event):
            pass
        elif key in _WAYS and ctrl:
            self._nudge(_WAYS[key])
        elif key in _WAYS:
            self._go(next_that_way(self._stops(), self._here_at(), _WAYS[key]))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._enter(take=bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier))
        elif key == Qt.Key.Key_T and not ctrl:
            self._sheet.toggle_trace()
        elif key == Qt.Key.Key_F2:
            self._sheet.rename(self.here.id)
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._sheet.delete_selection()
        else:
            return False
        return True

    def _command(self, event: QKeyEvent) -> bool:
        """Do what a key of the clipboard or of the view asks for."""
        do = self._sheet.commands
        keys = QKeySequence.StandardKey
        for key, command in ((keys.Copy, do.copy), (keys.Cut, do.cut), (keys.Paste, do.paste)):
            if event.matches(key):
                command()
                return True
        ctrl = Qt.KeyboardModifier.ControlModifier
        shift = Qt.KeyboardModifier.ShiftModifier
        others = {
            (Qt.Key.Key_D, ctrl): do.duplicate,
            (Qt.Key.Key_L, ctrl | shift): do.tidy,
            (Qt.Key.Key_9, ctrl): do.zoom_to_selection,
            (Qt.Key.Key_M, Qt.KeyboardModifier.NoModifier): self._toggle_overview,
            (Qt.Key.Key_J, ctrl): self._sheet.folding.fold_rack,
            (Qt.Key.Key_J, ctrl | shift): self._sheet.folding.fold_loom,
            (Qt.Key.Key_U, ctrl): self._sheet.folding.unfold,
        }
        found = others.get((Qt.Key(event.key()), event.modifiers()))
        if found is not None:
            found()
        return found is not None

    def _toggle_overview(self) -> None:
        self._sheet.show_overview(self._sheet.overview.isHidden())

    def tab(self, *, back: bool) -> bool:
        """Go to the next unit or house tile; return False past the last, so that the focus moves on."""
        stops = [stop for stop in self._stops() if isinstance(stop.name, Hit) and stop.name.kind != "port"]
        here = self.here
        if here.kind == "port" and self._drawing() is None:
            here = Hit("unit", self._sheet.patch.plan.home(here.id))
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

    def go_to_thing(self, thing: Thing | None) -> None:
        """Put the keyboard on a thing of the book, if it is somewhere the keyboard can be."""
        plan = self._sheet.patch.plan
        if thing is not None and thing.kind == "unit" and thing.id in plan.units:
            has_face = thing.port and plan.shows(thing.id, thing.port)
            self.here = Hit("port", thing.id, thing.port) if has_face else Hit("unit", plan.home(thing.id))
        elif thing is not None and thing.kind == "socket":
            self.here = Hit("tile", thing.id)
        else:
            self.here = NOTHING
        self._sheet.patch.show_focus(self.here)
        self._sheet.say_where()

    def settle(self) -> None:
        """Stay on something that is there after a change: inside a rack that was folded, go to its card."""
        plan, here = self._sheet.patch.plan, self.here
        if here.kind == "port" and not plan.shows(here.id, here.port):
            self.here = Hit("unit", here.id)
        if self.here.kind == "unit":
            self.here = Hit("unit", plan.home(here.id))
            if self.here.id not in plan.cards:
                self.leave()

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
            hits += [Hit("port", *placed.end(spot.port)) for spot in placed.card.spots]
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
        sheet.say_where()
        sheet.bring_into_view([sheet.patch.place_of(self.here).adjusted(-30, -30, 30, 30)])
        drawing = self._drawing()
        if drawing is not None:
            drawing.hold_over(self.here, QPointF(*stop.at))
            sheet.viewport().update()
            return
        sheet.desk.select(sheet.patch.things(self.here))

    def _enter(self, *, take: bool = False) -> None:
        """Start a cable here or end the one in the hand; with ``take`` pull out the one plugged in here."""
        sheet, drawing = self._sheet, self._drawing()
        at = QPointF(*self._here_at())
        pointer = Pointer(at, sheet.mapFromScene(at))
        if drawing is not None:
            sheet.gesture = None
            drawing.end(pointer)
            sheet.viewport().update()
        elif take and (taken := self._plugged_here()) is not None:
            sheet.begin(MoveEnd(sheet.desk, sheet.patch, taken, sheet.theme), pointer)
        elif end_of(self.here) is not None:
            sheet.begin(DrawCable(sheet.desk, sheet.patch, self.here, sheet.theme), pointer)
        elif self.here.kind == "unit":
            home = sheet.patch.plan.home
            ports = [stop for stop in self._stops() if isinstance(stop.name, Hit) and stop.name.kind == "port"]
            self._go(next((stop for stop in ports if home(stop.name.id) == self.here.id), None))  # type: ignore[attr-defined]

    def _plugged_here(self) -> tuple[Cable, End] | None:
        """Return the only cable plugged in here, with this end of it."""
        end = end_of(self.here)
        here = [cable for cable in self._sheet.patch.plan.cables.values() if end in (cable.start, cable.end)]
        return (here[0], end) if end is not None and len(here) == 1 else None

    def _nudge(self, way: tuple[int, int]) -> None:
        sheet = self._sheet
        plan = sheet.patch.plan
        names = plan.cards_of(sheet.desk.selection)
        if names:
            edit = move_edit(sheet.desk.rig_id, plan, names, (way[0] * GRID, way[1] * GRID))
            sheet.desk.edit(edit.words, edit.change)
