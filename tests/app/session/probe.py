"""The program as users start it, with a pair of eyes beside: where named things are on the screen, written to a file.

``python -m tests.app.session.probe FILE``. A timer looks ten times a second; nothing
is pressed, changed or called from here. What a session does to the program comes
from the display's mouse and keyboard alone.
"""

from __future__ import annotations

import itertools
import json
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from PySide6.QtCore import QPointF, QTimer
from PySide6.QtWidgets import QApplication, QTabBar, QWidget

from app.__main__ import application, run
from app.canvas.patch_view import PatchSheet
from app.panes.shelf import GEAR
from app.window import MainWindow
from rigcore.book.ids import PortRef

EVERY_MS = 100

Place = tuple[int, int]


def centre(widget: QWidget) -> Place:
    """Return the middle of a widget on the screen."""
    at = widget.mapToGlobal(widget.rect().center())
    return at.x(), at.y()


def on_sheet(sheet: PatchSheet, at: QPointF) -> Place:
    """Return a place of the sheet on the screen."""
    found = sheet.viewport().mapToGlobal(sheet.mapFromScene(at))
    return found.x(), found.y()


def fields(top: QWidget) -> Iterator[tuple[str, Place]]:
    """Yield what can be typed into or pressed, by its name, as far as it is in view."""
    for one in top.findChildren(QWidget):
        name = one.objectName() or one.accessibleName() or str(one.property("text") or "")
        if name and one.isVisible() and not one.visibleRegion().isEmpty():
            at = one.mapToGlobal(one.visibleRegion().boundingRect().center())
            yield name, (at.x(), at.y())
    for bar in top.findChildren(QTabBar):
        for place in range(bar.count() if bar.isVisible() else 0):
            at = bar.mapToGlobal(bar.tabRect(place).center())
            yield f"tab {bar.tabText(place)}", (at.x(), at.y())


def gear_rows(window: MainWindow) -> Iterator[tuple[str, Place]]:
    """Yield the gear types that are in view on the shelf."""
    tree = window.shelf.tree
    for heading in (tree.topLevelItem(at) for at in range(tree.topLevelItemCount())):
        for item in (heading.child(at) for at in range(heading.childCount())):
            box = tree.visualItemRect(item)
            if not item.isHidden() and tree.viewport().rect().contains(box.center()) and not box.isEmpty():
                at = tree.viewport().mapToGlobal(box.center())
                yield str(item.data(0, GEAR)), (at.x(), at.y())


def sheet_things(sheet: PatchSheet) -> dict[str, dict[str, Place]]:
    """Return where cards, faces, tiles and cables are; units by their gear type."""
    scene = sheet.patch
    gear = {name: card.gear.id for name, card in scene.plan.cards.items()}
    cards, faces, cables = {}, {}, {}
    for name, card in scene.plan.cards.items():
        tape = card.card.tape
        middle = QPointF(card.place.x + (tape.left + tape.right) / 2, card.place.y + (tape.top + tape.bottom) / 2)
        cards[gear[name]] = on_sheet(sheet, middle)
        for spot in card.card.spots:
            face, _side = scene.face_at(PortRef(unit=name, port=spot.port))
            faces[f"{gear[name]} {spot.port}"] = on_sheet(sheet, QPointF(*face))
    for thing, way in scene.plan.ways.items():
        cable = scene.plan.cables[thing]
        pairs = itertools.pairwise(way)
        long = max(pairs, key=lambda pair: abs(pair[0].x - pair[1].x) + abs(pair[0].y - pair[1].y), default=None)
        if long is not None:
            at = QPointF((long[0].x + long[1].x) / 2, (long[0].y + long[1].y) / 2)
            cables[f"{gear[cable.start.unit]} {cable.start.port}"] = on_sheet(sheet, at)
    tiles = {one.text.socket: on_sheet(sheet, QPointF(*one.face)) for one in scene.plan.rows.tiles}
    corner = sheet.viewport().mapToGlobal(sheet.viewport().rect().topLeft())
    size = sheet.viewport().size()
    return {
        "cards": cards, "faces": faces, "tiles": tiles, "cables": cables,
        "sheet": {"corner": (corner.x(), corner.y()), "size": (size.width(), size.height())},
    }  # fmt: skip


def look() -> dict[str, Any]:
    """Return all that is seen now."""
    window = next((one for one in QApplication.topLevelWidgets() if isinstance(one, MainWindow)), None)
    if window is None or not window.isVisible():
        return {}
    dialog = QApplication.activeModalWidget()
    popup = QApplication.activePopupWidget()
    focus = QApplication.focusWidget()
    book = window.desk.book
    rig = book.rig(window.desk.rig_id)
    seen: dict[str, Any] = {
        "window": int(window.winId()),
        "dialog": int(dialog.winId()) if dialog is not None else 0,
        "popup": popup is not None,
        "focus": f"{type(focus).__name__} {focus.objectName()}" if focus is not None else "",
        "active": QApplication.activeWindow() is not None,
        "search": centre(window.shelf.search),
        "shelf": dict(gear_rows(window)),
        "fields": dict(fields(dialog if dialog is not None else window.details)),
        "edits": len(window.desk.history.past),
        "units": len(rig.units),
        "links": len(rig.links),
        "landings": len(book.gig(window.desk.gig_id).landings),
        "said": window.strip.words,
        "saved": str(window.desk.path or ""),
        "proposal": bool(getattr(window.sheets.currentWidget(), "can_take", False)),
    }
    sheet = window.sheets.currentWidget()
    if isinstance(sheet, PatchSheet):
        seen.update(sheet_things(sheet))
    return seen


def main(path: Path) -> int:
    """Run the program until it is left."""
    app = application()
    eyes = QTimer(app)

    def write() -> None:
        fresh = path.with_suffix(".new")
        fresh.write_text(json.dumps(look()), encoding="utf-8")
        os.replace(fresh, path)

    eyes.timeout.connect(write)
    eyes.start(EVERY_MS)
    return run(None)


if __name__ == "__main__":
    raise SystemExit(main(Path(sys.argv[1])))
