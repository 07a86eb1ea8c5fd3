"""Places the words of the stage plot so that none covers another: a fixed search, the same every time.

Works in metres; sizes of letterings and marks come from the caller. Nothing is drawn here.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from rigcore.lists.plot import Box, Label, Plot, Point, bounds

Size = tuple[float, float]
Line = tuple[Point, Point]

RINGS = 26
"""How far, in rings, words may stand from their place; each ring costs 1."""
SHORT_COST, ON_CENTRE_LINE, ON_AN_EDGE, CROSSING, ON_A_THING, ON_WORDS = 12.0, 2.0, 7.0, 12.0, 24.0, 1e6
"""What is weighed against distance: the short form, and what words or their leader may lie on."""
KNOTTED, OVER_A_THING, ON_THE_STAGE_EDGE = 5.0, 20.0, 10.0
"""The same for leaders that cross or run over a thing, and for the thick edge of the stage."""
CLOSE_TO_A_THING, CLOSE_TO_WORDS = 3.0, 4.0
"""Words that touch a thing beside them, and words so close to others that two labels read as one."""
APART = 2.5
"""Gaps between two labels, above all one below the other: lines of one label are closer."""
FEW_CROWDED, SWEEPS = 3, 2
BAD, NEIGHBOURS, MOST_EXCHANGED = 6.0, 4, 6
"""What a label costs that may take a neighbour's place, of so many of them; no more than so many do."""
BAND = 3
"""Rings judged together against what lies within the outermost of them."""
_WAYS: tuple[tuple[float, float], ...] = (
    (1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1),
    (1, 0.5), (-1, 0.5), (1, -0.5), (-1, -0.5), (0.5, 1), (-0.5, 1), (0.5, -1), (-0.5, -1),
    (0.25, 1), (-0.25, 1), (0.25, -1), (-0.25, -1), (1, 0.25), (-1, 0.25), (1, -0.25), (-1, -0.25),
)


class Measure(Struct, frozen=True):
    """How large things come out, in m: ``labels`` gives the sizes a label may take (the first preferred),
    ``mark`` the half size of a label's mark, ``gap`` the room to leave, ``room`` the bounds of the sheet."""

    labels: Callable[[Label], Sequence[Size]]
    mark: Callable[[Label], float]
    gap: float
    room: Box


class Placed(Struct, frozen=True):
    """A label with the middle of its words, the variant of its size, and its leader line if it stands apart;
    ``over`` is whether the words lie on something, ``lost`` whether they would lie on other words: no room."""

    label: Label
    at: Point
    variant: int = 0
    leader: Line | None = None
    over: bool = False
    lost: bool = False


def place_labels(plot: Plot, measure: Measure) -> tuple[Placed, ...]:
    """Return every label of a plot with its place.

    A mark whose full words find no clean place takes its short form; where that happens to
    several, all marks do, so that the plan reads alike.
    """
    placer = _Placer(plot, measure, brief=False)
    placed = placer.placed()
    return _Placer(plot, measure, brief=True).placed() if placer.crowded > FEW_CROWDED else placed


