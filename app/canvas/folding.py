"""Folding on the Patch sheet: a rack into one card, a loom into one trunk, and back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
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
from rigcore.book.edits.folds import fold_loom, fold_rack, unfold_loom, unfold_rack
from rigcore.book.edits.units import move_cards, rename_unit
from rigcore.book.rig import Case, Loom, Rig
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

    # -- the commands ----------------------------------------------------------------------------

    def fold_rack(self) -> None:
        """Draw the racks of the chosen units as one card each."""
        racks = [case for case in racks_of(self._rig, self._sheet.desk.selection) if case.fold is None]
        self._try(self._fold_racks, racks, "choose a unit that is packed in a case first; its details say in which")

    def fold_loom(self) -> None:
        """Draw the looms of the chosen cables as one trunk each."""
        looms = [loom for loom in looms_of(self._rig, self._sheet.desk.selection) if not loom.folded]
        self._try(self._fold_looms, looms, "choose a cable that lies in a loom first; its details say in which")

    def unfold(self) -> None:
        """Draw the chosen folded racks as their units again; where there are none, the chosen looms as their cables."""
        things = self._sheet.desk.selection
        racks = [case for case in racks_of(self._rig, things) if case.fold is not None]
        looms = [loom for loom in looms_of(self._rig, things) if loom.folded]
        if racks:
            self._unfold_racks(racks)
        else:
            self._try(self._unfold_looms, looms, "choose a folded rack or a folded loom first")

    def toggle(self, hit: Hit) -> None:
        """Unfold the rack or loom that was hit, or fold that of the unit or cable."""
        things = self._sheet.patch.things(hit)
        if hit.kind in ("unit", "tape"):
            for case in racks_of(self._rig, things):
                (self._fold_racks if case.fold is None else self._unfold_racks)([case])
        elif hit.kind == "cable":
            for loom in looms_of(self._rig, things):
                (self._unfold_looms if loom.folded else self._fold_looms)([loom])

    def offers(self) -> list[tuple[str, Callable[[], object]]]:
        """Return what of the chosen things can be folded or unfolded, in words, with what does it."""
        things = self._sheet.desk.selection
        racks, looms = racks_of(self._rig, things), looms_of(self._rig, things)
        kinds: tuple[tuple[str, Sequence[Case | Loom], Callable[..., None]], ...] = (
            ("Fold {}", [case for case in racks if case.fold is None], self._fold_racks),
            ("Unfold {}", [case for case in racks if case.fold is not None], self._unfold_racks),
            ("Fold {}", [loom for loom in looms if not loom.folded], self._fold_looms),
            ("Unfold {}", [loom for loom in looms if loom.folded], self._unfold_looms),
        )
        return [(_words(words).format(_names(some)), partial(do, some)) for words, some, do in kinds if some]

    # -- one step each ---------------------------------------------------------------------------

    def _fold_racks(self, racks: Sequence[Case]) -> None:
        plan = self._sheet.patch.plan
        taken = places_taken(plan, racks)
        places: dict[str, Point] = {}
        for case in racks:
            card = self._sheet.patch.measure_rack(case.id)
            places[case.id] = place_of_rack(plan, case.id, card, taken)
            taken.append(card.box_at(places[case.id]))

        def fold(book: Book, rig_id: str, case_id: str) -> Book:
            return fold_rack(book, rig_id, case_id, places[case_id])

        self._step("Fold {}", racks, fold)
        self._sheet.desk.select([Thing("unit", unit.id) for unit in self._rig.units if unit.case in places])

    def _unfold_racks(self, racks: Sequence[Case]) -> None:
        self._step("Unfold {}", racks, unfold_rack)

    def _fold_looms(self, looms: Sequence[Loom]) -> None:
        self._step("Fold {}", looms, fold_loom)

    def _unfold_looms(self, looms: Sequence[Loom]) -> None:
        self._step("Unfold {}", looms, unfold_loom)

    def _step(self, words: str, some: Sequence[Case | Loom], one: Callable[[Book, str, str], Book]) -> None:
        """Do something with some racks or looms, every card staying where it lies, as one step."""
        rig_id, unplaced = self._sheet.desk.rig_id, self._sheet.patch.plan.unplaced

        def change(book: Book) -> Book:
            book = move_cards(book, rig_id, unplaced) if unplaced else book
            for it in some:
                book = one(book, rig_id, it.id)
            return book

        self._sheet.do(Edit(_words(words).format(_names(some)), change))

    def _try(self, step: Callable[..., None], some: Sequence[Case | Loom], refusal: str) -> None:
        if some:
            step(some)
        else:
            self._sheet.desk.refused.emit(QCoreApplication.translate("PatchSheet", refusal))


def _names(some: Iterable[Case | Loom]) -> str:
    return ", ".join(one.name for one in some)


def racks_of(rig: Rig, things: Iterable[Thing]) -> list[Case]:
    """Return the cases the units among some things are packed in."""
    chosen = {one.id for one in things if one.kind == "unit"}
    packed = {unit.case for unit in rig.units if unit.id in chosen}
    return [case for case in rig.cases if case.id in packed]


def looms_of(rig: Rig, things: Iterable[Thing]) -> list[Loom]:
    """Return the looms the links among some things lie in; a port or a unit means the cables plugged in there."""
    things = set(things)
    lying = set()
    for link in rig.links:
        ends = (link.source, link.target)
        here = {Thing("link", link.id), *(Thing("unit", end.unit, end.port) for end in ends)}
        if not things.isdisjoint(here | {Thing("unit", end.unit) for end in ends}):
            lying.add(link.loom)
    return [loom for loom in rig.looms if loom.id in lying]


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
