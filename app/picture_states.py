"""What the window can be photographed in: states as one table. Nothing here takes a picture."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from PySide6.QtCore import QPoint, QPointF
from PySide6.QtWidgets import QApplication, QScrollArea

from app.panes.packet_preview import PacketSheet
from app.sheets import SHEETS
from rigcore import resources
from rigcore.book.ids import PortRef
from rigcore.rules.rule import Thing

if TYPE_CHECKING:
    from app.window import MainWindow
    from rigcore.book.book import Book

ALL = tuple(sheet.id for sheet in SHEETS)
MANY = 120
"""Units of the crowded rig, at least."""
SAMPLE = "ferry"
NO_PLUG = (PortRef(unit="tablet", port="phones"), PortRef(unit="speaker-l", port="in"))
"""Two ports of the solo sample that no cable joins."""
FADE_S = 0.3
"""How long the toolkit takes at most to fade in the cross of a field."""
RACKED = ("di-6-way", "splitter", "in-ear-mixer")
"""Units of the sample that travel in one rack."""
MAINS = (PortRef(unit="riser-strip", port="outlet-1"), PortRef(unit="in-ear-mixer", port="mains"))


class State(Struct, frozen=True):
    """Something the window can be in: how it gets there, and the sheets that show it."""

    name: str
    enter: Callable[[MainWindow], object]
    sheets: tuple[str, ...] = ("patch",)
    overlays: bool = False


def open_sample(window: MainWindow, sample: str = SAMPLE) -> None:
    """Open a sample as it is shipped."""
    window.files.open_sample(f"{sample}.loom")
    window.strip.clear()


def crowd(window: MainWindow) -> None:
    """Duplicate all of a rig until there are many, and tidy up."""
    open_sample(window)
    window.show_sheet("patch")
    sheet = window.sheets.page("patch")
    while len(window.desk.book.rig(window.desk.rig_id).units) < MANY:
        sheet.select_all()
        sheet.commands.duplicate()
    sheet.commands.tidy()
    sheet.end_glide()
    window.desk.select(())


def _damaged(window: MainWindow) -> None:
    """Ask for a book whose file is cut short, as by a full disk."""
    open_sample(window)
    whole = (resources.samples() / f"{SAMPLE}.loom").read_bytes()
    path = Path(window.kept.folder) / "cut-short.loom"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(whole[: len(whole) // 2])
    window.books.open_path(path)


def _first_steps(window: MainWindow) -> None:
    open_sample(window)
    window.view.first_steps()


def _trace(window: MainWindow) -> None:
    open_sample(window)
    window.show_sheet("patch")
    window.desk.select((_first_source(window),))
    window.sheets.page("patch").show_trace(True)


def _first_source(window: MainWindow) -> Thing:
    row = window.desk.analysis().inputs[0]
    return Thing("landing", row.hand_off)


def _tidy(window: MainWindow) -> None:
    open_sample(window)
    window.show_sheet("patch")
    sheet = window.sheets.page("patch")
    sheet.commands.tidy()
    sheet.end_glide()


def _fold(window: MainWindow, *, near: bool = False) -> None:
    """Pack the keys' boxes into one rack, tie the cables to it into a loom, and fold both."""
    from rigcore.book.edits.cases import pack, pack_in_new_case
    from rigcore.book.edits.links import bundle, plug

    open_sample(window)
    window.show_sheet("patch")
    QApplication.processEvents()
    desk, sheet = window.desk, window.sheets.page("patch")

    def packed(book: Book) -> Book:
        book = pack_in_new_case(book, desk.rig_id, RACKED[0], "Keys rack")
        case_id = book.rig(desk.rig_id).cases[-1].id
        for unit_id in RACKED[1:]:
            book = pack(book, desk.rig_id, unit_id, case_id)
        book = plug(book, desk.rig_id, MAINS, desk.shipped)
        links = [link.id for link in book.rig(desk.rig_id).links if link.target.unit == RACKED[0]]
        return bundle(book, desk.rig_id, links, "Keys loom")

    desk.edit("Pack the rack", packed)
    desk.select((Thing("unit", RACKED[0]),))
    sheet.folding.fold_rack()
    desk.select((Thing("unit", "keys-1"),))
    sheet.folding.fold_loom()
    sheet.commands.tidy()
    sheet.end_glide()
    desk.select((Thing("unit", RACKED[0]),))
    if near:
        sheet.commands.zoom_to_selection()
        sheet.set_zoom(1.0)
    window.strip.clear()


