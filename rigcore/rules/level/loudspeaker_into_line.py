"""A power amplifier's output in an input made for signals."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio, Carrier, Loudspeaker
from rigcore.patch.build import Hop, Patch
from rigcore.patch.coupling import Coupling
from rigcore.quantities.electrical import dbu_from_volts
from rigcore.quantities.loudspeaker import rated_v
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule

USUAL_OHM = 8.0
"""Impedance of a loudspeaker whose type states none."""


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each loudspeaker output that meets an audio input."""
    for hop in patch.along_where(_into_line):
        yield Finding(
            RULE.id,
            "fault",
            f"{words.from_to(hop)}: loudspeaker level goes into an input for signals and can destroy it.",
            (*words.place(hop), words.unit_of(hop.target)),
            _working(hop, hop.coupling.arrives),
            remedies.take_out(patch, hop),
        )


def _into_line(one: Coupling) -> bool:
    return (one.begins.medium, one.arrives.medium) == ("loudspeaker", "audio")


def _working(hop: Hop, target: Carrier) -> tuple[str, ...]:
    class_line = "loudspeaker level is +30 dBu (24.5 V) and above; a line input clips at +20 to +24 dBu"
    source = hop.source.port.carrier
    if not isinstance(source, Loudspeaker):
        return (class_line,)
    box_ohm = source.rated_ohm or source.minimum_ohm or USUAL_OHM
    highest_v = rated_v(source.watts, box_ohm)
    highest = dbu_from_volts(highest_v)
    lines = [f"√({source.watts:g} W × {box_ohm:g} Ω) = {highest_v:.1f} V = {words.level(highest)} at full power"]
    if isinstance(target, Audio) and target.max_dbu is not None:
        over = highest - target.max_dbu
        lines.append(
            f"{hop.target.words} clips at {words.level(target.max_dbu)}: {words.level(highest)} − "
            f"({words.level(target.max_dbu)}) = {words.decibels(over)} too much"
        )
    return (*lines, class_line)


RULE = Rule(
    id="level.loudspeaker-into-line",
    severity="fault",
    sentence="A loudspeaker output never goes into a line or microphone input.",
    why="Tens of volts and amperes meet a circuit made for one volt: it burns.",
    basis=(basis.SPEAKER_LEVEL,),
    working="√(W × Ω) in V and dBu against the level at which the input clips",
    judge=judge,
)
