"""A stereo plug in a balanced input: left minus right arrives."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.joints import contacts
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each stereo output that ends in one balanced input."""
    for hop in patch.along_where(_stereo_in_mono):
        if contacts(patch, hop) >= 3:
            yield Finding(
                RULE.id,
                "fault",
                f"{words.from_to(hop)}: left and right of a stereo plug meet one balanced input and cancel.",
                words.place(hop),
                ("tip = left, ring = right; the input takes tip − ring = L − R", "what is in the middle vanishes"),
                remedies.take_out(patch, hop),
            )


def _stereo_in_mono(one: Coupling) -> bool:
    if one.audio is None:
        return False
    source, target = one.audio
    return source.layout == "stereo" and target.layout == "mono" and target.balance != "unbalanced"


RULE = Rule(
    id="fit.stereo-in-balanced",
    severity="fault",
    sentence="A stereo plug does not go into one balanced input.",
    why="The input takes the difference: a centred voice disappears and only the reverberation is heard.",
    basis=(basis.STEREO_PLUG,),
    working="L − R = 0 for whatever is equal on both sides",
    judge=judge,
)
