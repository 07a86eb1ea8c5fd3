"""Boxes and wires laid out from left to right: columns by the flow, few crossings, every bend in a lane of its own.

Pure arithmetic in points, y downwards; what the boxes are and how they look is not known here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Sequence

from msgspec import Struct

Point = tuple[float, float]

GAP_PT = 16.0
LANE_PT = 6.0
WIRE_PT = 13.0
"""Height that a wire takes up where it passes a column."""
SWEEPS = 8


class Box(Struct, frozen=True):
    """A box to be placed: its size, how far below its top each of its ports lies, and a place it would like.

    ``last`` puts it into the rightmost column.
    """

    key: Hashable
    width: float
    height: float
    ports: dict[Hashable, float]
    last: bool = False


class Wire(Struct, frozen=True):
    """A wire from a port of one box to a port of another; ``room`` is kept free for words at its beginning."""

    source: tuple[Hashable, Hashable]
    target: tuple[Hashable, Hashable]
    room: float = 0.0


class Layout(Struct, frozen=True):
    """Where the upper left corner of each box lies, the bends of each wire, and the size of it all."""

    at: dict[Hashable, Point]
    bends: tuple[tuple[Point, ...], ...]
    size: Point


def columns_of(boxes: Sequence[Box], wires: Sequence[Wire]) -> dict[Hashable, int]:
    """Return the column of each box: right of all that feeds it, as near to what it feeds as can be.

    A circle is opened where it is entered first, so one of its wires will run backwards.
    """
    feeds: dict[Hashable, set[Hashable]] = {box.key: set() for box in boxes}
    for wire in wires:
        if wire.source[0] != wire.target[0]:
            feeds[wire.target[0]].add(wire.source[0])
    column: dict[Hashable, int] = {}
    waiting = [box.key for box in boxes]
    while waiting:
        ready = [key for key in waiting if feeds[key] <= column.keys()]
        ready = ready or [min(waiting, key=lambda key: len(feeds[key] - column.keys()))]
        for key in ready:
            column[key] = max((column[one] + 1 for one in feeds[key] if one in column), default=0)
        waiting = [key for key in waiting if key not in column]
    most = max(column.values(), default=0)
    column.update({box.key: max(most, 1) for box in boxes if box.last})
    for box in boxes:
        fed = [column[wire.target[0]] for wire in wires if wire.source[0] == box.key and wire.target[0] != box.key]
        if not feeds[box.key] and fed and not box.last:
            column[box.key] = max(0, min(fed) - 1)
    return column


def lay_out(boxes: Sequence[Box], wires: Sequence[Wire]) -> Layout:
    """Return boxes and wires laid out; boxes given first come to lie uppermost where nothing speaks against it."""
    return _Layers(boxes, wires).layout()


class _Layers:
    """One layout in the making."""

    def __init__(self, boxes: Sequence[Box], wires: Sequence[Wire]) -> None:
        self.boxes = {box.key: box for box in boxes}
        self.wires = wires
        self.column = columns_of(boxes, wires)
        self.slots: dict[int, list[Hashable]] = defaultdict(list)
        for box in boxes:
            self.slots[self.column[box.key]].append(box.key)
        self.steps: list[tuple[Hashable, ...]] = [self._steps(number) for number in range(len(wires))]
        self.y: dict[Hashable, float] = {}

    def _steps(self, number: int) -> tuple[Hashable, ...]:
        """Return what a wire passes from box to box: a place in each column between them."""
        wire = self.wires[number]
        first, last = self.column[wire.source[0]], self.column[wire.target[0]]
        between = tuple((number, column) for column in range(first + 1, last))
        for place, column in zip(between, range(first + 1, last), strict=True):
            self.slots[column].append(place)
        return (wire.source[0], *between, wire.target[0])

    def layout(self) -> Layout:
        """Place everything."""
        count = max(self.slots, default=0) + 1
        self._order(count)
        for _ in range(3):
            self._settle(count)
        lanes, rooms = self._lanes()
        x, left, right = 0.0, {}, {}
        for column in range(count):
            left[column] = x
            right[column] = x + max((self.boxes[k].width for k in self.slots[column] if k in self.boxes), default=0.0)
            x = right[column] + rooms[column] + GAP_PT + LANE_PT * (len(lanes[column]) + 1)
        low = max((self.y[key] + self._high(key) for key in self.y), default=0.0)
        back = [n for n in range(len(self.wires)) if self._runs_back(n)]
        bends = tuple(
            self._backwards(number, (left, right, lanes, rooms), low + GAP_PT + LANE_PT * back.index(number))
            if number in back
            else self._bends(number, left, right, (lanes, rooms))
            for number in range(len(self.wires))
        )
        wide = max([right[count - 1], *(at[0] + LANE_PT for run in bends for at in run)])
        under = GAP_PT + LANE_PT * len(back) if back else 0.0
        return Layout({key: (left[self.column[key]], self.y[key]) for key in self.boxes}, bends, (wide, low + under))

    def _high(self, key: Hashable) -> float:
        return self.boxes[key].height if key in self.boxes else WIRE_PT

    def _runs_back(self, number: int) -> bool:
        wire = self.wires[number]
        return self.column[wire.target[0]] <= self.column[wire.source[0]]

    def _joints(self) -> tuple[dict[Hashable, list[tuple[Hashable, float, float]]], ...]:
        """Return for each place its neighbours to the left and to the right: which, and both offsets of the wire."""
        left: dict[Hashable, list[tuple[Hashable, float, float]]] = defaultdict(list)
        right: dict[Hashable, list[tuple[Hashable, float, float]]] = defaultdict(list)
        for number, steps in enumerate(self.steps):
            if self._runs_back(number):
                continue
            for place in range(len(steps) - 1):
                here, there = steps[place], steps[place + 1]
                mine, theirs = self._offset(number, place), self._offset(number, place + 1)
                right[here].append((there, mine, theirs))
                left[there].append((here, theirs, mine))
        return left, right

    def _offset(self, number: int, place: int) -> float:
        """Return how far below the top of the place a wire passes it."""
        wire, steps = self.wires[number], self.steps[number]
        if 0 < place < len(steps) - 1:
            return WIRE_PT / 2
        key, port = wire.source if place == 0 else wire.target
        return self.boxes[key].ports[port]

    def _order(self, count: int) -> None:
        """Order each column by the mean place of its neighbours, from the left and from the right in turn."""
        left, right = self._joints()
        for sweep in range(SWEEPS):
            joints = left if sweep % 2 == 0 else right
            columns = range(1, count) if sweep % 2 == 0 else range(count - 2, -1, -1)
            rank = {key: number for keys in self.slots.values() for number, key in enumerate(keys)}
            for column in columns:
                keys = self.slots[column]
                mean = {
                    key: sum(rank[one] + theirs / 1000 for one, _, theirs in joints[key]) / len(joints[key])
                    if joints[key] else float(rank[key])
                    for key in keys
                }  # fmt: skip
                keys.sort(key=mean.__getitem__)
                rank.update({key: number for number, key in enumerate(keys)})

    def _settle(self, count: int) -> None:
        """Move each box level with what feeds it, keeping the order; the first column level with what it feeds."""
        left, right = self._joints()
        for column in (*range(count), *range(count - 2, -1, -1)):
            free = 0.0
            for key in self.slots[column]:
                joints = [one for one in (left[key] or right[key]) if one[0] in self.y]
                wanted = sum(self.y[one] + theirs - mine for one, mine, theirs in joints) / len(joints) if joints else 0
                self.y[key] = max(free, wanted)
                free = self.y[key] + self._high(key) + (GAP_PT if key in self.boxes else 0)
        self._close_up()

    def _close_up(self) -> None:
        """Move everything up so that nowhere a band wider than a gap is empty."""
        low, moved = 0.0, 0.0
        for key in sorted(self.y, key=self.y.__getitem__):
            y = self.y[key]
            moved += max(0.0, y - low)
            low = max(low, y + self._high(key) + GAP_PT)
            self.y[key] = y - moved

    def _level(self, number: int, place: int) -> float:
        return self.y[self.steps[number][place]] + self._offset(number, place)

    def _lanes(self) -> tuple[dict[int, dict[tuple[int, int], int]], dict[int, float]]:
        """Return the lane of each bend right of each column, and the room for words before the first lane.

        Of wires that go down the upper one turns last, of those that go up the lower one: so they do not cross.
        """
        found: dict[int, list[tuple[float, int, int]]] = defaultdict(list)
        rooms: dict[int, float] = defaultdict(float)
        for number, (wire, steps) in enumerate(zip(self.wires, self.steps, strict=True)):
            first = self.column[wire.source[0]]
            rooms[first] = max(rooms[first], wire.room)
            if self._runs_back(number):
                found[first].append((float("-inf"), number, 0))
                found[self.column[wire.target[0]] - 1].append((float("inf"), number, 1))
                continue
            for place in range(len(steps) - 1):
                here, there = self._level(number, place), self._level(number, place + 1)
                if abs(here - there) > 0.01:
                    found[first + place].append((-here if there > here else here, number, place))
        lanes: dict[int, dict[tuple[int, int], int]] = defaultdict(dict)
        for column, bends in found.items():
            lanes[column] = {(number, place): lane for lane, (_, number, place) in enumerate(sorted(bends))}
        return lanes, rooms

    def _bends(
        self, number: int, left: dict[int, float], right: dict[int, float],
        gaps: tuple[dict[int, dict[tuple[int, int], int]], dict[int, float]],
    ) -> tuple[Point, ...]:
        lanes, rooms = gaps
        wire, steps = self.wires[number], self.steps[number]
        column = self.column[wire.source[0]]
        box_right = left[column] + self.boxes[wire.source[0]].width
        bends = [(box_right, self._level(number, 0))]
        for place in range(len(steps) - 1):
            here, there = self._level(number, place), self._level(number, place + 1)
            lane = lanes[column].get((number, place))
            if lane is not None:
                x = right[column] + rooms[column] + LANE_PT * (lane + 1)
                bends += [(x, here), (x, there)]
            column += 1
        return (*bends, (left[column], self._level(number, len(steps) - 1)))

    def _backwards(
        self, number: int,
        gaps: tuple[dict[int, float], dict[int, float], dict[int, dict[tuple[int, int], int]], dict[int, float]],
        low: float,
    ) -> tuple[Point, ...]:
        """Return the bends of a wire that runs back: out, below everything, and in from the left."""
        left, right, lanes, rooms = gaps
        wire = self.wires[number]
        first, last = self.column[wire.source[0]], self.column[wire.target[0]]
        out = right[first] + rooms[first] + LANE_PT * (lanes[first][number, 0] + 1)
        lane = lanes[last - 1][number, 1]
        into = right[last - 1] + rooms[last - 1] + LANE_PT * (lane + 1) if last else -LANE_PT * (lane + 1)
        start, end = self._level(number, 0), self._level(number, -1 % len(self.steps[number]))
        begin = left[first] + self.boxes[wire.source[0]].width
        return ((begin, start), (out, start), (out, low), (into, low), (into, end), (left[last], end))
