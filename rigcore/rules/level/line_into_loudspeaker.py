"""A line output plugged into a passive loudspeaker."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch, carrier_of
from rigcore.patch.joints import facing
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each audio output that meets a passive loudspeaker."""
    for hop in patch.runs:
        source = carrier_of(patch, hop, at_target=False)
        target = carrier_of(patch, hop, at_target=True)
        if facing(hop) != "along" or (source.medium, target.medium) != ("audio", "loudspeaker"):
            continue
        yield Finding(
            RULE.id,
            "fault",
            f"{words.from_to(hop)}: a line output cannot drive a passive loudspeaker; an amplifier is missing.",
            words.place(hop),
            ("a line output gives about a volt into 10 kΩ; a loudspeaker is 4 to 16 Ω",),
            (remedies.unplug(patch, hop),),
        )


RULE = Rule(
    id="level.line-into-loudspeaker",
    severity="fault",
    sentence="A passive loudspeaker is fed by an amplifier, not by a line output.",
    why="There is next to no sound, and the output is overloaded.",
    basis=(basis.SPEAKER_LEVEL, basis.COMMON),
    working="medium audio into medium loudspeaker",
    judge=judge,
)
