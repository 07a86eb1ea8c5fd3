"""A stereo plug in a balanced input: left minus right arrives."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Patch, carrier_of
from rigcore.patch.joints import broken_joints, contacts, facing
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each stereo output that ends in one balanced input."""
    for hop in patch.runs:
        if facing(hop) != "along" or broken_joints(patch, hop) or contacts(patch, hop) < 3:
            continue
        source = carrier_of(patch, hop, at_target=False)
        target = carrier_of(patch, hop, at_target=True)
        if not isinstance(source, Audio) or not isinstance(target, Audio):
            continue
        if source.layout == "stereo" and target.layout == "mono" and target.balance != "unbalanced":
            yield Finding(
                RULE.id,
                "fault",
                f"{words.from_to(hop)}: left and right of a stereo plug meet one balanced input and cancel.",
                words.place(hop),
                ("tip = left, ring = right; the input takes tip − ring = L − R", "what is in the middle vanishes"),
                remedies.take_out(patch, hop),
            )


RULE = Rule(
    id="fit.stereo-in-balanced",
    severity="fault",
    sentence="A stereo plug does not go into one balanced input.",
    why="The input takes the difference: a centred voice disappears and only the reverberation is heard.",
    basis=(basis.STEREO_PLUG,),
    working="L − R = 0 for whatever is equal on both sides",
    judge=judge,
)
