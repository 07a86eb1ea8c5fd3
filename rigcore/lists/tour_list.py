"""The tour kit as rows: what to own of everything owned, why each of it is needed, and what each gig takes."""

from __future__ import annotations

from msgspec import Struct

from rigcore.lists.fit_list import TakeRow, things
from rigcore.solve.fit_reasons import item_words
from rigcore.solve.tour import TourKit


class KitRow(Struct, frozen=True):
    """So many of one thing out of so many owned, and which gigs would get worse with one fewer, and in what."""

    count: int
    owned: int
    thing: str
    needed: tuple[str, ...]


def kit_rows(tour: TourKit) -> tuple[KitRow, ...]:
    """Return the kit, a row for each kind of thing."""
    if not tour.fits:
        return ()
    names = {fit.patch.gig.id: fit.patch.gig.name for fit in tour.fits}
    rows = []
    for item, count in tour.kit.items():
        needed = tuple(f"{names[gig]}: {what}" for gig, what in tour.without(item))
        rows.append(KitRow(count, tour.owned.get(item, 0), item_words(tour.fits[0], item), needed))
    return tuple(sorted(rows, key=lambda row: row.thing))


def gig_rows(tour: TourKit) -> tuple[tuple[str, tuple[TakeRow, ...]], ...]:
    """Return what each gig takes from the kit, by the name of the gig."""
    return tuple((fit.patch.gig.name, things(fit, tour.takes(fit).items())) for fit in tour.fits)


def tour_words(tour: TourKit) -> str:
    """Return in one sentence how large the kit is, and whether that is proven."""
    things_, owned = sum(tour.kit.values()), sum(tour.owned.values())
    proof = "no smaller one does" if tour.proven else "a smaller one may do"
    return f"{things_} of {owned} things do for {len(tour.fits)} gigs, beside the rig's own leads; {proof}."
