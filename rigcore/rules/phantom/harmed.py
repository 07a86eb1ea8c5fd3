"""48 V reaches something it can harm."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.phantom import FEED, is_harmed, needs_phantom, reach, supplies
from rigcore.quantities.phantom import short_both_ma, short_one_leg_ma
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each output that 48 V reaches and harms."""
    for supply in supplies(patch):
        if not supply.is_on:
            continue
        for end in reach(patch, supply.end.node, mated=True):
            if not is_harmed(end):
                continue
            offered: list[Remedy] = []
            off = remedies.set_here(patch, supply.end, f"Switch 48 V off at {supply.end.words}", phantom=False)
            own_switch = supply.scope == "per channel" and supply.end.setting.phantom
            if off is not None and own_switch and not needs_phantom(patch, supply.end.node):
                offered.append(off)
            yield Finding(
                RULE.id,
                "fault",
                f"{end.words} gets 48 V from {supply.end.words} and can be harmed by it; "
                "put a transformer between them.",
                (words.unit_of(end), words.unit_of(supply.end)),
                (
                    f"48 V / 6.8 kΩ = {short_one_leg_ma(FEED.supply_v, FEED.leg_ohm):.1f} mA into the output from each "
                    f"leg, {short_both_ma(FEED.supply_v, FEED.leg_ohm):.1f} mA from both",
                    f"48 V of {supply.end.words}: {supply.scope}, on; no transformer between",
                ),
                tuple(offered),
                ("phantom",) if supply.assumed else (),
            )


RULE = Rule(
    id="phantom.harmed",
    severity="fault",
    sentence="48 V never reaches an output that is not made for it.",
    why="It flows into the output stage of a keyboard, laptop or telephone: crackle first, then silence.",
    basis=(basis.PHANTOM_HARM, basis.P48),
    working="48 V / 6.8 kΩ = 7.06 mA in each leg",
    judge=judge,
)
