"""A power amplifier with too low an impedance on it."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Loudspeaker
from rigcore.patch.build import End, Hop, Patch
from rigcore.patch.loads import is_sound
from rigcore.quantities.electrical import parallel_ohm
from rigcore.rules import words
from rigcore.rules.rule import Finding, Rule

TOLERANCE = 0.02
"""A high-impedance box beside the loudspeakers (a DI for loudspeaker level) is no load."""


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each amplifier output whose loudspeakers together lie under its minimum."""
    for end in patch.ends():
        carrier = end.port.carrier
        if end.port.direction != "out" or not isinstance(carrier, Loudspeaker) or carrier.minimum_ohm is None:
            continue
        boxes = _boxes(patch, end)
        ohms = [box.port.carrier.rated_ohm for box in boxes if isinstance(box.port.carrier, Loudspeaker)]
        known = [ohm for ohm in ohms if ohm is not None]
        if not known or parallel_ohm(known) >= carrier.minimum_ohm * (1 - TOLERANCE):
            continue
        yield Finding(
            RULE.id,
            "fault",
            f"{end.words} drives {parallel_ohm(known):.1f} Ω; it is made for {carrier.minimum_ohm:g} Ω and more.",
            (words.unit_of(end), *(words.unit_of(box) for box in boxes)),
            (
                f"{words.joined([f'{ohm:g} Ω' for ohm in known])} in parallel = {parallel_ohm(known):.2f} Ω",
                f"minimum of the amplifier {carrier.minimum_ohm:g} Ω",
            ),
        )


def _boxes(patch: Patch, end: End) -> list[End]:
    """Return the loudspeakers on an output, those behind thru sockets included."""
    found, ahead, seen = [], [end.node], {end.node}
    while ahead:
        here = ahead.pop()
        for after, step in patch.steps_out_of(here):
            passes = is_sound(patch, step) if isinstance(step, Hop) else step.kind == "wire"
            if after in seen or not passes:
                continue
            seen.add(after)
            ahead.append(after)
            if patch.end(after).port.direction == "in":
                found.append(patch.end(after))
    return found


RULE = Rule(
    id="load.amplifier-minimum",
    severity="fault",
    sentence="The loudspeakers on one amplifier output are not under its minimum impedance.",
    why="The amplifier overheats, shuts down, or burns.",
    basis=("amplifier manuals: parallel load = 1 / Σ(1/Z)",),
    working="1 / Σ(1/Z) of all loudspeakers on the output against its minimum",
    judge=judge,
)
