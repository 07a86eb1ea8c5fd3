"""A switch pedal with a polarity switch of its own."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.control import switches
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note for each pedal that has to be set to what its socket expects."""
    for hop, pedal, socket in switches(patch):
        if pedal.rest == "either" and socket.rest != "either":
            yield Finding(
                RULE.id,
                "note",
                f"Set the switch on {hop.source.name} so that it rests {socket.rest}: "
                f"{hop.target.words} knows no other.",
                (*words.place(hop), words.unit_of(hop.source)),
                (f"pedal: open or closed, by its own switch; socket: {socket.rest} only",),
            )


RULE = Rule(
    id="control.pedal-switch",
    severity="note",
    sentence="A pedal with its own polarity switch is set to what the socket expects.",
    why="The switch moves in the case; the pedal then works upside down at the next gig.",
    basis=(basis.PEDALS,),
    working="a pedal that can rest either way in a socket that expects one",
    judge=judge,
)
