"""A stereo pair for a house that is mono."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.book.assumptions import fact_value
from rigcore.patch.build import Patch
from rigcore.patch.channels import channels
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding naming every pair that a mono house will sum."""
    layout, assumed = fact_value(patch.house, "pa")
    if layout != "mono":
        return
    pairs = [
        one
        for one in channels(patch)
        if one.mate is not None and one.hand_off.side == "L" and not one.hand_off.ears_only
    ]
    if pairs:
        names = [one.hand_off.name.removesuffix(" L") for one in pairs]
        how = "has not said, and is taken to be mono" if assumed else "is mono"
        yield Finding(
            RULE.id,
            "note" if assumed else "risk",
            f"{patch.house.name} {how}: {words.joined(names)} will be summed; "
            "use sounds made for mono, or send one side.",
            tuple(Thing("landing", one.hand_off.id) for one in pairs),
            ("sum = L + R: what differs in phase between the sides is coloured or cancelled",),
            (),
            ("pa",) if assumed else (),
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
