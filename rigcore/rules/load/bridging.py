"""An output that drives too low an impedance."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Patch
from rigcore.patch.loads import Loading, loadings
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule

LINE_RATIO = 10.0
MIC_RATIO = 3.0
"""Microphones still work at 5:1; two inputs of 2 kohm on a 250 ohm capsule are 4:1 and usual."""


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each line output loaded under 10:1, and each microphone under 3:1."""
    for loading in loadings(patch).values():
        carrier = loading.driver.port.carrier
        if not isinstance(carrier, Audio) or carrier.level in ("headphone", "instrument"):
            continue
        if any(getattr(load.end.port.carrier, "level", "") == "headphone" for load in loading.loads):
            continue
        wanted = MIC_RATIO if carrier.level == "mic" else LINE_RATIO
        if loading.ratio < wanted and loading.driver.gear.category not in ("pad", "di", "isolator"):
            yield _finding(loading, wanted)


def _finding(loading: Loading, wanted: float) -> Finding:
    inputs = words.joined([load.end.words for load in loading.loads])
    parts = " + ".join(f"1/{load.ohm:g}" for load in loading.loads)
    return Finding(
        RULE.id,
        "risk",
        f"{loading.driver.words} drives {inputs}: load over source is only {loading.ratio:.1f} : 1 "
        f"and costs {words.decibels(loading.loss_db)}.",
        (words.unit_of(loading.driver), *(words.unit_of(load.end) for load in loading.loads)),
        (
            f"load = 1 / ({parts}) = {loading.parallel_ohm:.0f} Ω",
            f"{loading.parallel_ohm:.0f} Ω / {loading.source_ohm:g} Ω = {loading.ratio:.1f}, wanted {wanted:g} or more",
            f"loss = 20 log(({loading.parallel_ohm:.0f} + {loading.source_ohm:g}) / {loading.parallel_ohm:.0f}) "
            f"= {loading.loss_db:.2f} dB",
        ),
    )


RULE = Rule(
    id="load.bridging",
    severity="risk",
    sentence="An output drives at least ten times its own impedance; a microphone at least three times.",
    why="Under that, level and bass are lost, and some outputs distort.",
    basis=(basis.BRIDGING, basis.COMMON),
    working="parallel load / source impedance; loss = 20 log((Zl + Zs) / Zl)",
    judge=judge,
)
