"""How much a frame of the Patch sheet costs beside a bare painter drawing the same cables and cards.

Run ``python tests/bench/canvas.py``. Prints, for 60 cards with 204 cables and for
300 with 1,020, at 100 % and with the whole sheet in view, the median and the
slowest of 21 frames of panning, zooming and dragging a 16-channel mixer with all
its cables, and the ratio to the bare painter of the same run; then what one edit
costs until the scene shows it, and the first drawing of the window. Frames are
painted offscreen, by raster, in a window of 1280 × 800; times are those of the
process, so that what else the machine does counts little. Nothing is asserted.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))

from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen, QWheelEvent
from PySide6.QtWidgets import QApplication

from app.__main__ import application
from app.canvas.cable_item import way_path
from app.canvas.gestures.gesture import Pointer
from app.canvas.gestures.move_cards import MoveCards
from app.canvas.patch_view import PatchSheet
from app.desk import Desk
from rigcore.book.edits.units import move_cards
from rigcore.catalogue.loader import shipped
from tests.bench.analysis import big_book

FRAMES = 21
HELD = "mixer-0"


def bare(sheet: PatchSheet) -> Callable[[], None]:
    """Return a painter of the same cables and cards, as one would without a program around it."""
    image = QImage(sheet.viewport().size(), QImage.Format.Format_ARGB32_Premultiplied)
    items = sheet.patch.cables.values()
    cables = [(way_path(item.way), QPen(QColor(sheet.theme.line), item.cable.look.width)) for item in items]
    cards = [QRectF(*card.place, card.card.width, card.card.height) for card in sheet.patch.plan.cards.values()]
    faces = [QPointF(*spot.at) + QPointF(*card.place) for card in sheet.patch.plan.cards.values()
             for spot in card.card.spots]  # fmt: skip

    def paint() -> None:
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(image.rect(), QColor(sheet.theme.sheet))
        painter.setWorldTransform(sheet.viewportTransform())
        for path, pen in cables:
            painter.setPen(pen)
            painter.drawPath(path)
        painter.setPen(QPen(QColor(sheet.theme.card_edge), 1.2))
        painter.setBrush(QColor(sheet.theme.card))
        for card in cards:
            painter.drawRoundedRect(card, 7, 7)
        for face in faces:
            painter.drawEllipse(face, 9, 9)
        painter.end()

    return paint


def panning(sheet: PatchSheet) -> Iterator[None]:
    """Move the paper by 24 dots a frame, as a hand does, to and fro."""
    bar = sheet.horizontalScrollBar()
    for number in range(FRAMES):
        sheet.hurry()
        bar.setValue(bar.value() + (24 if number < FRAMES // 2 else -24))
        yield


def zooming(sheet: PatchSheet) -> Iterator[None]:
    """Turn the wheel about the middle of the window, in and out."""
    middle = QPointF(sheet.viewport().rect().center())
    for number in range(FRAMES):
        turn = QPoint(0, 60 if number % 8 < 4 else -60)
        event = QWheelEvent(
            middle, middle, QPoint(), turn, Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase, False,
        )  # fmt: skip
        sheet.wheelEvent(event)
        yield


def dragging(sheet: PatchSheet) -> Iterator[None]:
    """Carry a mixer with all its cables across the sheet; nothing is decided."""
    item = sheet.patch.units[HELD]
    at = item.pos() + QPointF(20, 20)
    gesture = MoveCards(sheet.desk, sheet.patch, [HELD], HELD)
    sheet.begin(gesture, Pointer(at, sheet.mapFromScene(at)))
    for number in range(FRAMES):
        at += QPointF(16, 8 if number % 4 < 2 else -8)
        sheet.hurry(at=sheet.mapFromScene(at))
        gesture.move(Pointer(at, sheet.mapFromScene(at)))
        yield
    sheet.cancel_gesture()


def frames(sheet: PatchSheet, steps: Iterator[None]) -> list[float]:
    """Return the milliseconds from each step to its finished paint; between frames the window may draw on."""
    found = []
    while True:
        start = time.process_time()
        if next(steps, "end") == "end":
            return found
        sheet.viewport().repaint()
        found.append((time.process_time() - start) * 1000)
        QApplication.processEvents()


def timed(work: Callable[[], object], runs: int) -> list[float]:
    """Return the milliseconds of some runs."""
    found = []
    for _ in range(runs):
        start = time.process_time()
        work()
        found.append((time.process_time() - start) * 1000)
    return found


def measure(groups: int) -> None:
    """Print everything about one size."""
    desk = Desk(shipped())
    desk.take(big_book(groups), None)
    sheet = PatchSheet(desk)
    sheet.resize(1280, 800)
    sheet.show()
    settle(sheet)
    plan = sheet.patch.plan
    print(f"\n{len(plan.cards)} cards, {len(plan.cables)} cables")
    for words, zoom in (("100 %", 1.0), ("whole sheet", None)):
        look_at(sheet, zoom)
        floor = statistics.median(timed(bare(sheet), 9))
        sheet.picture.forget()
        first = timed(sheet.viewport().repaint, 1)[0]
        print(f"  {words}: bare painter {floor:.1f} ms; first drawing {first:.0f} ms")
        for name, gesture in (("pan", panning), ("zoom", zooming), ("drag", dragging)):
            look_at(sheet, zoom)
            settle(sheet)
            found = frames(sheet, gesture(sheet))
            middle = statistics.median(found)
            print(f"    {name:5} {middle:5.1f} ms, slowest {max(found):5.1f} ms; {middle / floor:.2f} × bare")
    edits(desk, sheet)
    sheet.deleteLater()


def look_at(sheet: PatchSheet, zoom: float | None) -> None:
    """Show the whole sheet, or the dragged mixer at a zoom."""
    if zoom is None:
        sheet.zoom_to_fit()
    else:
        sheet.set_zoom(zoom)
        sheet.centerOn(sheet.patch.units[HELD])


def settle(sheet: PatchSheet) -> None:
    """Let the window draw its margin."""
    end = time.monotonic() + 1.5
    while time.monotonic() < end:
        QApplication.processEvents()


def edits(desk: Desk, sheet: PatchSheet) -> None:
    """Print what edits cost from the book to the scene."""
    rig, plan = desk.rig_id, sheet.patch.plan
    laid = {name: card.place for name, card in plan.cards.items()}
    desk.edit("Lay", lambda book: move_cards(book, rig, laid))
    spent = []
    for number in range(9):
        x, y = laid[HELD]
        spent += timed(lambda x=x + 8 * number, y=y: desk.edit("", lambda b: move_cards(b, rig, {HELD: (x, y)})), 1)
    alone = statistics.median(timed(lambda: move_cards(desk.book, rig, {HELD: laid[HELD]}), 9))
    print(f"  one edit to the scene: {statistics.median(spent):.0f} ms, of it the book {alone:.1f} ms")


def main() -> None:
    """Measure both sizes."""
    application()
    for groups in (6, 30):
        measure(groups)


if __name__ == "__main__":
    main()
