"""What the tip says at a place of the Patch sheet: name, kind and what is found there, one line each."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, QPointF

from app.canvas.hits import Hit
from app.canvas.patch_scene import PatchScene
from app.canvas.placed import PlacedCard
from app.canvas.trunk_item import plate_words
from app.canvas.trunks import Trunk
from app.canvas.unit_item import tape_words
from rigcore.catalogue.catalogue import Catalogue


def _words(text: str) -> str:
    return QCoreApplication.translate("PatchSheet", text)


def tip_lines(scene: PatchScene, catalogue: Catalogue, at: QPointF) -> Sequence[str]:
    """Return the lines of the tip at a place of the sheet."""
    hit = scene.hit(at)
    told = scene.marks.words_at(at)
    if told and hit.kind != "port":
        return told
    findings = scene.lights.words(hit)
    if hit.kind == "port":
        return _port_lines(scene, catalogue, hit, findings)
    if hit.kind in ("unit", "tape"):
        placed = scene.plan.cards[hit.id]
        note = placed.unit.note if isinstance(placed, PlacedCard) else _words("a double click unfolds it")
        return (tape_words(placed), placed.about, note, *findings)
    if hit.kind == "tile":
        tile = scene.plan.rows.tile(hit.id)
        text = tile.text if tile else None
        return (" ".join((text.number, text.label)), text.name, text.block, *findings) if text else findings
    if hit.thing is not None:
        drawn = scene.plan.drawn(hit.thing)
        if isinstance(drawn, Trunk):
            inside = (cable.words for cable in drawn.cables)
            return (plate_words(drawn), *inside, _words("a double click unfolds it"), *findings)
        return (drawn.words, *drawn.pieces, *findings)
    return ()


def _port_lines(scene: PatchScene, catalogue: Catalogue, hit: Hit, findings: Sequence[str]) -> Sequence[str]:
    ref = hit.ref
    port = scene.port(ref) if ref is not None else None
    if ref is None or port is None:
        return findings
    unit = scene.plan.units[hit.id].unit
    hand_off = scene.plan.hand_offs.get(ref)
    about = _words("hand-off: {}").format(hand_off.name) if hand_off else ""
    name = catalogue.connector_name(port.connector)
    return (f"{unit.name} · {port.name}", name, unit.setting(port.id).label, about, *findings)
