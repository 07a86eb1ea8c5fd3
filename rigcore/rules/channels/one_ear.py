"""A mono feed that reaches one ear only."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Patch, carrier_of
from rigcore.patch.joints import broken_joints, contacts, facing
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each mono line into a stereo input with nothing on the ring."""
    for hop in patch.runs:
        if facing(hop) != "along" or broken_joints(patch, hop):
            continue
        source = carrier_of(patch, hop, at_target=False)
        target = carrier_of(patch, hop, at_target=True)
        if not isinstance(source, Audio) or not isinstance(target, Audio):
            continue
        ring_is_mute = contacts(patch, hop) <= 2 or source.balance == "impedance-balanced"
        if target.layout == "stereo" and source.layout == "mono" and ring_is_mute:
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
