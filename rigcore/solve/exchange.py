"""Something else in the place of what failed: the spare, another kind that fits, or one from a lesser line.

Pure edits; whether they bring the sound back is tried in :mod:`rigcore.solve.bypass`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from rigcore.book.book import Book
from rigcore.book.edits.gigs import bind_landing, unbind_landing
from rigcore.book.edits.links import remove_links, set_cable
from rigcore.book.edits.rebuild import checked, put_rig, replaced, the_unit
from rigcore.book.edits.units import remove_units
from rigcore.book.gig import CablePiece, GearPiece, Piece
from rigcore.catalogue.gear import GearType
from rigcore.patch.build import Hop, Patch
from rigcore.patch.lifelines import Item
from rigcore.solve.at_hand import Run, at_hand, runs_between, words

Edit = Callable[[Book], Book]


def by_spare(patch: Patch, item: Item) -> Edit:
    """Return the edit of a swap for one of the same kind: the plan stays as it is."""
    return lambda book: book


def by_other_kind(patch: Patch, item: Item) -> Iterator[tuple[str, Edit]]:
    """Yield what else would go into the same place, in words, with the edit that puts it there."""
    if item.kind == "cable":
        yield from _other_run(patch, item)
    else:
        yield from _other_gear(patch, item)


def robbed(patch: Patch, item: Item, other: Item) -> Edit:
    """Return the edit of taking a thing out of its own place to put it in that of another of its kind."""
    if other.kind == "unit":
        return lambda book: remove_units(book, patch.rig.id, [other.unit])
    if other.link:
        return lambda book: remove_links(book, patch.rig.id, [other.link])
    return lambda book: unbind_landing(book, patch.gig.id, other.hand_off)


def _other_run(patch: Patch, item: Item) -> Iterator[tuple[str, Edit]]:
    """Yield the best run of other things between the ends of the connection a cable lies in."""
    hop = _hop_of(patch, item)
    ends = (hop.source.port, hop.target.port)
    for run in runs_between(patch.catalogue, ends, at_hand(patch, _others_of(patch, hop, item)), hop.length_m or 0.0):
        same_kind = len(run) == 1 and isinstance(run[0], CablePiece) and run[0].cable == item.type
        if same_kind or (item.link and len(run) > 1):
            continue
        yield f"use {words(patch.catalogue, run)} instead", _relaid(patch, hop, run)
        return


def _hop_of(patch: Patch, item: Item) -> Hop:
    """Return the connection a cable lies in."""
    for hop in patch.runs:
        if item.link and hop.link is not None and hop.link.id == item.link:
            return hop
        if hop.landing is not None and hop.landing.hand_off == item.hand_off and item.piece < hop.piece:
            return hop
    raise AssertionError(f"{item.name} lies nowhere")  # lifelines only name what is patched


def _others_of(patch: Patch, hop: Hop, item: Item) -> list[Piece]:
    """Return the cables that lie in one connection with a dead one: they come free with it."""
    if hop.landing is None:
        return []
    first = hop.piece - len(hop.cables)
    return [hop.landing.chain[n - 1] for n in range(first, hop.piece) if n != item.piece]


def _relaid(patch: Patch, hop: Hop, run: Run) -> Edit:
    if hop.link is not None:
        [piece] = run
        assert isinstance(piece, CablePiece)
        link_id, cable = hop.link.id, (piece.cable, piece.length_m)
        return lambda book: set_cable(book, patch.rig.id, link_id, cable, catalogue=patch.catalogue)
    landing = hop.landing
    assert landing is not None  # a connection comes from one or the other
    start = hop.piece - 1 - len(hop.cables)
    new = checked(landing, chain=(*landing.chain[:start], *run, *landing.chain[hop.piece - 1 :]))
    return lambda book: bind_landing(book, patch.gig.id, new, patch.catalogue)


def _other_gear(patch: Patch, item: Item) -> Iterator[tuple[str, Edit]]:
    """Yield other boxes at hand of the same category that have the ports in use, by the same names."""
    dead = patch.catalogue.gear_type(item.type)
    key = ("rig", item.unit) if item.kind == "unit" else ("chain", f"{item.hand_off}/{item.piece}")
    used = {end.port.id for end in patch.ends_of[key] if patch.hops_at.get(end.node)}  # type: ignore[index]
    for (thing, owner), count in at_hand(patch).items():
        gear = patch.catalogue.gear_type(thing.type) if thing.kind == "gear" and count else None
        if gear is None or gear.id == dead.id or gear.category != dead.category or not _serves(gear, dead, used):
            continue
        whose = "our" if owner == "rig" else "the house's"
        yield f"use {whose} {gear.name} instead", _regeared(patch, item, gear)


def _serves(gear: GearType, dead: GearType, used: set[str]) -> bool:
    """Return whether a gear type has every port in use with the same plug, and the ways between them."""
    ways = {(path.source, path.target) for path in gear.paths}
    wanted = {(path.source, path.target) for path in dead.paths if {path.source, path.target} <= used}
    ports = [(gear.port(name), dead.port(name)) for name in used]
    return wanted <= ways and all(one and other and one.connector == other.connector for one, other in ports)


def _regeared(patch: Patch, item: Item, gear: GearType) -> Edit:
    def put(book: Book) -> Book:
        if item.kind == "unit":
            rig = book.rig(patch.rig.id)
            known = tuple(one for one in the_unit(rig, item.unit).settings if gear.port(one.port) is not None)
            new = checked(the_unit(rig, item.unit), gear=gear.id, settings=known)
            return put_rig(book, checked(rig, units=replaced(rig.units, new)))
        landing = book.gig(patch.gig.id).landing(item.hand_off)
        assert landing is not None  # the box lies in it
        before, box, after = landing.chain[: item.piece - 1], landing.chain[item.piece - 1], landing.chain[item.piece :]
        assert isinstance(box, GearPiece)
        chain = (*before, checked(box, gear=gear.id, settings=()), *after)
        return bind_landing(book, patch.gig.id, checked(landing, chain=chain), patch.catalogue)

    return put
