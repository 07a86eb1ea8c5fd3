"""What an output has to drive: the inputs it feeds, in parallel, and the cable between.

Thru sockets and direct legs put their loads on the same output; a transformer
reflects the load behind it by the square of its ratio. Magnitudes at 1 kHz.
A run is what lies between two boxes that are not joined by mere wires: adapters,
Y-leads and multicores belong to it, a transformer ends it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from msgspec import Struct

from rigcore.catalogue.carriers import Audio, Carrier
from rigcore.catalogue.gear import Path
from rigcore.patch.build import PASSIVE, End, Hop, Node, Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.once import once_a_kind, once_a_net, once_a_patch, once_each
from rigcore.quantities.cables import capacitance_pf, roll_off_hz
from rigcore.quantities.conductors import loop_ohm
from rigcore.quantities.electrical import divider_loss_db, parallel_ohm
from rigcore.quantities.transformer import reflected_ohm

WIRED_BOXES = ("adapter", "pad", "multicore", "splitter")
"""What only joins cables. The thru of a DI is left out: it starts a run of its own."""


class Load(NamedTuple):
    """One input on an output: what it is and the load it presents, in ohm."""

    end: End
    ohm: float


class Loading(NamedTuple):
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
        return roll_off_hz(self.roll_off_ohm, self.cable_pf)

    @property
    def roll_off_ohm(self) -> float:
        """Source impedance beside the load, in ohm: what charges the cable."""
        return parallel_ohm((self.source_ohm, self.parallel_ohm))


class Run(NamedTuple):
    """One way from a box to the next with nothing but cables and wires between, in the order of the signal."""

    hops: tuple[Hop, ...]
    length_m: float

    @property
    def begin(self) -> End:
        """The output it comes from."""
        return self.hops[0].source

    @property
    def last(self) -> Hop:
        """The connection that arrives."""
        return self.hops[-1]


@once_a_patch
def runs(patch: Patch) -> tuple[Run, ...]:
    """Return the longest run into every audio input that ends one, planned ones without a cable included."""
    before: dict[Node, Hop] = {}
    for hop in patch.along_where(_may_run):
        before.setdefault(hop.target.node, hop)
    found = []
    for hop in before.values():
        ahead = patch.passive_steps_out_of(hop.target.node) if hop.target.gear.category in WIRED_BOXES else ()
        if not any(_joins(hop.target, step) and after in patch.hops_at for after, step in ahead):
            hops = _back(patch, hop, before)
            found.append(Run(hops, sum(one.length_m or 0.0 for one in hops)))
    return tuple(found)


def _may_run(one: Coupling) -> bool:
    return one.is_audio and (not one.cables or one.is_sound)


def _back(patch: Patch, hop: Hop, before: dict[Node, Hop]) -> tuple[Hop, ...]:
    """Return the hops of a run that ends with one, first to last."""
    line, seen = [hop], {hop.target.node}
    while True:
        source = line[-1].source
        ways = [] if source.gear.category not in WIRED_BOXES else [
            before[node]
            for node, step in patch.steps_into(source.node)
            if _joins(source, step) and node in before and node not in seen
        ]
        if not ways:
            return tuple(reversed(line))
        line.append(max(ways, key=lambda one: one.length_m or 0.0))
        seen.add(line[-1].target.node)


def _joins(end: End, step: Hop | Path) -> bool:
    return not isinstance(step, Hop) and step.kind in ("wire", "resistive") and end.gear.category in WIRED_BOXES


def is_unbalanced_run(patch: Patch, run: Run) -> bool:
    """Return whether a run is unbalanced anywhere: then all of it is, for the screen carries the signal back."""
    return not all(hop.coupling.is_balanced for hop in run.hops)


@once_a_patch
def loadings(patch: Patch) -> dict[Node, Loading]:
    """Return the loading of every audio output that drives something and whose impedance is known."""
    found = ((end.node, _loading(patch, end.node)) for end in patch.plugged_where(_drives))
    return {node: loading for node, loading in found if loading is not None}


def _drives(end: End) -> bool:
    """Return whether an end is an audio output of known impedance, and does not only hand on what a wire brings."""
    carrier = end.port.carrier
    if end.port.direction != "out" or not isinstance(carrier, Audio) or carrier.ohm is None:
        return False
    return all(path.kind != "wire" for path in end.gear.paths_into[end.port.id])


def passive_inputs(patch: Patch, node: Node) -> tuple[End, ...]:
    """Return the inputs an output feeds without an amplifier between: over cables, wires and transformers."""
    ahead, seen, found = [node], {node}, []
    while ahead:
        for after, step in patch.passive_steps_out_of(ahead.pop()):
            passive = step.coupling.is_sound if isinstance(step, Hop) else step.kind in ("wire", "transformer")
            if after in seen or not passive:
                continue
            seen.add(after)
            ahead.append(after)
            carrier = patch.end(after).port.carrier
            if isinstance(step, Hop) and isinstance(carrier, Audio) and carrier.ohm is not None:
                found.append(patch.end(after))
    return tuple(found)


class Way(Struct, frozen=True):
    """Where the level at an output comes from, and what passive boxes take of it: name and dB, negative a loss."""

    begin: End
    steps: tuple[tuple[str, float], ...]


def passive_way(patch: Patch, node: Node) -> Way:
    """Return the way from the output with a level of its own down to an output behind passive boxes."""
    steps: list[tuple[str, float]] = []
    seen = {node}
    while True:
        ways = patch.steps_into(node)
        if len(ways) != 1 or ways[0][0] in seen:
            break
        before, step = ways[0]
        if not isinstance(step, Hop):
            if step.kind not in PASSIVE:
                break
            end = patch.end(before)
            carrier = end.port.carrier
            pad_db = carrier.pad_db if isinstance(carrier, Audio) and end.setting.pad and step.kind != "wire" else 0.0
            steps += [(f"pad of {end.name}", -pad_db)] if pad_db else []
            steps += [(end.name, step.gain_db)] if step.gain_db else []
        node = before
        seen.add(node)
    return Way(patch.end(node), tuple(reversed(steps)))


@once_a_net
def _loading(patch: Patch, node: Node) -> Loading | None:
    end = patch.end(node)
    source_ohm = getattr(end.port.carrier, "ohm", None)
    loads, reached = _driven(patch, node, frozenset())
    if not loads or source_ohm is None:
        return None
    parallel, loss_db = _divided(patch, (source_ohm, *(load.ohm for load in loads)))
    cable_pf, length_m = 0.0, 0.0
    for hop in reached:
        for cable, one_m in hop.cables:
            cable_pf += capacitance_pf(cable.pf_per_m or 0.0, one_m)
            length_m += one_m
    return Loading(end, source_ohm, tuple(loads), parallel, loss_db, cable_pf, length_m)


def cable_loss_db(patch: Patch, hop: Hop) -> float:
    """Return what the resistance of a connection's cables, there and back, takes of the level, in dB.

    The divider of the cables and of what they lead to, which is the input and what hangs on its thru;
    0 where nobody knows either.
    """
    lengths_m = tuple([length_m for _, length_m in hop.cables])
    own = () if _hands_on(patch, hop.target) else _stated_ohm(hop.coupling.arrives)
    met = own or (_met_ohm(patch, hop) if lengths_m else ())
    return _taken_db(patch, (hop.coupling, lengths_m, met)) if met else 0.0


def _stated_ohm(carrier: Carrier) -> tuple[float, ...]:
    return (carrier.ohm,) if isinstance(carrier, Audio) and carrier.ohm is not None else ()


@once_a_kind
def _hands_on(patch: Patch, end: End) -> bool:
    """Return whether a wire leads on from an input: to a thru, or through an adapter."""
    return any(path.kind == "wire" for path in end.gear.paths_out_of[end.port.id])


def _met_ohm(patch: Patch, hop: Hop) -> tuple[float, ...]:
    own = _input_ohm(patch, hop, frozenset())
    found = [] if own is None else [own]
    for after, step in patch.passive_steps_out_of(hop.target.node):
        if not isinstance(step, Hop) and step.kind == "wire":
            found += [load.ohm for load in _driven(patch, after, frozenset())[0]]
    return tuple(found)


@once_each
def _taken_db(patch: Patch, lead: tuple[Coupling, tuple[float, ...], tuple[float, ...]]) -> float:
    """Return what the cables of a kind of connection take, by their lengths and the loads they lead to."""
    coupling, lengths_m, met = lead
    pairs = zip(coupling.cables, lengths_m, strict=True)
    ohm = sum(loop_ohm(cable.ohm_per_m or 0.0, length_m) for cable, length_m in pairs)
    return divider_loss_db(ohm, parallel_ohm(met))


@once_each
def _divided(patch: Patch, ohms: tuple[float, ...]) -> tuple[float, float]:
    """Return the load of some inputs together, in ohm, and what it takes of the level of their source, in dB."""
    source_ohm, *loads_ohm = ohms
    parallel = parallel_ohm(loads_ohm)
    return parallel, divider_loss_db(source_ohm, parallel)


def _driven(patch: Patch, node: Node, through: frozenset[Node]) -> tuple[list[Load], list[Hop]]:
    """Return the inputs an output meets over cables and wires, and the connections on the way.

    ``through`` are the transformers passed so far: in a circle each reflects what is behind it once.
    """
    loads: list[Load] = []
    reached: list[Hop] = []
    ahead, seen = [node], {node}
    while ahead:
        for after, step in patch.passive_steps_out_of(ahead.pop()):
            if after in seen:
                continue
            if isinstance(step, Hop):
                if not step.coupling.is_sound:
                    continue
                reached.append(step)
                ohm = _input_ohm(patch, step, through)
                if ohm is not None:
                    loads.append(Load(step.target, ohm))
            elif step.kind != "wire":
                continue
            seen.add(after)
            ahead.append(after)
    return loads, reached


def _input_ohm(patch: Patch, hop: Hop, through: frozenset[Node]) -> float | None:
    """Return the load at the far end of a hop: as stated, or reflected through the transformers behind it."""
    carrier = hop.coupling.arrives
    if not isinstance(carrier, Audio):
        return None
    if carrier.ohm is not None:
        return carrier.ohm
    reflected = []
    for after, path in patch.passive_steps_out_of(hop.target.node):
        if isinstance(path, Hop) or path.kind != "transformer" or after in through:
            continue
        loads, _ = _driven(patch, after, through | {after})
        if loads:
            turns_ratio = 10.0 ** (-path.gain_db / 20.0)
            reflected.append(reflected_ohm(turns_ratio, parallel_ohm(load.ohm for load in loads)))
    return parallel_ohm(reflected) if reflected else None