def _find(window: MainWindow) -> None:
    open_sample(window)
    window.show_sheet("patch")
    QApplication.processEvents()
    window.sheets.page("patch").open_find().line.insert("vo")
    shown = time.monotonic()
    while time.monotonic() - shown < FADE_S:
        QApplication.processEvents()


def _offers(window: MainWindow) -> None:
    """Draw a cable between two ports that do not take each other, and wait for what is offered."""
    from app.canvas.gestures.draw_cable import DrawCable
    from app.canvas.gestures.gesture import Pointer
    from app.canvas.hits import Hit

    open_sample(window, "piper")
    window.show_sheet("patch")
    QApplication.processEvents()
    sheet, pointer = window.sheets.page("patch"), Pointer(QPointF(), QPoint())
    one, other = (Hit("port", ref.unit, ref.port) for ref in NO_PLUG)
    gesture = DrawCable(window.desk, sheet.patch, one, sheet.theme)
    sheet.begin(gesture, pointer)
    gesture.hold_over(other, QPointF())
    sheet.gesture = None
    gesture.end(pointer)
    waiting = sheet.offered.wait.text()
    while sheet.offered.count() == 2 and sheet.offered.item(1).text() == waiting:
        QApplication.processEvents()


def _printed(window: MainWindow) -> None:
    """Show the plot as it will be printed."""
    open_sample(window)
    window.sheets.page("stage").show_print(True)


def _row_open(window: MainWindow, *, accept: bool = False) -> None:
    """Open the worst finding; or a risk, as far as the line for the reason."""
    open_sample(window)
    window.desk.check_now()
    window.findings.settle()
    risky = [row for row in window.findings.rows if row.finding.severity == "risk"]
    row = risky[0] if accept and risky else window.findings.rows[0]
    row.open(True)
    if accept:
        from app.panes.accepting import AcceptField

        field = row.findChildren(AcceptField)[-1]
        field.button.click()
        for _ in range(6):
            QApplication.processEvents()
        window.findings.findChild(QScrollArea).ensureWidgetVisible(field)


def _accepted(window: MainWindow) -> None:
    from app.panes.accepting import AcceptedRow
    from rigcore.book.edits.risks import accept_risk
    from rigcore.rules.accepted import acceptance, can_accept

    open_sample(window)
    for finding in window.desk.analysis().findings:
        if can_accept(finding):
            risk = acceptance(finding, window.desk.gig_id, "played so all summer")
            window.desk.edit("Accept a risk", lambda book, risk=risk: accept_risk(book, risk))
    window.desk.check_now()
    window.findings.settle()
    QApplication.processEvents()
    rows = window.findings.findChildren(AcceptedRow)
    scroll = window.findings.findChild(QScrollArea)
    scroll.ensureWidgetVisible(rows[-1])


def _ladder(window: MainWindow, *, own: bool = False) -> None:
    """Choose the first line, or the first of our own inputs with a gain, with its ladder in the details."""
    from rigcore.lists.gain_list import gain_list

    open_sample(window)
    ours = [row.node for row in gain_list(window.desk.analysis().patch) if row.owner == "rig"]
    window.desk.select((Thing("unit", ours[0].unit, ours[0].port) if own else _first_source(window),))
    QApplication.processEvents()
    window.details.reveal("Dial it")


def _chosen(window: MainWindow, kind: str = "unit") -> None:
    """Choose the first thing of a kind, or three units."""
    open_sample(window)
    rig, book = window.desk.book.rig(window.desk.rig_id), window.desk.book
    house = book.house(book.gig(window.desk.gig_id).house)
    rows = {"unit": rig.units, "several": rig.units[:3], "link": rig.links, "socket": house.sockets,
            "house unit": house.units}[kind]
    count = len(rows) if kind == "several" else 1
    window.desk.select([Thing("unit" if kind == "several" else kind, one.id) for one in rows[:count]])


