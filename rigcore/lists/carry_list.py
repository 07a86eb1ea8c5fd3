"""The carry list: what to pack for a gig, or for a tour: units, cables, boxes, spares, by case.

Derived; nothing is typed. A tour takes of each thing the most that any of its gigs
needs. Counted by type and length: a longer cable may serve a shorter need. What
the house is asked for is in :mod:`rigcore.lists.supply`, spares in
:mod:`rigcore.lists.spares_list`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from msgspec import Struct

from rigcore.book.book import Book
from rigcore.book.gig import Gig
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import UnknownThing
from rigcore.lists.gig_difference import Difference, gig_difference
from rigcore.lists.missing import Wanted, missing, strips_wanted
from rigcore.lists.spares_list import Spare, spares_list
from rigcore.lists.supply import Line, please_supply
from rigcore.patch.build import Patch, build_patch
from rigcore.patch.packing import packed
from rigcore.patch.spares import Thing, needs, owned, serve
from rigcore.quantities.lifting import CAUTION, ONE_PERSON_KG, people_for

LOOSE = "loose"


class CountRow(Struct, frozen=True):
    """So many of one kind of cable or box: needed, owned, short; the last two are None where nobody counts it."""

    what: str
    thing: Thing
    needed: int
    owned: int | None
    short: int | None

    @property
    def words(self) -> str:
        """The row as spoken."""
        text = f"{self.needed} × {self.what}"
        return f"{text}: {self.short} short" if self.short else text


class CaseRow(Struct, frozen=True):
    """One case as packed; loose units each make a row of their own. ``number`` is its place among ``of``, 0 if loose.

    ``mass_kg`` without cables; ``people`` who lift it, None for wheels.
    """

    name: str
    number: int
    of: int
    units: tuple[str, ...]
    mass_kg: float
    taken_u: float
    rack_u: float
    people: int | None

    @property
    def caution(self) -> str:
        """What to say on its label about lifting; nothing at or under the limit."""
        if self.people == 1:
            return ""
        how = f"team lift, {self.people} people" if self.people else "wheels or a trolley"
        return f"{self.mass_kg:g} kg, over {ONE_PERSON_KG:g} kg: {how}"


class CarryList(Struct, frozen=True):
    """Everything to pack. ``stand_counts`` are our own by kind, ``wanted`` the lines that still lack something.

    ``asks`` is what each house is asked for; ``changes`` is what differs from the gig before, None where there is none.
    """

    gigs: tuple[Gig, ...]
    cases: tuple[CaseRow, ...]
    stand_counts: tuple[tuple[str, int], ...]
    cables: tuple[CountRow, ...]
    boxes: tuple[CountRow, ...]
    wanted: tuple[Wanted, ...]
    spares: tuple[Spare, ...]
    asks: tuple[tuple[str, tuple[Line, ...]], ...]
    changes: tuple[str, Difference] | None
    caution: str = CAUTION

    @property
    def stands(self) -> tuple[str, ...]:
        """The stands in words, each with its count."""
        return tuple(f"{count} × {kind} stand" for kind, count in self.stand_counts)


def carry_list(patch: Patch) -> CarryList:
    """Return the carry list of one gig."""
    before = last_gig(patch.book, patch.gig)
    changes = None
    if before is not None:
        changes = before.name, gig_difference(build_patch(patch.book, before.id, patch.catalogue), patch)
    return _listed([patch], changes)


def tour_list(book: Book, catalogue: Catalogue) -> CarryList:
    """Return the carry list of all gigs of a book, in the order of their dates.

    Raises
    ------
    UnknownThing
        If the book has no gig.
    """
    if not book.gigs:
        raise UnknownThing("this book has no gig yet: bind a rig to a house first")
    gigs = sorted(book.gigs, key=lambda gig: (gig.date is None, gig.date))
    return _listed([build_patch(book, gig.id, catalogue) for gig in gigs], None)


def last_gig(book: Book, gig: Gig) -> Gig | None:
    """Return the gig before one, by date; None where none has an earlier date."""
    if gig.date is None:
        return None
    earlier = [(one.date, one) for one in book.gigs if one.date is not None and one.date < gig.date]
    return max(earlier, key=lambda pair: pair[0])[1] if earlier else None


def _listed(patches: Sequence[Patch], changes: tuple[str, Difference] | None) -> CarryList:
    use = _most(needs(patch)["rig"] + lacking(patch) for patch in patches)
    rigs = {patch.rig.id: patch for patch in patches}
    return CarryList(
        gigs=tuple(patch.gig for patch in patches),
        cases=tuple(row for patch in rigs.values() for row in _cases(patch)),
        stand_counts=tuple(_stands(rigs.values()).items()),
        cables=_counted(patches[0], use, "cable", Counter()),
        boxes=_counted(patches[0], use, "gear", _units(rigs.values())),
        wanted=tuple(dict.fromkeys(one for patch in patches for one in missing(patch))),
        spares=spares_list(patches),
        asks=tuple((patch.gig.name, please_supply(patch)) for patch in patches),
        changes=changes,
    )


def lacking(patch: Patch) -> Counter[Thing]:
    """Return what is to be packed though the plan lacks it yet: adapters, and strips where outlets are short."""
    adapters = (gear for one in missing(patch) for gear in one.adapters)
    return Counter(Thing("gear", gear.id) for gear in (*adapters, *strips_wanted(patch)))


def _most(counts: Iterable[Counter[Thing]]) -> Counter[Thing]:
    """Return of each thing the most that is counted anywhere."""
    most: Counter[Thing] = Counter()
    for one in counts:
        most |= one
    return most


def _units(patches: Iterable[Patch]) -> Counter[Thing]:
    """Return the boxes that stand in the rigs as units, which the stock may count too."""
    return _most(
        Counter(Thing("gear", unit.gear) for unit in patch.rig.units if unit.owner == "rig") for patch in patches
    )


def _counted(patch: Patch, use: Counter[Thing], kind: str, units: Counter[Thing]) -> tuple[CountRow, ...]:
    """Return the rows of one kind, by type and length. A cable type no stock lists is not counted by its owner."""
    want = Counter({thing: count for thing, count in use.items() if thing.kind == kind})
    left, _ = serve(owned(patch.book.stock), units)
    _, short = serve(left, want)
    listed = {one.type for one in patch.book.stock if one.kind == kind}
    rows = []
    for thing in sorted(want):
        known = thing.type in listed or (kind == "gear" and bool(patch.book.stock))
        what = _what(patch, thing)
        rows.append(
            CountRow(what, thing, want[thing], left[thing] if known else None, short[thing] if known else None)
        )
    return tuple(rows)


def _what(patch: Patch, thing: Thing) -> str:
    if thing.kind == "gear":
        return patch.catalogue.gear_type(thing.type).name
    return f"{patch.catalogue.cable_type(thing.type).name}, {thing.length_m:g} m"


def _stands(patches: Iterable[Patch]) -> Counter[str]:
    most: Counter[str] = Counter()
    for patch in patches:
        most |= Counter(
            unit.stand.kind for unit in patch.rig.units if unit.stand is not None and unit.stand.owner == "rig"
        )
    return most


def _cases(patch: Patch) -> list[CaseRow]:
    boxes = packed(patch)
    rows = [
        CaseRow(
            one.case.name, number, len(boxes), tuple(unit.name for unit in one.units), one.mass_kg, one.taken_u,
            one.case.rack_u, people_for(one.mass_kg),
        )
        for number, one in enumerate(boxes, start=1)
    ]  # fmt: skip
    for unit in patch.rig.units:
        if unit.owner == "rig" and unit.case is None:
            mass_kg = patch.catalogue.gear_type(unit.gear).mass_kg
            rows.append(CaseRow(LOOSE, 0, len(boxes), (unit.name,), mass_kg, 0.0, 0.0, people_for(mass_kg)))
    return rows
