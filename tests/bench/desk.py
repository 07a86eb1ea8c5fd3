"""How long an edit takes to become findings, and what a check beside the interface thread does to frames.

Run ``python tests/bench/desk.py``. First: from ``desk.edit`` to ``analysed`` for
a rename, a move and a plug, at 60 units with 120 cables and at 300 with 1,000,
p50 and p95, with the ratio to bare ``analyse`` of the same books, taken by turns.
The ratio of times on the clock says what the desk adds; the time of the process
says what the machine would take were nothing else on it. Then: frames of the Patch
sheet at 300 units, idle and while checks run one after another. Nothing is asserted.
"""

from __future__ import annotations

import gc
import os
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))

from PySide6.QtCore import QEventLoop
from PySide6.QtWidgets import QApplication

from app.__main__ import application
from app.beside import Beside
from app.canvas.patch_view import PatchSheet
from app.desk import Desk
from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.edits.links import plug, remove_links
from rigcore.book.edits.units import move_cards, rename_unit
from rigcore.book.ids import PortRef
from rigcore.catalogue.loader import shipped
from rigcore.catalogue.record import changed
from tests.bench.analysis import big_book

ROUNDS = 14
FRAMES = 120
FRAME_MS = 16.0

Edit = Callable[[Book, int], Book]
Spent = tuple[float, float]
"""Milliseconds on the clock, and of the process."""


def rig_of(groups: int, links_a_group: int) -> Book:
    """Return groups of ten units with so many cables each."""
    book, cut = big_book(groups), []
    rig = book.rig("rig")
    for group in range(groups):
        mine = [link for link in rig.links if link.id.endswith(f"-{group}")]
        cut += mine[:links_a_group]
    return changed(book, rigs=(changed(rig, links=tuple(cut)),))


def rename(book: Book, turn: int) -> Book:
    """Give a keyboard another name."""
    return rename_unit(book, "rig", "keys-1", f"Keys {turn}")


def move(book: Book, turn: int) -> Book:
    """Shift a card."""
    return move_cards(book, "rig", {"mixer-1": (40.0 + 8 * turn, 200.0)})


def plug_in(book: Book, turn: int) -> Book:
    """Plug a cable that was not there, or pull it."""
    found = [link for link in book.rig("rig").links if link.source == PortRef(unit="ears-0", port="main-r")]
    if found:
        return remove_links(book, "rig", [found[0].id])
    ends = (PortRef(unit="ears-0", port="main-r"), PortRef(unit="mixer-0", port="in-16"))
    return plug(book, "rig", ends, shipped())


def spent(work: Callable[[], object]) -> Spent:
    """Return what a piece of work takes."""
    clock, own = time.perf_counter(), time.process_time()
    work()
    return (time.perf_counter() - clock) * 1e3, (time.process_time() - own) * 1e3


def told(desk: Desk, edit: Edit, turn: int) -> None:
    """Make an edit and wait until its findings are told."""
    heard: list[object] = []
    link = desk.analysed.connect(heard.append)
    desk.edit("bench", lambda book: edit(book, turn))
    while not heard:
        QApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
    desk.analysed.disconnect(link)


def at(share: float, times: Sequence[float]) -> float:
    """Return a percentile."""
    return sorted(times)[min(len(times) - 1, int(share * len(times)))]


def edits(groups: int, links_a_group: int) -> None:
    """Print edit to findings against bare analyse."""
    desk = Desk(shipped())
    desk.take(rig_of(groups, links_a_group), None)
    rig = desk.book.rig("rig")
    told(desk, rename, 0)
    print(f"\n{len(rig.units)} units, {len(rig.links)} cables: edit to findings")
    print("         clock ms p50    p95   own ms p50    p95   bare own p50    p95   own/own  clock/clock")
    for name, edit in (("rename", rename), ("move", move), ("plug", plug_in)):
        ours: list[Spent] = []
        bare: list[Spent] = []
        for turn in range(1, ROUNDS + 1):
            ours.append(spent(lambda edit=edit, turn=turn: told(desk, edit, turn)))
            bare.append(spent(lambda: analyse(desk.book, desk.gig_id, shipped())))
        clock, own = zip(*ours, strict=True)
        bare_clock, bare_own = zip(*bare, strict=True)
        print(
            f"{name:8} {at(0.5, clock):12.1f} {at(0.95, clock):6.1f} {at(0.5, own):12.1f} {at(0.95, own):6.1f} "
            f"{at(0.5, bare_own):14.1f} {at(0.95, bare_own):6.1f} {at(0.5, own) / at(0.5, bare_own):9.2f} "
            f"{at(0.5, clock) / at(0.5, bare_clock):12.2f}"
        )


def frame(sheet: PatchSheet, turn: int) -> float:
    """Pan a little and paint; return the milliseconds on the clock."""
    bar, begun = sheet.horizontalScrollBar(), time.perf_counter()
    bar.setValue(bar.value() + (9 if turn % 40 < 20 else -9))
    sheet.viewport().repaint()
    return (time.perf_counter() - begun) * 1e3


def frames(sheet: PatchSheet, *, checked: bool) -> None:
    """Print what frames take, with one check after another beside them or none, and how long a check takes then."""
    desk, beside = sheet.desk, Beside()
    taken: list[float] = []
    answers: list[float] = []
    beside.ended.connect(lambda run: answers.append((time.perf_counter() - run.about[0]) * 1e3))
    turn, asked = 0, -1
    while len(taken) < FRAMES or (checked and len(answers) < 5):
        if checked and len(answers) > asked:
            asked = len(answers)
            beside.wish((time.perf_counter(),), lambda: analyse(desk.book, desk.gig_id, shipped()))
        begun = time.perf_counter()
        taken.append(frame(sheet, turn))
        while time.perf_counter() - begun < FRAME_MS / 1e3:
            QApplication.processEvents()
            time.sleep(0.001)
        turn += 1
    late = sum(one > FRAME_MS for one in taken)
    words = f"   check answered p50 {at(0.5, answers):5.0f} ms, slowest {max(answers):5.0f}" if answers else ""
    print(
        f"{'checks beside' if checked else 'idle':15} p50 {at(0.5, taken):5.1f}  p95 {at(0.95, taken):5.1f}  "
        f"slowest {max(taken):5.1f} ms   over 16 ms: {late} of {len(taken)}{words}"
    )


def main() -> None:
    """Print all of it."""
    application()
    shipped()
    gc.collect()
    gc.freeze()
    edits(6, 20)
    edits(30, 34)
    desk = Desk(shipped())
    desk.take(rig_of(30, 34), None)
    sheet = PatchSheet(desk)
    sheet.resize(1280, 800)
    sheet.show()
    desk.analysis()
    for turn in range(20):
        frame(sheet, turn)
        QApplication.processEvents()
    gc.collect()
    gc.freeze()
    print("\nframes of the Patch sheet at 300 units, 1,020 cables")
    frames(sheet, checked=False)
    frames(sheet, checked=True)
    frames(sheet, checked=False)


if __name__ == "__main__":
    main()
