"""What can be done to the selected cards of the Patch sheet without a hand: line up, copy, paste, tidy, look at."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QRectF
from PySide6.QtGui import QGuiApplication

from app.canvas.arrange import Line, Way, aligned, spread_out
from app.canvas.gestures.move_cards import GRID, lay_edit
from app.canvas.glide import MOST_CARDS, Glide, wants_motion
from app.canvas.layout import Box, Card, Point
from app.canvas.patch_cables import Socket
from app.canvas.patch_plan import SheetPlan
from app.canvas.scrap_mime import scrap_data, scrap_of
from app.canvas.tidy import Rig, Strand, tidy_places
from rigcore.book.book import Book
from rigcore.book.edits.paste import Scrap, cut_out, paste, renewed
from rigcore.book.edits.units import move_cards
from rigcore.errors import LoomwrightError
from rigcore.rules.rule import Thing

if TYPE_CHECKING:
    from app.canvas.patch_view import PatchSheet

_ASIDE = 3 * GRID


def _words(text: str) -> str:
    return QCoreApplication.translate("Edits", text)


class PatchCommands:
    """The commands of one sheet."""

    def __init__(self, sheet: PatchSheet) -> None:
        self._sheet = sheet

    def chosen(self) -> list[str]:
        """Return the selected units of the sheet, once each."""
        units, things = self._sheet.patch.plan.units, self._sheet.desk.selection
        return list(dict.fromkeys(one.id for one in things if one.kind == "unit" and one.id in units))

    # -- lining up -----------------------------------------------------------------------------

    def align(self, line: Line) -> None:
        """Line the selected cards up: ``left``, ``top`` or ``centre``."""
        self._lay(aligned(self._boxes(), line), _words("Align units"))

    def spread(self, way: Way) -> None:
        """Give the selected cards equal gaps, ``across`` or ``down``."""
        self._lay(spread_out(self._boxes(), way), _words("Spread units evenly"))

    def _boxes(self) -> dict[str, Box]:
        plan = self._sheet.patch.plan
        return {name: plan.cards[name].box for name in plan.cards_of(self._sheet.desk.selection)}

    def _lay(self, places: Mapping[str, Point], words: str) -> None:
        """Lay cards at places, every other one staying where it lies, in one step."""
        plan, desk = self._sheet.patch.plan, self._sheet.desk
        if all(plan.cards[name].place == place for name, place in places.items()):
            return
        edit = lay_edit(desk.rig_id, plan.unplaced, plan.laid(places), words)
        desk.edit(edit.words, edit.change)

    # -- copying -------------------------------------------------------------------------------

    def copy(self) -> None:
        """Put the selected units, with the cables between them, on the clipboard."""
        if names := self.chosen():
            QGuiApplication.clipboard().setMimeData(scrap_data(self._scrap(names)))

    def cut(self) -> None:
        """Put the selected units on the clipboard and take them out."""
        if self.chosen():
            self.copy()
            self._sheet.delete_selection()

    def paste(self) -> None:
        """Put the units on the clipboard into this rig, in view, and select them."""
        try:
            scrap = scrap_of(QGuiApplication.clipboard().mimeData())
        except LoomwrightError as refusal:
            self._sheet.desk.refused.emit(refusal.sentence)
            return
        if scrap is None:
            sentence = "there are no units on the clipboard: select some, copy them, and paste them here"
            self._sheet.desk.refused.emit(QCoreApplication.translate("PatchSheet", sentence))
            return
        self._put_in(scrap, _words("Paste units"))

    def duplicate(self) -> None:
        """Put a second of each selected unit beside them, with the cables between them."""
        if names := self.chosen():
            self._put_in(self._scrap(names), _words("Duplicate units"))

    def _scrap(self, names: list[str]) -> Scrap:
        desk, units = self._sheet.desk, self._sheet.patch.plan.units
        return cut_out(desk.book, desk.rig_id, names, {name: units[name].place for name in names})

    def _put_in(self, scrap: Scrap, words: str) -> None:
        sheet, desk = self._sheet, self._sheet.desk
        unplaced, rig_id, shipped = sheet.patch.plan.unplaced, desk.rig_id, desk.shipped

        def change(book: Book) -> Book:
            settled = move_cards(book, rig_id, unplaced) if unplaced else book
            return paste(settled, rig_id, new, shipped)

        try:
            new = renewed(desk.book, rig_id, scrap, self._room_for(scrap))
        except LoomwrightError as refusal:
            desk.refused.emit(refusal.sentence)
            return
        if desk.edit(words, change):
            things = [Thing("unit", unit.id) for unit in new.units]
            desk.select(things)
            sheet.bring_into_view([sheet.patch.area_of(thing) for thing in things])

    def _room_for(self, scrap: Scrap) -> tuple[float, float]:
        """Return how far pasted cards are shifted: into view, and off those that lie exactly there."""
        places = {(unit.card_x, unit.card_y) for unit in scrap.units if unit.card_x is not None}
        laid = [(x, y) for x, y in places if x is not None and y is not None]
        if not laid:
            return 0.0, 0.0
        seen = self._sheet.mapToScene(self._sheet.viewport().rect()).boundingRect()
        by_x = by_y = 0.0
        if not any(seen.contains(x, y) for x, y in laid):
            by_x = round((seen.center().x() - sum(x for x, _ in laid) / len(laid)) / GRID) * GRID
            by_y = round((seen.center().y() - sum(y for _, y in laid) / len(laid)) / GRID) * GRID
        plan = self._sheet.patch.plan
        taken = {card.place for card in (*plan.units.values(), *plan.cards.values())}
        while any((x + by_x, y + by_y) in taken for x, y in laid):
            by_x, by_y = by_x + _ASIDE, by_y + _ASIDE
        return by_x, by_y

    # -- tidying and looking ---------------------------------------------------------------------

    def tidy(self) -> None:
        """Lay all cards anew, from the sources down to the house line, in one step."""
        sheet, plan = self._sheet, self._sheet.patch.plan
        before = {name: card.place for name, card in plan.cards.items()}
        if not before:
            return
        self._lay(tidy_places(rig_of(plan), _corner(before.values())), _words("Tidy the sheet"))
        moved = [name for name, card in sheet.patch.plan.cards.items() if before.get(name) != card.place]
        if not moved:
            return
        sheet.zoom_to_fit()
        if len(moved) <= MOST_CARDS and wants_motion() and sheet.isVisible():
            sheet.show_glide(Glide(sheet, sheet.patch.units, before, sheet.glide_on))

    def zoom_to_selection(self) -> None:
        """Show what is selected as large as it goes, at 200 % at most; the whole sheet where nothing is."""
        sheet, area = self._sheet, QRectF()
        for thing in sheet.desk.selection:
            area = area.united(sheet.patch.area_of(thing))
        if area.isEmpty():
            sheet.zoom_to_fit()
            return
        area = area.adjusted(-_ASIDE, -_ASIDE, _ASIDE, _ASIDE)
        fit = min(sheet.viewport().width() / area.width(), sheet.viewport().height() / area.height())
        sheet.set_zoom(min(2.0, fit / sheet.base_scale))
        sheet.centerOn(area.center())


def _corner(laid: Collection[Point]) -> Point:
    return Point(min(place.x for place in laid), min(place.y for place in laid))


def rig_of(plan: SheetPlan) -> Rig:
    """Return what is to be laid out of a sheet's plan."""
    cards = {name: placed.card for name, placed in plan.cards.items()}
    tiles = [tile.text.socket for tile in plan.rows.tiles]
    feeding = {name for name, placed in plan.cards.items() if placed.only_feeds}
    strands, landings = [], []
    for cable in plan.cables.values():
        first, last = cable.plugs[0], cable.plugs[-1]
        if not isinstance(cable.end, str):
            if cable.is_signal:
                strands.append(Strand(first[0], last[0], _share(cards, first), _share(cards, last)))
        elif cable.end in tiles:
            landings.append((first[0], _share(cards, first), (tiles.index(cable.end) + 0.5) / len(tiles)))
    return Rig(cards, strands, landings, feeding)


def _share(cards: Mapping[str, Card], socket: Socket) -> float:
    """Return where along a card's width a port lies."""
    card = cards.get(socket[0])
    spot = card.spot(socket[1]) if card else None
    return spot.at.x / card.width if card and spot else 0.5
