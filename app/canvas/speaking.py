"""The Patch sheet for those who do not see it: every card and house socket as a named child of the sheet.

Items of a scene are unknown to assistive tools, so the sheet answers for them: in
reading order, each with a name, what is plugged into it, and where it lies. What
the keyboard comes to is announced.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QRect

from app.canvas.hits import Hit
from app.canvas.layout import Point
from app.canvas.unit_item import tape_words
from app.canvas.walk import Stop, in_reading_order
from app.spoken import SpokenLeaf, SpokenList, tell

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
    at = Hit("unit", sheet.patch.plan.home(hit.id)) if hit.kind in ("port", "tape") else hit
    tell(sheet, ": ".join(part for part in spoken(sheet, hit) if part), stops(sheet), at)


class SpokenSheet(SpokenList):
    """The sheet as a list of its cards and sockets."""

    drawn: PatchSheet

    def stops(self) -> Sequence[Hit]:
        return stops(self.drawn)

    def here(self) -> Hit:
        at = self.drawn.keys.here
        return Hit("unit", self.drawn.patch.plan.home(at.id)) if at.kind == "port" else at

    def leaf(self, stop: Hit) -> SpokenThing:
        return SpokenThing(self, stop)


class SpokenThing(SpokenLeaf):
    """One card or socket of the sheet."""

    within: SpokenSheet
    stop: Hit

    def spoken(self) -> tuple[str, str]:
        return spoken(self.within.drawn, self.stop)

    def is_selected(self) -> bool:
        chosen, plan = self.within.drawn.desk.selection, self.within.drawn.patch.plan
        return any(self.stop.id in (plan.card_of(one), one.id * (one.kind == "socket")) for one in chosen)

    def rect(self) -> QRect:
        sheet = self.within.drawn
        area = sheet.mapFromScene(sheet.patch.place_of(self.stop)).boundingRect()
        return QRect(sheet.viewport().mapToGlobal(area.topLeft()), area.size())
