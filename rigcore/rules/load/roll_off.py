"""Cable capacitance that takes the treble of a high source impedance."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.loads import loadings
from rigcore.rules import words
from rigcore.rules.rule import Finding, Rule

LOWEST_HZ = 10_000.0


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each output whose cables roll it off under 10 kHz."""
    for loading in loadings(patch).values():
        if loading.roll_off_hz >= LOWEST_HZ:
            continue
        yield Finding(
            RULE.id,
            "risk",
            f"{loading.driver.words} loses its treble in {words.metres(loading.length_m)} of cable: "
            f"3 dB down at {loading.roll_off_hz / 1000:.1f} kHz; put a DI near it.",
            (words.unit_of(loading.driver),),
            (
                f"C = {words.metres(loading.length_m)} × {loading.cable_pf / loading.length_m:.0f} pF/m = "
                f"{loading.cable_pf:.0f} pF",
                f"R = {loading.source_ohm / 1000:g} kΩ beside {loading.parallel_ohm / 1000:.0f} kΩ = "
                f"{loading.roll_off_ohm / 1000:.1f} kΩ",
                f"f = 1 / (2π × {loading.roll_off_ohm / 1000:.1f} kΩ × {loading.cable_pf:.0f} pF) = "
                f"{loading.roll_off_hz / 1000:.1f} kHz, wanted 10 kHz or more",
            ),
        )


RULE = Rule(
    id="load.roll-off",
    severity="risk",
    sentence="Cable capacitance leaves an output its treble up to 10 kHz.",
    why="A long lead from a pickup is a tone control turned down.",
    basis=("cable pages: f = 1 / (2π R C), about 100 pF/m for instrument and microphone cable",),
    working="source impedance beside the load, and the capacitance of all cables on the output",
    judge=judge,
)
