"""A balanced mono line in a stereo input: both sides, out of polarity."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Patch, carrier_of
from rigcore.patch.joints import broken_joints, contacts, facing
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each balanced mono output that ends in a stereo input by three contacts."""
    for hop in patch.runs:
        if facing(hop) != "along" or broken_joints(patch, hop) or contacts(patch, hop) < 3:
            continue
        source = carrier_of(patch, hop, at_target=False)
        target = carrier_of(patch, hop, at_target=True)
        if not isinstance(source, Audio) or not isinstance(target, Audio):
            continue
        if source.layout == "mono" and source.balance in ("balanced", "floating") and target.layout == "stereo":
            yield Finding(
                RULE.id,
                "risk",
                f"{words.from_to(hop)}: both ears get the line, one of them upside down.",
                words.place(hop),
                ("tip = +, ring = −; a stereo input hears + on the left and − on the right",),
                remedies.take_out(patch, hop),
            )


RULE = Rule(
    id="fit.balanced-in-stereo",
    severity="risk",
    sentence="A balanced mono line does not go into a stereo input.",
    why="Left and right are out of polarity: the middle of the sound feels hollow and summed it is gone.",
    basis=("trade articles on headphone mixes: a balanced plug in an unbalanced stereo input", basis.IEC_60603_11),
    working="left + right = (+s) + (−s) = 0",
    judge=judge,
)
