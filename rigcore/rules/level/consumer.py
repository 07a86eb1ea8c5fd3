"""A professional line output into a consumer input: 11.8 dB too much."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.joints import facing
from rigcore.patch.levels import professional_into_consumer
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each professional output that meets a consumer input."""
    for hop in patch.runs:
        over_db = professional_into_consumer(patch, hop) if facing(hop) == "along" else None
        if over_db is None:
            continue
        yield Finding(
            RULE.id,
            "risk",
            f"{words.name_of(patch, hop)} arrives {words.decibels(over_db)} hot: "
            f"turn the send down {round(over_db)} dB or put a {round(over_db)} dB pad in.",
            (*words.place(hop), words.unit_of(hop.target)),
            (
                "−10 dBV = −10 + 2.22 = −7.78 dBu",
                f"nominal out less nominal in = {words.decibels(over_db)}",
            ),
        )


RULE = Rule(
    id="level.consumer",
    severity="risk",
    sentence="A professional line output does not go straight into a consumer input.",
    why="+4 dBu into −10 dBV is 11.8 dB hot: the amplifier of the house distorts long before its meter says so.",
    basis=(basis.LEVELS,),
    working="nominal out in dBu − nominal in in dBu; +4 − (−7.78) = 11.78 dB",
    judge=judge,
)
