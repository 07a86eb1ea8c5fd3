"""A keyboard that reads its pedal when it is switched on."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.control import switches
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note, a set-up step, for each pedal in a socket that reads its rest at switch-on."""
    for hop, pedal, socket in switches(patch):
        if socket.senses:
            yield Finding(
                RULE.id,
                "note",
                f"Switch {hop.target.name} on with the plug home and the foot off {hop.source.name}.",
                (*words.place(hop), words.unit_of(hop.target)),
                (f"{hop.target.words} takes what it finds at switch-on for rest; here: contact {pedal.rest}",),
            )


RULE = Rule(
    id="control.pedal-senses",
    severity="note",
    sentence="A keyboard that reads its pedal at switch-on is switched on with the foot off it.",
    why="A foot on the pedal at that moment reverses it for the whole set; the cure is to switch off and on again.",
    basis=(basis.PEDALS,),
    working="a switch pedal in a socket that reads the resting state at switch-on",
    judge=judge,
)
