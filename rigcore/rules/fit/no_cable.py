"""A connection that needs a cable and has none chosen yet."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.joints import broken_joints, facing, leads_for
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each connection whose ports do not meet bare but would by a known lead."""
    for hop in patch.hops:
        if hop.cables or facing(hop) != "along" or not broken_joints(patch, hop):
            continue
        leads = leads_for(patch, hop)
        if not leads:
            continue
        names = patch.catalogue.connector_name
        yield Finding(
            RULE.id,
            "fault",
            f"{words.name_of(patch, hop)} has no cable yet; {leads[0].name} would do.",
            words.place(hop),
            (
                f"{names(hop.source.port.connector)} and {names(hop.target.port.connector)} do not meet bare",
                "leads that join them: " + words.joined([cable.name for cable in leads]),
            ),
            tuple(remedies.use_cable(patch, hop, cable) for cable in leads[:3]),
        )


RULE = Rule(
    id="fit.no-cable",
    severity="fault",
    sentence="Two ports that do not go together bare need a cable between them.",
    why="A line without a cable is a line nobody packed.",
    basis=(basis.COMMON,),
    working="cable types whose two ends mate with both ports and whose stock reaches the distance",
    judge=judge,
)
