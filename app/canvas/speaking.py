"""The Patch sheet for those who do not see it: every card and house socket as a named child of the sheet.

Items of a scene are unknown to assistive tools, so the sheet answers for them: in
reading order, each with a name, what is plugged into it, and where it lies. What
the keyboard comes to is announced.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QObject, QRect
from PySide6.QtGui import QAccessible, QAccessibleEvent, QAccessibleInterface, QWindow
from PySide6.QtWidgets import QAccessibleWidget, QWidget

from app.canvas.hits import Hit
from app.canvas.layout import Point
from app.canvas.unit_item import tape_words
from app.canvas.walk import Stop, in_reading_order

if TYPE_CHECKING:
    from app.canvas.patch_view import PatchSheet


def _words(text: str) -> str:
    return QCoreApplication.translate("PatchSheet", text)


def spoken(sheet: PatchSheet, hit: Hit) -> tuple[str, str]:
    """Return the name of what the keyboard is at, and what else there is to say of it."""
    plan = sheet.patch.plan
    if hit.kind == "tile":
        tile = plan.rows.tile(hit.id)
        if tile is None:
            return "", ""
        text = tile.text
        name = " ".join(part for part in (_words("house"), text.number, text.label) if part)
        return name, ", ".join(part for part in (text.name or _words("free"), *sheet.patch.lights.words(hit)) if part)
    placed = plan.cards.get(plan.home(hit.id))
    if placed is None:
        return "", ""
    findings = sheet.patch.lights.words(hit)
    if hit.kind != "port":
        ports = _words("{} ports").format(len(placed.card.spots))
        return tape_words(placed), ", ".join((placed.about, ports, *findings))
    port = placed.port(placed.key(hit.id, hit.port))
    ways = {"in": _words("input"), "out": _words("output"), "both": _words("both ways")}
    if port is None:
        return "", ""
    cables = [cable.words for cable in plan.cables.values() if hit.ref in (cable.start, cable.end)]
    plugged = "; ".join(cables) or _words("nothing plugged in")
    connector = sheet.desk.catalogue.connector_name(port.connector)
    name = f"{plan.units[hit.id].unit.name} {port.name}"
    return name, ", ".join((ways[port.direction], connector, plugged, *findings))


def stops(sheet: PatchSheet) -> list[Hit]:
    """Return the children of the sheet in reading order: cards, then house sockets."""
    plan = sheet.patch.plan
    cards = [Stop(Hit("unit", name), Point(*card.place)) for name, card in plan.cards.items()]
    tiles = [Stop(Hit("tile", tile.text.socket), tile.face) for tile in plan.rows.tiles]
    return [stop.name for stop in (*in_reading_order(cards), *in_reading_order(tiles)) if isinstance(stop.name, Hit)]


def announce(sheet: PatchSheet, hit: Hit) -> None:
    """Let assistive tools say what the keyboard has come to."""
    name, about = spoken(sheet, hit)
    words = ": ".join(part for part in (name, about) if part)
    if words == sheet.accessibleDescription():
        return
    sheet.setAccessibleDescription(words)
    if not QAccessible.isActive():
        return
    QAccessible.updateAccessibility(QAccessibleEvent(sheet, QAccessible.Event.DescriptionChanged))
    at = Hit("unit", sheet.patch.plan.home(hit.id)) if hit.kind in ("port", "tape") else hit
    known = stops(sheet)
    if at in known:
        event = QAccessibleEvent(sheet, QAccessible.Event.Focus)
        event.setChild(known.index(at))
        QAccessible.updateAccessibility(event)


class SpokenSheet(QAccessibleWidget):
    """The sheet as a list of its cards and sockets."""

    def __init__(self, sheet: QWidget) -> None:
        super().__init__(sheet, QAccessible.Role.List, sheet.accessibleName())
        self.sheet = sheet
        self._children: dict[Hit, SpokenThing] = {}

    def stops(self) -> Sequence[Hit]:
        """Return what there is on the sheet now."""
        return stops(self.sheet)  # type: ignore[arg-type]

    def childCount(self) -> int:
        return len(self.stops())

    def child(self, index: int) -> QAccessibleInterface | None:
        here = self.stops()
        if not 0 <= index < len(here):
            return None
        return self._children.setdefault(here[index], SpokenThing(self, here[index]))

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        here = self.stops()
        return here.index(child.hit) if isinstance(child, SpokenThing) and child.hit in here else -1

    def focusChild(self) -> QAccessibleInterface | None:
        at, here = self.sheet.keys.here, self.stops()  # type: ignore[attr-defined]
        hit = Hit("unit", self.sheet.patch.plan.home(at.id)) if at.kind == "port" else at  # type: ignore[attr-defined]
        return self.child(here.index(hit)) if hit in here else None


class SpokenThing(QAccessibleInterface):
    """One card or socket of the sheet."""

    def __init__(self, within: SpokenSheet, hit: Hit) -> None:
        super().__init__()
        self._within = within
        self.hit = hit

    def isValid(self) -> bool:
        return self.hit in self._within.stops()

    def object(self) -> QObject | None:
        return None

    def window(self) -> QWindow | None:
        return self._within.sheet.window().windowHandle()

    def parent(self) -> QAccessibleInterface:
        return self._within

    def child(self, index: int) -> QAccessibleInterface | None:
        return None

    def childAt(self, x: int, y: int) -> QAccessibleInterface | None:
        return None

    def childCount(self) -> int:
        return 0

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        return -1

    def text(self, kind: QAccessible.Text) -> str:
        name, about = spoken(self._within.sheet, self.hit)  # type: ignore[arg-type]
        return {QAccessible.Text.Name: name, QAccessible.Text.Description: about}.get(kind, "")

    def setText(self, kind: QAccessible.Text, text: str) -> None:
        """Names are changed on the sheet, not through assistive tools."""

    def rect(self) -> QRect:
        view = self._within.sheet
        area = view.mapFromScene(view.patch.place_of(self.hit)).boundingRect()  # type: ignore[attr-defined]
        return QRect(view.viewport().mapToGlobal(area.topLeft()), area.size())  # type: ignore[attr-defined]

    def role(self) -> QAccessible.Role:
        return QAccessible.Role.ListItem

    def state(self) -> QAccessible.State:
        state = QAccessible.State()
        sheet = self._within.sheet
        state.focusable = state.selectable = True
        chosen, plan = sheet.desk.selection, sheet.patch.plan  # type: ignore[attr-defined]
        state.selected = any(self.hit.id in (plan.card_of(one), one.id * (one.kind == "socket")) for one in chosen)
        state.focused = sheet.keys.here.id == self.hit.id and sheet.hasFocus()  # type: ignore[attr-defined]
        return state


def give_voice(sheet: PatchSheet) -> SpokenSheet:
    """Return what speaks for a sheet; who calls it keeps it, the toolkit does not."""
    _install()
    return SpokenSheet(sheet)


@cache
def _install() -> None:
    QAccessible.installFactory(_made_for)


def _made_for(_key: str, thing: QObject) -> QAccessibleInterface | None:
    return getattr(thing, "voice", None)
