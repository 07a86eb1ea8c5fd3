"""Where the badges of the Patch sheet lie when it is seen from afar: drawn larger, and yet on no name.

The search is the one for 100 %, with larger badges and with the names as they are written at that scale. A badge that
finds no place near what it is about gives way; one that tells of a fault lies further off.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from msgspec.structs import replace

from app.canvas.badge_places import FAR, spread
from app.canvas.badges import SIZE, Badge, badge_size, mark_side
from app.canvas.badges_item import COUNTED, SCALE, PlacedBadge, scale_at
from app.canvas.far_names import LEAST_PX
from app.canvas.fonts import letters_of
from app.canvas.ground import CELL, Ground, around, moved
from app.canvas.layout import FACE, Box, label_box
from app.canvas.patch_marks import Lying, sleeves, wanted
from app.canvas.patch_plan import SheetPlan
from app.canvas.trunk_item import MOST
from app.canvas.unit_item import LABELS, MIDDLE
from rigcore.rules.rule import SEVERITIES, Thing

STEPS = 8
"""Into how many steps a doubling of the scale is parted: places are found once for each."""


def step_of(detail: float) -> float:
    """Return the scale for which places are found when the sheet is seen at another: the next smaller one.

    >>> step_of(0.25), step_of(0.26) == step_of(0.27)
    (0.25, True)
    """
    return 2.0 ** (math.floor(math.log2(max(detail, 0.05)) * STEPS + 1e-9) / STEPS)


def far_badges(
    plan: SheetPlan, lying: Lying, badges: Mapping[Thing, Badge], names: Mapping[str, Box], *, detail: float
) -> list[PlacedBadge]:
    """Return the badges of a sheet with their places at a scale at which they are drawn larger, the gravest first.

    ``names`` are the tapes of the cards as drawn at that scale.
    """
    scale = scale_at(detail)
    taken = Ground(((box, "") for box in _read(plan, lying, names, detail)), CELL * scale)
    bodies = Ground(((card.box, name) for name, card in lying[0].items()), CELL * scale)
    bodies.take(plan.rows.strip, "house")
    turn = sorted(badges, key=lambda thing: (SEVERITIES.index(badges[thing].severity), -badges[thing].count))
    found = []
    for thing in turn:
        badge = badges[thing]
        side = mark_side(badge, scale)
        want = wanted(thing, (side, side) if scale > COUNTED else badge_size(badge, scale), plan, lying)
        if want is None:
            continue
        trial = spread([want], taken, bodies, plan.content, stride=scale / SCALE, leave=_reach(badge, scale))
        found += [PlacedBadge(thing, badge, replace(place, grows=0), scale) for place in trial]
    return found


def _reach(badge: Badge, scale: float) -> float:
    """Return how far off a badge may lie before it is left out: that of a fault never is, a line leads to it."""
    return math.inf if badge.severity == "fault" else FAR + 2 * SIZE * scale / SCALE


def _read(plan: SheetPlan, lying: Lying, names: Mapping[str, Box], detail: float) -> Iterable[Box]:
    """Yield all that no badge may cover: tapes, what is written on tiles, faces where they are drawn."""
    yield from names.values()
    yield from sleeves(plan, lying, min(letters_of("gear", LEAST_PX / detail), MOST))
    for tile in plan.rows.tiles:
        yield Box(tile.box.left, tile.box.top + 4.5, tile.box.right, tile.box.bottom)
    if detail >= MIDDLE:
        yield from (around(tile.face, 2 * FACE, 2 * FACE) for tile in plan.rows.tiles)
        for placed in lying[0].values():
            x, y = placed.place
            yield from (around((x + spot.at.x, y + spot.at.y), 2 * FACE, 2 * FACE) for spot in placed.card.spots)
            if detail >= LABELS:
                labels = ((spot, placed.label(spot)) for spot in placed.card.spots)
                yield from (moved(label_box(placed.card, spot, words), placed.place) for spot, words in labels)

