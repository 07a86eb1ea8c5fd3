"""An unbalanced connection that is too long."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Hop, Patch
from rigcore.patch.joints import broken_joints, facing, is_audio_hop, is_balanced
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule

FINE_M = 3.0
LONGEST_M = 6.0
EARPHONES_OHM = 1000.0


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each unbalanced run over 3 m: a risk up to 6 m, a fault beyond."""
    for hop in patch.runs:
        if facing(hop) != "along" or not is_audio_hop(hop) or is_balanced(patch, hop):
            continue
        if hop.cables and broken_joints(patch, hop):
            continue
        if hop.length_m is None or hop.length_m <= FINE_M or _drives_earphones(hop):
            continue
        too_long = hop.length_m > LONGEST_M
        yield Finding(
            RULE.id,
            "fault" if too_long else "risk",
            f"{words.name_of(patch, hop)} runs unbalanced over {words.metres(hop.length_m)}; "
            f"{'6 m is the limit: run it balanced and convert at the far end' if too_long else 'over 3 m it may hum'}.",
            words.place(hop),
            (
                f"length {words.metres(hop.length_m)}; fine to {words.metres(FINE_M)}, "
                f"at most {words.metres(LONGEST_M)}",
            ),
        )


def _drives_earphones(hop: Hop) -> bool:
    """Return whether a run ends in earphones: low impedance, after the last amplifier, no hum to speak of."""
    carrier = hop.target.port.carrier
    return isinstance(carrier, Audio) and carrier.level == "headphone" and (carrier.ohm or 0.0) < EARPHONES_OHM


RULE = Rule(
    id="balance.unbalanced-run",
    severity="fault",
    sentence="An unbalanced run is 3 m at best and 6 m at most.",
    why="The screen is part of the signal's way: hum of the house adds to what is played.",
    basis=(basis.UNBALANCED,),
    working="length over 3 m is a risk, over 6 m a fault, where either end or the cable is unbalanced",
    judge=judge,
)
