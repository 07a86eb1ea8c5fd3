"""A tidy layout of all cards: layers from the sources down to the house line, few crossings. No painting, no Qt.

The layers come from the order of the signal, after the method of Sugiyama, Tagawa
and Toda (1981): layers, places held open for cables that pass a layer, ordering by
barycentres in sweeps, then places drawn towards what a card is connected to.
"""

from __future__ import annotations

import math
from bisect import bisect_right, insort
from collections.abc import Collection, Iterable, Mapping, Sequence

from msgspec import Struct, field

from app.canvas.layout import Card, Point
from app.canvas.places import GAP_X, MOST_ROW, SHAPE

SWEEPS = 12
LEAST_GAP, LANE_GAP, MOST_LANES = 52.0, 7.0, 14
THROUGH = 18.0
"""Room kept open for a cable that passes a layer."""

ROWS = (MOST_ROW, 2600.0, 2100.0, 1700.0, 1400.0)
"""Widths of a row that are tried; the one that shows the whole sheet largest is taken."""

HOUSE = 190.0
"""About the height the house line adds below the cards."""

Order = list[list[str]]
Landings = Sequence[tuple[str, float, float]]


class Strand(Struct, frozen=True):
    """A connection from card to card, with where on their edges it leaves and arrives, from 0 at the left to 1."""

    source: str
    target: str
    out: float = 0.5
    into: float = 0.5


class Rig(Struct, frozen=True):
    """What is laid out: cards, connections of the signal, where each lands, and what only hands power on.

    ``landings`` are (card, where on its edge, where along the house line from 0 to 1).
    """

    cards: Mapping[str, Card]
    strands: Sequence[Strand]
    landings: Landings = ()
    feeders: Collection[str] = field(default=frozenset())


def tidy_places(rig: Rig, corner: tuple[float, float] = (0.0, 0.0)) -> dict[str, Point]:
    """Return a place for every card, the upper left one at about ``corner``; the same rig always lies the same."""
    names = [name for name in rig.cards if name not in rig.feeders]
    strands = [one for one in rig.strands if one.source in names and one.target in names]
    depth = layers(names, strands)
    chains = _held_open(strands, depth)
    order = ordered(names, chains, depth, rig.landings)
    places = min((_places(order, chains, rig, most) for most in ROWS), key=lambda one: _span(one, rig.cards))
    shift_x = corner[0] - min((place.x for place in places.values()), default=0.0)
    shift_y = corner[1] - min((place.y for place in places.values()), default=0.0)
    return {name: Point(place.x + shift_x, place.y + shift_y) for name, place in places.items()}


def _places(order: Order, chains: Sequence[Strand], rig: Rig, most: float) -> dict[str, Point]:
    """Return the places in rows about so wide at most."""
    rows = _rows(order, rig.cards, most)
    lefts = _drawn_together(rows, chains, rig)
    places, top = {}, 0.0
    for number, row in enumerate(rows):
        real = [name for name in row if name in rig.cards]
        for name in real:
            places[name] = Point(float(round(lefts[name])), float(round(top)))
        crossing = sum(1 for one in chains if one.source in row and one.target not in row)
        high = max((rig.cards[name].height for name in real), default=0.0)
        top += high + LEAST_GAP + LANE_GAP * min(crossing, MOST_LANES) if number < len(rows) - 1 else 0.0
    return places | _feeders_beside(rig, places)


def _span(places: Mapping[str, Point], cards: Mapping[str, Card]) -> float:
    """Return how wide a sheet of the usual shape must be to show all places."""
    boxes = [cards[name].box_at(place) for name, place in places.items()]
    width = max((box.right for box in boxes), default=0.0) - min((box.left for box in boxes), default=0.0)
    height = max((box.bottom for box in boxes), default=0.0) - min((box.top for box in boxes), default=0.0)
    return max(width, SHAPE * (height + HOUSE))


