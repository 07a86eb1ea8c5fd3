"""A passive microphone split to more inputs than it can feed."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Patch
from rigcore.patch.loads import loadings, passive_inputs
from rigcore.rules import words
from rigcore.rules.rule import Finding, Rule

MOST_INPUTS = 3


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each microphone that feeds more than three inputs without an amplifier."""
    for loading in loadings(patch).values():
        carrier = loading.driver.port.carrier
        if not isinstance(carrier, Audio) or carrier.level != "mic":
            continue
        inputs = passive_inputs(patch, loading.driver.node)
        if len(inputs) <= MOST_INPUTS:
            continue
        yield Finding(
            RULE.id,
            "risk",
            f"{loading.driver.words} is split to {len(inputs)} inputs: three is what a passive split bears.",
            (words.unit_of(loading.driver), *(words.unit_of(end) for end in inputs)),
            (
                f"{len(inputs)} inputs without an amplifier between, at most {MOST_INPUTS}",
                f"load = 1 / ({' + '.join(f'1/{load.ohm:.0f}' for load in loading.loads)}) = "
                f"{loading.parallel_ohm:.0f} Ω",
                f"loss = 20 log(({loading.parallel_ohm:.0f} + {loading.source_ohm:g}) / {loading.parallel_ohm:.0f}) = "
                f"{loading.loss_db:.2f} dB",
            ),
        )


RULE = Rule(
    id="load.split",
    severity="risk",
    sentence="A microphone is split passively to three inputs at most.",
    why="All inputs hang on one capsule in parallel; the fourth is heard as lost level.",
    basis=("broadcast trade article: two to three, at most four destinations of a passive split",),
    working="inputs that load the microphone, through wires and transformers",
    judge=judge,
)
