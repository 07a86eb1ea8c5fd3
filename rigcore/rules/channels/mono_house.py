"""A stereo pair for a house that is mono."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.channels import channels
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule, Thing

ASSUMED_PA = "mono"


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding naming every pair that a mono house will sum."""
    fact = patch.house.fact("pa")
    if (fact.value if fact else ASSUMED_PA) != "mono":
        return
    pairs = [one for one in channels(patch) if one.mate is not None and one.hand_off.side == "L"]
    if pairs:
        names = [one.hand_off.name.removesuffix(" L") for one in pairs]
        yield Finding(
            RULE.id,
            "risk" if fact else "note",
            f"{patch.house.name} is mono: {words.joined(names)} will be summed; "
            "use sounds made for mono, or send one side.",
            tuple(Thing("landing", one.hand_off.id) for one in pairs),
            ("sum = L + R: what differs in phase between the sides is coloured or cancelled",),
            (),
            () if fact else ("pa",),
        )


RULE = Rule(
    id="channels.mono-house",
    severity="risk",
    sentence="A stereo pair needs a house that is stereo.",
    why="A stereo piano summed to mono turns thin, wherever the sum is made.",
    basis=(basis.MONO,),
    working="the house's answer on mono or stereo (assumed mono until it says) against landed pairs",
    judge=judge,
)
