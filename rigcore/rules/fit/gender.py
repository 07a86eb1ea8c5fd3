"""A joint that fails only because both sides are pins, or both are sockets."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.joints import broken_joints, leads_for, only_gender, unpluggable
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each connection that only a turnaround would mend."""
    for hop in unpluggable(patch):
        broken = broken_joints(patch, hop)
        if not all(only_gender(patch, joint) for joint in broken):
            continue
        leads = leads_for(patch, hop)
        if leads and not hop.cables:
            continue
        kind = patch.catalogue.connectors[broken[0].one]
        cure = f"{leads[0].name} would do" if leads else "it takes a turnaround"
        yield Finding(
            RULE.id,
            "fault",
            f"{words.name_of(patch, hop)}: both sides are {kind.side}; {cure}.",
            words.place(hop),
            tuple(
                f"{one.one_words} and {one.other_words} are both {patch.catalogue.connector_name(one.one)}"
                for one in broken
            ),
            (*(remedies.use_cable(patch, hop, cable) for cable in leads[:1]), *remedies.take_out(patch, hop)),
        )


RULE = Rule(
    id="fit.gender",
    severity="fault",
    sentence="Pins meet sockets: two of the same gender do not go together.",
    why="Old or home-made gear has its genders reversed; without a turnaround the line is dead.",
    basis=(basis.AES14,),
    working="same family, same side",
    judge=judge,
)
