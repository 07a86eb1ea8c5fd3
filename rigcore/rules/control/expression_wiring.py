"""A continuous pedal whose wiper lies on the other contact."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Expression
from rigcore.patch.build import End, Patch
from rigcore.patch.control import expressions
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one fault for each continuous pedal with its wiper where the socket has its supply."""
    for hop, pedal, socket in expressions(patch):
        if "either" in (pedal.wiper, socket.wiper) or pedal.wiper == socket.wiper:
            continue
        wanted = socket.wiper
        yield Finding(
            RULE.id,
            "fault",
            f"{hop.source.name} has its wiper on the {pedal.wiper}, {hop.target.words} expects it on the {wanted}: "
            "it jumps or does nothing; exchange tip and ring.",
            (*words.place(hop), words.unit_of(hop.source)),
            (f"wiper of the pedal: {pedal.wiper}; of the socket: {wanted}",),
            _others(patch, hop.source, wanted),
        )


def _others(patch: Patch, pedal: End, wanted: str) -> tuple[Remedy, ...]:
    return remedies.instead(patch, pedal, lambda one: isinstance(one, Expression) and one.wiper in (wanted, "either"))


RULE = Rule(
    id="control.expression-wiring",
    severity="fault",
    sentence="A continuous pedal has its wiper on the contact its socket reads.",
    why="With tip and ring exchanged the supply is shorted at one end of the way and the value jumps.",
    basis=(basis.EXPRESSION,),
    working="contact of the wiper, tip or ring, at pedal and socket",
    judge=judge,
)
