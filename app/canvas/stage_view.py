"""The Stage sheet: the plan to scale, worked by mouse and keyboard over one desk."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPen, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from app.canvas.badges import badges_of
from app.canvas.gestures.delete import delete_edit, what_goes
from app.canvas.gestures.drop_gear import drop_on_stage, fresh_unit
from app.canvas.gestures.gesture import Gesture, Pointer
from app.canvas.gestures.move_footprints import MoveFootprints, placed_here, stage_edit, take_off_edit
from app.canvas.gestures.move_house import MoveHouseUnit
from app.canvas.gestures.rotate_footprint import RotateFootprint
from app.canvas.gestures.rubber_band import RubberBand
from app.canvas.layout import Point
from app.canvas.print_view import PrintView
from app.canvas.sheet_view import SheetView
from app.canvas.stage_layout import GRID_M, TURN_DEG, on_stage, place_note, snap, stage_box, turned
from app.canvas.stage_scene import StageScene
from app.canvas.unit_item import rect_of
from app.canvas.walk import DOWN, LEFT, RIGHT, UP, Stop, next_in_order
from app.desk import Desk
from app.settings import Settings
from app.theme import PAPER, Theme
from rigcore.analysis import Analysis
from rigcore.book.book import Book
from rigcore.errors import LoomwrightError
from rigcore.lists.overlays import KINDS, Kind
from rigcore.rules.rule import Thing

_WAYS = {Qt.Key.Key_Up: UP, Qt.Key.Key_Down: DOWN, Qt.Key.Key_Left: LEFT, Qt.Key.Key_Right: RIGHT}
_FAR_STEP = 5
NOTE_ROOM = 34.0
"""Height kept free above the plan for the note that says what is laid over it."""


class StageSheet(SheetView):
    """Shows the stage plan of the gig in view and turns gestures into edits.

    ``printed(on)`` when the plan gives way to the page as it will be printed, or comes back; ``overlaid(kind)`` when
    something else is laid over it, "none" for nothing.
    """

    printed = Signal(bool)
    overlaid = Signal(str)
    most_fit = 1.6

    def __init__(
        self, desk: Desk, theme: Theme = PAPER, parent: QWidget | None = None, *, settings: Settings | None = None
    ) -> None:
        super().__init__(desk, theme, parent)
        self._settings = settings
        self.print_view: PrintView | None = None
        self.setObjectName("stage-sheet")
        self.setAccessibleName(self.tr("Stage sheet"))
        self.stage = StageScene(desk, theme)
        self.keep(self.stage)
        self._feet = False
        self.house_is_open = False
        self.zoomed.connect(lambda _zoom: self.stage.scale_letters(self.transform().m11()))
        self._pulse.timeout.connect(lambda: self.light(()))
        desk.changed.connect(self._book_changed)
        desk.analysed.connect(self._analysed)
        desk.selected.connect(self._selected)
        self._selected(desk.selection)
        # Made when first looked at, after the findings were told.
        QTimer.singleShot(0, self, lambda: self._analysed(desk.latest()))

    # -- what the window calls -----------------------------------------------------------------

    def set_theme(self, theme: Theme) -> None:
        """Change colours."""
        self.theme = theme
        self.stage.set_theme(theme)
        self.redraw()
        if self.print_view is not None:
            self.print_view.set_theme(theme)

    def set_feet(self, feet: bool) -> None:
        """Show lengths and the grid in feet, or in metres."""
        self._feet = feet
        self.stage.set_feet(feet)
        self.viewport().update()

    def reveal(self, things: Sequence[Thing]) -> None:
        """Select some things, bring them into view and let them glow."""
        self.show_print(False)
        self.desk.select(things)
        self.bring_into_view([self.stage.area_of(thing) for thing in things])
        self.pulse(things)

    def show_overlay(self, kind: Kind | None) -> None:
        """Lay cable runs, power circuits or the order of setting up over the plan; None takes it away."""
        if kind is not None:
            self.show_print(False)
        self.stage.show_overlay(kind)
        self.overlaid.emit(kind or "none")
        if self._is_fitted:
            self.zoom_to_fit()
        self.viewport().update()

    def open_house(self, on: bool) -> None:
        """Let what belongs to the house be moved, or lock it again."""
        if on:
            self.show_print(False)
        self.house_is_open = on
        self.viewport().update()

    @property
    def is_printed(self) -> bool:
        """Whether the page as it will be printed lies over the plan."""
        return self.print_view is not None and not self.print_view.isHidden()

    def show_print(self, on: bool) -> None:
        """Lay the page as it will be printed over the plan, to look at and not to touch; or take it away."""
        if on == self.is_printed:
            return
        if self.print_view is None:
            self.print_view = PrintView(self.desk, self.theme, self._settings or Settings(), self)
            self.print_view.left.connect(lambda: self.show_print(False))
        page = self.print_view
        self.cancel_gesture()
        self.setFocusProxy(None)
        page.setGeometry(self.rect())
        page.setVisible(on)
        (page if on else self).setFocus()
        self.setFocusProxy(page if on else None)
        self.printed.emit(on)

    def paper_changed(self) -> None:
        """Show the page on the other paper, or in the other unit."""
        if self.print_view is not None:
            self.print_view.paper_changed()

    def settle(self) -> None:
        """Finish the page in view; for pictures of the program."""
        if self.print_view is not None and self.is_printed:
            self.print_view.settle()

    def next_overlay(self) -> None:
        """Lay the next one over the plan, after the last none."""
        turn: tuple[Kind | None, ...] = (None, *KINDS)
        self.show_overlay(turn[(turn.index(self.stage.over_kind) + 1) % len(turn)])

    def delete_selection(self) -> None:
        """Take out what is selected, in one edit."""
        chosen = [one for one in self.desk.selection if one.kind == "unit" and not one.port]
        gone = what_goes(chosen, self.desk.book, self.desk.gig_id)
        if gone:
            edit = delete_edit(gone, self._gig, {})
            self.desk.edit(edit.words, edit.change)

    def select_all(self) -> None:
        """Select every unit of the rig."""
        self.desk.select([Thing("unit", name) for name in self.stage.footprints])

    def turn_selection(self, by_deg: float) -> None:
        """Turn every selected unit on stage by so many degrees clockwise, in one edit."""
        places = {
            name: (unit.x_m, unit.y_m, turned(unit.rotation_deg, by_deg))
            for name in self._chosen()
            if (unit := self.stage.units[name]).x_m is not None and unit.y_m is not None
        }
        if places:
            here = placed_here(self.desk.book, self.desk.gig_id)
            edit = stage_edit(self._gig, places, here, self.tr("Turn on stage"))  # type: ignore[arg-type]
            self.desk.edit(edit.words, edit.change)

    def take_off_stage(self) -> None:
        """Put the selected units back into the tray."""
        names = [name for name in self._chosen() if not self.stage.footprints[name].waiting]
        if names:
            edit = take_off_edit(self._gig, names)
            self.desk.edit(edit.words, edit.change)

    @property
    def _gig(self) -> tuple[str, str]:
        return self.desk.gig_id, self.desk.rig_id

    def _chosen(self) -> list[str]:
        names = [one.id for one in self.desk.selection if one.kind == "unit" and one.id in self.stage.footprints]
        return list(dict.fromkeys(names))

    # -- listening to the desk -------------------------------------------------------------------

    def _book_changed(self, old: Book, new: Book) -> None:
        self.cancel_gesture()
        before = self.content()
        self.stage.refresh()
        if self.stage.focus not in self.stage.footprints:
            self.stage.show_focus("")
        if before != self.content() and not (set(old.rigs) & set(new.rigs)):
            self.zoom_to_fit()
        else:
            self.widen_sheet(self.transform().m11())
        self.viewport().update()

    def _analysed(self, analysis: Analysis) -> None:
        self.stage.show_findings(badges_of(analysis.findings))

    def _selected(self, things: Sequence[Thing]) -> None:
        self.stage.show_selection(things)

    def light(self, things: Sequence[Thing]) -> None:
        self.stage.show_pulse(things)

    # -- mouse -----------------------------------------------------------------------------------

    def gesture_for(self, event: QMouseEvent, pointer: Pointer) -> Gesture | None:
        handle = self.stage.handle_at(pointer.at)
        if handle:
            return RotateFootprint(self.desk, self.stage, handle)
        name = self.stage.unit_at(pointer.at)
        self.stage.show_focus("")
        if name:
            return self._take_hold(name, pointer)
        house_unit = self.stage.house_unit_at(pointer.at)
        if house_unit:
            self.desk.select((Thing("house unit", house_unit),))
            return MoveHouseUnit(self.desk, self.stage, house_unit, feet=self._feet) if self.house_is_open else None
        return RubberBand(self, self.desk, self.stage.things_in)

    def _take_hold(self, name: str, pointer: Pointer) -> Gesture | None:
        thing, chosen = Thing("unit", name), self.desk.selection
        if pointer.holds(Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier):
            self.desk.select([one for one in chosen if one != thing] if thing in chosen else [*chosen, thing])
        elif name not in self._chosen():
            self.desk.select((thing,))
        if name not in self._chosen():
            return None
        gesture = MoveFootprints(self.desk, self.stage, self._chosen(), name)
        gesture.theme, gesture.feet = self.theme, self._feet
        return gesture

    def hover(self, pointer: Pointer) -> None:
        name = self.stage.unit_at(pointer.at)
        self.stage.show_hover(name)
        on_handle = bool(self.stage.handle_at(pointer.at))
        self.viewport().setCursor(Qt.CursorShape.PointingHandCursor if on_handle else Qt.CursorShape.ArrowCursor)

    # -- keyboard ----------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if key in _WAYS:
            self._nudge(_WAYS[key], _FAR_STEP if shift else 1)
        elif key == Qt.Key.Key_R and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.turn_selection(-TURN_DEG if shift else TURN_DEG)
        elif key == Qt.Key.Key_O and not event.modifiers():
            self.next_overlay()
        elif key == Qt.Key.Key_Delete:
            self.delete_selection()
        elif key == Qt.Key.Key_Backspace:
            self.take_off_stage()
        else:
            super().keyPressEvent(event)
            return
        event.accept()

    def _nudge(self, way: tuple[int, int], steps: int) -> None:
        by = GRID_M * steps
        places = {
            name: (round(unit.x_m + way[0] * by, 2), round(unit.y_m - way[1] * by, 2), unit.rotation_deg)
            for name in self._chosen()
            if (unit := self.stage.units[name]).x_m is not None and unit.y_m is not None
        }
        if places:
            here = placed_here(self.desk.book, self.desk.gig_id)
            edit = stage_edit(self._gig, places, here, self.tr("Move on stage"))
            self.desk.edit(edit.words, edit.change)

    def focusNextPrevChild(self, forward: bool) -> bool:
        if self.is_printed:
            return super().focusNextPrevChild(forward)
        stops = [Stop(name, Point(item.pos().x(), item.pos().y())) for name, item in self.stage.footprints.items()]
        found = next_in_order(stops, self.stage.focus or None, back=not forward)
        if found is None:
            self.stage.show_focus("")
            return super().focusNextPrevChild(forward)
        self.stage.show_focus(str(found.name))
        self.desk.select((Thing("unit", str(found.name)),))
        self.bring_into_view([self.stage.area_of(Thing("unit", str(found.name)))])
        return True

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.stage.show_focus("")

    # -- drops, size, words ------------------------------------------------------------------------

    def drop_gear(self, gear_id: str, at: QPointF) -> None:
        desk = self.desk
        try:
            unit = fresh_unit(desk.book, desk.rig_id, gear_id, desk.shipped)
        except LoomwrightError as refusal:
            desk.refused.emit(refusal.sentence)
            return
        place = snap(*on_stage(at.x(), at.y()))
        edit = drop_on_stage(unit, desk.rig_id, desk.shipped, x_m=place.x_m, y_m=place.y_m)
        if desk.edit(edit.words, edit.change):
            desk.select((Thing("unit", unit.id),))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.oldSize().width() < 10:
            self.zoom_to_fit()
        if self.print_view is not None:
            self.print_view.setGeometry(self.rect())

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.zoom_to_fit()

    def content(self) -> QRectF:
        return self.stage.floor.extent()

    def head_room(self) -> float:
        return NOTE_ROOM * self.base_scale if self.stage.over_kind is not None else 0.0

    def hint(self) -> str:
        if self.stage.footprints:
            return ""
        return self.tr("Drag gear from the shelf to where it stands. The audience is at the bottom.")

    def hint_ground(self) -> tuple[QRectF, str]:
        stage = self.mapFromScene(rect_of(stage_box(self.stage.floor.stage))).boundingRect()
        side, high = stage.width() * 0.18, stage.height() * 0.1
        return QRectF(stage).adjusted(side, high, -side, -high), self.theme.floor

    def tip_at(self, at: QPointF) -> Sequence[str]:
        name = self.stage.unit_at(at)
        item = self.stage.footprints.get(name)
        if item is None and self.stage.marks.words_at(at):
            return self.stage.marks.words_at(at)
        if item is None:
            house = self.stage.house_units.get(self.stage.house_unit_at(at))
            return (house.unit.name, house.gear.name, self._whose()) if house else ()
        where: tuple[str, ...] = ()
        if item.unit.x_m is not None and item.unit.y_m is not None:
            where = place_note(item.unit.x_m, item.unit.y_m, feet=self._feet)
        return (item.unit.name, item.gear.name, " · ".join(where), *self.stage.badge_words(name))

    def _whose(self) -> str:
        if self.house_is_open:
            return self.tr("belongs to the house, may be moved now")
        return self.tr("belongs to the house")

    def paint_in_hand(self, painter: QPainter) -> None:
        if self.stage.over_kind is not None:
            runs, power, order = self.tr("Cable runs"), self.tr("Power circuits"), self.tr("Set-up order")
            title = {"runs": runs, "power": power, "order": order}[self.stage.over_kind]
            words = ": ".join(part for part in (title, self.stage.over.shown.hint) if part)
            self.paint_note(painter, QPointF(-10, -12), words, good=not self.stage.over.shown.hint)
        if isinstance(self.gesture, MoveFootprints | MoveHouseUnit | RotateFootprint):
            tip = QPointF(self.mapFromScene(self.gesture.tip))
            self.paint_note(painter, tip, self.gesture.words, good=True)
        if self._dropping is not None:
            place = snap(*on_stage(*self.mapToScene(self._dropping.toPoint()).toTuple()))
            words = " · ".join(place_note(place.x_m, place.y_m, feet=self._feet))
            self.paint_note(painter, self._dropping, words, good=True)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(self.theme.focus), 1.6, Qt.PenStyle.DashLine))
            painter.drawEllipse(self._dropping, 18.0, 18.0)
