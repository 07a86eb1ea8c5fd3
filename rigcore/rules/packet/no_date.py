"""A packet without the date of the gig, or without a day after which it no longer counts."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.rules import basis
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note if the gig has no date, if nothing says how long the packet counts, or if it ends too early."""
    gig = patch.gig
    missing = [words for words, day in (("the date", gig.date), ("'valid until'", gig.valid_until)) if day is None]
    if missing:
        sentence = f"The packet for {patch.house.name} lacks {' and '.join(missing)}: nobody can tell an old copy."
    elif gig.date is not None and gig.valid_until is not None and gig.valid_until < gig.date:
        sentence = (
            f"The packet for {patch.house.name} is out of date on the day of the gig: set 'valid until' to that day "
            "or later."
        )
    else:
        return
    yield Finding(
        RULE.id,
        "note",
        sentence,
        (Thing("gig", gig.id),),
        (f"date: {gig.date or 'none'}", f"valid until: {gig.valid_until or 'none'}"),
    )


RULE = Rule(
    id="packet.no-date",
    severity="note",
    sentence="The packet carries the date of the gig and the day until which it counts.",
    why="Crews keep what they were sent; without a last day they patch from last year's list.",
    basis=(basis.EXPIRY,),
    working="date of the gig and 'valid until' are both set, the second not before the first",
    judge=judge,
)
