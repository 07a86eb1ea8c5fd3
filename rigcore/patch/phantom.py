"""48 V: which lines require it, which supplies are on, and which ports each supply reaches.

*Required* and *present* are two facts. DC goes over every audio cable and
through the paths that pass it: a wire does, a transformer does not. It returns
by pin 1, so an in-line lift of pin 1 stops it though the signal goes on.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator

from msgspec import Struct

from rigcore.book.assumptions import fact_value
from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.gear import Path
from rigcore.patch.build import End, Hop, Node, Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.once import once_a_net, once_a_patch
from rigcore.quantities.phantom import FEEDS

FEED = FEEDS["P48"]
"""What every supply of 48 V is taken to be: P48 of IEC 61938."""

FEEDING = ("supplies", "switchable")
"""What an input says of 48 V if it can feed it."""


class Supply(Struct, frozen=True):
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
    return _mated_reach(patch, node) if mated else _planned_reach(patch, node)


@once_a_net
def _mated_reach(patch: Patch, node: Node) -> tuple[End, ...]:
    return _reach(patch, node, lambda one: one.goes_together)


@once_a_net
def _planned_reach(patch: Patch, node: Node) -> tuple[End, ...]:
    return _reach(patch, node, lambda one: True)


def _reach(patch: Patch, node: Node, goes_on: Callable[[Coupling], bool]) -> tuple[End, ...]:
    seen = {node}
    ahead = [node]
    for here in ahead:
        for before, step in patch.steps_into(here):
            if before not in seen and (goes_on(step.coupling) if isinstance(step, Hop) else step.passes_phantom):
                seen.add(before)
                ahead.append(before)
    return tuple(patch.end(one) for one in ahead[1:])


def needs_phantom(patch: Patch, node: Node) -> bool:
    """Return whether anything that works from 48 V hangs on a line, as seen from its input."""
    return any(_is(end, "needs") for end in reach(patch, node))


class Spread(Struct, frozen=True):
    """The stretch over which the 48 V of one or more supplies that are on spreads.

    ``supplies`` face each other over it if they are two; ``others`` are the inputs
    at the end of its other legs that feed none themselves; ``splits`` are the
    ports at which it divides.
    """

    supplies: tuple[Supply, ...]
    others: tuple[End, ...]
    splits: tuple[End, ...]
    ends: tuple[End, ...]


class Lifted(Struct, frozen=True):
    """Something that needs 48 V, and what opens pin 1 between it and the supply that would feed it.

    ``cut`` says whether 48 V is stopped for sure: a lift in the cable does it, the
    lift switch of the box that is to be fed may.
    """

    end: End
    lift: End
    supply: End
    cut: bool


@once_a_patch
def supplies(patch: Patch) -> tuple[Supply, ...]:
    """Return every input with something plugged in that can feed 48 V, own and house."""
    scope, assumed = house_phantom(patch)
    reached = {end.node: reach(patch, end.node) for end in _feeders(patch)}
    plugged = [patch.end(node) for node in reached]
    found = []
    wanted = {node: any(_is(end, "needs") for end in ends) for node, ends in reached.items()}
    house_wants = any(wanted[end.node] for end in plugged if end.node.place == "house")
    for end in plugged:
        reaches = reached[end.node]
        if end.node.place == "house":
            is_on = {
                "per channel": wanted[end.node], "global": house_wants, "none": False,
            }.get(scope, True)
            found.append(Supply(end, is_on, scope, reaches, assumed))
        else:
            scope_here = end.gear.phantom_switch or "per channel"
            found.append(Supply(end, _own_is_on(patch, end), scope_here, reaches))
    return tuple(found)


def _feeders(patch: Patch) -> Iterator[End]:
    ends = patch.plugged_where(_may_feed)
    return (end for end in ends if _can_feed(patch, end))


def _may_feed(end: End) -> bool:
    return end.port.may_feed_phantom


def _can_feed(patch: Patch, end: End) -> bool:
    """Return whether a plug sits in an input's 48 V contacts: the jack half of a combined socket has none."""
    return end.port.may_feed_phantom and any(
        hop.target is end and isinstance(hop.coupling.arrives, Audio) and hop.coupling.arrives.phantom in FEEDING
        for hop in patch.hops_at.get(end.node, ())
    )


def _own_is_on(patch: Patch, end: End) -> bool:
    if _is(end, "supplies"):
        return True
    if end.gear.phantom_switch != "global":
        return end.setting.phantom
    return any(other.setting.phantom for other in patch.ends_of[end.node.place, end.node.unit])


@once_a_patch
def needing(patch: Patch) -> tuple[End, ...]:
    """Return what is plugged in and needs 48 V, in the order of the book."""
    return patch.plugged_where(_needs)


def _needs(end: End) -> bool:
    return _is(end, "needs")


