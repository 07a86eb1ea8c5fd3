"""What the rules of the family ``cable`` share: the hop of a run, longer cables, and whose they are."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from rigcore.book.book import Book
from rigcore.book.edits.gigs import bind_landing
from rigcore.book.edits.rebuild import checked, put_rig, replaced
from rigcore.book.edits.stock import add_to_stock
from rigcore.book.gig import CablePiece, Landing
from rigcore.book.rig import Link, Owner
from rigcore.book.stock import StockItem
from rigcore.catalogue.cables import CableType
from rigcore.patch.build import Hop, Patch
from rigcore.patch.counting import is_counted
from rigcore.patch.lengths import CableRun
from rigcore.patch.spares import Thing, reaching, spares
from rigcore.rules import remedies
from rigcore.rules.rule import Remedy


def hop_of(patch: Patch, of: Link | Landing) -> Hop:
    """Return the connection of a link or landing that carries cables, else its first."""
    hops = [hop for hop in patch.runs if hop.link is of or hop.landing is of]
    return next((hop for hop in hops if hop.cables), hops[0])


def longer(patch: Patch, run: CableRun, hop: Hop, required_m: float) -> tuple[Remedy, ...]:
    """Return the remedies of a cable of the same type that reaches, or of several joined where none does.

    A player who counts cables and has none to spare packs what it takes.
    """
    if len(run.cables) != 1 or len(hop.cables) != 1:
        return ()
    cable = patch.catalogue.cable_type(run.cables[0][0])
    found = []
    spare = reaching(spares(patch)["rig"], Thing("cable", cable.id, required_m))
    if spare is not None:
        found.append(remedies.use_cable(patch, replace(hop, length_m=spare.length_m), cable))
    reaches = [one for one in cable.stock_lengths_m if one >= required_m]
    if reaches and (spare is None or min(reaches) < spare.length_m):
        item = StockItem(kind="cable", type=cable.id, length_m=min(reaches))
        found.append(packed(patch, remedies.use_cable(patch, replace(hop, length_m=min(reaches)), cable), item))
    elif not reaches and spare is None and hop.landing is not None and can_join(patch, cable):
        longest = max(cable.stock_lengths_m)
        number = int(-(-required_m // longest))
        item = StockItem(kind="cable", type=cable.id, length_m=longest, count=number)
        found.append(packed(patch, remedies.join_cables(patch, hop, cable, number), item))
    return tuple(found)


def packed(patch: Patch, remedy: Remedy, item: StockItem) -> Remedy:
    """Return a remedy that also puts what it needs into the stock, where cables like it are counted."""
    if not is_counted(patch, "rig", item.type):
        return remedy
    return Remedy(f"{remedy.words}, and pack it", lambda book: add_to_stock(remedy.apply(book), item))


def can_join(patch: Patch, cable: CableType) -> bool:
    """Return whether two cables of a kind go together end to end."""
    return patch.catalogue.mating.fits(cable.end_b, cable.end_a)


def given_by(patch: Patch, runs: Sequence[Link | Landing], piece: tuple[str, float], owner: Owner) -> remedies.Edit:
    """Return an edit that lets somebody else bring one cable of a type and length for each of some runs."""
    rig_id, gig_id, catalogue = patch.rig.id, patch.gig.id, patch.catalogue
    links = [one for one in runs if isinstance(one, Link)]
    hand_offs = [one.hand_off for one in runs if isinstance(one, Landing)]

    def apply(book: Book) -> Book:
        rig = book.rig(rig_id)
        for link in links:
            rig = checked(rig, links=replaced(rig.links, checked(link, owner=owner)))
        book = put_rig(book, rig)
        for hand_off in hand_offs:
            landing = book.gig(gig_id).landing(hand_off)
            if landing is not None:
                book = bind_landing(book, gig_id, _brought(landing, piece, owner), catalogue)
        return book

    return apply


def _brought(landing: Landing, piece: tuple[str, float], owner: Owner) -> Landing:
    """Return a landing in which the first such cable that is not yet this owner's is."""
    chain = list(landing.chain)
    for number, one in enumerate(chain):
        if isinstance(one, CablePiece) and (one.cable, one.length_m) == piece and one.owner != owner:
            chain[number] = checked(one, owner=owner)
            break
    return checked(landing, chain=tuple(chain))