def _searched(window: MainWindow, query: str) -> None:
    open_sample(window)
    window.shelf.search.setText(query)


def _overview(window: MainWindow) -> None:
    """Show the crowd at 100 %, with the whole small in a corner."""
    crowd(window)
    QApplication.processEvents()
    sheet = window.sheets.page("patch")
    sheet.set_zoom(1.0)
    sheet.show_overview(True)


def _refused(window: MainWindow) -> None:
    """Try what the book refuses: the details say why."""
    open_sample(window)
    window.desk.refused.emit("'14 of August' is no date; write year-month-day in figures")


def _aimed(window: MainWindow) -> None:
    """Choose a hand-off on the Fit sheet by keys, with why it lands where it does."""
    open_sample(window, "tandem")
    window.show_sheet("fit")
    window.desk.select((_first_source(window),))


def _fit(window: MainWindow) -> None:
    open_sample(window, "tandem")
    window.show_sheet("fit")
    window.sheets.page("fit").fit_afresh()


def _tour(window: MainWindow) -> None:
    open_sample(window, "tour")
    window.show_sheet("fit")
    window.sheets.page("fit").show_tour(True)


def _player(window: MainWindow) -> None:
    open_sample(window)
    window.show_sheet("packet-sheet")
    window.sheets.page("packet-sheet").whose.setCurrentIndex(1)
    window.sheets.page("packet-sheet").whose.activated.emit(1)


STATES: tuple[State, ...] = (
    *(State(one, partial(open_sample, sample=one), ALL, overlays=True) for one in ("piper", "tandem", "ferry")),
    State("empty", lambda window: window.desk.new(), ALL, overlays=True),
    State("crowded", crowd, ALL, overlays=True),
    State("mistakes", partial(open_sample, sample="mistakes"), ALL, overlays=True),
    State("damaged", _damaged),
    State("first-steps", _first_steps),
    State("trace", _trace),
    State("tidy", _tidy),
    State("folded", _fold),
    State("folded-near", partial(_fold, near=True)),
    State("find", _find),
    State("offers", _offers),
    State("finding", _row_open),
    State("accepting", partial(_row_open, accept=True)),
    State("accepted", _accepted),
    State("ladder-line", _ladder),
    State("ladder-gain", partial(_ladder, own=True)),
    State("chosen", _chosen, ("patch", "stage", "inputs", "power")),
    State("printed", _printed, ("stage",)),
    State("chosen-several", partial(_chosen, kind="several"), ("patch", "stage")),
    State("chosen-cable", partial(_chosen, kind="link")),
    State("chosen-socket", partial(_chosen, kind="socket")),
    State("chosen-house-unit", partial(_chosen, kind="house unit"), ("stage",)),
    State("shelf-found", partial(_searched, query="mic")),
    State("shelf-none", partial(_searched, query="theremin x")),
    State("overview", _overview),
    State("refused", _refused),
    State("aimed", _aimed, ("fit",)),
    State("proposal", _fit, ("fit",)),
    State("tour", _tour, ("fit",)),
    State("player", _player, ("packet-sheet",)),
)


def leave(window: MainWindow) -> None:
    """Put away what a state may have left open."""
    sheet = window.sheets.page("patch")
    if sheet.find is not None:
        sheet.find.hide()
        sheet.find.deleteLater()
        sheet.find = None
    if sheet.offered is not None:
        sheet.offered.hide()
        sheet.offered = None
    sheet.show_trace(False)
    sheet.show_overview(False)
    for packet in window.findChildren(PacketSheet):
        packet.whose.setCurrentIndex(0)
        packet.whose.activated.emit(0)
    window.shelf.search.clear()
    window.sheets.page("stage").show_overlay(None)
    window.sheets.page("stage").show_print(False)
    for row in window.findings.rows:
        row.open(False)
    window.findings.findChild(QScrollArea).verticalScrollBar().setValue(0)
    window.welcome.put_away()
    window.strip.clear()
    window.desk.select(())
