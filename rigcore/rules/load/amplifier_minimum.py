"""A power amplifier with too low an impedance on it."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Loudspeaker
from rigcore.patch.build import End, Hop, Patch
from rigcore.quantities.electrical import parallel_ohm
from rigcore.rules import remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule

TOLERANCE = 0.02
"""A high-impedance box beside the loudspeakers (a DI for loudspeaker level) is no load."""


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each amplifier output whose loudspeakers together lie under its minimum."""
    if not any("loudspeaker" in media for media in patch.runs_between):
        return
    for end in patch.ends_where(_drives_boxes):
        carrier = end.port.carrier
        if end.port.direction != "out" or not isinstance(carrier, Loudspeaker) or carrier.minimum_ohm is None:
            continue
        boxes, arriving = _boxes(patch, end)
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
                f"1 / ({' + '.join(f'1/{ohm:g}' for ohm in known)}) = {parallel_ohm(known):.2f} Ω in parallel",
                f"minimum of the amplifier {carrier.minimum_ohm:g} Ω: {parallel_ohm(known):.2f} Ω is too little",
            ),
            _remedies(patch, arriving, known, carrier.minimum_ohm),
        )


def _drives_boxes(end: End) -> bool:
    return isinstance(end.port.carrier, Loudspeaker)


def _remedies(patch: Patch, arriving: list[Hop], ohms: list[float], minimum_ohm: float) -> tuple[Remedy, ...]:
    """Return the remedy of leaving the last loudspeaker out, where that is enough."""
    if len(arriving) != len(ohms) or len(ohms) < 2 or parallel_ohm(ohms[:-1]) < minimum_ohm * (1 - TOLERANCE):
        return ()
    return tuple(
        Remedy(f"Leave {arriving[-1].target.name} out", one.apply) for one in remedies.take_out(patch, arriving[-1])
    )


def _boxes(patch: Patch, end: End) -> tuple[list[End], list[Hop]]:
    """Return the loudspeakers on an output, those behind thru sockets included, and the cables that reach them."""
    found: list[End] = []
    arriving: list[Hop] = []
    ahead, seen = [end.node], {end.node}
    while ahead:
        for after, step in patch.passive_steps_out_of(ahead.pop()):
            passes = step.coupling.is_sound if isinstance(step, Hop) else step.kind == "wire"
            if after in seen or not passes:
                continue
            seen.add(after)
            ahead.append(after)
            if patch.end(after).port.direction == "in":
                found.append(patch.end(after))
                arriving += [step] if isinstance(step, Hop) else []
    return found, arriving


RULE = Rule(
    id="load.amplifier-minimum",
    severity="fault",
    sentence="The loudspeakers on one amplifier output are not under its minimum impedance.",
    why="The amplifier overheats, shuts down, or burns.",
    basis=("amplifier manuals: parallel load = 1 / Σ(1/Z)",),
    working="1 / Σ(1/Z) of all loudspeakers on the output against its minimum",
    judge=judge,
)
