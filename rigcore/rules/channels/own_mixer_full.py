"""Sounds of a unit that the player's own mixer has no inputs left for."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.book.rig import Unit
from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import End, Node, Patch
from rigcore.patch.once import once_each
from rigcore.patch.walk import all_upstream
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each own mixer that hears part of a unit and has no room for the rest."""
    used = patch.plugged_where(_sounds)
    sounding = {end.node: end for end in used if end.node.place == "rig"}
    of_unit: dict[str, list[End]] = {}
    for end in sounding.values():
        of_unit.setdefault(end.node.unit, []).append(end)
    order = {unit_id: number for number, unit_id in enumerate(of_unit)}
    for unit in patch.units.values():
        if unit.owner != "rig" or patch.catalogue.gear_type(unit.gear).category != "mixer":
            continue
        above = _above(patch, unit.id)
        heard = {node.unit for node in sounding.keys() & above}
        missing = [
            end for one in sorted(heard, key=order.__getitem__) for end in of_unit[one] if end.node not in above
        ]
        if not missing:
            continue
        inputs = _line_inputs(patch, unit)
        taken = sum(end.node in patch.hops_at for end in inputs)
        if len(missing) > len(inputs) - taken:
            yield _finding(unit.name, unit.id, missing, (taken, len(inputs)))


def _sounds(end: End) -> bool:
    return end.gear.is_source(end.port.id) and end.port.role != "phones"


def _above(patch: Patch, unit_id: str) -> frozenset[Node]:
    """Return everything upstream of a unit's inputs."""
    ends = patch.ends_of["rig", unit_id]
    inputs = [end.node for end in ends if end.port.direction == "in" and end.node in patch.hops_at]
    return all_upstream(patch, *inputs)


def _line_inputs(patch: Patch, unit: Unit) -> list[End]:
    wanted = _line_ports(patch, unit.gear)
    return [end for end in patch.ends_of["rig", unit.id] if end.port.id in wanted]


@once_each
def _line_ports(patch: Patch, gear_id: str) -> frozenset[str]:
    """Return the ids of the ports of a gear type that take line level."""
    return frozenset(
        port.id
        for port in patch.catalogue.gear_type(gear_id).ports
        if port.direction == "in"
        and any(
            isinstance(carrier, Audio) and carrier.level == "line" for carrier in (port.carrier, port.jack_carrier)
        )
    )


def _finding(name: str, unit_id: str, missing: list[End], room: tuple[int, int]) -> Finding:
    taken, inputs = room
    wanted = taken + len(missing)
    return Finding(
        RULE.id,
        "risk",
        f"{words.joined([end.words for end in missing])} find no input in {name}: {wanted} for {inputs}.",
        (Thing("unit", unit_id), *(words.unit_of(end) for end in missing)),
        (
            f"{taken} line inputs used + {len(missing)} wanted = {wanted} > {inputs}",
            "hear them in the house's mix instead",
        ),
    )


RULE = Rule(
    id="channels.own-mixer-full",
    severity="risk",
    sentence="The player's own mixer has an input for every sound of a unit it hears.",
    why="What is not in the own mix must come back in the house's, or is not heard.",
    basis=(basis.COMMON,),
    working="line inputs used + outputs of half-heard units > line inputs",
    judge=judge,
)
