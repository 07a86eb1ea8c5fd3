"""What each view shows, as plain values, and what the book says it must show. Shared by the tests that drive a desk."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable
from typing import Any

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication, QGridLayout, QLabel, QWidget

from app.canvas.patch_view import PatchSheet
from app.canvas.placed import RACK
from app.canvas.stage_layout import on_sheet
from app.canvas.stage_view import StageSheet
from app.canvas.trunk_item import TrunkItem
from app.desk import Desk
from app.panes.accepting import AcceptedRow
from app.panes.details import DetailsPane
from app.panes.findings import FindingsPane
from app.tables.inputs import InputsSheet
from app.tables.levels import LevelsSheet
from app.tables.power import PowerSheet
from rigcore.analysis import Analysis, analyse
from rigcore.book.ids import PortRef
from rigcore.catalogue.gear import GearType
from rigcore.lists.draw_list import draw_list
from rigcore.lists.gain_list import gain_list

Shown = dict[str, object]
GONE = "meets nothing with those numbers any more"


class Strays(QObject):
    """Watches for windows nobody asked for: a widget shown before it has a place flashes up and takes the keyboard."""

    def __init__(self, asked_for: QWidget) -> None:
        super().__init__(asked_for)
        self._asked_for = asked_for
        self.seen: list[str] = []

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Note what comes up."""
        is_stray = isinstance(watched, QWidget) and watched.isWindow() and watched is not self._asked_for
        if is_stray and event.type() == QEvent.Type.Show:
            self.seen.append(f"{type(watched).__name__} {watched.property('text') or watched.objectName()}")
        return False


