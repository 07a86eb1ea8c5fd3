"""Control and data links as facts: pedals and what they meet, MIDI outputs and all they drive, USB, clocks, lengths.

What is right and wrong with them is for the rules.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar

from msgspec import Struct

from rigcore.catalogue.carriers import Carrier, Expression, FootSwitch, Midi, Usb
from rigcore.catalogue.gear import GearType
from rigcore.patch.build import End, Hop, Node, Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.joints import broken_joints
from rigcore.patch.once import once_a_patch

WITH_A_LIMIT = ("midi", "usb", "aes3", "network", "optical")
"""The media whose links may only be so long, whatever they carry."""

AnyCarrier = TypeVar("AnyCarrier", bound=Carrier)


class Fan(Struct, frozen=True):
    """One MIDI output and the inputs it drives by passive ways alone."""

    output: End
    inputs: tuple[End, ...]
    hops: tuple[Hop, ...]


class Bus(Struct, frozen=True):
    """A USB host port and what each device draws from it, in mA; hubs without a supply are passed through."""

    host: End
    hop: Hop
    gives_ma: float
    draws: tuple[tuple[End, float], ...]

    @property
    def drawn_ma(self) -> float:
        """Sum of all draws in mA."""
        return sum(one for _, one in self.draws)


def switches(patch: Patch) -> Iterator[tuple[Hop, FootSwitch, FootSwitch]]:
    """Yield each plugged switch pedal with what it is and what its socket expects."""
    for hop in patch.runs_between.get(("footswitch", "footswitch"), ()):
        ends = _both(hop.coupling, FootSwitch)
        if ends is not None and not broken_joints(patch, hop):
            yield hop, *ends


def expressions(patch: Patch) -> Iterator[tuple[Hop, Expression, Expression]]:
    """Yield each plugged continuous pedal with its wiring and the wiring its socket expects."""
    for hop in patch.runs_between.get(("expression", "expression"), ()):
        ends = _both(hop.coupling, Expression)
        if ends is not None and not broken_joints(patch, hop):
            yield hop, *ends


def midi_links(patch: Patch) -> Iterator[tuple[Hop, Midi, Midi]]:
    """Yield each MIDI connection with the wiring of both ends."""
    for hop in patch.runs_between.get(("midi", "midi"), ()):
        ends = _both(hop.coupling, Midi)
        if ends is not None:
            yield hop, *ends


@once_a_patch
def midi_fans(patch: Patch) -> tuple[Fan, ...]:
    """Return each MIDI output that drives something, with every input it reaches without a powered thru between.

    An output begins where no passive way leads into it; a thru with electronics is an output of its own.
    """
    found = []
    for node in dict.fromkeys(hop.source.node for hop, _, _ in midi_links(patch)):
        if any(isinstance(step, Hop) or step.kind == "wire" for _, step in patch.steps_into(node)):
            continue
        inputs: list[End] = []
        hops: list[Hop] = []
        _drive(patch, node, inputs, hops)
        found.append(Fan(patch.end(node), tuple(inputs), tuple(hops)))
    return tuple(found)


def _drive(patch: Patch, node: Node, inputs: list[End], hops: list[Hop]) -> None:
    """Collect the inputs that hang on an output by hops and wires."""
    for there, step in patch.steps_out_of(node):
        if isinstance(step, Hop):
            if step in hops:
                continue
            hops.append(step)
            wires = [path for path in step.target.gear.paths if path.source == there.port and path.kind == "wire"]
            if wires:
                _drive(patch, there, inputs, hops)
            elif step.target.port.direction != "out":
                inputs.append(step.target)
        elif step.kind == "wire":
            _drive(patch, there, inputs, hops)


def link_limit(hop: Hop) -> str | None:
    """Return the row of the table of lengths a connection falls under, or None for what has no such limit."""
    return limit_of_kind(hop.coupling)


def limit_of_kind(one: Coupling) -> str | None:
    """Return the row of the table of lengths a connection falls under by its kind, or None for what has no such limit.

    Names are those of :data:`rigcore.quantities.lengths.LIMITS`. A USB link is as fast as its slower end.
    """
    medium, other = one.media
    if medium not in WITH_A_LIMIT or medium != other:
        return None
    plugs = [plug for plug in one.plugs if plug is not None] or [one.source.connector, one.target.connector]
    if medium == "midi":
        return "midi_din" if all(plug.startswith("din5") for plug in plugs) else "midi_trs_adapter"
    if medium == "usb":
        ends = _both(one, Usb)
        return "usb3" if ends is not None and ends[0].speed == ends[1].speed == "super" else "usb2"
    if medium == "aes3":
        return "aes3id" if any(plug.startswith("bnc") for plug in plugs) else "aes3"
    return {"network": "tia568_channel", "optical": "optical"}.get(medium)


def usb_links(patch: Patch) -> Iterator[tuple[Hop, Usb, Usb]]:
    """Yield each USB connection with the role of both ends."""
    for hop in patch.runs_between.get(("usb", "usb"), ()):
        ends = _both(hop.coupling, Usb)
        if ends is not None:
            yield hop, *ends


@once_a_patch
def buses(patch: Patch) -> tuple[Bus, ...]:
    """Return each USB port that gives power, with all that draws from it."""
    found = []
    for hop, source, target in usb_links(patch):
        if source.role == target.role:
            continue
        host, device = (hop.source, hop.target) if source.role == "host" else (hop.target, hop.source)
        carrier = source if source.role == "host" else target
        if is_hub(host.gear):
            continue  # what hangs on it draws from the host above
        found.append(Bus(host, hop, carrier.current_ma, tuple(_draws(patch, device, frozenset()))))
    return tuple(found)


def is_hub(gear: GearType) -> bool:
    """Return whether a gear type passes bus power on: USB both ways, and no supply of its own."""
    roles = {port.carrier.role for port in gear.ports if isinstance(port.carrier, Usb)}
    fed = bool(gear.mains_inlets()) or any(
        port.carrier.medium == "dc" and port.direction == "in" for port in gear.ports
    )
    return roles == {"host", "device"} and not fed


def _draws(patch: Patch, device: End, seen: frozenset[Node]) -> Iterator[tuple[End, float]]:
    carrier = device.port.carrier
    if not isinstance(carrier, Usb) or device.node in seen:
        return
    yield device, carrier.current_ma
    if not is_hub(device.gear):
        return
    for port in device.gear.ports:
        node = Node(device.node.place, device.node.unit, port.id)
        for hop in patch.hops_at.get(node, ()):
            far = hop.target if hop.source.node == node else hop.source
            if isinstance(port.carrier, Usb) and port.carrier.role == "host":
                yield from _draws(patch, far, seen | {device.node})


@once_a_patch
def clock_groups(patch: Patch) -> tuple[tuple[End, ...], ...]:
    """Return the word-clock ports that are joined by cables, group by group, in the order of the book."""
    links = patch.hops_where(_is_clock)
    group: dict[Node, set[Node]] = {}
    for hop in links:
        one, other = hop.source.node, hop.target.node
        merged = group.get(one, {one}) | group.get(other, {other})
        for node in merged:
            group[node] = merged
    for unit_ports in _units_of(group):
        merged = set().union(*(group[node] for node in unit_ports))
        for node in merged:
            group[node] = merged
    distinct = {id(nodes): nodes for nodes in group.values()}
    order = {end.node: number for number, end in enumerate(patch.ends())} if distinct else {}
    return tuple(
        tuple(patch.end(node) for node in sorted(nodes, key=order.__getitem__)) for nodes in distinct.values()
    )


def _is_clock(one: Coupling) -> bool:
    return one.media == ("wordclock", "wordclock")


def _units_of(group: dict[Node, set[Node]]) -> list[list[Node]]:
    """Return the joined ports unit by unit: a unit has one clock, whichever of its ports it comes by."""
    units: dict[tuple[str, str], list[Node]] = {}
    for node in group:
        units.setdefault(node[:2], []).append(node)
    return list(units.values())


def _both(one: Coupling, kind: type[AnyCarrier]) -> tuple[AnyCarrier, AnyCarrier] | None:
    """Return the carriers of both ports if they are of a kind, else None."""
    source, target = one.source.carrier, one.target.carrier
    if isinstance(source, kind) and isinstance(target, kind):
        return source, target
    return None