class _Placer:
    def __init__(self, plot: Plot, measure: Measure, *, brief: bool) -> None:
        self.plot = plot
        self.brief = brief
        self.crowded = 0
        self.measure = measure
        self.things = [bounds(one.corners) for one in plot.outlines if one.kind in ("gear", "wedge")]
        self.things += [_grown(bounds((arrow.start, arrow.end)), measure.gap / 2) for arrow in plot.arrows]
        self.things += [_grown(bounds(one.shape), measure.mark(one)) for one in plot.labels if one.mark is not None]
        self.fixed = _lines(plot)
        self.sizes = [measure.labels(label) for label in plot.labels]
        self.found: dict[int, Placed] = {}
        self.costs: dict[int, float] = {}

    def placed(self) -> tuple[Placed, ...]:
        """Place what fits inside its shape, then marks, then the rest; then give what lies badly another try."""
        order = sorted(enumerate(self.plot.labels), key=lambda one: (_rank(one[1]), one[0]))
        for place, label in order:
            made = self._inside(place, label) if label.inside or label.corner else None
            if made is not None:
                self.found[place] = made
        rest = [one for one in order if one[0] not in self.found]
        rest.sort(key=lambda one: (_turn(one[1]), one[0]))
        for place, label in rest:
            if self.crowded <= FEW_CROWDED:
                self.found[place], self.costs[place] = self._beside(place, label)
                self.crowded += self._is_crowded(place)
        if self.crowded <= FEW_CROWDED:
            for _ in range(SWEEPS):
                self._sweep(rest)
            self._exchange(rest)
        self._give_up()
        return tuple(self.found[place] for place in sorted(self.found))

    def _give_up(self) -> None:
        """Mark the words that still lie on others as lost, the last placed first."""
        for place in [one for one in reversed(self.found) if self.costs.get(one, 0.0) >= ON_WORDS]:
            words = _around(self.found[place].at, self.sizes[place][self.found[place].variant])
            others = [
                _around(one.at, self.sizes[other][one.variant])
                for other, one in self.found.items() if other != place and not one.lost
            ]
            if _hits(words, others):
                self.found[place] = replace(self.found[place], lost=True)

    def _is_crowded(self, place: int) -> bool:
        made = self.found[place]
        full = 0 if not self.brief else made.variant
        return bool(made.label.short) and (made.variant != full or self.costs[place] >= CROSSING)

    def _sweep(self, rest: Sequence[tuple[int, Label]]) -> None:
        """Place again, among all the others, each label that does not lie well."""
        for place, label in rest:
            if self.costs[place] > 1.0:
                del self.found[place]
                self.found[place], self.costs[place] = self._beside(place, label)

    def _exchange(self, rest: Sequence[tuple[int, Label]]) -> None:
        """Let labels that lie badly have the place of a neighbour, where the two together lie better for it."""
        labels = dict(rest)
        bad = [place for place in labels if ON_WORDS > self.costs[place] >= BAD]
        for place in sorted(bad, key=lambda one: -self.costs[one])[:MOST_EXCHANGED]:
            spots = _middle(bounds(labels[place].shape)), self.found[place].at
            away = {
                one: min(math.dist(self.found[one].at, spot) for spot in spots) for one in labels if one != place
            }
            for other in sorted(away, key=lambda one: away[one])[:NEIGHBOURS]:
                if self._exchanged((place, other), labels):
                    break

    def _exchanged(self, pair: tuple[int, int], labels: Mapping[int, Label]) -> bool:
        """Place the first of two labels as if the other were not there, then that; return whether it was worth it."""
        before = [(self.found.pop(one), self.costs[one]) for one in pair]
        spare = sum(cost for _, cost in before) - 1.0
        for one in pair:
            self.found[one], self.costs[one] = self._beside(one, labels[one])
            spare -= self.costs[one]
            if spare <= 0 or self.costs[pair[0]] >= before[0][1]:
                break
        else:
            return True
        for one, (made, cost) in zip(pair, before, strict=True):
            self.found[one], self.costs[one] = made, cost
        return False

    @property
    def taken(self) -> list[Box]:
        """The boxes of all words placed so far."""
        return [_around(one.at, self.sizes[place][one.variant]) for place, one in self.found.items()]

    def _inside(self, place: int, label: Label) -> Placed | None:
        box = bounds(label.shape)
        taken = self.taken
        for variant, size in enumerate(self.sizes[place]):
            if label.plate:
                spots = [_middle(box)]
            elif label.corner:
                spots = _corner_spots(box, size, self.measure.gap)
            else:
                spots = [_middle(box)]
            for spot in spots:
                words = _around(spot, size)
                if not label.plate and not _holds(label.shape, words):
                    continue
                others = [one for one in self.things if one != box]
                if label.plate:
                    words = self._kept(words)
                    spot = _middle(words)
                if not _hits(words, taken) and not _hits(words, others):
                    return Placed(label, spot, variant)
        return None

    def _beside(self, place: int, label: Label) -> tuple[Placed, float]:
        """Return the place around a label's shape, in full or in short, that costs least, and its cost."""
        sizes = self.sizes[place]
        last = len(sizes) - 1
        variants = [0] if not label.short else [last] if self.brief else [0, last]
        leaders = [one.leader for one in self.found.values() if one.leader is not None]
        lines = [(line, CROSSING) for line in leaders] + ([] if label.plate else self.fixed)
        judge = _Judge(self.taken, self.things, lines, leaders, self.measure.gap)
        near = judge
        best: tuple[int, Box, bool] | None = None
        least, harm = float("inf"), 0.0
        reach = self.measure.mark(label) if label.mark is not None else 0.0
        box = _grown(bounds(label.shape), reach)
        for variant in variants:
            start = SHORT_COST * (variant > variants[0])
            for ring in range(RINGS):
                if start + ring >= least:
                    break
                if ring % BAND == 0:
                    near = judge.near(self._ring(box, sizes[variant], ring + BAND - 1))
                for words, moved in self._places(box, sizes[variant], ring):
                    leader = _leader(box, words) if ring else None
                    blame = (judge if moved else near).blame(words, leader, least - start - ring)
                    if start + ring + blame < least:
                        best, least, harm = (variant, words, ring > 0), start + ring + blame, blame
        assert best is not None
        variant, words, apart = best
        made = Placed(label, _middle(words), variant, _leader(box, words) if apart else None, over=harm > 0)
        return made, least

    def _ring(self, box: Box, size: Size, ring: int) -> Box:
        """Return what all places of a ring, and their leaders, lie within."""
        away = self.measure.gap * (1 + ring * 2 + APART)
        wide, high = size[0] + away, size[1] + away
        return box[0] - wide, box[1] - high, box[2] + wide, box[3] + high

    def _places(self, box: Box, size: Size, ring: int) -> Iterator[tuple[Box, bool]]:
        """Yield the places of one ring around a box, each with whether the edge of the room moved it."""
        away = self.measure.gap * (1 + ring * 2)
        x, y = _middle(box)
        half_w, half_h = size[0] / 2, size[1] / 2
        out_w, out_h = (box[2] - box[0]) / 2 + away + half_w, (box[3] - box[1]) / 2 + away + half_h
        left, low, right, high = self.measure.room
        for across, up in _WAYS:
            at_x, at_y = x + across * out_w, y + up * out_h
            words = (at_x - half_w, at_y - half_h, at_x + half_w, at_y + half_h)
            if words[0] < left or words[1] < low or words[2] > right or words[3] > high:
                yield self._kept(words), True
            else:
                yield words, False

    def _kept(self, box: Box) -> Box:
        """Return the box moved into the room."""
        room = self.measure.room
        dx = max(room[0] - box[0], 0.0) or min(room[2] - box[2], 0.0)
        dy = max(room[1] - box[1], 0.0) or min(room[3] - box[3], 0.0)
        return box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy


