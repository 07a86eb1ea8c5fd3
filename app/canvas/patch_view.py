"""The Patch sheet: cards, cables and the house line, worked by mouse and keyboard over one desk."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property, partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPen,
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import QWidget

from app.canvas.badges import badges_of
from app.canvas.folding import Folding, rename_edit
from app.canvas.gestures.delete import delete_edit, what_goes
from app.canvas.gestures.draw_cable import DrawCable, End, end_of
from app.canvas.gestures.drop_gear import drop_on_patch, fresh_unit
from app.canvas.gestures.gesture import Edit, Gesture, Pointer
from app.canvas.gestures.move_cards import GRID, MoveCards
from app.canvas.gestures.move_end import MoveEnd, end_taken
from app.canvas.gestures.rubber_band import RubberBand
from app.canvas.hits import NOTHING, Hit
from app.canvas.layout import Point, card_of
from app.canvas.overview import Overview
from app.canvas.patch_keys import PatchKeys, is_own_shortcut
from app.canvas.patch_scene import PatchScene
from app.canvas.sheet_menu import open_menu
from app.canvas.sheet_view import SheetView
from app.canvas.speaking import SpokenSheet, announce
from app.canvas.tips import tip_lines
from app.canvas.tracing import Tag, lit, paint_tags, tags, traced
from app.canvas.trunks import Trunk
from app.canvas.unit_item import rect_of
from app.desk import Desk
from app.theme import PAPER, Theme
from rigcore.analysis import Analysis
from rigcore.book.book import Book
from rigcore.errors import LoomwrightError
from rigcore.patch.trace import Trace
from rigcore.rules.rule import Thing

if TYPE_CHECKING:
    from app.canvas.find import Entry
    from app.canvas.find_field import FindField
    from app.canvas.glide import Glide
    from app.canvas.name_editor import NameEditor
    from app.canvas.offer_list import OfferList
    from app.canvas.offering import Seeking
    from app.canvas.patch_commands import PatchCommands
    from rigcore.solve.offers import Offer


class PatchSheet(SheetView):
    """Shows the patch of the gig in view and turns gestures into edits."""

    def __init__(self, desk: Desk, theme: Theme = PAPER, parent: QWidget | None = None) -> None:
        super().__init__(desk, theme, parent)
        self.overview = Overview(self, theme)
        self.overview.hide()
        self.setObjectName("patch-sheet")
        self.setAccessibleName(self.tr("Patch sheet"))
        self.patch = PatchScene(desk, theme)
        self.keep(self.patch)
        self.keys = PatchKeys(self)
        self.folding = Folding(self)
        self._glide: Glide | None = None
        self._fitted = False
        self.tracing: Trace | None = None
        self.find: FindField | None = None
        self.offered: OfferList | None = None
        self._seeking: Seeking | None = None
        self._is_tracing = False
        self._tags: tuple[float, list[Tag]] = (0.0, [])
        self._pulse.timeout.connect(lambda: self.light(()))
        desk.changed.connect(self._book_changed)
        desk.analysed.connect(self._analysed)
        desk.selected.connect(self._selected)
        self._selected(desk.selection)
        self.voice = SpokenSheet(self)

    # -- what the window calls -----------------------------------------------------------------

    @cached_property
    def commands(self) -> PatchCommands:
        """What can be done to the chosen cards."""
        from app.canvas.patch_commands import PatchCommands

        return PatchCommands(self)

    def set_theme(self, theme: Theme) -> None:
        """Change colours."""
        self.theme = theme
        self.patch.set_theme(theme)
        self.overview.set_theme(theme)
        self.redraw()

    def reveal(self, things: Sequence[Thing]) -> None:
        """Select some things, bring them into view and let them glow."""
        self.desk.select(things)
        self.bring_into_view([self.patch.area_of(thing) for thing in things])
        self.pulse(things)

    def delete_selection(self) -> None:
        """Take out what is selected, in one edit."""
        gone = what_goes(self.desk.selection, self.desk.book, self.desk.gig_id)
        if gone:
            edit = delete_edit(gone, (self.desk.gig_id, self.desk.rig_id), self.patch.plan.unplaced)
            self.desk.edit(edit.words, edit.change)

    def select_all(self) -> None:
        """Select every unit, link and landing."""
        self.desk.select([*(Thing("unit", name) for name in self.patch.plan.units), *self.patch.plan.cables])

    def rename(self, card: str) -> NameEditor | None:
        """Let the name of a unit, or of a folded rack, be written on its tape strip."""
        from app.canvas.name_editor import NameEditor

        item = self.patch.units.get(card)
        if item is None:
            return None
        area = self.mapFromScene(rect_of(item.placed.card.tape).translated(item.pos())).boundingRect()
        edit = partial(rename_edit, self.desk.rig_id, item.placed)
        return NameEditor(self.viewport(), area, item.placed.title, lambda name: self.do(edit(name)))

    def do(self, edit: Edit) -> None:
        """Take an edit to the desk."""
        self.desk.edit(edit.words, edit.change)

    # -- offering --------------------------------------------------------------------------------

    def begin(self, gesture: Gesture, pointer: Pointer) -> None:
        """Start a gesture; a cable in the hand may offer adapters where it ends."""
        if type(gesture) is DrawCable:
            gesture.offer = self.offer_chains
        super().begin(gesture, pointer)

    def offer_chains(self, ends: tuple[End, End], plain: Edit) -> bool:
        """Open the list of what would join two ends: as they are, and chains of adapters as soon as they are found."""
        from app.canvas.offer_list import OfferList
        from app.canvas.offering import Seeking, as_it_is, line_of, offer_edit

        desk, patch = self.desk, self.desk.analysis().patch

        def take(choice: object) -> None:
            self.setFocus(Qt.FocusReason.PopupFocusReason)
            if isinstance(choice, Edit):
                desk.edit(choice.words, choice.change)

        at = self.mapFromScene(QPointF(*self.patch.face_at(ends[1])[0]))
        self.offered = OfferList(self.viewport(), (as_it_is(ends, patch), plain), at, take)
        unplaced, shown = self.patch.plan.unplaced, self.offered

        def found(some: Sequence[Offer]) -> None:
            edits = [(line_of(one), offer_edit(one, ends, patch, desk.shipped, unplaced=unplaced)) for one in some]
            shown.add_choices(edits)

        self._seeking = Seeking(self, patch, ends, found)
        return True

    # -- gliding ---------------------------------------------------------------------------------

    def show_glide(self, glide: Glide) -> None:
        """Let cards glide to their places; any key or press ends it."""
        self.end_glide()
        self._glide = glide
        glide.start()

    def glide_on(self) -> None:
        """Show the next moment of it."""
        if self._glide is not None and self._glide.is_over:
            self.end_glide()
        self.viewport().update()

    def end_glide(self) -> None:
        """Have everything where it belongs."""
        glide, self._glide = self._glide, None
        if glide is not None:
            glide.stop()
            glide.deleteLater()
            self.viewport().update()

    # -- finding ---------------------------------------------------------------------------------

    def open_find(self) -> FindField:
        """Open the field that jumps to any unit, port, channel or finding; Esc goes back to where one was."""
        from app.canvas.find import entries
        from app.canvas.find_field import FindField

        before = (self.desk.selection, self.zoom, self.mapToScene(self.viewport().rect().center()))
        among = entries(self.patch.plan, self.desk.analysis().findings)

        def come_to(entry: Entry) -> None:
            self.desk.select(entry.things)
            self.keys.go_to_thing(entry.things[0] if entry.things else None)
            covered = self.find.geometry() if self.find is not None else None
            self.bring_into_view([self.patch.area_of(thing) for thing in entry.things], covered)

        def done(taken: bool) -> None:
            self.find = None
            self.setFocus(Qt.FocusReason.ShortcutFocusReason)
            if taken:
                self.keys.go_to_thing(self.desk.selection[0] if self.desk.selection else None)
                self.pulse(self.desk.selection)
                return
            self.desk.select(before[0])
            self.set_zoom(before[1])
            self.centerOn(before[2])

        if self.find is not None:
            self.find.line.setFocus()
            return self.find
        self.find = FindField(self.viewport(), among, come_to, done)
        return self.find

    # -- tracing ---------------------------------------------------------------------------------

    def toggle_trace(self) -> None:
        """Light the way of the selected source to the house, with the level at every port; or all alike again."""
        self.show_trace(not self._is_tracing)

    def show_trace(self, on: bool) -> None:
        """Trace what is selected, now and whenever something else is, or stop."""
        self._is_tracing = on
        self.tracing = traced(self.desk.analysis().patch, self.desk.selection) if on else None
        self._tags = (0.0, [])
        self.patch.show_only(lit(self.tracing, self.patch.plan) if self.tracing else None)
        self.viewport().update()

    def show_overview(self, on: bool) -> None:
        """Show the whole sheet small in a corner, or put it away."""
        self.overview.setVisible(on)
        self._fill_overview()

    def _fill_overview(self) -> None:
        if not self.overview.isHidden():
            boxes = {name: card.box for name, card in self.patch.plan.cards.items()}
            chosen = frozenset(self.patch.plan.cards_of(self.desk.selection))
            self.overview.show_sheet(self.content(), boxes, self.patch.plan.rows.strip, chosen)

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        super().scrollContentsBy(dx, dy)
        self.overview.update()

    def tags(self) -> list[Tag]:
        """Return the levels written along the traced way, for the present zoom."""
        scale = self.transform().m11()
        if self.tracing is not None and self._tags[0] != scale:
            badges = [one.box for one in self.patch.badges_shown]
            self._tags = (scale, tags(self.tracing, self.patch.plan, scale, badges))
        return self._tags[1]

    # -- listening to the desk -------------------------------------------------------------------

    def _book_changed(self, old: Book, new: Book) -> None:
        self.cancel_gesture()
        self.end_glide()
        first = not self.patch.plan.cards
        self.patch.refresh()
        units = new.rig(self.desk.rig_id).units
        self.keys.settle()
        left = tuple(one for one in self.desk.selection if self._exists(one, new))
        self.desk.select(left)
        if first and len(units) > 1 and old.rigs != new.rigs:
            self.zoom_to_fit()
        else:
            self.widen_sheet(self.transform().m11())
        self._fill_overview()
        self.viewport().update()

    def _exists(self, thing: Thing, book: Book) -> bool:
        rig = book.rig(self.desk.rig_id)
        if thing.kind == "unit":
            return rig.unit(thing.id) is not None
        if thing.kind == "link":
            return rig.link(thing.id) is not None
        if thing.kind == "landing":
            return book.gig(self.desk.gig_id).landing(thing.id) is not None
        return True

    def _analysed(self, analysis: Analysis) -> None:
        self.patch.show_findings(badges_of(analysis.findings))
        if self._is_tracing:
            self.show_trace(True)

    def _selected(self, things: Sequence[Thing]) -> None:
        self.patch.show_selection(things)
        self._fill_overview()
        if self._is_tracing:
            self.show_trace(True)

    def light(self, things: Sequence[Thing]) -> None:
        self.patch.show_pulse(things)

    # -- mouse -----------------------------------------------------------------------------------

    def gesture_for(self, event: QMouseEvent, pointer: Pointer) -> Gesture | None:
        self.end_glide()
        hit = self.patch.hit(pointer.at)
        add = pointer.holds(Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
        self.keys.go_to(hit)
        self.patch.show_focus(NOTHING)
        if hit.kind == "nothing":
            return RubberBand(self, self.desk, self.patch.things_in)
        self._choose(hit, add=add)
        if end_of(hit) is not None:
            return DrawCable(self.desk, self.patch, hit, self.theme)
        if hit.kind == "cable" and hit.thing is not None:
            cable = self.patch.plan.drawn(hit.thing)
            if isinstance(cable, Trunk):
                return None
            end = end_taken(cable, self.patch.cables[hit.thing].way, pointer.at.x(), pointer.at.y())
            return MoveEnd(self.desk, self.patch, (cable, end), self.theme) if end is not None else None
        if hit.kind in ("unit", "tape"):
            names = self.patch.plan.cards_of(self.desk.selection)
            if hit.id in names:
                return MoveCards(self.desk, self.patch, names, hit.id)
        return None

    def _choose(self, hit: Hit, *, add: bool) -> None:
        """Select what was pressed; with Ctrl or Shift add it or take it out."""
        things, chosen = self.patch.things(hit), self.desk.selection
        is_chosen = set(things) <= set(chosen)
        if add:
            rest = [one for one in chosen if one not in things]
            self.desk.select(rest if is_chosen else [*rest, *things])
        elif not is_chosen:
            self.desk.select(things)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        gesture = self.gesture
        super().mouseReleaseEvent(event)
        still = isinstance(gesture, MoveCards) and not gesture.has_moved
        plain = not event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
        if still and plain and len(self.desk.selection) > 1:
            self.desk.select(self.patch.things(self.patch.hit(self.pointer(event).at)))

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        hit = self.patch.hit(self.pointer(event).at)
        if hit.kind == "tape" and hit.id in self.patch.plan.units:
            self.rename(hit.id)
        else:
            self.folding.toggle(hit)
        event.accept()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        self.cancel_gesture()
        open_menu(self, event)
        event.accept()

    def hover(self, pointer: Pointer) -> None:
        self.patch.show_hover(self.patch.hit(pointer.at))

    # -- keyboard ----------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        """Keep for the sheet the shortcuts that mean something else on it than in the window."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and is_own_shortcut(event):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        self.end_glide()
        if self.keys.press(event):
            event.accept()
            return
        if event.key() == Qt.Key.Key_Escape and self.gesture is None and self._is_tracing:
            self.show_trace(False)
            event.accept()
            return
        super().keyPressEvent(event)

    def focusNextPrevChild(self, forward: bool) -> bool:
        if self.keys.tab(back=not forward):
            return True
        return super().focusNextPrevChild(forward)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.patch.show_focus(NOTHING)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            self.patch.show_focus(self.keys.here)

    def say_where(self) -> None:
        """Let assistive tools tell where the keyboard is."""
        announce(self, self.keys.here)

    # -- drops, size, words ------------------------------------------------------------------------

    def drop_gear(self, gear_id: str, at: QPointF) -> None:
        desk = self.desk
        try:
            unit = fresh_unit(desk.book, desk.rig_id, gear_id, desk.shipped)
        except LoomwrightError as refusal:
            desk.refused.emit(refusal.sentence)
            return
        card = card_of(desk.catalogue.gear_type(gear_id), desk.catalogue.connectors, unit.name)
        x, y = at.x() - card.width / 2, at.y() - card.height / 2
        place = Point(round(x / GRID) * GRID, round(y / GRID) * GRID)
        edit = drop_on_patch(unit, desk.rig_id, desk.shipped, at=place, unplaced=self.patch.plan.unplaced)
        if desk.edit(edit.words, edit.change):
            desk.select((Thing("unit", unit.id),))

    def resizeEvent(self, event: QResizeEvent) -> None:
        size = self.viewport().size()
        self.patch.resize_sheet(size.width() / self.base_scale, size.height() / self.base_scale)
        super().resizeEvent(event)
        if not self._fitted and self.isVisible():
            self.zoom_to_fit()
        if self.find is not None:
            self.find.place()
        self._fill_overview()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if not self._fitted:
            self._fitted = True
            self.zoom_to_fit()

    def content(self) -> QRectF:
        return self.patch.sceneRect()

    def zoom_to_fit(self) -> None:
        """Show the whole sheet, the house line at the bottom of the window."""
        super().zoom_to_fit()
        rect = self.content()
        spare = self.viewport().height() / self.transform().m22() - rect.height()
        if spare > 0:
            self.centerOn(QPointF(rect.center().x(), rect.center().y() - spare / 2))

    def hint(self) -> str:
        if self.patch.plan.cards:
            return ""
        return self.tr(
            "Drag gear from the shelf onto this sheet, then draw cables from port to port and down to the house line."
        )

    def tip_at(self, at: QPointF) -> Sequence[str]:
        return tip_lines(self.patch, self.desk.catalogue, at)

    def paint_live(self, painter: QPainter) -> None:
        if self._glide is not None:
            ground = self.mapToScene(self.viewport().rect()).boundingRect()
            ground.setBottom(min(ground.bottom(), self.patch.plan.rows.strip.top - 2))
            self._glide.paint(painter, ground, self.theme)
            return
        self.patch.paint_held(painter, self.mapToScene(self.viewport().rect()).boundingRect())
        if self.tracing is not None and not isinstance(self.gesture, MoveCards):
            paint_tags(painter, self.tags(), self.theme, self.transform().m11())

    def paint_in_hand(self, painter: QPainter) -> None:
        if isinstance(self.gesture, DrawCable):
            tip = QPointF(self.mapFromScene(self.gesture.tip))
            self.paint_note(painter, tip, self.gesture.words, good=self.gesture.would_take)
        if self._dropping is not None:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(self.theme.focus), 1.6, Qt.PenStyle.DashLine))
            scale = self.transform().m11()
            painter.drawRoundedRect(
                QRectF(self._dropping.x() - 75 * scale, self._dropping.y() - 36 * scale, 150 * scale, 72 * scale), 7, 7
            )
