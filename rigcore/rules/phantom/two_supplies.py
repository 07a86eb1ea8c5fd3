"""Two supplies of 48 V facing each other over one wire."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.phantom import FEED, Spread, Supply, spreads
from rigcore.quantities.phantom import short_both_ma
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each stretch of wire that two or more supplies feed at once."""
    for spread in spreads(patch):
        if len(spread.supplies) < 2:
            continue
        names = [supply.end.words for supply in spread.supplies]
        how_many = "both" if len(names) == 2 else "all"
        where = words.joined([end.name for end in spread.splits])
        yield Finding(
            RULE.id,
            "risk",
            f"{words.joined(names)} {how_many} feed 48 V into one line{f' over {where}' if where else ''}: "
            "name one that feeds it.",
            tuple(words.unit_of(end) for end in (*(supply.end for supply in spread.supplies), *spread.splits)),
            _working(spread),
            tuple(_remedies(patch, spread)),
            ("phantom",) if any(supply.assumed for supply in spread.supplies) else (),
        )


def _working(spread: Spread) -> tuple[str, ...]:
    number, one_ma = len(spread.supplies), short_both_ma(FEED.supply_v, FEED.leg_ohm)
    feed_kohm = FEED.leg_ohm / 2000.0
    apart_v = 2 * (FEED.tolerance_v or 0.0)
    return (
        f"{number} supplies of {FEED.supply_v:g} V in parallel, each 6.8 kΩ / 2 = {feed_kohm:.1f} kΩ: "
        f"a short to pin 1 draws {number} × {one_ma:.1f} mA = {number * one_ma:.1f} mA",
        f"44 V and 52 V are both lawful: {apart_v:g} V / ({feed_kohm:.1f} kΩ + {feed_kohm:.1f} kΩ) = "
        f"{apart_v / (2 * feed_kohm):.1f} mA from one into the other",
    )


def _remedies(patch: Patch, spread: Spread) -> Iterator[Remedy]:
    """Yield the ways to switch an own supply off, where that leaves one."""
    if len(spread.supplies) != 2:
        return
    for supply in spread.supplies:
        if _own_switch(supply):
            remedy = remedies.set_here(patch, supply.end, f"Switch 48 V off at {supply.end.words}", phantom=False)
            if remedy is not None:
                yield remedy


def _own_switch(supply: Supply) -> bool:
    return supply.end.node.place == "rig" and supply.scope == "per channel" and supply.end.setting.phantom


RULE = Rule(
    id="phantom.two-supplies",
    severity="risk",
    sentence="One supply of 48 V feeds a line, never two over one wire.",
    why="Two supplies drive each other, plugging either one bangs, and nobody knows who keeps the microphone alive.",
    basis=(basis.TWO_OWNERS, basis.P48),
    working="supplies that are on and reach each other over wires; 48 V / 3.4 kΩ = 14.1 mA each when shorted",
    judge=judge,
)
