"""A switch pedal that rests the wrong way round for its socket."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import FootSwitch
from rigcore.patch.build import End, Patch
from rigcore.patch.control import switches
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one fault for each pedal that rests open where closed is expected, or the reverse."""
    for hop, pedal, socket in switches(patch):
        if "either" in (pedal.rest, socket.rest) or pedal.rest == socket.rest:
            continue
        wanted = socket.rest
        yield Finding(
            RULE.id,
            "fault",
            f"{hop.source.name} rests {pedal.rest}, {hop.target.words} expects {wanted}: it works upside down.",
            (*words.place(hop), words.unit_of(hop.source)),
            (f"foot off the pedal: contact {pedal.rest}; expected: contact {wanted}",),
            _others(patch, hop.source, wanted),
        )


def _others(patch: Patch, pedal: End, wanted: str) -> tuple[Remedy, ...]:
    return remedies.instead(patch, pedal, lambda one: isinstance(one, FootSwitch) and one.rest in (wanted, "either"))


RULE = Rule(
    id="control.pedal-polarity",
    severity="fault",
    sentence="A switch pedal rests the way its socket expects: open or closed.",
    why="The wrong way round every note sustains while the foot is off the pedal.",
    basis=(basis.PEDALS,),
    working="state of the contact with the foot off the pedal, at pedal and socket",
    judge=judge,
)
