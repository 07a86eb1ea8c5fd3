"""A passive pickup or piezo into an input of low impedance."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Patch
from rigcore.patch.loads import loadings
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule

PASSIVE_PICKUP_OHM = 5000.0
"""Resistive part of a passive pickup: 5 to 15 kohm."""

LOWEST_LOAD_OHM = 500_000.0


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each passive instrument that drives less than 500 kohm."""
    for loading in loadings(patch).values():
        carrier = loading.driver.port.carrier
        if not isinstance(carrier, Audio) or carrier.level != "instrument":
            continue
        if loading.source_ohm < PASSIVE_PICKUP_OHM or loading.parallel_ohm >= LOWEST_LOAD_OHM:
            continue
        yield Finding(
            RULE.id,
            "risk",
            f"{loading.driver.words} is a passive pickup and drives only {loading.parallel_ohm / 1000:.0f} kΩ: "
            "it turns dull; give it an active DI or an instrument input.",
            (words.unit_of(loading.driver), *(words.unit_of(load.end) for load in loading.loads)),
            (
                f"load = 1 / ({' + '.join(f'1/{load.ohm / 1000:g}' for load in loading.loads)}) = "
                f"{loading.parallel_ohm / 1000:.0f} kΩ, wanted {LOWEST_LOAD_OHM / 1000:g} kΩ or more",
                f"loss = 20 log(({loading.parallel_ohm / 1000:.0f} + {loading.source_ohm / 1000:g}) / "
                f"{loading.parallel_ohm / 1000:.0f}) = {loading.loss_db:.2f} dB, more in the treble",
            ),
        )


RULE = Rule(
    id="load.pickup",
    severity="risk",
    sentence="A passive pickup sees 500 kΩ or more.",
    why="A pickup is a coil: a low load takes its treble.",
    basis=("typical input impedances: 1 Mohm and more for instruments (from memory)", basis.BRIDGING),
    working="parallel of everything on the pickup against 500 kΩ",
    judge=judge,
)
