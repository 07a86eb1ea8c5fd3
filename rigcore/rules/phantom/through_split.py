"""48 V that passes a Y-lead or a direct leg into an input that does not feed it."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import End, Patch
from rigcore.patch.phantom import FEED, Spread, audio, spreads
from rigcore.quantities.phantom import short_one_leg_ma
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each line whose one supply also stands at another input.

    A risk where that input knows nothing of 48 V, a note where it could feed it and so bears it.
    """
    for spread in spreads(patch):
        if len(spread.supplies) != 1 or not spread.others:
            continue
        [supply] = spread.supplies
        strange = [end for end in spread.others if not _bears(end)]
        others = words.joined([end.words for end in spread.others])
        where = words.joined([end.name for end in spread.splits])
        yield Finding(
            RULE.id,
            "risk" if strange else "note",
            f"48 V of {supply.end.words} passes {where or 'a wire'} and stands at {others} too: "
            f"{'use the transformer leg of a splitter for it' if strange else 'leave the 48 V of that one off'}.",
            tuple(words.unit_of(end) for end in (supply.end, *spread.others, *spread.splits)),
            _working(spread, strange),
            tuple(_remedies(patch, spread)),
            ("phantom",) if supply.assumed else (),
        )


def _bears(end: End) -> bool:
    carrier = audio(end)
    return carrier is not None and carrier.phantom in ("supplies", "switchable")


def _working(spread: Spread, strange: list[End]) -> tuple[str, ...]:
    route = " → ".join(dict.fromkeys(end.name for end in (spread.supplies[0].end, *spread.splits, *spread.others)))
    leg_ma = short_one_leg_ma(FEED.supply_v, FEED.leg_ohm)
    lines = [f"{route}: wire all the way, nothing blocks DC"]
    if strange:
        lines.append(f"48 V / 6.8 kΩ = {leg_ma:.2f} mA at most from each leg into {strange[0].words}")
    else:
        lines.append("an input with 48 V of its own bears it: 0 mA while its switch is off")
    return tuple(lines)


def _remedies(patch: Patch, spread: Spread) -> Iterator[Remedy]:
    """Yield the switch of an own supply that nothing on the line needs."""
    [supply] = spread.supplies
    needed = any(carrier.phantom == "needs" for end in spread.ends if (carrier := audio(end)) is not None)
    if needed or supply.scope != "per channel" or not supply.end.setting.phantom:
        return
    said = f"Switch 48 V off at {supply.end.words}: nothing needs it"
    remedy = remedies.set_here(patch, supply.end, said, phantom=False)
    if remedy is not None:
        yield remedy


RULE = Rule(
    id="phantom.through-split",
    severity="risk",
    sentence="48 V of one desk stays out of the inputs of another.",
    why="A line input that is not made for it crackles and may be harmed; a click goes to both desks at once.",
    basis=(basis.SPLIT, basis.TWO_OWNERS),
    working="inputs reached from a supply over cables and wires; 48 V / 6.8 kΩ = 7.06 mA at most from each leg",
    judge=judge,
)
