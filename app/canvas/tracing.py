"""Tracing on the Patch sheet: what stays lit, and the levels written beside the ports on the way."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.canvas.badge_places import Wanted, spread
from app.canvas.fonts import advance, font, letters_of
from app.canvas.ground import Ground, around
from app.canvas.layout import FACE, Box, Point
from app.canvas.patch_cables import on_sheet, socket_of
from app.canvas.patch_marks import blocked
from app.canvas.patch_plan import SheetPlan
from app.canvas.unit_item import rect_of
from app.theme import Theme
from rigcore.patch.build import Node, Patch
from rigcore.patch.trace import Trace, trace, trace_socket, trace_unit
from rigcore.rules.rule import Thing

_SAME_DB = 0.05
_HIGH = 16.0
_LEAST_PX = 11.0
_OUT = {"top": (0, -1), "bottom": (0, 1), "left": (-1, 0), "right": (1, 0)}


class Tag(Struct, frozen=True):
    """A level written at a place of the sheet, and the port it belongs to."""

    words: str
    box: Box
    port: Point


def traced(patch: Patch, things: Sequence[Thing]) -> Trace | None:
    """Return the way through the first of the selected things that has one."""
    for thing in things:
        if thing.kind == "unit":
            return trace_unit(patch, thing.id, thing.port)
        if thing.kind == "socket":
            return trace_socket(patch, thing.id)
        starts = [hop.source.node for hop in patch.hops if _thing_of(hop.link, hop.landing) == thing]
        if starts:
            return trace(patch, starts[:1])
    return None


def _thing_of(link: object, landing: object) -> Thing | None:
    if link is not None:
        return Thing("link", str(getattr(link, "id", "")))
    return Thing("landing", str(getattr(landing, "hand_off", ""))) if landing is not None else None


def lit(way: Trace, plan: SheetPlan) -> frozenset[Thing]:
    """Return the units, cables and house sockets on a way."""
    units = {Thing("unit", node.unit) for node in way.nodes if node.place == "rig"}
    cables = {thing for hop in way.hops if (thing := _thing_of(hop.link, hop.landing)) is not None}
    at = {(ref.unit, ref.port): name for name, ref in plan.sockets.items()}
    sockets = {Thing("socket", at[node.unit, node.port]) for node in way.nodes if (node.unit, node.port) in at}
    return frozenset(units | cables | sockets)


def level_words(level_dbu: float) -> str:
    """Return a level as written.

    >>> level_words(-18.04), level_words(4.0)
    ('−18 dBu', '+4 dBu')
    """
    return f"{round(level_dbu, 1):+g} dBu".replace("-", "−")


def told_at(way: Trace) -> dict[Node, float]:
    """Return the ports whose level is told: every output on the way, and inputs where it has changed."""
    told = {}
    for hop in way.hops:
        source, target = hop.source.node, hop.target.node
        before, after = way.nominal_dbu.get(source), way.nominal_dbu.get(target)
        if source.place == "rig" and before is not None:
            told[source] = before
        changed = before is None or after is None or abs(before - after) > _SAME_DB
        if after is not None and target.place != "chain" and (changed or target.place == "house"):
            told[target] = after
    return told


def tags(way: Trace, plan: SheetPlan, scale: float, badges: Iterable[Box] = ()) -> list[Tag]:
    """Return the levels along a way where they cover nothing lit, nor badges; letters can be read at a scale."""
    things = lit(way, plan)
    lit_cards = {plan.card_of(thing) for thing in things}
    cards = {name: card for name, card in plan.cards.items() if name in lit_cards}
    taken = Ground((box, "") for box in (*blocked(plan, cards, {}), *badges))
    bodies = Ground((card.box, name) for name, card in cards.items())
    told = told_at(way)
    wanted, made = [], []
    for node, (port, side) in _places(told, plan):
        words = level_words(told[node])
        letters = letters_of("label", _LEAST_PX / scale)
        size = (advance("label", words, letters) + 10, _HIGH * letters)
        wanted.append(Wanted(size, _spots(port, side, size), port))
        made.append((words, size, port))
    places = spread(wanted, taken, bodies)
    return [
        Tag(words, around(place.at, *size), port) for (words, size, port), place in zip(made, places, strict=True)
    ]


def _places(told: Iterable[Node], plan: SheetPlan) -> Iterable[tuple[Node, tuple[Point, str]]]:
    at = {tile.text.socket: tile for tile in plan.rows.tiles}
    tiles = {(ref.unit, ref.port): at[socket] for socket, ref in plan.sockets.items() if socket in at}
    for node in sorted(told):
        if node.place == "house":
            tile = tiles.get((node.unit, node.port))
            if tile is not None:
                yield node, (tile.face, "top")
            continue
        place = on_sheet(plan.cards, socket_of(plan.homes, node.unit, node.port))
        if place is not None:
            yield node, place


def _spots(port: Point, side: str, size: tuple[float, float]) -> tuple[Point, ...]:
    """Return where a level would like to stand: outside the card beside the cable, nearest first."""
    out_x, out_y = _OUT[side]
    spots = []
    for step in range(5):
        out = FACE + 2 + size[1] / 2 + step * (size[1] + 2)
        for aside in (size[0] / 2 + 6, -size[0] / 2 - 6):
            shift = out + (size[0] - size[1]) / 2 if out_x else out
            spots.append(Point(port.x + out_x * shift + (0 if out_x else aside), port.y + out_y * out
                               + (0 if out_y else (size[1] / 2 + 4) * (1 if aside > 0 else -1))))  # fmt: skip
    return tuple(spots)


def paint_tags(painter: QPainter, shown: Sequence[Tag], theme: Theme, scale: float) -> None:
    """Paint levels on small plates."""
    painter.setFont(font("label", letters_of("label", _LEAST_PX / scale)))
    for tag in shown:
        box = rect_of(tag.box)
        painter.setPen(QPen(QColor(theme.focus), 1.1))
        painter.setBrush(QColor(theme.card))
        painter.drawRoundedRect(box, 4, 4)
        painter.setPen(QColor(theme.text))
        painter.drawText(QRectF(box), Qt.AlignmentFlag.AlignCenter, tag.words)
