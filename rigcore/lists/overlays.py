"""What can be laid over the stage plan, one at a time: cable runs, power circuits, the order of setting up.

Shapes in metres and words; who shows them draws. Nothing is judged here but whether a chosen cable reaches.
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from rigcore.patch.build import Patch
from rigcore.patch.lengths import CableRun, cable_runs, places_of
from rigcore.patch.power import loads
from rigcore.quantities.geometry import length_words

Kind = Literal["runs", "power", "order"]
KINDS: tuple[Kind, ...] = ("runs", "power", "order")


class Stroke(Struct, frozen=True):
    """A line over the plan: corner points in m, what is written on it, and whether it falls short.

    ``group`` tells strokes of one kind apart, counted from 0; ``link`` or ``hand_off`` says what of the book it is.
    """

    points: tuple[tuple[float, float], ...]
    words: str = ""
    falls_short: bool = False
    group: int = 0
    link: str = ""
    hand_off: str = ""


class Mark(Struct, frozen=True):
    """Words at a place of the plan, in m, or ``beside`` it; ``group`` and ``falls_short`` as in :class:`Stroke`."""

    at: tuple[float, float]
    words: str
    group: int = 0
    beside: bool = False
    falls_short: bool = False


class Overlay(Struct, frozen=True):
    """Everything laid over the plan, and one sentence where something is missing for it."""

    strokes: tuple[Stroke, ...] = ()
    marks: tuple[Mark, ...] = ()
    hint: str = ""


def overlay(patch: Patch, kind: Kind, *, feet: bool = False) -> Overlay:
    """Return one overlay of a gig's stage plan.

    Parameters
    ----------
    kind
        ``runs``: every cable with the length it takes; ``power``: what hangs on which circuit;
        ``order``: in which order things are set up.
    feet
        Whether lengths are written in feet and inches, else in metres.
    """
    if kind == "runs":
        return _runs(patch, feet=feet)
    return _power(patch) if kind == "power" else _order(patch)


def _runs(patch: Patch, *, feet: bool) -> Overlay:
    """Draw runs that lie on one another once, with their number and lengths."""
    together: dict[tuple[tuple[float, float], ...], list[CableRun]] = {}
    for run in cable_runs(patch):
        if len(run.points) > 1:
            way = tuple((point[0], point[1]) for point in run.points)
            together.setdefault(min(way, way[::-1]), []).append(run)
    strokes = tuple(_stroke(way, runs, feet=feet) for way, runs in together.items())
    unknown = [run for run in cable_runs(patch) if len(run.points) < 2]
    hint = _counted(len(unknown), "run is", "runs are", f"not shown: {_what_to_place(patch, unknown)}")
    if not strokes and not unknown:
        hint = "none yet: draw cables on the Patch sheet"
    return Overlay(strokes, hint=hint)


def _what_to_place(patch: Patch, unknown: list[CableRun]) -> str:
    """Return what would bring runs onto the plan: a place for our own gear, or for what the house has not placed."""
    known = places_of(patch)
    ours = [run.landing is None or ("rig", patch.hand_off(run.landing).unit) not in known for run in unknown]
    if any(ours):
        return "place both ends on the stage"
    ends = {patch.socket(run.landing).unit for run in unknown if run.landing is not None}
    names = [unit.name for unit in patch.house.units if unit.id in ends]
    return f"the house gave no place for {' and '.join(names)}"


def _stroke(way: tuple[tuple[float, float], ...], runs: list[CableRun], *, feet: bool) -> Stroke:
    needed = sorted({run.required_m for run in runs if run.required_m is not None})
    words = " to ".join(length_words(one, feet=feet) for one in dict.fromkeys((needed[0], needed[-1])))
    if len(runs) > 1:
        words = f"{len(runs)} × {words}"
    missing = -min((run.reaches_by_m for run in runs if run.reaches_by_m is not None), default=0.0)
    if missing > 0:
        words += f", {length_words(missing, feet=feet)} short"
    first = runs[0]
    link, hand_off = first.link.id if first.link else "", first.landing.hand_off if first.landing else ""
    return Stroke(way, words, missing > 0, link=link, hand_off=hand_off)


def _counted(number: int, one: str, several: str, rest: str) -> str:
    return f"{number} {one if number == 1 else several} {rest}" if number else ""


def _power(patch: Patch) -> Overlay:
    strokes: list[Stroke] = []
    marks: list[Mark] = []
    homeless = 0
    for group, load in enumerate(loads(patch)):
        at = {drop.id: (drop.x_m, drop.y_m) for drop in load.circuit.drops}
        given = f" of {load.circuit.breaker_a:g} A" if load.circuit.breaker_a is not None else " A"
        name = f"{group + 1}: {load.circuit.name or 'mains'}, {load.load_a:.1f}{given}"
        breaker_a = load.circuit.breaker_a
        over = breaker_a is not None and load.load_a > breaker_a
        marks += [Mark(place, name, group, beside=True, falls_short=over) for place in at.values()]
        for plug in load.plugs:
            unit = patch.units.get(plug.key[1]) if plug.key[0] == "rig" else None
            if unit is None:
                continue
            if unit.x_m is None or unit.y_m is None:
                homeless += 1
                continue
            here = (unit.x_m, unit.y_m)
            above = patch.units.get(plug.up[1]) if plug.up is not None and plug.up[0] == "rig" else None
            start = at.get(plug.drop.id) if plug.drop is not None else None
            if above is not None and above.x_m is not None and above.y_m is not None:
                start = (above.x_m, above.y_m)
            if start is not None and start != here:
                strokes.append(Stroke((start, here), group=group))
            marks.append(Mark(here, str(group + 1), group))
    hint = _counted(homeless, "unit is", "units are", "not shown: place them on the stage")
    if not marks and not homeless:
        hint = "nothing on stage takes mains yet: drag gear onto the stage"
    return Overlay(tuple(strokes), tuple(marks), hint)


def _order(patch: Patch) -> Overlay:
    """Number the units in the order of setting up.

    Upstage first, so that nobody carries over what stands; in one row the large before the small, which may
    stand on it; microphones last, when nobody walks about any more (common practice, no source).
    """
    placed = [unit for unit in patch.units.values() if unit.x_m is not None and unit.y_m is not None]

    def turn(name: str) -> tuple[bool, float, float, float]:
        unit = patch.units[name]
        gear = patch.catalogue.gear_type(unit.gear)
        x_m, y_m = unit.x_m or 0.0, unit.y_m or 0.0
        return gear.glyph == "mic", -round(y_m), -gear.width_m * gear.depth_m, x_m

    order = sorted((unit.id for unit in placed), key=turn)
    marks = []
    for number, name in enumerate(order, start=1):
        unit = patch.units[name]
        marks.append(Mark((unit.x_m or 0.0, unit.y_m or 0.0), str(number)))
    waiting = len(patch.units) - len(placed)
    hint = _counted(waiting, "unit waits", "units wait", "in the tray")
    return Overlay(marks=tuple(marks), hint=hint if patch.units else "nothing to set up yet: drag gear onto the stage")
