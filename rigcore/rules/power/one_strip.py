"""Everything on one strip, and no other strip at hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rigcore.patch.build import Node, Patch
from rigcore.patch.once import once_a_patch
from rigcore.patch.plugs import Plug, is_strip, plugs
from rigcore.patch.power import hanging_on, places
from rigcore.patch.walk import upstream
from rigcore.rules import basis, mains_words, power_remedies
from rigcore.rules.rule import Finding, Remedy, Rule

FEWEST = 4
"""From so many units on one strip, with a source the gig cannot do without among them."""


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each strip that takes four units or more with it, and has no spare."""
    for strip in plugs(patch).values():
        if strip.key[0] != "rig" or not is_strip(strip.inlet.gear):
            continue
        fed = [one for one in hanging_on(patch, strip) if not one.feeds_only]
        if len(fed) < FEWEST or _inner(patch, strip, len(fed)):
            continue
        musts = [one for one in fed if one.key in _must_units(patch)]
        used, owned = _in_use(patch)[strip.inlet.gear.id], _owned(patch, strip)
        if not musts or owned > used:
            continue
        yield Finding(
            RULE.id,
            "risk",
            f"{strip.name} is a single point of failure: {len(fed)} units fall silent with it, "
            f"{mains_words.names(musts)} among them.",
            (mains_words.thing(strip), *mains_words.things(patch, fed)[:-1]),
            (
                f"on it: {mains_words.names(fed)}",
                f"on the way of a line that must land: {mains_words.names(musts)}",
                f"strips of this kind owned: {max(owned, used)}, in use: {used}, spare: 0",
            ),
            _remedies(patch, strip, used, fed),
        )


def _inner(patch: Patch, strip: Plug, number: int) -> bool:
    """Return whether another strip below feeds just as many: that one is named, not both."""
    return any(
        is_strip(one.inlet.gear) and sum(not below.feeds_only for below in hanging_on(patch, one)) == number
        for one in hanging_on(patch, strip)
    )


@once_a_patch
def _must_units(patch: Patch) -> frozenset[tuple[str, str]]:
    """Return the units of the rig a line to the house that must land passes through, by the keys of their plugs."""
    found = set()
    for one in patch.rig.hand_offs:
        if one.importance == "must" and one.direction == "to house":
            for node in upstream(patch, Node("rig", one.unit, one.port)):
                found.add((str(node.place), node.unit))
    return frozenset(found)


@once_a_patch
def _in_use(patch: Patch) -> Counter[str]:
    return Counter(unit.gear for unit in patch.units.values() if unit.owner == "rig")


def _owned(patch: Patch, strip: Plug) -> int:
    return sum(item.count for item in patch.book.stock if (item.kind, item.type) == ("gear", strip.inlet.gear.id))


def _remedies(patch: Patch, strip: Plug, used: int, fed: list[Plug]) -> tuple[Remedy, ...]:
    gear = strip.inlet.gear
    offered = [power_remedies.spare_strip(patch, gear, used + 1)]
    place = next(one for one in places(patch) if one.drop is strip.drop)
    loose = [one for one in fed if one.hop is None]
    room = place.given is None or len(place.in_wall) < place.given
    if room and len(fed) - len(loose) < FEWEST and len(fed) < 2 * FEWEST - 1:
        words = f"Bring a second {gear.name} and share the units between both"
        offered.append(power_remedies.add_strips(patch, gear, (1, strip.drop, loose), words))
    return tuple(offered)


RULE = Rule(
    id="power.one-strip",
    severity="risk",
    sentence="Four units or more, one of them a must, do not hang on a single strip without a spare.",
    why="One worn socket or one foot on a switch, and the whole rig starts up again in front of the audience.",
    basis=("spares lists of touring players: a second strip (trade articles)", basis.COMMON),
    working="units fed through one strip; those on the way of a must hand-off; strips owned less strips in use",
    judge=judge,
)
