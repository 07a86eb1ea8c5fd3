"""The stage plot as shapes in metres: outlines, marks, arrows and what is to be written beside them.

Free of any scale and of any paper; drawing is left to others. x runs from the
centre line to stage left, y from the downstage edge upstage.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Literal

from msgspec import Struct

from rigcore.book.house import Riser, Stage
from rigcore.book.rig import Unit
from rigcore.catalogue.gear import GearType
from rigcore.lists.power_list import power_list
from rigcore.patch.build import Patch
from rigcore.patch.channels import channels, own_lines
from rigcore.quantities.geometry import corners, length_words

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, lower, right and upper bound in m."""

OutlineKind = Literal["stage", "riser", "gear", "wedge"]
MarkKind = Literal["mic", "power", "power wanted", "far"]

FURTHEST_M, FURTHEST_PART = 2.0, 0.5
"""What lies further off the stage than this, or this part of its size, is named at its edge, not drawn to scale."""
ARROW_M = 0.45
WEDGE_BACK = 0.68
"""Width of a wedge's back edge as part of its front, as drawn."""
DRAWN_AT_LEAST_M = 0.05
TOGETHER_M = 0.3
"""Alike small boxes no further apart than this are named together."""
SMALL_M2 = 0.07
"""Own gear smaller than this, and no business of the house, is left off the plan."""


class Outline(Struct, frozen=True):
    """A closed shape at its true size; ``words`` name it, ``detail`` is a second line."""

    kind: OutlineKind
    corners: tuple[Point, ...]
    words: str = ""
    detail: str = ""
    unit: str = ""


class Mark(Struct, frozen=True):
    """A sign at a point, drawn in a size of its own."""

    kind: MarkKind
    at: Point
    unit: str = ""


class Arrow(Struct, frozen=True):
    """The axis of a loudspeaker, from its front outwards."""

    start: Point
    end: Point


class Label(Struct, frozen=True):
    """Words that belong to a place.

    ``shape`` is the thing named (a single point for a mark), ``plate`` asks for
    white words on black, ``inside`` allows them within the shape, ``corner`` wants
    them in one of its corners; ``short`` may stand for the words where it is crowded.
    """

    words: str
    shape: tuple[Point, ...]
    detail: str = ""
    mark: MarkKind | None = None
    plate: bool = False
    inside: bool = False
    corner: bool = False
    short: str = ""


class Plot(Struct, frozen=True):
    """Everything the stage plot shows, in m; ``extent`` bounds it."""

    stage: Stage
    outlines: tuple[Outline, ...]
    marks: tuple[Mark, ...]
    arrows: tuple[Arrow, ...]
    labels: tuple[Label, ...]
    extent: Box
    missing: tuple[str, ...]
    house_numbers: bool


def bounds(points: Iterable[Point]) -> Box:
    """Return the box around some points."""
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def stage_plot(patch: Patch, *, feet: bool = False) -> Plot:
    """Return the stage plot of a gig, lengths in its words in m or feet.

    Channels carry the house's numbers. ``missing`` names sources and monitors
    that have no place on the stage yet; ``house_numbers`` is whether the
    house's numbers differ from the act's own.
    """
    return _Draughtsman(patch, feet).plot()


