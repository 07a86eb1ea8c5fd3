"""Sounds of a unit that the player's own mixer has no inputs left for."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import End, Node, Patch
from rigcore.patch.walk import every_source, upstream
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each own mixer that hears part of a unit and has no room for the rest."""
    sounds = [end for end in every_source(patch) if end.node.place == "rig" and end.port.role != "phones"]
    used = [end for end in sounds if end.node in patch.hops_at]
    for unit in patch.units.values():
        gear = patch.catalogue.gear_type(unit.gear)
        if gear.category != "mixer" or unit.owner != "rig":
            continue
        above = _above(patch, unit.id)
        heard = [end for end in used if end.node in above]
        units_heard = {end.node.unit for end in heard}
        missing = [end for end in used if end.node not in above and end.node.unit in units_heard]
        inputs = _line_inputs(patch, unit.id)
        taken = sum(end.node in patch.hops_at for end in inputs)
        if missing and len(missing) > len(inputs) - taken:
            yield _finding(unit.name, unit.id, missing, (taken, len(inputs)))


def _above(patch: Patch, unit_id: str) -> set[Node]:
    """Return everything upstream of a unit's inputs."""
    return {
        node
        for end in patch.ends_of["rig", unit_id]
        if end.port.direction == "in" and end.node in patch.hops_at
        for node in upstream(patch, end.node)
    }


def _line_inputs(patch: Patch, unit_id: str) -> list[End]:
    return [
        end
        for end in patch.ends_of["rig", unit_id]
        if end.port.direction == "in"
        and any(
            isinstance(carrier, Audio) and carrier.level == "line"
            for carrier in (end.port.carrier, end.port.jack_carrier)
        )
    ]


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
