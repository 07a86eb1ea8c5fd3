"""A balanced mono line in a stereo input: both sides, out of polarity."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.joints import contacts
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each balanced mono output that ends in a stereo input by three contacts."""
    for hop in patch.along_where(_mono_in_stereo):
        if contacts(patch, hop) >= 3:
            yield Finding(
                RULE.id,
                "risk",
                f"{words.from_to(hop)}: both ears get the line, one of them upside down.",
                words.place(hop),
                ("tip = +, ring = −; a stereo input hears + on the left and − on the right",),
                remedies.take_out(patch, hop),
            )


def _mono_in_stereo(one: Coupling) -> bool:
    if one.audio is None:
        return False
    source, target = one.audio
    return source.layout == "mono" and source.balance in ("balanced", "floating") and target.layout == "stereo"


RULE = Rule(
    id="fit.balanced-in-stereo",
    severity="risk",
    sentence="A balanced mono line does not go into a stereo input.",
    why="Left and right are out of polarity: the middle of the sound feels hollow and summed it is gone.",
    basis=("trade articles on headphone mixes: a balanced plug in an unbalanced stereo input", basis.IEC_60603_11),
    working="left + right = (+s) + (−s) = 0",
    judge=judge,
)
