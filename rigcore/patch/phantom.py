"""48 V: which lines require it, which supplies are on, and which ports each supply reaches.

*Required* and *present* are two facts. DC goes over every audio cable and
through the paths that pass it: a wire does, a transformer does not.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

from rigcore.book.assumptions import fact_value
from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import End, Hop, Node, Patch, carrier_of, once_a_patch
from rigcore.patch.joints import broken_joints


@dataclass(frozen=True)
class Supply:
    """An input that can feed 48 V: who switches it, and what lies within its reach upstream."""

    end: End
    is_on: bool
    scope: str
    reaches: tuple[End, ...]
    assumed: bool = False


def audio(end: End) -> Audio | None:
    """Return the audio carrier of an end, or None."""
    return end.port.carrier if isinstance(end.port.carrier, Audio) else None


def house_phantom(patch: Patch) -> tuple[str, bool]:
    """Return how the house switches 48 V, and whether that is only assumed."""
    return fact_value(patch.house, "phantom")


def reach(patch: Patch, node: Node, *, mated: bool = False) -> tuple[End, ...]:
    """Return the ends that DC fed into a line at this input reaches, nearest first.

    With ``mated`` only over connections whose plugs go together; else also over
    those that are planned but lack their cable yet.
    """
    seen = {node: None}
    queue = deque([node])
    while queue:
        for before, step in patch.steps_into(queue.popleft()):
            passes = _carries(patch, step, mated) if isinstance(step, Hop) else step.passes_phantom
            if passes and before not in seen:
                seen[before] = None
                queue.append(before)
    return tuple(patch.end(one) for one in seen if one != node)


def _carries(patch: Patch, hop: Hop, mated: bool) -> bool:
    return not (mated and broken_joints(patch, hop))


def needs_phantom(patch: Patch, node: Node) -> bool:
    """Return whether anything that works from 48 V hangs on a line, as seen from its input."""
    return any(_is(end, "needs") for end in reach(patch, node))


@once_a_patch
def supplies(patch: Patch) -> tuple[Supply, ...]:
    """Return every input with something plugged in that can feed 48 V, own and house."""
    scope, assumed = house_phantom(patch)
    plugged = [end for end in patch.ends() if _can_feed(patch, end)]
    found = []
    wanted = {end.node: needs_phantom(patch, end.node) for end in plugged}
    house_wants = any(wanted[end.node] for end in plugged if end.node.place == "house")
    for end in plugged:
        reaches = reach(patch, end.node)
        if end.node.place == "house":
            is_on = {
                "per channel": wanted[end.node], "global": house_wants, "none": False,
            }.get(scope, True)
            found.append(Supply(end, is_on, scope, reaches, assumed))
        else:
            scope_here = end.gear.phantom_switch or "per channel"
            found.append(Supply(end, _own_is_on(patch, end), scope_here, reaches))
    return tuple(found)


def _can_feed(patch: Patch, end: End) -> bool:
    """Return whether a plug sits in an input's 48 V contacts: the jack half of a combined socket has none."""
    arriving = [hop for hop in patch.hops_at.get(end.node, ()) if hop.target.node == end.node]
    carriers = [carrier_of(patch, hop, at_target=True) for hop in arriving]
    return any(isinstance(one, Audio) and one.phantom in ("supplies", "switchable") for one in carriers)


def _own_is_on(patch: Patch, end: End) -> bool:
    if _is(end, "supplies"):
        return True
    if end.gear.phantom_switch != "global":
        return end.setting.phantom
    return any(
        other.setting.phantom
        for other in patch.ends()
        if other.node.place == end.node.place and other.node.unit == end.node.unit
    )


def is_harmed(end: End) -> bool:
    """Return whether 48 V can harm what sits here."""
    return _is(end, "harmed")


def _is(end: End, phantom: str) -> bool:
    carrier = audio(end)
    return carrier is not None and carrier.phantom == phantom
