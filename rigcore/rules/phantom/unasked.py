"""48 V that is needed from a house that has not said whether it gives it."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.book.house import Fact
from rigcore.patch.build import Patch
from rigcore.patch.phantom import drawn_ma, house_phantom, needs_phantom, supplies
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note that names everything which waits for the 48 V of a silent house."""
    if not house_phantom(patch)[1]:
        return
    asked = [one for one in supplies(patch) if one.end.node.place == "house" and needs_phantom(patch, one.end.node)]
    if not asked:
        return
    waiting = dict.fromkeys(end for supply in asked for end, _ in drawn_ma(supply.reaches))
    names = words.joined([end.name for end in waiting])
    yield Finding(
        RULE.id,
        "note",
        f"{names} {'need' if len(waiting) > 1 else 'needs'} 48 V, and {patch.house.name} has not said how it gives it: "
        "ask; until then every line is taken to be live.",
        (Thing("gig", patch.gig.id), *(words.unit_of(end) for end in waiting)),
        tuple(
            f"{supply.end.words}: {sum(ma for _, ma in drawn_ma(supply.reaches)):g} mA at 48 V needed, nothing said"
            for supply in asked
        ),
        (remedies.ask_house(patch, Fact(key="phantom", value="per channel"), "The house says: switched per channel"),),
        ("phantom",),
    )


RULE = Rule(
    id="phantom.unasked",
    severity="note",
    sentence="A house that is to give 48 V has said that it does.",
    why="A room with a line input and no 48 V leaves a condenser microphone or an active DI silent.",
    basis=(basis.COMMON,),
    working="lines that need 48 V at a house without an answer on the subject",
    judge=judge,
)
