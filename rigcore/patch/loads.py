"""What an output has to drive: the inputs it feeds, in parallel, and the cable between.

Thru sockets and direct legs put their loads on the same output; a transformer
reflects the load behind it by the square of its ratio. Magnitudes at 1 kHz.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import End, Hop, Node, Patch, carrier_of, once_a_patch
from rigcore.patch.joints import broken_joints, facing
from rigcore.quantities.electrical import divider_loss_db


@dataclass(frozen=True)
class Load:
    """One input on an output: what it is and the load it presents, in ohm."""

    end: End
    ohm: float


@dataclass(frozen=True)
class Loading:
    """An output with everything it drives.

    ``parallel_ohm`` is the load of all inputs together, ``loss_db`` what the
    divider of source and load costs, ``cable_pf`` the capacitance of all cables
    on the output, ``length_m`` their length.
    """

    driver: End
    source_ohm: float
    loads: tuple[Load, ...]
    parallel_ohm: float
    loss_db: float
    cable_pf: float
    length_m: float

    @property
    def ratio(self) -> float:
        """Load over source impedance; 10 or more is bridging."""
        return self.parallel_ohm / self.source_ohm

    @property
    def roll_off_hz(self) -> float:
        """Frequency at which source impedance and cable capacitance cost 3 dB; infinite without cable."""
        if self.cable_pf <= 0:
            return math.inf
        parallel = self.source_ohm * self.parallel_ohm / (self.source_ohm + self.parallel_ohm)
        return 1.0 / (2.0 * math.pi * parallel * self.cable_pf * 1e-12)


@once_a_patch
def loadings(patch: Patch) -> dict[Node, Loading]:
    """Return the loading of every audio output that drives something and whose impedance is known."""
    found = {}
    for end in patch.ends():
        carrier = end.port.carrier
        if end.port.direction != "out" or not isinstance(carrier, Audio) or carrier.ohm is None:
            continue
        if _is_passed_on(patch, end.node):
            continue
        loading = _loading(patch, end, carrier.ohm)
        if loading is not None:
            found[end.node] = loading
    return found


def is_sound(patch: Patch, hop: Hop) -> bool:
    """Return whether a connection carries anything: the right way round, and every plug goes in."""
    return facing(hop) == "along" and not broken_joints(patch, hop)


def passive_inputs(patch: Patch, node: Node) -> tuple[End, ...]:
    """Return the inputs an output feeds without an amplifier between: over cables, wires and transformers."""
    ahead, seen, found = [node], {node}, []
    while ahead:
        here = ahead.pop()
        for after, step in patch.steps_out_of(here):
            passive = is_sound(patch, step) if isinstance(step, Hop) else step.kind in ("wire", "transformer")
            if after in seen or not passive:
                continue
            seen.add(after)
            ahead.append(after)
            carrier = patch.end(after).port.carrier
            if isinstance(step, Hop) and isinstance(carrier, Audio) and carrier.ohm is not None:
                found.append(patch.end(after))
    return tuple(found)


def _is_passed_on(patch: Patch, node: Node) -> bool:
    """Return whether an output only hands on what a wire brings, and so drives nothing itself."""
    return any(not isinstance(step, Hop) and step.kind == "wire" for _, step in patch.steps_into(node))


def _loading(patch: Patch, end: End, source_ohm: float) -> Loading | None:
    loads: list[Load] = []
    reached: list[Hop] = []
    _collect(patch, end.node, loads, reached)
    if not loads:
        return None
    parallel = 1.0 / sum(1.0 / load.ohm for load in loads)
    cable_pf = sum((cable.pf_per_m or 0.0) * length for hop in reached for cable, length in hop.cables)
    length = sum(length for hop in reached for _, length in hop.cables)
    return Loading(
        end, source_ohm, tuple(loads), parallel, divider_loss_db(source_ohm, parallel), cable_pf, length
    )


def _collect(patch: Patch, node: Node, loads: list[Load], reached: list[Hop]) -> None:
    """Follow an output over cables and wires and note each input it meets."""
    ahead, seen = [node], {node}
    while ahead:
        here = ahead.pop()
        for after, step in patch.steps_out_of(here):
            if after in seen:
                continue
            if isinstance(step, Hop):
                if not is_sound(patch, step):
                    continue
                reached.append(step)
                ohm = _input_ohm(patch, step)
                if ohm is not None:
                    loads.append(Load(step.target, ohm))
            elif step.kind != "wire":
                continue
            seen.add(after)
            ahead.append(after)


def _input_ohm(patch: Patch, hop: Hop) -> float | None:
    """Return the load at the far end of a hop: as stated, or reflected through the transformers behind it."""
    carrier = carrier_of(patch, hop, at_target=True)
    if not isinstance(carrier, Audio):
        return None
    if carrier.ohm is not None:
        return carrier.ohm
    reflected = []
    for after, path in patch.steps_out_of(hop.target.node):
        if isinstance(path, Hop) or path.kind != "transformer":
            continue
        loads: list[Load] = []
        _collect(patch, after, loads, [])
        if loads:
            ratio = 10.0 ** (-path.gain_db / 20.0)
            reflected.append(ratio**2 / sum(1.0 / load.ohm for load in loads))
    return 1.0 / sum(1.0 / ohm for ohm in reflected) if reflected else None
