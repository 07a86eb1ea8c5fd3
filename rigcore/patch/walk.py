"""Following a signal: upstream, downstream, and back to where it begins."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rigcore.catalogue.gear import Path
from rigcore.patch.build import End, Hop, Node, Patch, Step
from rigcore.patch.once import once_a_patch, once_renewed

_Above = dict[tuple[Node, ...], frozenset[Node]]
"""Everything upstream of some nodes, by these."""


def upstream(patch: Patch, *nodes: Node) -> tuple[Node, ...]:
    """Return some nodes and everything upstream of any of them, nearest first."""
    return _reach(patch.steps_into, nodes)


def all_upstream(patch: Patch, *nodes: Node) -> frozenset[Node]:
    """Return some nodes and everything upstream of any of them, in no order; kept, over edits elsewhere too."""
    known = _sets_above(patch)
    if nodes not in known:
        known[nodes] = frozenset(upstream(patch, *nodes))
    return known[nodes]


@once_renewed
def _sets_above(patch: Patch, earlier: _Above | None) -> _Above:
    stale = patch.stale
    if earlier is None or stale is None:
        return {}
    return {nodes: above for nodes, above in earlier.copy().items() if stale.isdisjoint(above)}


def downstream(patch: Patch, *nodes: Node) -> tuple[Node, ...]:
    """Return some nodes and everything downstream of any of them, nearest first."""
    return _reach(patch.steps_out_of, nodes)


def _reach(steps: Callable[[Node], Sequence[Step]], nodes: tuple[Node, ...]) -> tuple[Node, ...]:
    seen = dict.fromkeys(nodes)
    ahead = list(seen)
    for node in ahead:
        for after, _ in steps(node):
            if after not in seen:
                seen[after] = None
                ahead.append(after)
    return tuple(ahead)


def line_up(patch: Patch, node: Node) -> tuple[tuple[Node, Hop | Path | None], ...]:
    """Return the single line upstream of a node: each node with the step that leads on from it downwards.

    Ends where sound begins, where a mix of several begins, or where nothing is plugged.
    The first entry is the node itself with None.
    """
    line: list[tuple[Node, Hop | Path | None]] = [(node, None)]
    seen = {node}
    while True:
        before = patch.steps_into(line[-1][0])
        if len(before) != 1 or before[0][0] in seen:
            return tuple(line)
        line.append(before[0])
        seen.add(before[0][0])


def origin(patch: Patch, node: Node) -> End:
    """Return the end where the line into a node begins: a source, or the output of a mix."""
    return patch.end(line_up(patch, node)[-1][0])


def sources(patch: Patch, node: Node) -> tuple[End, ...]:
    """Return every sound source upstream of a node, in the order of the book."""
    above = set(upstream(patch, node))
    return tuple(end for end in every_source(patch) if end.node in above)


@once_a_patch
def every_source(patch: Patch) -> tuple[End, ...]:
    """Return every sound source of the gig, plugged or not, in the order of the book."""
    return patch.ends_where(_is_source)


def _is_source(end: End) -> bool:
    return end.gear.is_source(end.port.id)