def layers(names: Sequence[str], strands: Sequence[Strand]) -> dict[str, int]:
    """Return the layer of each card: below all that feed it, then let down to just above the first it feeds."""
    import networkx as nx

    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(names)
    graph.add_edges_from((one.source, one.target) for one in strands if one.source != one.target)
    number = {name: n for n, name in enumerate(names)}
    for circle in list(nx.strongly_connected_components(graph)):
        if len(circle) > 1:
            back = [(a, b) for a, b in graph.subgraph(circle).edges if number[a] > number[b]]
            graph.remove_edges_from(back)
    depth = {name: n for n, layer in enumerate(nx.topological_generations(graph)) for name in layer}
    for name in reversed(list(nx.topological_sort(graph))):
        below = [depth[after] for after in graph.successors(name)]
        if below:
            depth[name] = min(below) - 1
    return depth


def _held_open(strands: Sequence[Strand], depth: Mapping[str, int]) -> list[Strand]:
    """Return the strands downwards from layer to layer, through places held open where they pass a layer."""
    chains = []
    for number, one in enumerate(strands):
        source, target, out, into = one.source, one.target, one.out, one.into
        if depth[source] == depth[target]:
            continue
        if depth[source] > depth[target]:
            source, target, out, into = target, source, into, out
        before, leaving = source, out
        for layer in range(depth[source] + 1, depth[target]):
            held = f"|{number}|{layer}"
            chains.append(Strand(before, held, leaving, 0.5))
            before, leaving = held, 0.5
        chains.append(Strand(before, target, leaving, into))
    return chains


def ordered(
    names: Sequence[str], chains: Sequence[Strand], depth: Mapping[str, int], landings: Landings
) -> Order:
    """Return the layers from the top, each in the order found that crosses least."""
    order: Order = [[] for _ in range(max(depth.values(), default=-1) + 1)]
    for name in names:
        order[depth[name]].append(name)
    for one in chains:
        if one.target.startswith("|"):
            order[int(one.target.rsplit("|", 1)[1])].append(one.target)
    at_house = {name: (out, place) for name, out, place in landings}
    best, fewest = [list(layer) for layer in order], crossings(order, chains)
    for sweep in range(SWEEPS):
        down = sweep % 2 == 1
        _sweep(order, chains, at_house, down=down)
        count = crossings(order, chains)
        if count < fewest or sweep == 0:
            best, fewest = [list(layer) for layer in order], count
    return best


def _sweep(
    order: Order, chains: Sequence[Strand], at_house: Mapping[str, tuple[float, float]], *, down: bool
) -> None:
    """Sort each layer by the mean place of what its cards are connected to, in the layer above or below."""
    where = {name: n for layer in order for n, name in enumerate(layer)}
    near: dict[str, list[float]] = {}
    size = max((len(layer) for layer in order), default=1)
    for layer in order if down else reversed(order):
        for name in layer:
            near[name] = [at_house[name][1] * size] if name in at_house and not down else []
        for one in chains:
            if down and one.target in near and one.source in where and one.target in layer:
                near[one.target].append(where[one.source] + one.out)
            elif not down and one.source in layer:
                near[one.source].append(where[one.target] + one.into)
        # What nothing pulls at stands at the end, where it parts nothing.
        tied = {name for one in chains for name in (one.source, one.target)} | set(at_house)
        loose = {name: where[name] if name in tied else len(where) for name in layer}
        middles = {name: sum(near[name]) / len(near[name]) if near[name] else loose[name] for name in layer}
        layer.sort(key=lambda name: (middles[name], where[name]))
        where |= {name: n for n, name in enumerate(layer)}


def crossings(order: Order, chains: Sequence[Strand]) -> int:
    """Return how many pairs of strands cross between neighbouring layers."""
    where = {name: (row, n) for row, layer in enumerate(order) for n, name in enumerate(layer)}
    between: dict[int, list[tuple[float, float]]] = {}
    for one in chains:
        (row, n), (_, m) = where[one.source], where[one.target]
        between.setdefault(row, []).append((n + one.out * 0.9, m + one.into * 0.9))
    total = 0
    for pairs in between.values():
        seen: list[float] = []
        for _, into in sorted(pairs):
            total += len(seen) - bisect_right(seen, into)
            insort(seen, into)
    return total


