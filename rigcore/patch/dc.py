"""Low-voltage supplies: which output feeds which inputs, and how many mA they draw together."""

from __future__ import annotations

from msgspec import Struct

from rigcore.catalogue.carriers import Dc
from rigcore.patch.build import End, Hop, Node, Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.once import once_a_patch


class DcRun(Struct, frozen=True):
    """One DC connection from a supply's output to an input, with what each is made for."""

    hop: Hop
    supply: End
    taker: End
    gives: Dc
    wants: Dc


@once_a_patch
def dc_runs(patch: Patch) -> tuple[DcRun, ...]:
    """Return every DC connection between an output and an input, in the order of the book."""
    found = []
    for hop in patch.hops_where(_is_dc):
        ends = (hop.source, hop.target) if hop.source.port.direction == "out" else (hop.target, hop.source)
        gives, wants = ends[0].port.carrier, ends[1].port.carrier
        facing = (ends[0].port.direction, ends[1].port.direction)
        if isinstance(gives, Dc) and isinstance(wants, Dc) and facing == ("out", "in"):
            found.append(DcRun(hop, ends[0], ends[1], gives, wants))
    return tuple(found)


def _is_dc(one: Coupling) -> bool:
    return one.media == ("dc", "dc")


@once_a_patch
def dc_draws(patch: Patch) -> dict[Node, tuple[DcRun, ...]]:
    """Return the connections each supply output feeds, those handed on by pass-through included."""
    direct: dict[Node, list[DcRun]] = {}
    for run in dc_runs(patch):
        direct.setdefault(run.supply.node, []).append(run)
    found = {}
    for node, runs in direct.items():
        if not _handed_on(patch, node):
            found[node] = _all_below(patch, runs, direct)
    return found


def _handed_on(patch: Patch, node: Node) -> bool:
    """Return whether an output only passes on what comes in at another DC port of its unit."""
    return any(not isinstance(step, Hop) for _, step in patch.steps_into(node))


def _all_below(patch: Patch, runs: list[DcRun], direct: dict[Node, list[DcRun]]) -> tuple[DcRun, ...]:
    found, seen = list(runs), {run.taker.node for run in runs}
    for run in found:
        for out, step in patch.steps_out_of(run.taker.node):
            if not isinstance(step, Hop):
                for further in direct.get(out, []):
                    if further.taker.node not in seen:
                        seen.add(further.taker.node)
                        found.append(further)
    return tuple(found)
