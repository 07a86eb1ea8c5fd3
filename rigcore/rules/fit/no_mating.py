"""A connection whose plugs do not go together and that no single lead would make."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.cables import CableType
from rigcore.patch.build import Hop, Patch
from rigcore.patch.joints import Joint, broken_joints, leads_for, only_gender, unpluggable
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each connection that cannot be plugged."""
    for hop in unpluggable(patch):
        broken = broken_joints(patch, hop)
        if all(only_gender(patch, joint) for joint in broken):
            continue
        leads = leads_for(patch, hop)
        if not hop.cables and leads:
            continue
        offered: list[Remedy] = [remedies.use_cable(patch, hop, cable) for cable in leads[:1]]
        offered += remedies.take_out(patch, hop)
        yield Finding(
            RULE.id,
            "fault",
            _sentence(patch, hop, leads),
            words.place(hop),
            tuple(_line(patch, joint) for joint in broken),
            tuple(offered),
        )


def _sentence(patch: Patch, hop: Hop, leads: tuple[CableType, ...]) -> str:
    names = patch.catalogue.connector_name
    ends = f"{names(hop.source.port.connector)} to {names(hop.target.port.connector)}"
    if leads:
        wrong = words.joined([cable.name for cable, _ in hop.cables])
        cure = f"without an adapter; {leads[0].name} would do"
        return f"{words.name_of(patch, hop)}: {wrong} does not go from {ends} {cure}."
    run = f" over {words.metres(hop.length_m)}" if hop.length_m else ""
    return f"{words.name_of(patch, hop)}: no way from {ends}{run} without an adapter."


def _line(patch: Patch, joint: Joint) -> str:
    names = patch.catalogue.connector_name
    return (
        f"{joint.one_words} ({names(joint.one)}) and {joint.other_words} ({names(joint.other)}): "
        f"{joint.consequence.value}"
    )


RULE = Rule(
    id="fit.no-mating",
    severity="fault",
    sentence="Every plug must go into the socket it meets.",
    why="A plug that does not go in is a dead line at line check, and the adapter is at home.",
    basis=(basis.AES14, basis.IEC_60603_11, basis.COMMON),
    working="each joint of the connection is looked up in the mating table; a pair that is not there does not fit",
    judge=judge,
)
