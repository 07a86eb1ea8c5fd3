"""Folding on the Patch sheet: a rack into one card, and back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication

from app.canvas.gestures.gesture import Edit
from app.canvas.gestures.move_cards import GRID
from app.canvas.hits import Hit
from app.canvas.layout import Box, Card, Point
from app.canvas.patch_plan import SheetPlan
from app.canvas.placed import AnyCard, PlacedRack
from app.canvas.places import free_place
from rigcore.book.book import Book
from rigcore.book.edits.cases import change_case
from rigcore.book.edits.folds import fold_rack, unfold_rack
from rigcore.book.edits.units import move_cards, rename_unit
from rigcore.book.rig import Case, Rig
from rigcore.rules.rule import Thing

if TYPE_CHECKING:
    from app.canvas.patch_view import PatchSheet


def _words(text: str) -> str:
    return QCoreApplication.translate("Edits", text)


class Folding:
    """The folding commands of one sheet: each is one step, or says why there is nothing to fold."""

    def __init__(self, sheet: PatchSheet) -> None:
        self._sheet = sheet

    @property
    def _rig(self) -> Rig:
        desk = self._sheet.desk
        return desk.book.rig(desk.rig_id)

    def fold_rack(self) -> None:
        """Draw the racks of the chosen units as one card each."""
        racks = [case for case in racks_of(self._rig, self._sheet.desk.selection) if case.fold is None]
        if not racks:
            self._refuse("choose a unit that is packed in a case first; its details say in which it is")
            return
        self._fold_racks(racks)

    def unfold(self) -> None:
        """Draw the chosen folded racks as their units again."""
        racks = [case for case in racks_of(self._rig, self._sheet.desk.selection) if case.fold is not None]
        if not racks:
            self._refuse("choose a folded rack first")
            return
        self._do(_words("Unfold {}"), racks, {case.id: None for case in racks})

    def offers(self) -> list[tuple[str, Callable[[], object]]]:
        """Return what of the chosen things can be folded or unfolded, in words, with what does it."""
        racks = racks_of(self._rig, self._sheet.desk.selection)
        open_racks, closed = ([one for one in racks if (one.fold is None) == is_open] for is_open in (True, False))
        found: list[tuple[str, Callable[[], object]]] = []
        if open_racks:
            found.append((_words("Fold {}").format(_names(open_racks)), self.fold_rack))
        if closed:
            found.append((_words("Unfold {}").format(_names(closed)), self.unfold))
        return found

    def toggle(self, hit: Hit) -> None:
        """Unfold the rack that was hit, or fold that of the unit."""
        things = self._sheet.patch.things(hit)
        racks = racks_of(self._rig, things) if hit.kind in ("unit", "tape") else []
        if racks and hit.id in self._sheet.patch.plan.units:
            self._fold_racks(racks)
        elif racks:
            self._do(_words("Unfold {}"), racks, {case.id: None for case in racks})

    def _fold_racks(self, racks: Sequence[Case]) -> None:
        plan, places = self._sheet.patch.plan, {}
        taken = places_taken(plan, racks)
        for case in racks:
            card = self._sheet.patch.measure_rack(case.id)
            places[case.id] = place_of_rack(plan, case.id, card, taken)
            taken.append(card.box_at(places[case.id]))
        self._do(_words("Fold {}"), racks, places)
        self._sheet.desk.select([Thing("unit", unit.id) for unit in self._rig.units if unit.case in places])

    def _do(self, words: str, racks: Sequence[Case], places: Mapping[str, Point | None]) -> None:
        """Fold racks at their places, or unfold those without one, in one step."""
        rig_id, unplaced = self._sheet.desk.rig_id, self._sheet.patch.plan.unplaced

        def change(book: Book) -> Book:
            book = move_cards(book, rig_id, unplaced) if unplaced else book
            for case_id, at in places.items():
                book = unfold_rack(book, rig_id, case_id) if at is None else fold_rack(book, rig_id, case_id, at)
            return book

        self._sheet.do(Edit(words.format(_names(racks)), change))

    def _refuse(self, sentence: str) -> None:
        self._sheet.desk.refused.emit(QCoreApplication.translate("PatchSheet", sentence))


def _names(racks: Iterable[Case]) -> str:
    return ", ".join(case.name for case in racks)


def racks_of(rig: Rig, things: Iterable[Thing]) -> list[Case]:
    """Return the cases the units among some things are packed in."""
    chosen = {one.id for one in things if one.kind == "unit"}
    packed = {unit.case for unit in rig.units if unit.id in chosen}
    return [case for case in rig.cases if case.id in packed]


def places_taken(plan: SheetPlan, racks: Sequence[Case]) -> list[Box]:
    """Return the boxes of the cards that stay when some racks are folded."""
    gone = {case.id for case in racks}
    return [one.box for one in plan.cards.values() if isinstance(one, PlacedRack) or one.unit.case not in gone]


def place_of_rack(plan: SheetPlan, case_id: str, card: Card, taken: Sequence[Box]) -> Point:
    """Return where a rack's card goes: about the middle of its units, and over no other card."""
    boxes = [one.box for one in plan.units.values() if one.unit.case == case_id]
    middle_x = (min(box.left for box in boxes) + max(box.right for box in boxes)) / 2
    middle_y = (min(box.top for box in boxes) + max(box.bottom for box in boxes)) / 2
    wish = Point(_on_grid(middle_x - card.width / 2), _on_grid(middle_y - card.height / 2))
    place = free_place(card, wish, taken)
    return Point(_on_grid(place.x, up=True), _on_grid(place.y, up=True))


def _on_grid(at: float, *, up: bool = False) -> float:
    return -(-at // GRID) * GRID if up else round(at / GRID) * GRID


def rename_edit(rig_id: str, placed: AnyCard, name: str) -> Edit:
    """Return the edit that gives a unit, or a folded rack's case, another name."""
    if isinstance(placed, PlacedRack):
        case_id = placed.case.id
        return Edit(_words("Rename case"), lambda book: change_case(book, rig_id, case_id, name=name.strip()))
    unit_id = placed.unit.id
    return Edit(
        QCoreApplication.translate("PatchSheet", "Rename unit"), lambda book: rename_unit(book, rig_id, unit_id, name)
    )
