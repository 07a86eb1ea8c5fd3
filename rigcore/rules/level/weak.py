"""A nominal level the input cannot bring up even at its highest gain."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.levels import level_out
from rigcore.patch.loads import passive_way
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each input that gets too little."""
    for hop in patch.along_where(_may_be_weak):
        nominal, weakest = level_out(patch, hop.source.node).nominal_dbu, _weakest_dbu(hop.coupling)
        if nominal is None or weakest is None or nominal >= weakest:
            continue
        short_db = weakest - nominal
        yield Finding(
            RULE.id,
            "risk",
            f"{words.from_to(hop)}: {words.level(nominal)} is {words.decibels(short_db)} too weak for this input.",
            (*words.place(hop), words.unit_of(hop.target)),
            (
                f"{passive_way(patch, hop.source.node).begin.words}: nominal {words.level(nominal)} where it arrives",
                f"{hop.target.words} at its highest gain brings up {words.level(weakest)} and more",
                f"{words.level(weakest)} − ({words.level(nominal)}) = {words.decibels(short_db)} too little",
            ),
        )


def _may_be_weak(one: Coupling) -> bool:
    return one.is_audio and _weakest_dbu(one) is not None


def _weakest_dbu(one: Coupling) -> float | None:
    return one.arrives.weakest_dbu if isinstance(one.arrives, Audio) else None


RULE = Rule(
    id="level.weak",
    severity="risk",
    sentence="The nominal level of an output is within what the input's highest gain can bring up.",
    why="A microphone in a line input is heard as hiss; the engineer runs out of gain at sound-check.",
    basis=("typical input ranges of trade handbooks", basis.COMMON),
    working="weakest level the input aligns − nominal output level > 0",
    judge=judge,
)
