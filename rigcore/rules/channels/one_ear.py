"""A mono feed that reaches one ear only."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.joints import audio_meetings, contacts
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each mono line into a stereo input with nothing on the ring."""
    for hop, source, target in audio_meetings(patch):
        if target.layout != "stereo" or source.layout != "mono":
            continue
        if contacts(patch, hop) <= 2 or source.balance == "impedance-balanced":
            yield Finding(
                RULE.id,
                "risk",
                f"{words.from_to(hop)}: a mono plug in a stereo input is heard in one ear.",
                (*words.place(hop), words.unit_of(hop.target)),
                ("tip = left; the ring lies on the sleeve or carries no signal, so right is silent",),
            )


RULE = Rule(
    id="channels.one-ear",
    severity="risk",
    sentence="A mono feed to ears reaches both of them.",
    why="Half the ears, and the other one hears the stage: the volume goes up and stays up.",
    basis=(basis.IEM,),
    working="mono source, stereo input; two contacts between them, or a ring without signal",
    judge=judge,
)
