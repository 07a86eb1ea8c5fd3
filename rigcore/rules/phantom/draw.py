"""More current drawn from a supply of 48 V than it gives."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import End, Patch
from rigcore.patch.phantom import FEED, drawn_ma, limit_ma, supplies
from rigcore.quantities.phantom import at_microphone_v, short_both_ma
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each supply that is on and has to give more than it may."""
    for supply in supplies(patch):
        if not supply.is_on:
            continue
        draws = drawn_ma(supply.reaches)
        total_ma, most_ma = sum(ma for _, ma in draws), limit_ma(supply)
        if total_ma <= most_ma:
            continue
        names = words.joined([end.name for end, _ in draws])
        yield Finding(
            RULE.id,
            "risk",
            f"{names} draws {total_ma:g} mA from {supply.end.words}, which gives {most_ma:g} mA: "
            "it needs a supply of its own.",
            (*(words.unit_of(end) for end, _ in draws), words.unit_of(supply.end)),
            _working(draws, total_ma, most_ma),
            (),
            ("phantom",) if supply.assumed else (),
        )


def _working(draws: tuple[tuple[End, float], ...], total_ma: float, most_ma: float) -> tuple[str, ...]:
    added = " + ".join(f"{ma:g}" for _, ma in draws)
    said = f"{added} = {total_ma:g} mA" if len(draws) > 1 else f"{total_ma:g} mA"
    feed_kohm = FEED.leg_ohm / 2000.0
    if total_ma <= short_both_ma(FEED.supply_v, FEED.leg_ohm):
        left_v = at_microphone_v(FEED.supply_v, FEED.leg_ohm, total_ma)
        left = f"left at the microphone: 48 V − {total_ma:g} mA × {feed_kohm:.1f} kΩ = {left_v:.1f} V"
    else:
        left = f"48 V / {feed_kohm:.1f} kΩ = {short_both_ma(FEED.supply_v, FEED.leg_ohm):.1f} mA is all that ever flows"
    return (f"drawn {said}, given {most_ma:g} mA: {total_ma - most_ma:g} mA too much", left)


RULE = Rule(
    id="phantom.draw",
    severity="risk",
    sentence="What hangs on one input draws no more than its 48 V gives: 10 mA at most.",
    why="The voltage at the microphone falls: it distorts on loud notes, or falls silent.",
    basis=(basis.DRAW, basis.P48),
    working="sum of the currents on one input against what it states, at most 10 mA; left: 48 V − I × 3.4 kΩ",
    judge=judge,
)
