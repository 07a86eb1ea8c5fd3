"""A unit over the edge of the stage, or off it."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.book.edits.gigs import place_here
from rigcore.book.gig import Placement
from rigcore.patch.build import Patch
from rigcore.patch.lengths import Placed, places_of
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Remedy, Rule, Thing

NEAR_ENOUGH_M = 0.05
"""A plan is not drawn closer than this."""


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield a risk for each unit of the rig that hangs over the edge, a note for each that stands off the stage."""
    stage = patch.house.stage
    half = stage.width_m / 2
    for (place, _), one in places_of(patch).items():
        left, low, right, high = one.box
        over_m = max(-half - left, right - half, -low, high - stage.depth_m)
        if place != "rig" or over_m <= NEAR_ENOUGH_M:
            continue
        partly = left < half and right > -half and low < stage.depth_m and high > 0.0
        yield Finding(
            RULE.id,
            "risk" if partly else "note",
            f"{one.unit.name} {'hangs over the edge of' if partly else 'stands off'} the stage by "
            f"{words.metres(round(over_m, 2))}.",
            (Thing("unit", one.unit.id),),
            (
                f"footprint {left:.2f} to {right:.2f} m across, {low:.2f} to {high:.2f} m deep",
                f"stage {-half:.2f} to {half:.2f} m across, 0 to {stage.depth_m:.2f} m deep",
            ),
            _onto(patch, one),
        )


def _onto(patch: Patch, one: Placed) -> tuple[Remedy, ...]:
    """Return the remedy of moving it onto the stage at this gig, if it fits there at all."""
    left, low, right, high = one.box
    stage, gig_id = patch.house.stage, patch.gig.id
    wide, deep = (right - left) / 2, (high - low) / 2
    if wide > stage.width_m / 2 or deep > stage.depth_m / 2:
        return ()
    x_m = min(max((left + right) / 2, wide - stage.width_m / 2), stage.width_m / 2 - wide)
    y_m = min(max((low + high) / 2, deep), stage.depth_m - deep)
    there = Placement(unit=one.unit.id, x_m=round(x_m, 3), y_m=round(y_m, 3), rotation_deg=one.unit.rotation_deg)
    return (Remedy(f"Move {one.unit.name} onto the stage at this gig", lambda book: place_here(book, gig_id, there)),)


RULE = Rule(
    id="stage.off-stage",
    severity="risk",
    sentence="What stands on the stage stands on it whole.",
    why="What hangs over the edge falls, or the stage is smaller than the plan was drawn for.",
    basis=(basis.COMMON,),
    working="footprint as turned against the stage's rectangle; over the edge a risk, wholly off it a note",
    judge=judge,
)
