"""A headphone output used as a line output."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.levels import behind_wires, is_wire
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each headphone output that feeds a line or microphone input."""
    seen = set()
    for hop in patch.along_where(_into_line):
        begin = behind_wires(patch, hop.source.node)
        source = begin.port.carrier
        if not isinstance(source, Audio):
            continue
        if source.level == "headphone" and begin.node not in seen:
            seen.add(begin.node)
            yield Finding(
                RULE.id,
                "note",
                f"{begin.words} to {hop.target.words}: a headphone output serves as a line; "
                "its level follows the volume knob.",
                words.place(hop),
                (
                    "IEC 61938 feeds headphones with 5 V behind 120 Ω; into a line input of 10 kΩ, at full volume: "
                    "5 V × 10000 / (10000 + 120) = 4.94 V",
                    "20 log(4.94 V / 0.7746 V) = +16.1 dBu; a consumer input works at −7.8 dBu, 23.9 dB under that",
                ),
            )


def _into_line(one: Coupling) -> bool:
    """Return whether an input is met that has a level of its own, other than that of headphones."""
    return one.audio is not None and not is_wire(one.audio[1]) and one.audio[1].level != "headphone"


RULE = Rule(
    id="level.headphone-as-line",
    severity="note",
    sentence="A headphone output is a line output only with its volume fixed.",
    why="A brushed knob changes the level at the house, and full volume exceeds a consumer input by 24 dB.",
    basis=("IEC 61938: headphone feed of 5 V behind 120 ohm", basis.COMMON),
    working="5 V × 10000 / 10120 = 4.94 V = +16.1 dBu",
    judge=judge,
)
