"""A cable that is too short for the way it has to go."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.lengths import LOOP_M, SPARE_PART, CableRun, cable_runs, has_distances
from rigcore.rules import basis, words
from rigcore.rules.cable_remedies import hop_of, longer
from rigcore.rules.rule import Finding, Rule

NEAR_ENOUGH_M = 0.05
"""A plan is not drawn closer than this."""


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each run whose cables are too short: a fault, or a risk where only slack is missing."""
    for run in cable_runs(patch) if has_distances(patch) else ():
        required, assigned, bare = run.required_m, run.assigned_m, run.bare_m
        if required is None or assigned is None or bare is None or required - assigned <= NEAR_ENOUGH_M:
            continue
        hop = hop_of(patch, run.of)
        tight = bare - assigned <= NEAR_ENOUGH_M
        missing = words.metres(round(required - assigned, 2))
        name = words.name_of(patch, hop)
        yield Finding(
            RULE.id,
            "risk" if tight else "fault",
            f"{name} reaches only without slack: {words.metres(assigned)} of cable, {words.metres(required)} wanted."
            if tight
            else f"{name} does not reach by {missing}: {words.metres(assigned)} of cable, "
            f"{words.metres(required)} wanted.",
            words.place(hop),
            (_way(run), f"{_cables(run)} − {words.metres(required)}: {missing} short"),
            longer(patch, run, hop, required),
        )


def _way(run: CableRun) -> str:
    if run.stated_m is not None or run.way is None:
        return f"stated: {words.metres(run.required_m or 0.0)} of cable"
    way = run.way
    up = f" + {words.metres(round(way.rise_m, 2))} up and down" if way.rise_m else ""
    return (
        f"way on the stage plan {words.metres(round(way.plan_m, 2))}{up} + slack 2 × {words.metres(LOOP_M)} and "
        f"{SPARE_PART * 100:g} % of the way = {words.metres(way.required_m)}"
    )


def _cables(run: CableRun) -> str:
    parts = [length for _, length in run.cables if length is not None]
    if len(parts) < 2:
        return f"cable {words.metres(run.assigned_m or 0.0)}"
    return f"cables {' + '.join(f'{part:g}' for part in parts)} = {words.metres(run.assigned_m or 0.0)}"


RULE = Rule(
    id="cable.does-not-reach",
    severity="fault",
    sentence="A cable reaches from unit to unit along the stage, with slack at both ends.",
    why="A cable across the open stage at knee height is a trip hazard, and one that is short is no line at all.",
    basis=(basis.CABLE_WAY, basis.CABLE_SLACK),
    working="way on the stage plan in legs parallel to its edges, round risers and gear, + heights of risers and "
    "microphone stands + 0.5 m at each end + 10 % of the way; a stated distance stands as it is; short of the bare "
    "way a fault, short of the slack a risk",
    judge=judge,
)
