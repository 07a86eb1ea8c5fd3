"""A mono feed that reaches one ear only."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Hop, Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.joints import contacts
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each mono line into a stereo input with nothing on the ring."""
    for hop in patch.along_where(_mono_in_stereo):
        if contacts(patch, hop) <= 2 or _ring_is_silent(hop):
            yield Finding(
                RULE.id,
                "risk",
                f"{words.from_to(hop)}: a mono plug in a stereo input is heard in one ear.",
                (*words.place(hop), words.unit_of(hop.target)),
                ("tip = left; the ring lies on the sleeve or carries no signal, so right is silent",),
            )


def _mono_in_stereo(one: Coupling) -> bool:
    return one.audio is not None and (one.audio[0].layout, one.audio[1].layout) == ("mono", "stereo")


def _ring_is_silent(hop: Hop) -> bool:
    source = hop.coupling.begins
    return isinstance(source, Audio) and source.balance == "impedance-balanced"


RULE = Rule(
    id="channels.one-ear",
    severity="risk",
    sentence="A mono feed to ears reaches both of them.",
    why="Half the ears, and the other one hears the stage: the volume goes up and stays up.",
    basis=(basis.IEM,),
    working="mono source, stereo input; two contacts between them, or a ring without signal",
    judge=judge,
)
