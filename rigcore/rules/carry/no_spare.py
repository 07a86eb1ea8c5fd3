"""Small things a must hangs on, lent by nobody, and packed only once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked
from rigcore.book.stock import StockItem
from rigcore.patch.build import Patch
from rigcore.patch.lending import wanted, without_spare
from rigcore.patch.lifelines import Item, Lifeline
from rigcore.patch.spares import Thing, needs, owned, serve
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Remedy, Rule
from rigcore.rules.rule import Thing as Concerned

NAMED = 4
"""So many are named in the sentence; the working has them all."""


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note for the gig with all of them."""
    bare = without_spare(patch)
    if not bare:
        return
    named = list(dict.fromkeys(one.item.name for one in bare))
    shown = named if len(named) <= NAMED else [*named[:NAMED], f"{len(named) - NAMED} more"]
    one_more = _one_more(bare)
    yield Finding(
        RULE.id,
        "note",
        f"No spare at {patch.house.name} for {words.joined(shown)}: a line that must land hangs on each, and nobody "
        "there can lend one.",
        (Concerned("gig", patch.gig.id), *dict.fromkeys(_concerned(one.item) for one in bare)),
        tuple(f"{one.item.name}: {one.words} {'fall' if len(one.silent) > 1 else 'falls'} silent" for one in bare),
        (Remedy("Pack one more of each", lambda book: _packed(book, patch, one_more)),),
    )


def _concerned(item: Item) -> Concerned:
    if item.kind == "unit":
        return Concerned("unit", item.unit)
    return Concerned("link", item.link) if item.link else Concerned("landing", item.hand_off)


def _one_more(bare: tuple[Lifeline, ...]) -> tuple[Thing, ...]:
    """Return one thing of each kind, a cable as long as the longest it is to stand in for."""
    longest: dict[tuple[str, str], Thing] = {}
    for one in bare:
        thing = wanted(one.item)
        longest[thing[:2]] = max(thing, longest.get(thing[:2], thing))
    return tuple(longest.values())


def _packed(book: Book, patch: Patch, things: tuple[Thing, ...]) -> Book:
    """Return the book with one more of each in its stock than the gig uses."""
    units = Counter(Thing("gear", unit.gear) for unit in patch.rig.units if unit.owner == "rig")
    use = needs(patch)["rig"] + units
    for thing in things:
        have = owned(book.stock)
        alike = Counter({one: count for one, count in use.items() if one[:2] == thing[:2]})
        _, short = serve(have, alike)
        count = have[thing] + sum(short.values()) + 1
        length_m = thing.length_m or None
        item = StockItem(kind=thing.kind, type=thing.type, length_m=length_m, count=count)
        kept = tuple(one for one in book.stock if (one.kind, one.type, one.length_m) != (*thing[:2], length_m))
        book = checked(book, stock=(*kept, item))
    return book


RULE = Rule(
    id="carry.no-spare",
    severity="note",
    sentence="Of every small thing a must hangs on and nobody at a venue lends, one more is packed.",
    why="The one odd adapter that dies is the one no shop near the house has on a Saturday.",
    basis=(basis.SPARES, basis.COMMON),
    working="single points of failure towards lines that must land; owned less used; microphones, DIs, strips, common "
    "leads and instruments left out",
    judge=judge,
)
