"""The menu that opens on the Patch sheet itself: what can be done with what lies there."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QPoint, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtWidgets import QMenu

from app.canvas.hits import Hit

if TYPE_CHECKING:
    from app.canvas.patch_view import PatchSheet

Offer = tuple[str, Callable[[], object]]


def _words(text: str) -> str:
    return QCoreApplication.translate("PatchSheet", text)


def open_menu(sheet: PatchSheet, event: QContextMenuEvent) -> QMenu | None:
    """Open the menu where the mouse is, or where the keyboard is; none where nothing can be done."""
    hit, at = _asked_about(sheet, event)
    offers = offers_at(sheet, hit)
    if not offers:
        return None
    menu = QMenu(sheet)
    menu.setObjectName("sheet-menu")
    menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    for words, call in offers:
        menu.addAction(words.replace("&", "&&")).triggered.connect(lambda _on=False, call=call: call())
    menu.popup(sheet.viewport().mapToGlobal(at))
    return menu


def _asked_about(sheet: PatchSheet, event: QContextMenuEvent) -> tuple[Hit, QPoint]:
    if event.reason() == QContextMenuEvent.Reason.Keyboard:
        hit = sheet.keys.here
        return hit, sheet.mapFromScene(sheet.patch.place_of(hit).center())
    return sheet.patch.hit(sheet.mapToScene(event.pos())), event.pos()


def offers_at(sheet: PatchSheet, hit: Hit) -> Sequence[Offer]:
    """Return what can be done with what was hit, or with what is chosen where nothing was; what was hit is chosen."""
    things = sheet.patch.things(hit)
    if things and not set(things) <= set(sheet.desk.selection):
        sheet.desk.select(things)
    if not sheet.desk.selection:
        return ()
    offers: list[Offer] = list(sheet.folding.offers())
    card = hit.id if hit.kind in ("unit", "tape") else ""
    if card:
        offers.append((_words("Rename"), lambda: sheet.rename(card)))
    if sheet.commands.chosen():
        offers += [(_words("Copy"), sheet.commands.copy), (_words("Duplicate"), sheet.commands.duplicate)]
    return [*offers, (_words("Delete"), sheet.delete_selection)]