class _Judge(Struct, frozen=True):
    """What a place for words is judged by: other words, things, lines with their harm, and leaders."""

    taken: Sequence[Box]
    things: Sequence[Box]
    lines: Sequence[tuple[Line, float]]
    leaders: Sequence[Line]
    gap: float

    def near(self, box: Box) -> _Judge:
        """Return the judge who looks at nothing but what reaches into a box."""
        return _Judge(
            [one for one in self.taken if _touch(box, one)],
            [one for one in self.things if _touch(box, one)],
            [one for one in self.lines if _touch(box, bounds(one[0]))],
            [one for one in self.leaders if _touch(box, bounds(one))],
            self.gap,
        )

    def blame(self, words: Box, leader: Line | None, enough: float) -> float:
        """Return what a place costs besides its distance; stops counting at enough."""
        if _hits(words, self.taken):
            return enough if enough <= ON_WORDS else ON_WORDS + sum(_shared(words, one) for one in self.taken)
        cost = ON_A_THING if _hits(words, self.things) else self._blame_closeness(words)
        for line, harm in self.lines:
            if cost >= enough:
                return cost
            if _cuts(line, words):
                cost += harm
        return cost if leader is None else self._blame_leader(leader, cost, enough)

    def _blame_closeness(self, words: Box) -> float:
        """Return the cost of what the words do not lie on but next to; their own thing is a gap away."""
        gap = self.gap
        cost = CLOSE_TO_A_THING if _hits(_grown(words, 0.8 * gap), self.things) else 0.0
        around = (words[0] - gap, words[1] - APART * gap, words[2] + gap, words[3] + APART * gap)
        return cost + (CLOSE_TO_WORDS if _hits(around, self.taken) else 0.0)

    def _blame_leader(self, leader: Line, cost: float, enough: float) -> float:
        """Return the cost with what the leader runs over added; stops counting at enough."""
        left, low, right, high = bounds(leader)
        for boxes, harm in ((self.things, OVER_A_THING), (self.taken, CROSSING)):
            for one in boxes:
                if cost >= enough:
                    return cost
                if left <= one[2] and one[0] <= right and low <= one[3] and one[1] <= high and _cuts(leader, one):
                    cost += harm
        for other in self.leaders:
            if cost >= enough:
                return cost
            if _meet(leader, other):
                cost += KNOTTED
        return cost


