"""Where cards lie that nobody has laid anywhere: sources at the top, signal running down.

Pure arithmetic and deterministic: the same rig always falls into the same places.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from msgspec import Struct, field

from app.canvas.layout import Box, Card, Point

GAP_X = 36.0
GAP_Y = 62.0
LEAST_ROW, MOST_ROW = 1240.0, 3200.0
SHAPE = 1.7
"""Width to height of a sheet laid out by itself."""

MARGIN = 10.0
"""Least distance kept between two cards."""

Pair = tuple[str, str]


class Flow(Struct, frozen=True):
    """How a rig hangs together, for laying it out.

    ``pairs`` are (from, to) of the signal; ``feeders`` only hand power on;
    ``landings`` say at which tile of the house line, counted from the left, a
    unit lands.
    """

    pairs: Sequence[Pair] = ()
    feeders: Collection[str] = ()
    landings: Mapping[str, float] = field(default_factory=dict)


class Racks(Struct, frozen=True):
    """Folded racks: the boxes of their cards, and the units inside, which take no room of their own."""

    boxes: Sequence[Box] = ()
    inside: Collection[str] = ()


def default_places(
    cards: Mapping[str, Card], flow: Flow, fixed: Mapping[str, tuple[float, float]], racks: Racks | None = None
) -> dict[str, Point]:
    """Return a place for every card: those in ``fixed`` as they are, the others by layer.

    Sources lie at the top, in the order in which they reach the house line; feeders
    stand at the left. Cards nobody has laid keep out of the way of those somebody has,
    and of folded racks in place of the units inside.
    """
    racks = racks or Racks()
    places = {name: Point(*fixed[name]) for name in cards if name in fixed}
    if len(places) == len(cards):
        return places
    taken = [cards[name].box_at(place) for name, place in places.items() if name not in racks.inside]
    taken += racks.boxes
    for name, wish in _wishes(cards, flow).items():
        if name not in places:
            places[name] = free_place(cards[name], wish, taken)
            if name not in racks.inside:
                taken.append(cards[name].box_at(places[name]))
    return places


def free_place(card: Card, wish: Point, taken: Sequence[Box]) -> Point:
    """Return the wished place, or the next one to the right or below that overlaps nothing."""
    place = wish
    for _ in range(400):
        box = card.box_at(place).grown(MARGIN)
        hit = next((one for one in taken if one.meets(box)), None)
        if hit is None:
            return place
        place = Point(hit.right + MARGIN + 2, place.y)
        if place.x + card.width > MOST_ROW + max(0.0, wish.x):
            place = Point(min(wish.x, 0.0), max(place.y, hit.bottom) + GAP_Y / 2)
    return Point(wish.x, max((one.bottom for one in taken), default=0.0) + GAP_Y)


def layers(names: Sequence[str], flow: Sequence[Pair]) -> dict[str, int]:
    """Return how many steps down from its furthest source each card lies; loops are cut where met."""
    feeds: dict[str, list[str]] = {name: [] for name in names}
    for source, target in flow:
        if source in feeds and target in feeds and source != target:
            feeds[target].append(source)
    depth: dict[str, int] = {}
    for name in names:
        _settle(name, feeds, depth)
    return depth


def settled_layers(names: Sequence[str], flow: Sequence[Pair]) -> dict[str, int]:
    """Return the layers with every card let down to just above the first it feeds.

    What feeds nothing in the rig lies lowest, nearest the house; what is linked to
    nothing stays at the top.
    """
    depth = layers(names, flow)
    lowest = max(depth.values(), default=0)
    feeds: dict[str, list[str]] = {name: [] for name in names}
    fed = set()
    for source, target in flow:
        if source in feeds and target in feeds and depth[source] < depth[target]:
            feeds[source].append(target)
            fed.add(target)
    settled: dict[str, int] = {}
    for name in sorted(names, key=lambda one: -depth[one]):
        if feeds[name]:
            settled[name] = min(settled[one] for one in feeds[name]) - 1
        else:
            settled[name] = lowest if name in fed else 0
    return settled


def _settle(start: str, feeds: Mapping[str, Sequence[str]], depth: dict[str, int]) -> None:
    """Give a card and all that feeds it a depth, without recursion."""
    stack, open_now = [start], set[str]()
    while stack:
        name = stack[-1]
        if name in depth:
            stack.pop()
            continue
        open_now.add(name)
        waiting = [one for one in feeds[name] if one not in depth and one not in open_now]
        if waiting:
            stack.append(waiting[0])
            continue
        depth[name] = 1 + max((depth[one] for one in feeds[name] if one in depth), default=-1)
        open_now.discard(name)
        stack.pop()


def _wishes(cards: Mapping[str, Card], flow: Flow) -> dict[str, Point]:
    """Return the place of each card by layer, in rows no wider than the sheet."""
    names = [name for name in cards if name not in flow.feeders]
    depth = settled_layers(names, flow.pairs)
    rank = _ranks(names, flow, depth)
    centre: dict[str, float] = {}
    wishes: dict[str, Point] = {}
    top = 0.0
    widest = _widest_row(cards)
    for layer in sorted(set(depth.values())):
        ordered = sorted(
            (name for name in names if depth[name] == layer), key=lambda one: (rank[one], names.index(one))
        )
        for row in _wrapped(ordered, cards, widest):
            for name, x in _spread(row, cards, flow.pairs, centre).items():
                centre[name] = x + cards[name].width / 2
                wishes[name] = Point(round(x), top)
            top += max(cards[name].height for name in row) + GAP_Y
    left = min((place.x for place in wishes.values()), default=0.0)
    column = 0.0
    for name in (name for name in cards if name in flow.feeders):
        wishes[name] = Point(round(left - cards[name].width - 2 * GAP_X), column)
        column += cards[name].height + GAP_Y / 2
    return wishes


def _ranks(names: Sequence[str], flow: Flow, depth: Mapping[str, int]) -> dict[str, float]:
    """Return how far to the right each card belongs: where it, or what it feeds, reaches the house line."""
    rank: dict[str, float] = {}
    last = max(flow.landings.values(), default=0.0) + 1
    for name in sorted(names, key=lambda one: -depth[one]):
        below = [rank[target] for source, target in flow.pairs if source == name and target in rank]
        landed = [flow.landings[name]] if name in flow.landings else []
        wishes = [one for one in landed + below if one < last]
        rank[name] = sum(wishes) / len(wishes) if wishes else last + bool(not below)
    return rank


def _widest_row(cards: Mapping[str, Card]) -> float:
    """Return the row width that gives the whole sheet its shape."""
    area = sum((card.width + GAP_X) * (card.height + GAP_Y) for card in cards.values())
    return min(max((area * SHAPE) ** 0.5, LEAST_ROW), MOST_ROW)


def _pull(name: str, flow: Sequence[Pair], centre: Mapping[str, float]) -> float | None:
    """Return the mean x of what feeds a card, if any of it lies already."""
    above = [centre[source] for source, target in flow if target == name and source in centre]
    return sum(above) / len(above) if above else None


def _wrapped(names: Sequence[str], cards: Mapping[str, Card], widest: float) -> list[list[str]]:
    rows: list[list[str]] = []
    width = widest + 1
    for name in names:
        width += cards[name].width + GAP_X
        if width > widest:
            rows.append([])
            width = cards[name].width
        rows[-1].append(name)
    return rows


def _spread(
    row: Sequence[str], cards: Mapping[str, Card], flow: Sequence[Pair], centre: Mapping[str, float]
) -> dict[str, float]:
    """Return the left edge of each card of a row: under what feeds it, without overlap."""
    lefts: dict[str, float] = {}
    pulls = {name: _pull(name, flow, centre) for name in row}
    edge = -1e9 if any(pull is not None for pull in pulls.values()) else 0.0
    off: list[float] = []
    for name in row:
        pull = pulls[name]
        wish = edge if pull is None else pull - cards[name].width / 2
        lefts[name] = max(edge, wish, 0.0 if edge < -1e8 and pull is None else -1e9)
        if pull is not None:
            off.append(lefts[name] - wish)
        edge = lefts[name] + cards[name].width + GAP_X
    shift = sum(off) / len(off) if off else 0.0
    return {name: left - shift for name, left in lefts.items()}
