"""The arithmetic of the Stage sheet: metres to sheet units, snapping, the tray. No painting, no Qt.

On stage x runs from the centre line to stage left (right on paper), y from the
downstage edge upstage (up on paper). One metre is 100 sheet units.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from app.canvas.layout import Box, Point
from rigcore.book.house import Stage
from rigcore.book.rig import Unit
from rigcore.catalogue.gear import GearType
from rigcore.quantities.geometry import METRES_PER_FOOT, length_words

SCALE = 100.0
GRID_M = 0.1
CATCH_M = 0.12
"""How near a line a footprint must come to be caught by it."""

TURN_DEG = 15.0
AROUND = 74.0
"""Room around the stage for the names of its sides."""

CHIP = (150.0, 40.0)
CHIP_GAP = 10.0
TRAY_HEAD = 30.0
SHAPE = 1.7
"""Width to height of the window a sheet is usually seen in."""

FEET_IN_GRID = 2

Place = tuple[float, float, float]
"""x and y in m, rotation in degrees clockwise."""


def on_sheet(x_m: float, y_m: float) -> Point:
    """Return a place on stage as a place on the sheet.

    >>> on_sheet(1.5, 2.0)
    Point(x=150.0, y=-200.0)
    """
    return Point(x_m * SCALE, -y_m * SCALE)


def on_stage(x: float, y: float) -> tuple[float, float]:
    """Return a place on the sheet as a place on stage, in m.

    >>> on_stage(150.0, -200.0)
    (1.5, 2.0)
    """
    return x / SCALE, -y / SCALE + 0.0


class Caught(Struct, frozen=True):
    """Where a footprint comes to lie, in m, and what caught it."""

    x_m: float
    y_m: float
    by: str = ""


def snap(x_m: float, y_m: float, mirrors: Iterable[float] = (), *, free: bool = False) -> Caught:
    """Return a place caught by the centre line, by a mirror image's x, or by the grid.

    >>> snap(0.07, 1.234)
    Caught(x_m=0.0, y_m=1.2, by='centre line')
    >>> snap(-1.46, 1.0, [-1.5]).by
    'symmetric'
    """
    if free:
        return Caught(round(x_m, 2), round(y_m, 2))
    y = round(round(y_m / GRID_M) * GRID_M, 2)
    if abs(x_m) < CATCH_M:
        return Caught(0.0, y, "centre line")
    for mirror in mirrors:
        if abs(x_m - mirror) < CATCH_M:
            return Caught(round(mirror, 2), y, "symmetric")
    return Caught(round(round(x_m / GRID_M) * GRID_M, 2), y)


def turned(rotation_deg: float, by_deg: float) -> float:
    """Return a rotation turned on to the next step of fifteen degrees, within 0 to 360.

    >>> turned(350, 15), turned(7, 15), turned(0, -15)
    (0.0, 15.0, 345.0)
    """
    return (round((rotation_deg + by_deg) / TURN_DEG) * TURN_DEG) % 360.0


def mirrors_of(unit: Unit, units: Mapping[str, Unit]) -> list[float]:
    """Return the x of every mirror image about the centre line of a unit's equals."""
    return [
        -other.x_m
        for other in units.values()
        if other.id != unit.id and other.gear == unit.gear and other.x_m is not None
    ]


def place_note(x_m: float, y_m: float, *, feet: bool = False) -> tuple[str, str]:
    """Return how far a place lies from the centre line and from the downstage edge, with units.

    >>> place_note(-1.5, 2.0)
    ('1.5 m stage right', '2 m upstage')
    """
    side = "stage left" if x_m > 0 else "stage right"
    across = f"{length_words(abs(x_m), feet=feet)} {side}" if x_m else "on the centre line"
    return across, f"{length_words(y_m, feet=feet)} upstage"


def footprint_size(gear: GearType) -> tuple[float, float]:
    """Return width and depth of a footprint in sheet units."""
    return gear.width_m * SCALE, gear.depth_m * SCALE


def stage_box(stage: Stage) -> Box:
    """Return the stage on the sheet."""
    half = stage.width_m * SCALE / 2
    return Box(-half, -stage.depth_m * SCALE, half, 0.0)


def grid_lines(stage: Stage, *, feet: bool = False) -> tuple[list[float], list[float]]:
    """Return the x and the y of the grid's lines on the sheet: metres, or steps of two feet."""
    step = FEET_IN_GRID * METRES_PER_FOOT if feet else 1.0
    half, count = stage.width_m / 2, int(stage.width_m / 2 / step + 1e-6)
    xs = [n * step * SCALE for n in range(-count, count + 1) if abs(n * step) < half - 1e-6]
    rows = int(stage.depth_m / step + 1e-6)
    ys = [-n * step * SCALE for n in range(1, rows + 1) if n * step < stage.depth_m - 1e-6]
    return xs, ys


def tray_box(stage: Stage, count: int) -> Box:
    """Return the tray beside the stage, large enough for so many waiting units."""
    floor = stage_box(stage)
    rows = tray_rows(stage, count)
    return Box(floor.right + AROUND, floor.top, *_tray_corner(floor, rows, count))


def tray_places(stage: Stage, waiting: Sequence[str]) -> dict[str, Point]:
    """Return the centre of each waiting unit's chip in the tray."""
    box = tray_box(stage, len(waiting))
    rows = tray_rows(stage, len(waiting))
    places = {}
    for number, name in enumerate(waiting):
        column, row = divmod(number, rows)
        x = box.left + CHIP_GAP + column * (CHIP[0] + CHIP_GAP) + CHIP[0] / 2
        y = box.top + TRAY_HEAD + row * (CHIP[1] + CHIP_GAP) + CHIP[1] / 2
        places[name] = Point(x, y)
    return places


def tray_rows(stage: Stage, count: int) -> int:
    """Return in how many rows units wait: as high as the stage, or higher where that shows stage and tray larger."""
    floor = stage_box(stage)
    least = max(4, int((floor.bottom - floor.top - TRAY_HEAD) // (CHIP[1] + CHIP_GAP)))

    def span(rows: int) -> float:
        right, bottom = _tray_corner(floor, rows, count)
        return max(right - floor.left + 2 * AROUND, SHAPE * (bottom - floor.top + 2 * AROUND))

    return min(range(least, max(least, count) + 1), key=span)


def _tray_corner(floor: Box, rows: int, count: int) -> tuple[float, float]:
    columns = max(1, -(-count // rows))
    right = floor.right + AROUND + columns * (CHIP[0] + CHIP_GAP) + CHIP_GAP
    return right, floor.top + TRAY_HEAD + min(max(count, 1), rows) * (CHIP[1] + CHIP_GAP) + CHIP_GAP
