"""Two ports that carry different things."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Hop, Patch, carrier_of
from rigcore.patch.joints import broken_joints, facing
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule

POWER_LEVEL = {frozenset(("audio", "loudspeaker"))}
"""Pairs that other rules judge: they can do harm and have their own words."""

WORDS = {
    "audio": "audio", "loudspeaker": "loudspeaker level", "footswitch": "a switch pedal",
    "expression": "an expression pedal", "midi": "MIDI", "usb": "USB", "network": "network",
    "aes3": "digital audio", "optical": "optical digital audio", "wordclock": "word clock",
    "mains": "mains", "dc": "low-voltage supply",
}


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each connection between different media, or of a cable not made for them."""
    for hop in patch.hops:
        if facing(hop) != "along" or broken_joints(patch, hop):
            continue
        source = carrier_of(patch, hop, at_target=False).medium
        target = carrier_of(patch, hop, at_target=True).medium
        pair = frozenset((source, target))
        if source != target and pair not in POWER_LEVEL:
            yield _finding(patch, hop, f"{WORDS[source]} goes into {WORDS[target]}")
        elif source == target:
            for cable, _ in hop.cables:
                if not cable.carries(source):
                    yield _finding(patch, hop, f"{cable.name} is not made for {WORDS[source]}")
                    break


def _finding(patch: Patch, hop: Hop, what: str) -> Finding:
    return Finding(
        RULE.id,
        "fault",
        f"{words.name_of(patch, hop)}: {what}, though the plugs go in.",
        words.place(hop),
        (f"{hop.source.words} to {hop.target.words}",),
        (remedies.unplug(patch, hop),),
    )


RULE = Rule(
    id="fit.medium",
    severity="fault",
    sentence="Both ends of a connection, and the cable, must carry the same thing.",
    why="Plugs are shared between trades: what fits is not always what is meant.",
    basis=(basis.COMMON,),
    working="medium of both ports and of the cable",
    judge=judge,
)
