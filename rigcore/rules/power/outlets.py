"""More plugs than outlets at one place."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.power import Place, places
from rigcore.rules import basis, mains_words, power_remedies
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each place with fewer outlets than the rig's plugs need."""
    for place in places(patch):
        if place.given is None or len(place.in_wall) <= place.given:
            continue
        needed, missing = len(place.in_wall), len(place.in_wall) - place.given
        offered = (
            power_remedies.bring_strip(patch, place), power_remedies.agree_outlets(patch, place, needed),
        )
        yield Finding(
            RULE.id,
            "risk",
            f"{needed} outlets needed {mains_words.at(patch, place.name)}, {place.given} given: "
            f"{missing} plug{'s' * (missing > 1)} without one.",
            mains_words.things(patch, place.in_wall),
            _working(place),
            tuple(one for one in offered if one is not None),
            ("outlets",) if place.given_assumed else (),
        )


def _working(place: Place) -> tuple[str, ...]:
    strips = len(place.strips)
    lines = [f"plugs in the wall: {mains_words.names(place.in_wall)}: {len(place.in_wall)}"]
    if strips:
        lines.append(f"on {strips} strip{'s' * (strips > 1)}: {place.on_strips} of {len(place.loads)} plugs")
    lines.append(f"outlets given: {place.given}; {len(place.in_wall)} − {place.given} = "
                 f"{len(place.in_wall) - (place.given or 0)} short")  # fmt: skip
    return tuple(lines)


RULE = Rule(
    id="power.outlets",
    severity="risk",
    sentence="A place must have an outlet for every plug that goes into the wall there.",
    why="Houses give two outlets where a keyboard player has five plugs; the strip nobody packed is bought on the way.",
    basis=("players' checklists: outlets on stage are short (trade articles)", basis.COMMON),
    working="plugs at the place, less those in free outlets of strips there, strips included, against wall outlets",
    judge=judge,
)
