"""Two units on the same floor."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.lengths import SMALL_M2, Placed, places_of
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule, Thing

KINDS = {"keys": "keys", "drums": "drums", "monitor": "box", "loudspeaker": "box", "amplifier": "box"}
"""What stands on the floor by itself, by category; two of one kind may stand above each other."""

SHARE = 0.2
"""So much of the smaller one's floor covered is more than a plan drawn roughly."""


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each two units that cannot stand where both are placed."""
    for one, other in _near_pairs(patch):
        common_m2 = _common_m2(one, other)
        smaller_m2 = min(_area_m2(one), _area_m2(other))
        if KINDS[one.gear.category] == KINDS[other.gear.category] or common_m2 < SHARE * smaller_m2:
            continue
        yield Finding(
            RULE.id,
            "risk",
            f"{one.unit.name} and {other.unit.name} stand in the same place: "
            f"{common_m2 / smaller_m2 * 100:.0f} % of the smaller one is covered.",
            tuple(_thing(patch, end) for end in (one, other)),
            (
                f"common floor {common_m2:.2f} m²; the smaller one takes {smaller_m2:.2f} m²",
                f"{one.unit.name} at {_at(one)}, {other.unit.name} at {_at(other)}",
            ),
        )


def _near_pairs(patch: Patch) -> Iterator[tuple[Placed, Placed]]:
    """Yield the pairs of what stands on the floor that share some of the stage's width."""
    standing = [one for one in places_of(patch).values() if one.gear.category in KINDS and _area_m2(one) >= SMALL_M2]
    standing.sort(key=lambda one: one.box[0])
    for number, one in enumerate(standing):
        for other in itertools.islice(standing, number + 1, None):
            if other.box[0] >= one.box[2]:
                break
            yield one, other


def _thing(patch: Patch, one: Placed) -> Thing:
    return Thing("house unit" if patch.house.unit(one.unit.id) is one.unit else "unit", one.unit.id)


def _area_m2(one: Placed) -> float:
    left, low, right, high = one.box
    return (right - left) * (high - low)


def _common_m2(one: Placed, other: Placed) -> float:
    across = min(one.box[2], other.box[2]) - max(one.box[0], other.box[0])
    deep = min(one.box[3], other.box[3]) - max(one.box[1], other.box[1])
    return max(across, 0.0) * max(deep, 0.0)


def _at(one: Placed) -> str:
    return f"{words.metres(one.unit.x_m or 0.0)}, {words.metres(one.unit.y_m or 0.0)}"


RULE = Rule(
    id="stage.in-another",
    severity="risk",
    sentence="Two things that stand on the floor do not stand in each other.",
    why="On the day one of them has to go somewhere nobody planned a cable to.",
    basis=(basis.COMMON,),
    working="common floor of two footprints as turned, a fifth of the smaller one or more; keyboards may stand above "
    "keyboards, and loudspeakers and amplifiers on each other",
    judge=judge,
)