class _Draughtsman:
    """Gathers the shapes of one plot."""

    def __init__(self, patch: Patch, feet: bool) -> None:
        self.patch = patch
        self.feet = feet
        self.stage = patch.house.stage
        self.outlines: list[Outline] = []
        self.marks: list[Mark] = []
        self.arrows: list[Arrow] = []
        self.labels: list[Label] = []
        self.small: dict[str, list[tuple[str, tuple[Point, ...]]]] = {}
        self.lines: dict[str, list[tuple[int, str]]] = {}
        self.differ = False
        for one in channels(patch):
            self.differ |= one.number != one.socket.number
            if one.origin.node.place == "rig":
                self.lines.setdefault(one.origin.node.unit, []).append((one.socket.number, one.hand_off.name))
        self.mixes: dict[str, list[int]] = {}
        for hand_off, landing in own_lines(patch):
            if hand_off.direction == "from house":
                self.mixes.setdefault(hand_off.unit, []).append(patch.socket(landing).number)

    def plot(self) -> Plot:
        half = self.stage.width_m / 2
        edge = ((-half, 0.0), (half, 0.0), (half, self.stage.depth_m), (-half, self.stage.depth_m))
        self.outlines.append(Outline("stage", edge))
        for riser in self.stage.risers:
            self._riser(riser)
        self._boxes()
        self._power()
        for unit in (*self.patch.house.units, *self.patch.units.values()):
            self._unit(unit)
        self._small()
        points = [point for outline in self.outlines for point in outline.corners]
        points += [mark.at for mark in self.marks] + [arrow.end for arrow in self.arrows]
        points += [point for label in self.labels for point in label.shape]
        missing = tuple(
            unit.name
            for unit in self.patch.units.values()
            if unit.x_m is None and (unit.id in self.lines or unit.id in self.mixes)
        )
        return Plot(
            self.stage, tuple(self.outlines), tuple(self.marks), tuple(self.arrows), tuple(self.labels),
            bounds(points), missing, self.differ,
        )

    def _riser(self, riser: Riser) -> None:
        shape = corners((riser.x_m, riser.y_m), (riser.width_m, riser.depth_m), 0.0)
        if _too_far((riser.x_m, riser.y_m), self.stage):
            self._far(riser.name, (riser.x_m, riser.y_m))
            return
        size = f"{self._length(riser.width_m)} × {self._length(riser.depth_m)}"
        if riser.height_m:
            size += f", {self._length(riser.height_m)} high"
        self.outlines.append(Outline("riser", shape, riser.name, size, riser.id))
        self.labels.append(Label(riser.name, shape, size, corner=True))

    def _boxes(self) -> None:
        for unit in self.patch.house.units:
            own = [one for one in self.patch.house.sockets if one.unit == unit.id]
            if unit.x_m is None or unit.y_m is None or not own:
                continue
            ins = label_range([one.label for one in own if one.direction == "in"])
            outs = label_range([one.label for one in own if one.direction == "out"])
            words = ins or outs
            detail = outs if ins and outs else ""
            at = (unit.x_m, unit.y_m)
            if _too_far(at, self.stage):
                self._far(words, at)
            else:
                self.labels.append(Label(words, (at,), detail, plate=True, inside=True))

    def _power(self) -> None:
        rows = {row.place: row for row in power_list(self.patch)}
        for drop in self.stage.power:
            at = (drop.x_m, drop.y_m)
            words = f"{drop.outlets} outlet{'s' * (drop.outlets != 1)}"
            row = rows.get(drop.name)
            detail = f"we need {row.need}" if row is not None else ""
            self._mark("power", at, (words, detail))
        if self.stage.power or not rows:
            return
        row = next(iter(rows.values()))
        names = set(row.units)
        places = [
            (unit.x_m, unit.y_m)
            for unit in self.patch.units.values()
            if unit.name in names and unit.x_m is not None and unit.y_m is not None
        ]
        if places:
            at = (sum(x for x, _ in places) / len(places), sum(y for _, y in places) / len(places))
            words = f"{row.wall_outlets} outlet{'s' * (row.wall_outlets != 1)} needed"
            self._mark("power wanted", _near_edge(at, self.stage), (words, ""))

    def _unit(self, unit: Unit) -> None:
        if unit.x_m is None or unit.y_m is None:
            return
        at = (unit.x_m, unit.y_m)
        gear = self.patch.catalogue.gear_type(unit.gear)
        if self.patch.house.unit(unit.id) is unit and any(
            one.unit == unit.id for one in self.patch.house.sockets
        ):
            return
        if gear.category == "microphone":
            lines = self.lines.get(unit.id, [])
            words = f"{lines[0][0]} {lines[0][1]}" if lines else unit.name
            more = ", ".join(str(number) for number, _ in lines[1:])
            short = ", ".join(str(number) for number, _ in lines)
            self._mark("mic", at, (words, f"also {more}" if more else "", short), unit.id)
        elif not self._matters(unit, gear):
            return
        elif _too_far(at, self.stage):
            self._far(unit.name, at)
        else:
            self._footprint(unit, gear, at)

    def _matters(self, unit: Unit, gear: GearType) -> bool:
        """Return whether a crew wants to see it: the house meets it there, or it takes up room."""
        meets = unit.id in self.lines or unit.id in self.mixes or unit.owner == "house"
        return meets or gear.category in ("di", "splitter") or gear.width_m * gear.depth_m >= SMALL_M2

    def _footprint(self, unit: Unit, gear: GearType, at: Point) -> None:
        size = (max(gear.width_m, DRAWN_AT_LEAST_M), max(gear.depth_m, DRAWN_AT_LEAST_M))
        shape = corners(at, size, unit.rotation_deg)
        mixes = sorted(self.mixes.get(unit.id, []))
        mix_words = f"mix {number_range(mixes)}" if mixes else ""
        if gear.glyph == "wedge" or gear.category in ("monitor", "loudspeaker"):
            self._loudspeaker(unit, shape, at, mix_words)
            return
        numbers = sorted(number for number, _ in self.lines.get(unit.id, []))
        parts = [f"ch {number_range(numbers)}" if numbers else "", mix_words]
        detail = ", ".join(part for part in parts if part)
        if not detail and gear.category in ("di", "splitter", "isolator"):
            self.outlines.append(Outline("gear", shape, unit.name, "", unit.id))
            self.small.setdefault(gear.name, []).append((unit.name, shape))
            return
        self.outlines.append(Outline("gear", shape, unit.name, detail, unit.id))
        self.labels.append(Label(unit.name, shape, detail, inside=True))

    def _small(self) -> None:
        """Label small boxes; alike ones that stand together get one label."""
        for name, found in self.small.items():
            groups: list[list[tuple[str, tuple[Point, ...]]]] = []
            for one in sorted(found, key=lambda one: bounds(one[1])):
                near = groups and _apart(bounds(groups[-1][-1][1]), bounds(one[1])) <= TOGETHER_M
                if near:
                    groups[-1].append(one)
                else:
                    groups.append([one])
            for group in groups:
                left, low, right, high = bounds(point for _, shape in group for point in shape)
                around = ((left, low), (right, low), (right, high), (left, high))
                alone = len(group) == 1
                self.labels.append(
                    Label(group[0][0] if alone else f"{len(group)} × {name}", around, inside=alone)
                )

    def _loudspeaker(self, unit: Unit, shape: tuple[Point, ...], at: Point, mix_words: str) -> None:
        front_a, front_b, back_a, back_b = shape
        middle = _between(back_a, back_b, 0.5)
        keep = (1 + WEDGE_BACK) / 2
        drawn = (front_a, front_b, _between(back_b, back_a, keep), _between(back_a, back_b, keep))
        words, detail = (mix_words, "") if mix_words else (unit.name, "")
        self.outlines.append(Outline("wedge", drawn, words, detail, unit.id))
        front = _between(front_a, front_b, 0.5)
        depth = ((front[0] - middle[0]) ** 2 + (front[1] - middle[1]) ** 2) ** 0.5
        way = ((front[0] - middle[0]) / depth, (front[1] - middle[1]) / depth)
        self.arrows.append(Arrow(front, (front[0] + way[0] * ARROW_M, front[1] + way[1] * ARROW_M)))
        self.labels.append(Label(words, drawn, detail, inside=True))

    def _mark(self, kind: MarkKind, at: Point, words: tuple[str, ...], unit: str = "") -> None:
        if _too_far(at, self.stage):
            self._far(words[0], at)
            return
        self.marks.append(Mark(kind, at, unit))
        short = words[2] if len(words) > 2 else ""
        self.labels.append(Label(words[0], (at,), words[1], mark=kind, short=short))

    def _length(self, length_m: float) -> str:
        return length_words(length_m, feet=self.feet)

    def _far(self, words: str, at: Point) -> None:
        place = _near_edge(at, self.stage)
        away = ((at[0] - place[0]) ** 2 + (at[1] - place[1]) ** 2) ** 0.5
        self.marks.append(Mark("far", place))
        self.labels.append(Label(words, (place,), f"{length_words(round(away, 1), feet=self.feet)} away", mark="far"))


