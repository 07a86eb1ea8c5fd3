"""A voice that reaches the house only through a processor."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import End, Patch
from rigcore.patch.channels import Channel, channels
from rigcore.patch.walk import line_up
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each microphone that no dry line carries to the house."""
    dry: set[str] = set()
    wet: dict[str, tuple[End, Channel]] = {}
    for channel in channels(patch):
        if channel.origin.gear.category != "microphone":
            continue
        processed = any(
            getattr(step, "processes", False) for _, step in line_up(patch, channel.top)
        )
        if processed:
            wet[channel.origin.node.unit] = (channel.origin, channel)
        else:
            dry.add(channel.origin.node.unit)
    for unit, (end, _) in wet.items():
        if unit not in dry:
            yield Finding(
                RULE.id,
                "risk",
                f"{end.name} reaches the house only through a processor: send a dry line first, the wet one beside it.",
                (words.unit_of(end),),
                ("no line to the house is free of a processing path",),
            )


RULE = Rule(
    id="channels.no-dry-voice",
    severity="risk",
    sentence="A voice has a dry line to the house.",
    why="Effects in the line upset gain, equaliser and intelligibility, and at a festival they are refused.",
    basis=(basis.PROCESSOR,),
    working="paths that process between microphone and hand-off",
    judge=judge,
)