@once_a_patch
def spreads(patch: Patch) -> tuple[Spread, ...]:
    """Return every stretch with 48 V on it that ends at more inputs than the one that feeds it."""
    feeding = {supply.end.node: supply for supply in supplies(patch) if supply.is_on}
    found, seen = [], set[Node]()
    for node in feeding:
        if node in seen:
            continue
        here = _stretch(patch, node)
        seen.update(here)
        inputs = [one for one in here if _is_last(patch, one)]
        if len(inputs) > 1:
            found.append(
                Spread(
                    tuple(feeding[one] for one in inputs if one in feeding),
                    tuple(patch.end(one) for one in inputs if one not in feeding),
                    tuple(patch.end(one) for one in here if _divides(patch, one)),
                    tuple(patch.end(one) for one in here),
                )
            )
    return tuple(found)


def _stretch(patch: Patch, node: Node) -> tuple[Node, ...]:
    """Return every port DC spreads to from one, up and down, over what is plugged; nearest first."""
    seen = {node: None}
    queue = deque([node])
    while queue:
        here = queue.popleft()
        for one, step in (*patch.steps_into(here), *patch.steps_out_of(here)):
            if one not in seen and _passes(patch, step):
                seen[one] = None
                queue.append(one)
    return tuple(seen)


def _passes(patch: Patch, step: Hop | Path) -> bool:
    return step.coupling.is_sound if isinstance(step, Hop) else step.passes_phantom


def _is_last(patch: Patch, node: Node) -> bool:
    """Return whether a port is an input at the end of a line: plugged, and passing no DC on."""
    if patch.end(node).port.direction != "in" or not any(isinstance(one, Hop) for _, one in patch.steps_into(node)):
        return False
    return not any(_passes(patch, step) for _, step in patch.steps_out_of(node))


def _divides(patch: Patch, node: Node) -> bool:
    return sum(_passes(patch, step) for _, step in patch.steps_out_of(node)) > 1


@once_a_patch
def lifted(patch: Patch) -> tuple[Lifted, ...]:
    """Return what needs 48 V though pin 1 is open on its way, each once, in the order of the book."""
    on = {supply.end.node for supply in supplies(patch) if supply.is_on}
    fed = {end.node for supply in supplies(patch) if supply.is_on for end in supply.reaches}
    found = []
    for end in needing(patch):
        if end.node not in fed:
            found += _cut(patch, end)
        elif end.setting.lift:
            found += [Lifted(end, end, patch.end(one), cut=False) for one in _downstream(patch, end.node) if one in on]
    return tuple({one.end.node: one for one in reversed(found)}.values())[::-1]


def _cut(patch: Patch, end: End) -> list[Lifted]:
    """Return the supplies that would feed an end if pin 1 were not open on the way."""
    return [
        Lifted(end, patch.end(lift), patch.end(node), cut=True)
        for node, lift in _downstream(patch, end.node, over_lifts=True).items()
        if lift is not None and _can_feed(patch, patch.end(node)) and _would_be_on(patch, patch.end(node))
    ]


def _downstream(patch: Patch, node: Node, *, over_lifts: bool = False) -> dict[Node, Node | None]:
    """Return the ports DC could come from to feed a port, each with the first lift of pin 1 before it."""
    seen: dict[Node, Node | None] = {node: None}
    queue = deque([node])
    while queue:
        here = queue.popleft()
        for after, step in patch.steps_out_of(here):
            lift = not isinstance(step, Hop) and is_lift(step)
            if after not in seen and (_passes(patch, step) or (over_lifts and lift)):
                seen[after] = seen[here] or (after if lift else None)
                queue.append(after)
    return seen


def is_lift(path: Path) -> bool:
    """Return whether a way through a box only opens pin 1: the wires of the signal go through, DC does not."""
    return path.kind == "wire" and path.isolates and not path.passes_phantom


def _would_be_on(patch: Patch, end: End) -> bool:
    """Return whether a supply would feed a line that asked for it."""
    if end.node.place == "house":
        return house_phantom(patch)[0] != "none"
    return _own_is_on(patch, end)


def drawn_ma(ends: tuple[End, ...]) -> tuple[tuple[End, float], ...]:
    """Return which of some ends need 48 V, and how much each draws, in mA (0 where its type does not say)."""
    return tuple(
        (end, carrier.phantom_ma)
        for end in ends
        if (carrier := audio(end)) is not None and carrier.phantom == "needs"
    )


def limit_ma(supply: Supply) -> float:
    """Return what a supply gives to one input, in mA: as its type states, and never more than P48 allows."""
    carrier = audio(supply.end)
    stated = carrier.phantom_ma if carrier is not None else 0.0
    return min(stated, FEED.max_ma) if stated > 0 else FEED.max_ma


def is_harmed(end: End) -> bool:
    """Return whether 48 V can harm what sits here."""
    return _is(end, "harmed")


def _is(end: End, phantom: str) -> bool:
    carrier = audio(end)
    return carrier is not None and carrier.phantom == phantom