def place_words(at: tuple[float | None, float | None], stage: Stage) -> str:
    """Return where a point (m) lies, in the trade's words, or nothing if it has no place.

    >>> place_words((-2.5, 0.5), Stage(width_m=6, depth_m=4))
    'downstage right'
    """
    x, y = at
    if x is None or y is None:
        return ""
    half = stage.width_m / 2
    if abs(x) > half:
        return "off stage left" if x > 0 else "off stage right"
    if y < 0:
        return "in front of the stage"
    if y > stage.depth_m:
        return "behind the stage"
    across = "left" if x > half / 3 else "right" if x < -half / 3 else "centre"
    if y > stage.depth_m * 2 / 3:
        return f"upstage {across}"
    if y < stage.depth_m / 3:
        return f"downstage {across}"
    return "centre stage" if across == "centre" else f"stage {across}"


def number_range(numbers: Sequence[int]) -> str:
    """Return numbers with runs of three or more drawn together.

    >>> number_range([1, 2, 3, 7, 8])
    '1–3, 7, 8'
    """
    return label_range([str(number) for number in numbers])


def label_range(labels: Sequence[str]) -> str:
    """Return labels with numbered runs drawn together, in the order given.

    >>> label_range(["B1", "B2", "B3", "C1", "C6", "Mix 1"])
    'B1–B3, C1, C6, Mix 1'
    """
    split = [_stem(label) for label in labels]
    keyed = [(stem, number - place if number is not None else -place - 1, label)
             for place, ((stem, number), label) in enumerate(zip(split, labels, strict=True))]
    parts = []
    for _, group in groupby(keyed, key=lambda one: one[:2]):
        run = [label for _, _, label in group]
        parts += [f"{run[0]}–{run[-1]}"] if len(run) > 2 else run
    return ", ".join(parts)


def _stem(label: str) -> tuple[str, int | None]:
    found = re.search(r"^(.*?)([0-9]{1,6})$", label)
    return (found.group(1), int(found.group(2))) if found else (label, None)


def _between(one: Point, other: Point, part: float) -> Point:
    return one[0] + (other[0] - one[0]) * part, one[1] + (other[1] - one[1]) * part


def _apart(one: Box, other: Box) -> float:
    return max(one[0] - other[2], other[0] - one[2], one[1] - other[3], other[1] - one[3], 0.0)


def _too_far(at: Point, stage: Stage) -> bool:
    off = max(FURTHEST_M, FURTHEST_PART * max(stage.width_m, stage.depth_m))
    return abs(at[0]) > stage.width_m / 2 + off or not -off <= at[1] <= stage.depth_m + off


def _near_edge(at: Point, stage: Stage) -> Point:
    """Return the point itself, or the nearest one half a metre outside the stage."""
    half = stage.width_m / 2 + 0.5
    return max(-half, min(half, at[0])), max(-0.5, min(stage.depth_m + 0.5, at[1]))
