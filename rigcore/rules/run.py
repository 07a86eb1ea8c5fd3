"""Runs the rulebook over a patch: every rule once, worst findings first."""

from __future__ import annotations

from rigcore.patch.build import Patch
from rigcore.rules.rule import SEVERITIES, Finding
from rigcore.rules.rulebook import RULES


def run_rules(patch: Patch) -> tuple[Finding, ...]:
    """Return every finding about a gig: faults, then risks, then notes, each in the order of the rulebook."""
    found = [finding for rule in RULES for finding in rule.judge(patch)]
    return tuple(sorted(found, key=lambda finding: SEVERITIES.index(finding.severity)))
