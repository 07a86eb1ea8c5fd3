"""Risks the player has accepted: which findings they cover, and which of them cover nothing any more."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from rigcore.book.book import AcceptedRisk
from rigcore.rules.rule import Finding, Thing


class Parted(NamedTuple):
    """Findings that stand, those accepted with the acceptance, and acceptances that lapsed."""

    standing: tuple[Finding, ...]
    accepted: tuple[tuple[Finding, AcceptedRisk], ...]
    lapsed: tuple[AcceptedRisk, ...]


def can_accept(finding: Finding) -> bool:
    """Return whether a finding can be accepted: a fault will not work or can do harm, so never that."""
    return finding.severity != "fault"


def acceptance(finding: Finding, gig_id: str, reason: str) -> AcceptedRisk:
    """Return the acceptance of a finding with its present numbers.

    Raises
    ------
    ValidationError
        If the reason is empty or too long.
    """
    return AcceptedRisk(
        gig=gig_id, rule=finding.rule, things=_names(finding.things), working=finding.working, reason=reason
    )


def part(findings: Iterable[Finding], accepted: Iterable[AcceptedRisk], gig_id: str) -> Parted:
    """Part the findings of a gig by what the player has accepted there; the order stays."""
    known = {(one.rule, one.things, one.working): one for one in accepted if one.gig == gig_id}
    if not known:
        return Parted(tuple(findings), (), ())
    standing, met = [], []
    for finding in findings:
        risk = known.get((finding.rule, _names(finding.things), finding.working)) if can_accept(finding) else None
        if risk is None:
            standing.append(finding)
        else:
            met.append((finding, risk))
    covered = {id(risk) for _, risk in met}
    return Parted(tuple(standing), tuple(met), tuple(one for one in known.values() if id(one) not in covered))


def _names(things: Iterable[Thing]) -> tuple[str, ...]:
    return tuple(f"{one.kind}/{one.id}/{one.port}" if one.port else f"{one.kind}/{one.id}" for one in things)