def _lines(plot: Plot) -> list[tuple[Line, float]]:
    """Return the lines words should not lie on, with what it costs: centre line, edges of stage and risers."""
    found = [(((0.0, 0.0), (0.0, plot.stage.depth_m)), ON_CENTRE_LINE)]
    for outline in plot.outlines:
        if outline.kind in ("stage", "riser"):
            shape = outline.corners
            harm = ON_AN_EDGE if outline.kind == "riser" else ON_THE_STAGE_EDGE
            found += [(edge, harm) for edge in zip(shape, (*shape[1:], shape[0]), strict=True)]
    return found


def _rank(label: Label) -> int:
    """Return whose turn comes first: plates, risers, words inside things, then marks."""
    if label.plate:
        return 0
    if label.corner:
        return 1
    return 2 if label.inside else 3


def _turn(label: Label) -> int:
    """Return whose turn it is to stand beside its place: plates, marks, risers, then things."""
    return 0 if label.plate else 1 if label.mark is not None else 2 if label.corner else 3


def _corner_spots(box: Box, size: Size, gap: float) -> list[Point]:
    inset_x, inset_y = size[0] / 2 + gap, size[1] / 2 + gap
    left, right = box[0] + inset_x, box[2] - inset_x
    low, high = box[1] + inset_y, box[3] - inset_y
    return [(left, high), (right, high), (left, low), (right, low)]


def _leader(box: Box, words: Box) -> Line:
    x, y = _middle(box)
    end = (max(words[0], min(words[2], x)), max(words[1], min(words[3], y)))
    start = (max(box[0], min(box[2], end[0])), max(box[1], min(box[3], end[1])))
    return start, end


def _around(at: Point, size: Size) -> Box:
    return at[0] - size[0] / 2, at[1] - size[1] / 2, at[0] + size[0] / 2, at[1] + size[1] / 2


def _middle(box: Box) -> Point:
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2


def _grown(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _shared(one: Box, other: Box) -> float:
    width = min(one[2], other[2]) - max(one[0], other[0])
    height = min(one[3], other[3]) - max(one[1], other[1])
    return width * height if width > 1e-9 and height > 1e-9 else 0.0


def _hits(box: Box, others: Sequence[Box]) -> bool:
    left, low, right, high = box
    for one in others:  # noqa: SIM110 - half the time of any() with a generator, in the innermost loop
        if left < one[2] and one[0] < right and low < one[3] and one[1] < high:
            return True
    return False


def _touch(box: Box, other: Box) -> bool:
    return box[0] <= other[2] and other[0] <= box[2] and box[1] <= other[3] and other[1] <= box[3]


def _holds(shape: Sequence[Point], box: Box) -> bool:
    """Return whether a convex shape, corners counter-clockwise, holds a box."""
    points = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
    for start, end in zip(shape, (*shape[1:], shape[0]), strict=True):
        across, up = end[0] - start[0], end[1] - start[1]
        if any(across * (y - start[1]) - up * (x - start[0]) < 0 for x, y in points):
            return False
    return True


def _meet(one: Line, other: Line) -> bool:
    """Return whether two lines cross."""
    def side(line: Line, point: Point) -> float:
        (x, y), (end_x, end_y) = line
        return (end_x - x) * (point[1] - y) - (end_y - y) * (point[0] - x)

    return side(one, other[0]) * side(one, other[1]) < 0 and side(other, one[0]) * side(other, one[1]) < 0


def _cuts(line: Line, box: Box) -> bool:
    """Return whether a line passes through the inside of a box (clipping by its four sides)."""
    (x, y), (end_x, end_y) = line
    if (
        (x < box[0] and end_x < box[0]) or (x > box[2] and end_x > box[2])
        or (y < box[1] and end_y < box[1]) or (y > box[3] and end_y > box[3])
    ):
        return False
    low, high = 0.0, 1.0
    for start, delta, least, most in ((x, end_x - x, box[0], box[2]), (y, end_y - y, box[1], box[3])):
        if abs(delta) < 1e-12:
            if not least + 1e-9 < start < most - 1e-9:
                return False
            continue
        first, second = sorted(((least - start) / delta, (most - start) / delta))
        low, high = max(low, first), min(high, second)
    return high - low > 1e-6
