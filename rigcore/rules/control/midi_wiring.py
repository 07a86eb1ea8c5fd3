"""The two wirings of MIDI on 3.5 mm plugs meet."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.control import midi_links
from rigcore.patch.joints import facing
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule

_SPOKEN = {"din": "for 5-pin DIN", "type-a": "type A", "type-b": "type B"}


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one fault for each straight lead between type A and type B."""
    for hop, source, target in midi_links(patch):
        if facing(hop) != "along" or {source.wiring, target.wiring} != {"type-a", "type-b"}:
            continue
        yield Finding(
            RULE.id,
            "fault",
            f"{hop.source.words} is wired {_SPOKEN[source.wiring]}, {hop.target.words} {_SPOKEN[target.wiring]}: "
            "a straight lead carries nothing; swap tip and ring.",
            (*words.place(hop), words.unit_of(hop.source), words.unit_of(hop.target)),
            ("type A: tip DIN 5, ring DIN 4; type B: tip DIN 4, ring DIN 5",),
        )


RULE = Rule(
    id="control.midi-wiring",
    severity="fault",
    sentence="Both ends of a 3.5 mm MIDI lead are wired alike, or the lead swaps tip and ring.",
    why="Between type A and type B the current flows against the opto-isolator and nothing arrives.",
    basis=(basis.MIDI_TRS,),
    working="wiring of both sockets",
    judge=judge,
)
