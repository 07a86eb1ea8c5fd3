"""A stereo source that reaches the house through a mono line."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import End, Patch
from rigcore.patch.channels import channels
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note for each mono line that carries both sides of a stereo source."""
    for channel in channels(patch):
        if channel.mate is not None:
            continue
        summed = _pairs(channel.sources)
        if summed:
            yield Finding(
                RULE.id,
                "note",
                f"{words.joined(summed)} is summed to mono on the way to {channel.hand_off.name}: "
                "use a mono-safe sound, or L only.",
                (Thing("landing", channel.hand_off.id),),
                ("sum = L + R: what differs in phase between the sides is coloured or cancelled",),
            )


def _pairs(sources: tuple[End, ...]) -> list[str]:
    seen: dict[tuple[str, str], set[str]] = {}
    for end in sources:
        if end.port.pair is not None:
            seen.setdefault((end.node.unit, end.port.pair), set()).add(end.port.side)
    names = {end.node.unit: end.name for end in sources}
    return [names[unit] for (unit, _), sides in seen.items() if sides >= {"L", "R"}]


RULE = Rule(
    id="channels.stereo-summed",
    severity="note",
    sentence="A stereo source is heard in mono where one line carries both its sides.",
    why="Left and right of a sampled piano cancel in part: it turns thin.",
    basis=(basis.MONO,),
    working="sources upstream of a single line that are both sides of one pair",
    judge=judge,
)