class Views:
    """Every view of one desk, all of them in view, in one window."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.window = QWidget()
        self.window.resize(1500, 1100)
        self.strays = Strays(self.window)
        QApplication.instance().installEventFilter(self.strays)
        self.patch = PatchSheet(desk)
        self.stage = StageSheet(desk)
        self.inputs, self.levels, self.power = InputsSheet(desk), LevelsSheet(desk), PowerSheet(desk)
        self.findings = FindingsPane(desk)
        self.details = DetailsPane(desk)
        grid = QGridLayout(self.window)
        for place, widget in enumerate(self.all()):
            grid.addWidget(widget, place // 3, place % 3)
        self.window.show()

    def all(self) -> tuple[QWidget, ...]:
        """Return the widgets."""
        return (
            self.patch, self.stage, self.inputs, self.levels, self.power, self.findings, self.details,
        )  # fmt: skip

    def close(self) -> None:
        """Let them go."""
        QApplication.instance().removeEventFilter(self.strays)
        self.window.close()
        self.window.deleteLater()

    def shown(self) -> Shown:
        """Return what is shown, read off the items and widgets themselves."""
        self.findings.settle()
        scene, floor = self.patch.patch, self.stage.stage
        return {
            "cards": frozenset(
                (name, one.unit, *_figures(one.gear))
                for name, item in scene.units.items()
                for one in item.placed.members
            ),
            "card places": frozenset(
                (name, (one.pos().x(), one.pos().y()))
                for name, one in scene.units.items()
                if name.startswith(RACK) or one.placed.members[0].unit.card_x is not None
            ),
            "cables": frozenset((one.kind, one.id) for one in scene.cables),
            "cable ends": frozenset(
                (cable.start, cable.end)
                for item in scene.cables.values()
                for cable in (item.cable.cables if isinstance(item, TrunkItem) else (item.cable,))
            ),
            "tiles": tuple((one.text.socket, one.text.name) for one in scene.plan.rows.tiles),
            "footprints": frozenset((one.unit, *_figures(one.gear)) for one in floor.footprints.values()),
            "stage places": frozenset(
                (name, (one.pos().x(), one.pos().y()))
                for name, one in floor.footprints.items()
                if not one.waiting
            ),
            "inputs": _words(self.inputs.model.rows),
            "levels": _words(self.levels.model.rows),
            "power": _words(self.power.model.rows),
            "findings": tuple(
                (one.rule, one.sentence, one.working) for one in (row.finding for row in self.findings.rows)
            ),
            "accepted": Counter(
                GONE if GONE in row.accessibleName() else row.accessibleName()
                for row in self.findings.findChildren(AcceptedRow)
                if row.isVisibleTo(self.findings)
            ),
            "selected": frozenset(self.desk.selection),
            "details": _title(self.details),
            "stray windows": tuple(self.strays.seen),
        }


def wanted(desk: Desk) -> Shown:
    """Return what must be shown of the present book, from the book alone."""
    book, gig = desk.book, desk.book.gig(desk.gig_id)
    rig, house = book.rig(gig.rig), book.house(gig.house)
    analysis = analyse(book, gig.id, desk.shipped)
    gear = desk.catalogue.gear_type
    here = analysis.patch.units
    landed = {one.socket: rig.hand_off(one.hand_off) for one in gig.landings}
    at = {one.id: one for one in rig.hand_offs}
    placed = {name: unit for name, unit in here.items() if unit.x_m is not None and unit.y_m is not None}
    folds = {RACK + one.id: one.fold for one in rig.cases if one.fold}
    home = {one.id: name if (name := f"{RACK}{one.case}") in folds else one.id for one in rig.units}
    ends = {one.id: {home[one.source.unit], home[one.target.unit]} for one in rig.links}
    seen = [one for one in rig.links if len(ends[one.id]) > 1 or ends[one.id].isdisjoint(folds)]
    tied = Counter(one.loom for one in seen)
    trunks = {one.id for one in rig.looms if one.folded and tied[one.id] > 1}
    laid = {one.id: (one.card_x, one.card_y) for one in rig.units if one.card_x is not None}
    laid |= {name: (fold.card_x, fold.card_y) for name, fold in folds.items()}
    return {
        "cards": frozenset((home[unit.id], unit, *_figures(gear(unit.gear))) for unit in rig.units),
        "card places": frozenset((name, laid[name]) for name in home.values() if name in laid),
        "cables": frozenset(
            [
                *(("link", one.id) for one in seen if one.loom not in trunks),
                *(("loom", name) for name in trunks),
                *(("landing", one.hand_off) for one in gig.landings),
            ]
        ),
        "cable ends": frozenset(
            [
                *((one.source, one.target) for one in seen),
                *((_ref(at[one.hand_off]), one.socket) for one in gig.landings),
            ]
        ),
        "tiles": tuple((one.id, getattr(landed.get(one.id), "name", "")) for one in house.sockets),
        "footprints": frozenset((unit, *_figures(gear(unit.gear))) for unit in here.values()),
        "stage places": frozenset(
            (name, tuple(on_sheet(unit.x_m, unit.y_m))) for name, unit in placed.items()  # type: ignore[arg-type]
        ),
        "inputs": _words(analysis.inputs),
        "levels": _words(gain_list(analysis.patch)),
        "power": _words(draw_list(analysis.patch)),
        "findings": _findings(analysis),
        "accepted": Counter(
            [*(f"Accepted: {one.sentence}" for one, _risk in analysis.accepted), *(GONE for _risk in analysis.lapsed)]
        ),
        "selected": frozenset(one for one in desk.selection if _is_there(desk, one.kind, one.id)),
        "details": _wanted_title(desk),
        "stray windows": (),
    }


def differences(shown: Shown, wanted: Shown) -> str:
    """Return where the two disagree, in lines; nothing where they agree."""
    lines = []
    for name, value in wanted.items():
        if shown[name] == value:
            continue
        if isinstance(value, str):
            lines.append(f"{name}: shown {shown[name]!r}, wanted {value!r}")
            continue
        has, needs = Counter(_elements(shown[name])), Counter(_elements(value))
        more, fewer = list((has - needs).elements()), list((needs - has).elements())
        lines.append(f"{name}: too much {more}, lacking {fewer}" if more or fewer else f"{name}: another order")
    return "\n".join(lines)


def _elements(value: object) -> Iterable[Hashable]:
    if isinstance(value, Counter):
        return value.elements()
    assert isinstance(value, tuple | frozenset)
    return value


def _figures(gear: GearType) -> tuple[Hashable, ...]:
    """Return what of a gear type is drawn."""
    return gear.id, gear.name, gear.width_m, gear.depth_m, gear.glyph


def _words(rows: Any) -> tuple[str, ...]:
    return tuple(repr(row) for row in rows)


def _ref(hand_off: Any) -> Hashable:
    return PortRef(unit=hand_off.unit, port=hand_off.port)


def _findings(analysis: Analysis) -> tuple[Hashable, ...]:
    """Return the findings once each, in the order of the list."""
    rows: dict[Hashable, Hashable] = {}
    for one in analysis.findings:
        rows.setdefault((one.rule, one.things, one.sentence), (one.rule, one.sentence, one.working))
    return tuple(rows.values())


def _is_there(desk: Desk, kind: str, name: str) -> bool:
    rig, gig = desk.book.rig(desk.rig_id), desk.book.gig(desk.gig_id)
    if kind == "unit":
        return rig.unit(name) is not None
    return rig.link(name) is not None if kind == "link" else gig.landing(name) is not None


def _title(details: DetailsPane) -> str:
    form = details.form
    title = next((one for one in form.findChildren(QLabel) if one.property("role") == "title"), None) if form else None
    return title.text() if title is not None else ""


def _wanted_title(desk: Desk) -> str:
    """Return the title of the form: a unit's or hand-off's name, a cable, or else the gig's."""
    rig = desk.book.rig(desk.rig_id)
    if len(desk.selection) != 1:
        return desk.book.gig(desk.gig_id).name
    [thing] = desk.selection
    if thing.kind == "unit":
        unit = rig.unit(thing.id)
        return unit.name if unit else ""
    hand_off = rig.hand_off(thing.id)
    return hand_off.name if thing.kind == "landing" and hand_off else ""
