"""A connection that needs a cable and has none chosen yet."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rigcore.catalogue.cables import CableType
from rigcore.patch.build import Hop, Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.joints import broken_joints, leads_for
from rigcore.patch.phantom import is_harmed, supplies
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each connection without a cable whose ends do not meet bare, or lie apart."""
    for hop in patch.along_where(_is_bare):
        broken = bool(broken_joints(patch, hop))
        if not broken and hop.length_m is None:
            continue
        leads = leads_for(patch, hop)
        if leads:
            yield _finding(patch, hop, broken, leads)
        elif not broken:
            yield from _joined(patch, hop)


def _is_bare(one: Coupling) -> bool:
    return not one.cables and one.begins.medium == one.arrives.medium


def _finding(patch: Patch, hop: Hop, broken: bool, leads: tuple[CableType, ...]) -> Finding:
    harm = _would_harm(patch, hop)
    cure = "it needs a DI box, for 48 V is on at that input" if harm else f"{leads[0].name} would do"
    return Finding(
        RULE.id,
        "fault",
        f"{words.name_of(patch, hop)} has no cable yet; {cure}.",
        words.place(hop),
        (_why(patch, hop, broken), "leads that join them: " + words.joined([cable.name for cable in leads])),
        () if harm else tuple(remedies.use_cable(patch, hop, cable) for cable in leads[:3]),
    )


def _would_harm(patch: Patch, hop: Hop) -> bool:
    """Return whether 48 V would reach something it harms as soon as a lead lies here."""
    return any(
        supply.is_on and supply.end.node == hop.target.node and any(is_harmed(end) for end in supply.reaches)
        for supply in supplies(patch)
    )


def _why(patch: Patch, hop: Hop, broken: bool) -> str:
    names = patch.catalogue.connector_name
    ends = f"{names(hop.source.port.connector)} and {names(hop.target.port.connector)}"
    if broken or hop.length_m is None:
        return f"{ends} do not meet bare"
    return f"{ends} are {words.metres(hop.length_m)} apart"


def _joined(patch: Patch, hop: Hop) -> Iterator[Finding]:
    """Yield the finding of a run that no single lead spans, but several of a kind joined do."""
    mating = patch.catalogue.mating
    for cable in patch.catalogue.cables_between(hop.source.port, hop.target.port):
        if cable.carries(hop.source.port.carrier.medium) and mating.fits(cable.end_b, cable.end_a):
            number = math.ceil((hop.length_m or 0.0) / max(cable.stock_lengths_m))
            yield Finding(
                RULE.id,
                "fault",
                f"{words.name_of(patch, hop)} has no cable yet; {cable.name} would do, {number} joined.",
                words.place(hop),
                (_why(patch, hop, False), f"longest in the trade: {words.metres(max(cable.stock_lengths_m))}"),
                (remedies.join_cables(patch, hop, cable, number),) if hop.landing is not None else (),
            )
            return


RULE = Rule(
    id="fit.no-cable",
    severity="fault",
    sentence="Two ports that do not go together bare, or lie apart, need a cable between them.",
    why="A line without a cable is a line nobody packed.",
    basis=(basis.COMMON,),
    working="cable types whose two ends mate with both ports and whose stock reaches the distance",
    judge=judge,
)
