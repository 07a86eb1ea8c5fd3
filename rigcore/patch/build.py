"""Makes the patch graph of a gig from its book.

The only maker of graph nodes. Nothing is judged here.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from rigcore.book.book import Book
from rigcore.book.gig import CablePiece, GearPiece, Landing
from rigcore.book.rig import Link, Owner, Unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType, Path
from rigcore.patch.patch import PASSIVE, End, Hop, Node, Patch, Place, Settings, Step


def build_patch(book: Book, gig_id: str | None, catalogue: Catalogue, before: Patch | None = None) -> Patch:
    """Return the patch of a gig.

    Parameters
    ----------
    gig_id
        Id or name; None takes the first gig.
    before
        The patch before an edit: what the edit left alone is taken from there as it is, end by end and hop by hop.

    Raises
    ------
    UnknownThing
        If there is no such gig.
    """
    patch = Patch(book, book.gig(gig_id), catalogue)
    if before is not None and before.catalogue is patch.catalogue:
        patch.share_kinds(before)
    else:
        before = None
    here = patch.settings_here
    for unit in patch.rig.units:
        _add_unit(patch, before, ("rig", unit), here.get(unit.id))
    for unit in patch.house.units:
        _add_unit(patch, before, ("house", unit), None)
    known = {} if before is None else {id(hop.link): hop for hop in before.hops if hop.link is not None}
    hops = [(known and _as_before(patch, known, link)) or _link_hop(patch, link) for link in patch.rig.links]
    # What joins another chain comes after it: the box must be there.
    landed: list[Hop] = []
    for landing in sorted(patch.gig.landings, key=lambda one: one.joins is not None):
        landed += _landing_hops(patch, before, landing)
    hops += landed if before is None else _landed_before(before, landed)
    patch.hops = tuple(hops)
    return patch


def _add_unit(patch: Patch, before: Patch | None, at: tuple[Place, Unit], here: Settings | None) -> None:
    place, unit = at
    set_to: Settings = {setting.port: setting for setting in unit.settings}
    if here is not None:
        set_to = {**set_to, **here}
    _add(patch, before, (place, unit.id), (patch.catalogue.gear_type(unit.gear), (unit.name, unit.owner), set_to))


def _add(
    patch: Patch, before: Patch | None, key: tuple[Place, str], made: tuple[GearType, tuple[str, Owner], Settings]
) -> None:
    if before is not None and before.is_as_it_was(key, *made):
        patch.take_unit(key, before)
    else:
        patch.add_unit(key, *made)


def _as_before(patch: Patch, known: Mapping[int, Hop], link: Link) -> Hop | None:
    """Return the hop of a link from before an edit if the edit touched neither the link nor its ends."""
    hop = known.get(id(link))
    if hop is None or hop.link is not link:
        return None
    return hop if patch.end_is(hop.source) and patch.end_is(hop.target) else None


def _landed_before(before: Patch, hops: list[Hop]) -> list[Hop]:
    """Return the hops of landings, each as it was before an edit where it came out the same."""
    known = {(id(hop.landing), hop.piece, hop.leg): hop for hop in before.hops if hop.landing is not None}
    found = []
    for hop in hops:
        old = known.get((id(hop.landing), hop.piece, hop.leg))
        same = old is not None and old.landing is hop.landing and old.source is hop.source
        found.append(old if old is not None and same and old.target is hop.target else hop)
    return found


def _link_hop(patch: Patch, link: Link) -> Hop:
    source = patch.rig_end(link.source)
    target = patch.rig_end(link.target)
    if link.cable is None:
        return Hop(source, target, patch.coupling(source, target), (), link.length_m, link=link)
    coupling = patch.coupling(source, target, link.cable)
    cable = coupling.cables[0]
    cables = ((cable, link.length_m or min(cable.stock_lengths_m)),)
    return Hop(source, target, coupling, cables, link.length_m, link=link, owners=(link.owner,))


def _landing_hops(patch: Patch, before: Patch | None, landing: Landing) -> list[Hop]:
    """Return the hops of a landing, in the direction of the signal."""
    hand_off = patch.hand_off(landing)
    socket = patch.socket(landing)
    rig_ends = [patch.end(Node("rig", hand_off.unit, hand_off.port))]
    house_ends = [patch.end(Node("house", socket.unit, port)) for port in socket.ports]
    if landing.joins is not None:
        host = f"{landing.joins.hand_off}/{landing.joins.piece}"
        house_ends = [patch.end(Node("chain", host, landing.joins.port))]
    to_house = hand_off.direction == "to house"
    here, last = (rig_ends, house_ends) if to_house else (house_ends[:1], rig_ends)
    hops: list[Hop] = []
    run: list[CablePiece] = []
    pieces = [(number, piece) for number, piece in enumerate(landing.chain, start=1)]
    for number, piece in pieces:
        if isinstance(piece, CablePiece):
            run.append(piece)
            continue
        entered, left = _piece_ends(patch, before, f"{landing.hand_off}/{number}", piece)
        hops.append(_run_hop(patch, (here[0], entered), run, (landing, number)))
        here, run = left, []
    targets = last if len(here) > 1 else last[:1]
    for leg, (source, target) in enumerate(zip(here, targets, strict=False)):
        hops.append(replace(_run_hop(patch, (source, target), run, (landing, len(pieces) + 1)), leg=leg))
    return hops


def _piece_ends(patch: Patch, before: Patch | None, unit_id: str, piece: GearPiece) -> tuple[End, list[End]]:
    gear = patch.catalogue.gear_type(piece.gear)
    settings = {one.port: one for one in piece.settings}
    _add(patch, before, ("chain", unit_id), (gear, (gear.name, piece.owner), settings))
    enter, *leave = (patch.end(Node("chain", unit_id, port_id)) for port_id in (piece.enter, *piece.leave))
    return enter, leave


def _run_hop(patch: Patch, ends: tuple[End, End], run: list[CablePiece], where: tuple[Landing, int]) -> Hop:
    (source, target), (landing, number) = ends, where
    coupling = patch.coupling(source, target, *(piece.cable for piece in run))
    cables = tuple(zip(coupling.cables, (piece.length_m for piece in run), strict=True))
    length = sum(length for _, length in cables) if cables else None
    if not landing.chain:
        length = landing.length_m
    return Hop(
        source, target, coupling, cables, length, landing=landing, piece=number,
        owners=tuple(piece.owner for piece in run),
    )


__all__ = ["PASSIVE", "End", "Hop", "Node", "Patch", "Path", "Place", "Step", "build_patch"]
