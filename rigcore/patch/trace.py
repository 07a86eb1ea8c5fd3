"""Tracing a signal: the way from where it begins through some ports to the house, with the level at every port.

Which ports and connections lie on the way, and how strong the signal is there. Nothing is judged here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from msgspec import Struct

from rigcore.catalogue.gear import Path
from rigcore.patch.build import Hop, Node, Patch
from rigcore.patch.stages import levels
from rigcore.patch.walk import line_up


class Trace(Struct, frozen=True):
    """A way through the patch.

    ``nodes`` are the ports on it, ``hops`` the connections between them.
    ``nominal_dbu`` is the level at each port that has one, in dBu.
    ``reaches_house`` says whether it ends at the house; if it does, only what leads there is on it.
    """

    nodes: frozenset[Node]
    hops: tuple[Hop, ...]
    nominal_dbu: dict[Node, float]
    reaches_house: bool


def trace(patch: Patch, starts: Iterable[Node]) -> Trace:
    """Return the way through some ports: up their single lines to the source, and down to the house.

    What leads nowhere near the house is left out, unless nothing does. The way
    stops at the house's socket; what the house does behind it is its own affair.

    Parameters
    ----------
    patch
        The patch of a gig.
    starts
        Ports the way passes through, for instance all outputs of a source.
    """
    ahead = _reach(patch.steps_out_of, starts)
    landed = {node for node in ahead if node.place == "house"}
    if landed:
        leading = set(_reach(patch.steps_into, landed))
        ahead = [node for node in ahead if node in leading]
    nodes = set(ahead)
    for node in starts:
        nodes |= {above for above, _ in line_up(patch, node)}
    hops = tuple(hop for hop in patch.hops if hop.source.node in nodes and hop.target.node in nodes)
    at = levels(patch)
    strong = {node: level for node in nodes if (level := at.level(node).nominal_dbu) is not None}
    return Trace(frozenset(nodes), hops, strong, bool(landed))


def trace_unit(patch: Patch, unit_id: str, port_id: str = "") -> Trace:
    """Return the way through one port of a rig's unit; with no port, through all it plays out of.

    A unit without an output is traced from what it takes in.
    """
    ends = [end for end in patch.ends_of.get(("rig", unit_id), ()) if port_id in ("", end.port.id)]
    sounding = [end for end in ends if end.port.carrier.medium in ("audio", "loudspeaker")] or ends
    outs = [end.node for end in sounding if end.port.direction != "in"]
    return trace(patch, outs or [end.node for end in sounding])


def trace_socket(patch: Patch, socket_id: str) -> Trace:
    """Return the way that ends at a socket of the house."""
    socket = next((one for one in patch.house.sockets if one.id == socket_id), None)
    nodes = [Node("house", socket.unit, port) for port in socket.ports] if socket else []
    return trace(patch, [node for node in nodes if any(end.node == node for end in patch.ends())])


def _reach(steps: Callable[[Node], Sequence[tuple[Node, Hop | Path]]], starts: Iterable[Node]) -> list[Node]:
    """Return some nodes and all that steps lead to, not going on beyond the house's sockets."""
    first = list(dict.fromkeys(starts))
    seen, waiting = dict.fromkeys(first), list(first)
    for node in waiting:
        if node.place == "house" and node not in first:
            continue
        for after, _ in steps(node):
            if after not in seen:
                seen[after] = None
                waiting.append(after)
    return list(seen)
