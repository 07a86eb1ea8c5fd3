"""The patch on one page: units with the ports in use, cables with their words, the house's lines with both numbers.

Read from left to right: what the house sends, the rig, what arrives at the house. Mains
and DC are words on a unit, not lines. Units lie in columns by the flow; where the player has
arranged the Patch sheet, its order across decides which of them comes first.
"""

from __future__ import annotations

import itertools
from collections.abc import Hashable
from typing import TYPE_CHECKING

from msgspec import Struct

from rigcore.lists.input_list import OWNER_WORDS
from rigcore.paper.drawing import Drawing, title_of
from rigcore.paper.layers import Box, Layout, Wire, lay_out
from rigcore.paper.style import (
    CELL,
    CELL_STRONG,
    DARK,
    PALE,
    SMALL_DARK,
    STRONG,
    Align,
    Lettering,
    Pen,
    fitted,
    width_pt,
)
from rigcore.patch.build import End, Hop, Node
from rigcore.patch.channels import channels
from rigcore.quantities.geometry import length_words

if TYPE_CHECKING:
    from rigcore.analysis import Analysis

HEAD_PT, ROW_PT, PAD_PT = 19.0, 14.5, 7.0
MARGIN_PT = 26.0
NARROWEST_PT, WIDEST_PT = 92.0, 260.0
WORDS_PT = 112.0
"""Most room for the words of a cable."""

_POWER = ("mains", "dc")
_CABLE = Lettering("condensed", 9.0, DARK)
_PORT = CELL.at(9.5)


Key = tuple[str, ...]
"""Place and unit; at the house the direction too."""


class _Card(Struct, frozen=True):
    """A unit as drawn: its name, a line below it, the words of its ports at the left and at the right."""

    key: Key
    name: str
    detail: str
    ins: dict[Node, str]
    outs: dict[Node, str]
    house: bool

    @property
    def head(self) -> float:
        return HEAD_PT + (11.0 if self.detail else 0.0)

    def box(self) -> Box:
        rows = max(len(self.ins), len(self.outs))
        widest = {side: max((width_pt(one, _PORT) for one in words.values()), default=0.0)
                  for side, words in (("in", self.ins), ("out", self.outs))}
        needed = max(width_pt(self.name, STRONG), width_pt(self.detail, _CABLE), sum(widest.values()) + 10)
        ports: dict[Hashable, float] = {
            node: self.head + (number + 0.5) * ROW_PT
            for words in (self.ins, self.outs) for number, node in enumerate(words)
        }  # fmt: skip
        width = min(WIDEST_PT, max(NARROWEST_PT, needed + 2 * PAD_PT))
        last = self.house and bool(self.ins)
        return Box(self.key, width, self.head + rows * ROW_PT + 3.0, ports, last)


def patch_drawing(analysis: Analysis, *, feet: bool = False) -> Drawing:
    """Return the patch of a gig as a drawing, lengths in m or feet."""
    hops = [hop for hop in analysis.patch.hops if not _is_power(hop)]
    cards = _cards(analysis, hops)
    words = [_cable_words(hop, feet) for hop in hops]
    wires = [
        Wire((_key(hop.source.node, "out"), hop.source.node), (_key(hop.target.node, "in"), hop.target.node),
             min(WORDS_PT, width_pt(text, _CABLE)) + 8 if text else 0.0)
        for hop, text in zip(hops, words, strict=True)
    ]  # fmt: skip
    layout = lay_out([card.box() for card in cards], wires)
    title = title_of(analysis, "patch")
    left = MARGIN_PT + max(0.0, -min((x for run in layout.bends for x, _ in run), default=0.0))
    wide = max(layout.size[0] + left + MARGIN_PT, width_pt(title, STRONG) + 2 * MARGIN_PT)
    high = layout.size[1] + 2 * MARGIN_PT + 40.0

    def draw(pen: Pen) -> None:
        pen.text((MARGIN_PT, high - MARGIN_PT - 4), title, STRONG.at(12))
        legend = "ours: the act's number · yours: the house's · signals run to the right · mains: see the power list"
        pen.text((MARGIN_PT, 14.0), legend, SMALL_DARK, room_pt=wide - 2 * MARGIN_PT)
        _draw(pen, cards, (layout, words), (left, high - MARGIN_PT - 24.0))

    return Drawing(title, (wide, high), draw)


def _is_power(hop: Hop) -> bool:
    return hop.source.port.carrier.medium in _POWER and hop.target.port.carrier.medium in _POWER


def _key(node: Node, way: str) -> Key:
    """Return which card a port lies on; a unit of the house has one for each direction."""
    return (*node[:2], way) if node.place == "house" else node[:2]


