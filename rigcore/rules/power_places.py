"""Where on the stage things to be fed stand: for strips to be brought, and circuits to be asked for."""

from __future__ import annotations

import math
from statistics import fmean

from msgspec import Struct

from rigcore.book.house import PowerDrop
from rigcore.book.rig import Unit
from rigcore.patch.build import Patch
from rigcore.patch.once import once_a_patch
from rigcore.patch.plugs import Plug, nearest_drop
from rigcore.patch.power import hanging_on

BEHIND_M = 0.3
EDGE_M = 0.1


class Beside(Struct, frozen=True):
    """A place beside some units: in the rig's own coordinates and on the stage of this gig, in m."""

    rig: tuple[float, float]
    stage: tuple[float, float]


class Spot(Struct, frozen=True):
    """Where something without a mains link stands, in m, and what it weighs on its circuit."""

    name: str
    x_m: float
    y_m: float
    weight: float

    def square_to(self, other: Spot | PowerDrop) -> float:
        """Return the square of the distance to another spot or a power drop, in m²."""
        return (self.x_m - other.x_m) ** 2 + (self.y_m - other.y_m) ** 2


def beside(patch: Patch, drop: PowerDrop | None, units: list[Unit]) -> Beside | None:
    """Return a place just upstage of some units from which their power drop is still the nearest one; None without."""
    own = _own_places(patch)
    placed = [(unit, unit.x_m, unit.y_m) for unit in units if unit.x_m is not None and unit.y_m is not None]
    if not placed:
        return None if drop is None else Beside((drop.x_m, drop.y_m), (drop.x_m, drop.y_m))
    stage = patch.house.stage
    half = stage.width_m / 2.0 - EDGE_M
    x_m = max(-half, min(half, fmean(x for _, x, _ in placed)))
    y_m = max(EDGE_M, min(stage.depth_m - EDGE_M, max(y for _, _, y in placed) + BEHIND_M))
    if drop is not None and nearest_drop(stage.power, x_m, y_m) is not drop:
        x_m, y_m = drop.x_m, drop.y_m
    across = fmean(own[unit.id][0] - x for unit, x, _ in placed)
    upstage = fmean(own[unit.id][1] - y for unit, _, y in placed)
    here = round(x_m, 2), round(y_m, 2)
    return Beside((round(here[0] + across, 2), round(here[1] + upstage, 2)), here)


@once_a_patch
def _own_places(patch: Patch) -> dict[str, tuple[float, float]]:
    """Return where the rig itself has its units, whatever this gig does with them."""
    return {unit.id: (unit.x_m or 0.0, unit.y_m or 0.0) for unit in patch.rig.units}


def spots(patch: Patch, plugs: tuple[Plug, ...], kind: str) -> list[Spot]:
    """Return the spots of what hangs on a circuit without a mains link, with what is linked to it.

    ``kind`` is what weighs: ``va`` or ``leakage``.
    """
    found = []
    for plug in plugs:
        unit = plug.unit
        if plug.hop is not None or unit is None or unit.x_m is None or unit.y_m is None:
            continue
        bound = [plug, *(one for one in hanging_on(patch, plug) if one.hop is not None)]
        weight = math.fsum(one.own_va if kind == "va" else one.leakage_ma for one in bound)
        if weight > 0:
            found.append(Spot(unit.name, unit.x_m, unit.y_m, weight))
    return found
