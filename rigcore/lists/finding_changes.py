"""What an edit changes in the findings of a gig: gone, new, and said otherwise. Nothing is judged here."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from msgspec import Struct

from rigcore.rules.rule import Finding, Thing

Key = tuple[str, tuple[Thing, ...], int]
"""Rule and things concerned, and which of several such findings."""


class FindingChanges(Struct, frozen=True):
    """Findings that are gone, that are new, and pairs (before, after) of those that say something else now."""

    gone: tuple[Finding, ...]
    new: tuple[Finding, ...]
    changed: tuple[tuple[Finding, Finding], ...]

    @property
    def is_empty(self) -> bool:
        """Whether nothing changes."""
        return not (self.gone or self.new or self.changed)


def finding_changes(before: Sequence[Finding], after: Sequence[Finding]) -> FindingChanges:
    """Return what differs between the findings before and after, matched by rule and things concerned."""
    was, now = _keyed(before), _keyed(after)
    return FindingChanges(
        gone=tuple(one for key, one in was.items() if key not in now),
        new=tuple(one for key, one in now.items() if key not in was),
        changed=tuple((was[key], one) for key, one in now.items() if key in was and _says(was[key]) != _says(one)),
    )


def _says(finding: Finding) -> tuple[str, str, tuple[str, ...]]:
    return finding.severity, finding.sentence, finding.assumed


def _keyed(findings: Sequence[Finding]) -> dict[Key, Finding]:
    seen: Counter[tuple[str, tuple[Thing, ...]]] = Counter()
    keyed = {}
    for one in findings:
        same = (one.rule, one.things)
        keyed[(*same, seen[same])] = one
        seen[same] += 1
    return keyed
