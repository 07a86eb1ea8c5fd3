"""A power amplifier's output in an input made for signals."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch, carrier_of
from rigcore.patch.joints import facing
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each loudspeaker output that meets an audio input."""
    for hop in patch.runs:
        source = carrier_of(patch, hop, at_target=False)
        target = carrier_of(patch, hop, at_target=True)
        if facing(hop) != "along" or (source.medium, target.medium) != ("loudspeaker", "audio"):
            continue
        yield Finding(
            RULE.id,
            "fault",
            f"{words.from_to(hop)}: loudspeaker level goes into an input for signals and can destroy it.",
            (*words.place(hop), words.unit_of(hop.target)),
            ("loudspeaker level is +30 dBu (24.5 V) and above; a line input clips at +20 to +24 dBu",),
            (remedies.unplug(patch, hop),),
        )


RULE = Rule(
    id="level.loudspeaker-into-line",
    severity="fault",
    sentence="A loudspeaker output never goes into a line or microphone input.",
    why="Tens of volts and amperes meet a circuit made for one volt: it burns.",
    basis=(basis.SPEAKER_LEVEL,),
    working="medium loudspeaker into medium audio",
    judge=judge,
)
