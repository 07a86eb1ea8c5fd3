"""A packet that says whom to ask must be able to."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.rules import basis
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one risk if neither the gig nor the book names a contact."""
    if not (patch.gig.contact or patch.book.contact).strip():
        yield Finding(
            RULE.id,
            "risk",
            f"The packet for {patch.house.name} names nobody to ask: give a name, a phone number and a mail address.",
            (Thing("gig", patch.gig.id),),
            ("contact of the gig: none", "contact of the book: none"),
        )


RULE = Rule(
    id="packet.no-contact",
    severity="risk",
    sentence="The packet names somebody who can answer technical questions.",
    why="A question before the day that reaches nobody is answered by a guess on the day.",
    basis=(basis.COMMON,),
    working="the contact of the gig, else that of the book",
    judge=judge,
)
