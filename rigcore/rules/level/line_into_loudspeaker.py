"""A line output plugged into a passive loudspeaker."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio, Loudspeaker
from rigcore.patch.build import Hop, Patch
from rigcore.patch.coupling import Coupling
from rigcore.quantities.electrical import loaded_v, volts_from_dbu, watts
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule

USUAL_OHM = 8.0
"""Impedance of a loudspeaker whose type states none."""


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each audio output that meets a passive loudspeaker."""
    for hop in patch.along_where(_into_loudspeaker):
        yield Finding(
            RULE.id,
            "fault",
            f"{words.from_to(hop)}: a line output cannot drive a passive loudspeaker; an amplifier is missing.",
            words.place(hop),
            _working(hop),
            remedies.take_out(patch, hop),
        )


def _into_loudspeaker(one: Coupling) -> bool:
    return (one.begins.medium, one.arrives.medium) == ("audio", "loudspeaker")


def _working(hop: Hop) -> tuple[str, ...]:
    source, target = hop.source.port.carrier, hop.target.port.carrier
    if not isinstance(source, Audio) or source.nominal_dbu is None or source.ohm is None:
        return ("a line output gives about a volt into 10 kΩ; a loudspeaker is 4 to 16 Ω",)
    box_ohm = (target.rated_ohm if isinstance(target, Loudspeaker) else None) or USUAL_OHM
    emf_v = volts_from_dbu(source.nominal_dbu)
    left_v = loaded_v(emf_v, source.ohm, box_ohm)
    return (
        f"nominal {words.level(source.nominal_dbu)} = {emf_v:.3g} V behind {source.ohm:g} Ω, into {box_ohm:g} Ω",
        f"{emf_v:.3g} V × {box_ohm:g} / ({box_ohm:g} + {source.ohm:g}) = {left_v * 1000:.1f} mV",
        f"({left_v * 1000:.1f} mV)² / {box_ohm:g} Ω = {watts(left_v, box_ohm) * 1000:.2g} mW: nothing to be heard",
    )


RULE = Rule(
    id="level.line-into-loudspeaker",
    severity="fault",
    sentence="A passive loudspeaker is fed by an amplifier, not by a line output.",
    why="There is next to no sound, and the output is overloaded.",
    basis=(basis.SPEAKER_LEVEL, basis.COMMON),
    working="V × Z / (Z + source): the voltage left on the loudspeaker, and V² / Z: its power",
    judge=judge,
)
