"""The act's order against the house's numbers."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.channels import channels
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note if the house's numbers do not follow the act's order."""
    lines = channels(patch)
    numbers = [one.socket.number for one in lines]
    moved = [one for one, number in zip(lines, sorted(numbers), strict=True) if one.socket.number != number]
    if moved:
        pairs = [f"{one.number} is {one.socket.number}" for one in moved]
        yield Finding(
            RULE.id,
            "note",
            f"The act's order differs from that of {patch.house.name} ({words.joined(pairs)}): "
            "both numbers are printed.",
            tuple(Thing("landing", one.hand_off.id) for one in moved),
            ("act order: " + " ".join(str(number) for number in numbers),),
        )


RULE = Rule(
    id="channels.order-differs",
    severity="note",
    sentence="Where the house numbers otherwise than the act, both numbers are printed.",
    why="'Channel 8' is two different things to two people on one stage.",
    basis=(basis.ORDER,),
    working="house numbers in the act's order are not ascending",
    judge=judge,
)