def _cards(analysis: Analysis, hops: list[Hop]) -> list[_Card]:
    ins: dict[Key, dict[Node, End]] = {}
    outs: dict[Key, dict[Node, End]] = {}
    for hop in hops:
        outs.setdefault(_key(hop.source.node, "out"), {})[hop.source.node] = hop.source
        ins.setdefault(_key(hop.target.node, "in"), {})[hop.target.node] = hop.target
    lines = _lines(analysis)
    place = {node: number for number, node in enumerate(end.node for end in analysis.patch.ends())}
    made = []
    for key in sorted({**outs, **ins}, key=lambda key: _first(analysis, key, place)):
        both = [ins.get(key, {}), outs.get(key, {})]
        rows = [{node: lines.get(node, ends[node].port.name) for node in sorted(ends, key=place.__getitem__)}
                for ends in both]
        end = next(iter([*both[1].values(), *both[0].values()]))
        house = end.node.place == "house"
        detail = "house" if house else _detail(analysis, end)
        made.append(_Card(key, end.name, detail, rows[0], rows[1], house))
    return made


def _first(analysis: Analysis, key: Key, place: dict[Node, int]) -> tuple[float, int]:
    """Return by what cards are sorted before they are laid out: across the Patch sheet, then as in the book."""
    kind, unit_id = key[:2]
    unit = analysis.patch.units.get(unit_id) if kind == "rig" else None
    across = unit.card_x if unit is not None and unit.card_x is not None else float("inf")
    return across, min(number for node, number in place.items() if node[:2] == (kind, unit_id))


def _detail(analysis: Analysis, end: End) -> str:
    """Return what stands below a unit's name: its type unless named so, whose it is, what feeds it mains."""
    feeds = dict.fromkeys(
        hop.source.name for hop in analysis.patch.hops
        if _is_power(hop) and hop.target.node[:2] == end.node[:2]
    )  # fmt: skip
    told = "" if end.gear.name.casefold() in end.name.casefold() else end.gear.name
    owner = OWNER_WORDS[end.owner] if end.owner == "house" else ""
    return " · ".join(part for part in (told, owner, f"power: {', '.join(feeds)}" if feeds else "") if part)


def _lines(analysis: Analysis) -> dict[Node, str]:
    """Return the words of the house's ports in use: both numbers, the socket, what arrives or leaves there."""
    patch, found = analysis.patch, {}
    ours = {one.landing.socket: one.number for one in channels(patch)}
    for landing in patch.gig.landings:
        socket, hand_off = patch.socket(landing), patch.hand_off(landing)
        own = f" (ours {ours[socket.id]})" if socket.id in ours else ""
        for port in socket.ports:
            node = Node("house", socket.unit, port)
            found[node] = f"yours {socket.number}{own} · {socket.label} · {hand_off.name}"
    return found


def _cable_words(hop: Hop, feet: bool) -> str:
    cables = " + ".join(cable.of(length_words(length, feet=feet)) for cable, length in hop.cables)
    return " · ".join(part for part in (hop.link.label if hop.link else "", cables) if part)


def _draw(pen: Pen, cards: list[_Card], what: tuple[Layout, list[str]], origin: tuple[float, float]) -> None:
    layout, words = what

    def on_page(at: tuple[float, float]) -> tuple[float, float]:
        return origin[0] + at[0], origin[1] - at[1]

    for run in layout.bends:
        corners = [on_page(at) for at in run]
        for start, end in itertools.pairwise(corners):
            pen.line(start, end, weight=0.8)
        x, y = corners[-1]
        pen.shape(((x, y), (x - 5, y + 2.4), (x - 5, y - 2.4)), weight=0.3, fill=0.0)
    for run, text in zip(layout.bends, words, strict=True):
        x, y = on_page(run[0])
        pen.text((x + 4, y + 2.2), text, _CABLE, room_pt=WORDS_PT)
    for card in cards:
        _card(pen, card, on_page(layout.at[card.key]))


def _card(pen: Pen, card: _Card, at: tuple[float, float]) -> None:
    x, y = at
    box = card.box()
    pen.frame((x, y - box.height, box.width, box.height), weight=1.1, fill=PALE if card.house else 1.0, radius=2)
    room = box.width - 2 * PAD_PT
    pen.text((x + PAD_PT, y - 13), *fitted(card.name, STRONG, room))
    pen.text((x + PAD_PT, y - 24), card.detail, _CABLE, room_pt=room)
    share = room if not (card.ins and card.outs) else (room - 6) / 2
    lettering = CELL_STRONG.at(9.5) if card.house else _PORT
    sides: tuple[tuple[dict[Node, str], float, Align], ...] = (
        (card.ins, x + PAD_PT, "left"), (card.outs, x + box.width - PAD_PT, "right"),
    )  # fmt: skip
    for words, edge, align in sides:
        for node, text in words.items():
            line, fit = fitted(text, lettering, share)
            pen.text((edge, y - box.ports[node] - 3.2), line, fit, align=align)
