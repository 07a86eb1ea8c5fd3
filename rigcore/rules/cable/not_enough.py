"""More cables of a kind needed than there are."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.book.edits.stock import add_to_stock
from rigcore.book.rig import Link, Owner
from rigcore.book.stock import StockItem
from rigcore.patch.build import Hop, Patch
from rigcore.patch.counting import Shortfall, is_counted, shortfalls, stock_of
from rigcore.patch.spares import spares
from rigcore.rules import basis, words
from rigcore.rules.cable_remedies import given_by, hop_of
from rigcore.rules.rule import Finding, Remedy, Rule

NAMED = 3
"""So many runs are named one by one."""


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each type and length that is short: a fault of ours, a risk where the house is asked."""
    for one in shortfalls(patch):
        hops = [hop_of(patch, run) for run in one.without]
        name = f"{patch.catalogue.cable_type(one.cable).name}, {words.metres(one.length_m)}"
        whose = "carried" if one.owner == "rig" else f"at {patch.house.name}"
        yield Finding(
            RULE.id,
            "fault" if one.owner == "rig" else "risk",
            f"Short of {one.short} × {name}: {one.needed} needed, {one.have} {whose}; "
            f"without one: {_names(patch, hops)}.",
            words.place(hops[0])[:1],
            (
                f"{one.needed} needed − {one.have} {whose} = {one.short} short",
                f"in the stock: {_stock(patch, one)}; a longer one serves for a shorter",
            ),
            _remedies(patch, one),
        )


def _names(patch: Patch, hops: list[Hop]) -> str:
    named = list(dict.fromkeys(words.name_of(patch, hop) for hop in hops))
    more = len(named) - NAMED
    return words.joined([*named[:NAMED], *([f"{more} more"] if more > 0 else [])])


def _stock(patch: Patch, one: Shortfall) -> str:
    """Return what the stock has of the type, longest first."""
    lengths = sorted(
        ((item.length_m or 0.0, item.count) for item in stock_of(patch, one.owner)
         if item.kind == "cable" and item.type == one.cable), reverse=True
    )  # fmt: skip
    return words.joined([f"{count} × {words.metres(length)}" for length, count in lengths]) or "none of this type"


def _remedies(patch: Patch, one: Shortfall) -> tuple[Remedy, ...]:
    name = f"{patch.catalogue.cable_type(one.cable).name}, {words.metres(one.length_m)}"
    piece = (one.cable, one.length_m)
    found = []
    if one.owner == "rig":
        item = StockItem(kind="cable", type=one.cable, length_m=one.length_m, count=one.short)
        found.append(Remedy(f"Pack {one.short} more {name}", lambda book: add_to_stock(book, item)))
        if _can_give(patch, one):
            asked = given_by(patch, one.without, piece, "house")
            found.append(Remedy(f"Ask the house for {one.short} × {name}", asked))
    elif _can_give(patch, one):
        found.append(Remedy(f"Bring {one.short} × {name} of our own", given_by(patch, one.without, piece, "rig")))
    return tuple(found)


def _can_give(patch: Patch, one: Shortfall) -> bool:
    """Return whether the other of the two has as many to spare, or does not count them."""
    other: Owner = "house" if one.owner == "rig" else "rig"
    if any(isinstance(run, Link) and run.length_m is None for run in one.without):
        return False
    if not is_counted(patch, other, one.cable):
        return True
    enough = sum(
        count for thing, count in spares(patch)[other].items()
        if thing[:2] == ("cable", one.cable) and thing.length_m >= one.length_m
    )  # fmt: skip
    return enough >= one.short


RULE = Rule(
    id="cable.not-enough",
    severity="fault",
    sentence="There are as many cables of each kind as the gig needs.",
    why="The cable nobody packed is missed when the shops are shut.",
    basis=(basis.COMMON,),
    working="cables of links and landings by type and length against the stock, a longer one serving for a shorter; "
    "only types the stock lists at all",
    judge=judge,
)
