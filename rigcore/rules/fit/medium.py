"""Two ports that carry different things."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.cables import CableType
from rigcore.patch.build import Hop, Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.joints import broken_joints, leads_for
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule

POWER_LEVEL = {frozenset(("audio", "loudspeaker"))}
"""Pairs that other rules judge: they can do harm and have their own words."""

CONTROL = ("footswitch", "expression", "midi")
"""What an audio lead of the right plugs carries as well as its own."""

WORDS = {
    "audio": "audio", "loudspeaker": "loudspeaker level", "footswitch": "a switch pedal",
    "expression": "an expression pedal", "midi": "MIDI", "usb": "USB", "network": "network",
    "aes3": "digital audio", "optical": "optical digital audio", "wordclock": "word clock",
    "mains": "mains", "dc": "low-voltage supply",
}


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield a fault for each connection between different media, a risk for a cable not made for its own."""
    for hop in patch.along_where(_changes):
        source, target = hop.coupling.begins.medium, hop.coupling.arrives.medium
        cable = _stranger_in(hop.coupling)
        if source != target:
            if frozenset((source, target)) not in POWER_LEVEL:
                yield _finding(patch, hop, f"{WORDS[source]} goes into {WORDS[target]}")
        elif cable is not None and hop.coupling.goes_together:
            yield _stranger(patch, hop, f"{cable.name} is not made for {WORDS[source]}")


def _changes(one: Coupling) -> bool:
    return one.begins.medium != one.arrives.medium or _stranger_in(one) is not None


def _stranger_in(one: Coupling) -> CableType | None:
    """Return the first cable that is not made for what travels, or None."""
    medium = one.begins.medium
    own = {"audio"} if medium in CONTROL else set()
    return next((cable for cable in one.cables if not cable.carries(medium) and cable.medium not in own), None)


def _finding(patch: Patch, hop: Hop, what: str) -> Finding:
    fits = "" if broken_joints(patch, hop) else ", though the plugs go in"
    return Finding(
        RULE.id,
        "fault",
        f"{words.name_of(patch, hop)}: {what}{fits}.",
        words.place(hop),
        (f"{hop.source.words} to {hop.target.words}",),
        remedies.take_out(patch, hop),
    )


def _stranger(patch: Patch, hop: Hop, what: str) -> Finding:
    return Finding(
        RULE.id,
        "risk",
        f"{words.name_of(patch, hop)}: {what}, though the plugs go in.",
        words.place(hop),
        (f"{hop.source.words} to {hop.target.words}",),
        tuple(remedies.use_cable(patch, hop, lead) for lead in leads_for(patch, hop)[:2]),
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