def _rows(order: Order, cards: Mapping[str, Card], most: float) -> Order:
    """Return the layers as rows about so wide at most.

    A layer that is wider is dealt out to several rows in turn, so that what lies side by side stays over what it feeds.
    """
    rows: Order = []
    for layer in order:
        count = max(1, math.ceil(sum(_wide(name, cards) + GAP_X for name in layer) / most))
        dealt: Order = [[] for _ in range(count)]
        turn = 0
        for name in layer:
            dealt[turn % count].append(name)
            turn += name in cards
        rows += [row for row in dealt if row]
    return rows


def _wide(name: str, cards: Mapping[str, Card]) -> float:
    return cards[name].width if name in cards else THROUGH - GAP_X


def _drawn_together(rows: Order, chains: Sequence[Strand], rig: Rig) -> dict[str, float]:
    """Return the left edge of everything in the rows: near what it is connected to, in order, without overlap."""
    cards = rig.cards
    lefts: dict[str, float] = {}
    for row in rows:
        at = -sum(_wide(name, cards) + GAP_X for name in row) / 2
        for name in row:
            lefts[name] = at
            at += _wide(name, cards) + GAP_X
    ties: dict[str, list[tuple[str, float, float]]] = {}
    for one in chains:
        ties.setdefault(one.source, []).append((one.target, one.out, one.into))
        ties.setdefault(one.target, []).append((one.source, one.into, one.out))
    for turn in range(8):
        for row in rows if turn % 2 == 0 else reversed(rows):
            wishes = [_wish(name, ties.get(name, ()), lefts, cards) for name in row]
            for name, left in zip(row, _apart(row, wishes, cards), strict=True):
                lefts[name] = left
    return lefts


def _wish(
    name: str, ties: Iterable[tuple[str, float, float]], lefts: Mapping[str, float], cards: Mapping[str, Card]
) -> float | None:
    """Return the left edge at which a card's cables would run straight on the whole; None where it has none."""
    wide = max(_wide(name, cards), 0.0)
    goals = sorted(lefts[other] + max(_wide(other, cards), 0.0) * there - wide * here for other, here, there in ties)
    if not goals:
        return None
    middle = len(goals) // 2
    return goals[middle] if len(goals) % 2 else (goals[middle - 1] + goals[middle]) / 2


def _apart(row: Sequence[str], wishes: Sequence[float | None], cards: Mapping[str, Card]) -> list[float]:
    """Return left edges as near to the wishes as the order and the widths allow.

    Blocks that collide share the mean of their wishes; what wishes nothing stands beside the one before it.
    """
    blocks: list[tuple[float, int, int]] = []
    offsets, at = [], 0.0
    for name, wish in zip(row, wishes, strict=True):
        offsets.append(at)
        total, weight, count = ((wish - at), 1, 1) if wish is not None else (0.0, 0, 1)
        at += _wide(name, cards) + GAP_X
        while blocks and (not weight or not blocks[-1][1] or blocks[-1][0] / blocks[-1][1] > total / weight):
            before, heavy, many = blocks.pop()
            total, weight, count = total + before, weight + heavy, count + many
        blocks.append((total, weight, count))
    starts = [total / max(weight, 1) for total, weight, count in blocks for _ in range(count)]
    return [start + offset for start, offset in zip(starts, offsets, strict=True)]


def _feeders_beside(rig: Rig, places: Mapping[str, Point]) -> dict[str, Point]:
    """Return the places of what only hands power on: in a column at the left."""
    left = min((place.x for place in places.values()), default=0.0)
    found, top = {}, 0.0
    for name in (name for name in rig.cards if name in rig.feeders):
        found[name] = Point(left - rig.cards[name].width - 2 * GAP_X, top)
        top += rig.cards[name].height + LEAST_GAP / 2
    return found
