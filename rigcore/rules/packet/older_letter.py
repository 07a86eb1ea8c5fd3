"""The house holds a packet that no longer says what the book says."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.edition import content, held_letter
from rigcore.rules import basis
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note if the last letter sent differs from what a packet would say now."""
    if not patch.gig.letters or held_letter(patch) is not None:
        return
    last = patch.gig.letters[-1]
    to = f" ({last.to})" if last.to else ""
    yield Finding(
        RULE.id,
        "note",
        f"{patch.house.name}{to} holds letter {last.letter} and the book has changed since: send the next one.",
        (Thing("gig", patch.gig.id),),
        (
            f"letter {last.letter}, sent {last.sent}: content {last.digest[:12]}",
            f"now: content {content(patch).digest[:12]}",
        ),
    )


RULE = Rule(
    id="packet.older-letter",
    severity="note",
    sentence="The house holds the packet that says what the book says.",
    why="The sheet on file that is wrong is what engineers complain of most.",
    basis=(basis.STALE,),
    working="digest of rows, places, mixes, power and contact, now and as sent; the day of issue does not count",
    judge=judge,
)
