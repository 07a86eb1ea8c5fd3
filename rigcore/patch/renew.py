"""What outlives an edit: the answers about all ports whose net the edit did not touch.

A net is what hangs together over connections and over ways without electronics: a keyboard's
output with the DI box, the splitter and the inputs it ends at. An edit touches the ports of the units
it changes and the ends of the connections it changes; what their nets told, before and after, is
worked out again. Nothing is judged here, and nothing comes out otherwise than from nothing.
"""

from __future__ import annotations

from rigcore.patch.once import RENEWED
from rigcore.patch.patch import PASSIVE, Hop, Node, Patch


def renew(patch: Patch, before: Patch) -> None:
    """Give a patch that was built upon an earlier one what still holds of that one's answers."""
    if before.catalogue is not patch.catalogue:
        return
    touched = _touched(patch, before)
    patch.take_steps(before, touched)
    stale = patch.stale = _nets(touched, patch, before)
    # Copied first: another thread may be asking the earlier patch, and so add to it, at this moment.
    for derive, known in before.of_nets.copy().items():
        kept = known.copy()
        for node in stale:
            kept.pop(node, None)
        patch.of_nets[derive] = kept
    if _has_same_mains(patch, before, touched):
        patch.of_mains = before.of_mains.copy()
    found = before.derived.copy()
    patch.earlier = {derive: found[derive] for derive in RENEWED if derive in found}


def _has_same_mains(patch: Patch, before: Patch, touched: set[Node]) -> bool:
    """Return whether all units, their places, the house and all mains connections are as they were."""
    units, others = patch.rig.units, before.rig.units
    return (
        patch.house is before.house
        and patch.gig.placements == before.gig.placements
        and len(units) == len(others)
        and all(one is other for one, other in zip(units, others, strict=True))
        and not any(
            one.end(node).port.carrier.medium == "mains"
            for node in touched for one in (patch, before) if one.has(node)
        )
    )


def _touched(patch: Patch, before: Patch) -> set[Node]:
    """Return the ports of units that differ, and the ends of connections that do."""
    touched: set[Node] = set()
    for mine, others in ((patch, before), (before, patch)):
        for key, ends in mine.ends_of.items():
            if others.ends_of.get(key) is not ends:
                touched.update([end.node for end in ends])
    for hop in set(patch.hops).symmetric_difference(before.hops):
        touched.update((hop.source.node, hop.target.node))
    return touched


def _nets(touched: set[Node], patch: Patch, before: Patch) -> set[Node]:
    """Return all ports that hang together with some ports, as things are or as they were."""
    found = set(touched)
    ahead = list(touched)
    for here in ahead:
        for one in (patch, before):
            if not one.has(here):
                continue
            for there, step in (*one.steps_into(here), *one.steps_out_of(here)):
                if there not in found and (isinstance(step, Hop) or step.kind in PASSIVE or step.passes_phantom):
                    found.add(there)
                    ahead.append(there)
    return found
