"""What the ground rules say alike about a family of loops: its places, working and remedies.

A remedy opens a lift that is there, or puts an isolator or a pin-1 lift adapter
into a line. None touches a protective earth: there is no edit here that could.
"""

from __future__ import annotations

from collections.abc import Iterable

from rigcore.book.book import Book
from rigcore.book.edits.gigs import bind_landing, change_gig
from rigcore.book.edits.links import add_link, set_cable
from rigcore.book.edits.rebuild import checked, put_rig
from rigcore.book.edits.units import add_unit, set_port, unit_of
from rigcore.book.gig import GearPiece, Landing, Piece
from rigcore.book.ids import PortRef, new_id
from rigcore.book.rig import Link, PortSetting, Unit
from rigcore.catalogue.cables import CableType
from rigcore.catalogue.gear import GearType
from rigcore.catalogue.record import changed
from rigcore.patch.build import End, Hop, Patch
from rigcore.patch.ground_graph import Bond
from rigcore.patch.grounds import Family, grounds, spelled
from rigcore.patch.joints import joints
from rigcore.rules import words
from rigcore.rules.remedies import Edit
from rigcore.rules.rule import Remedy, Thing

OPENERS = {"open screen": ("adapter-xlr-lift",), "isolator": ("line-isolator", "line-isolator-rca")}
"""Gear types that open a loop, by means, in the order they are tried."""


def names(patch: Patch, family: Family, side: int) -> str:
    """Return the earthed units at one side of a family of loops, in words."""
    whole = grounds(patch)
    return words.joined(list(dict.fromkeys(whole.name(patch, loop.ends[side]) for loop in family.loops)))


def lifts(patch: Patch, family: Family) -> list[End]:
    """Return the ports whose ground lift opens a loop of the family."""
    return [patch.end(bond.at) for bond in family.closing if bond.opens == "lift" and bond.at is not None]


def lines(patch: Patch, family: Family) -> list[str]:
    """Return the names of the lines to be opened by something put into them."""
    hops = [bond.hop for bond in family.closing if bond.hop is not None]
    return list(dict.fromkeys(words.name_of(patch, hop) for hop in hops))


def things(patch: Patch, family: Family) -> tuple[Thing, ...]:
    """Return where a family of loops is to be opened, or, where nothing may open it, what closes it."""
    found: list[Thing] = []
    for bond in family.closing:
        if bond.at is not None:
            found.append(words.unit_of(patch.end(bond.at)))
        elif bond.hop is not None:
            found += words.place(bond.hop)
    return tuple(dict.fromkeys(found))


def working(patch: Patch, family: Family) -> tuple[str, ...]:
    """Return each loop as a path, and the count of them all."""
    ways = dict.fromkeys(spelled(patch, loop.ring) for loop in family.loops)
    graph = grounds(patch).graph
    count = f"{len(graph.bonds)} − {len(graph.potentials)} + {graph.parts()} = {graph.loops()}"
    return (
        *(f"{number}. {way}" for number, way in enumerate(ways, start=1)),
        f"independent loops of the whole rig: bonds − potentials + parts = {count}; "
        f"fewest lawful breaks {len(graph.fewest_breaks())}, of these here {len(family.loops)}",
        "protective earths stay as they are, always",
    )


def assumed(patch: Patch) -> tuple[str, ...]:
    """Return the facts of the house a family rests on without their being known."""
    return () if patch.house.fact("circuit") is not None else ("circuit",)


def remedies(patch: Patch, family: Family) -> tuple[Remedy, ...]:
    """Return one remedy for all lifts of a family, and one for all lines it takes a box in; none where none fits."""
    offered = []
    ends = [end for end in lifts(patch, family) if end.node.place != "house"]
    if ends:
        which = words.joined([end.name for end in ends])
        offered.append(Remedy(f"Open the ground lift of {which}", _each(_lift(patch, end) for end in ends)))
    boxes = [bond for bond in family.closing if bond.opens in OPENERS and bond.hop is not None]
    edits = {words.place(bond.hop): _insert(patch, bond) for bond in boxes if bond.hop is not None}
    if edits and all(edit is not None for edit in edits.values()):
        gear = [patch.catalogue.gear_type(edit[0]).name for edit in edits.values() if edit is not None]
        which = words.joined(lines(patch, family))
        offered.append(
            Remedy(
                f"Put {words.joined(list(dict.fromkeys(gear)))} into {which}",
                _each(edit[1] for edit in edits.values() if edit is not None),
            )
        )
    return tuple(offered)


def note_battery(patch: Patch, unit: Unit, note: str) -> Remedy:
    """Return the remedy of noting that a computer runs on battery."""
    rig_id = patch.rig.id

    def apply(book: Book) -> Book:
        rig = book.rig(rig_id)
        new = tuple(
            checked(one, note="; ".join(text for text in (one.note, note) if text)) if one.id == unit.id else one
            for one in rig.units
        )
        return put_rig(book, checked(rig, units=new))

    return Remedy(f"Run {unit.name} on battery during the set", apply)


def _each(edits: Iterable[Edit]) -> Edit:
    """Return one edit that makes several, each on the book as the one before left it."""
    kept = tuple(edits)

    def apply(book: Book) -> Book:
        for edit in kept:
            book = edit(book)
        return book

    return apply


def _lift(patch: Patch, end: End) -> Edit:
    """Return the edit that opens the ground lift of the audio screen at one port."""
    gig_id, rig_id, catalogue = patch.gig.id, patch.rig.id, patch.catalogue
    place, unit_id, port_id = end.node

    def in_rig(book: Book) -> Book:
        gig = book.gig(gig_id)
        here = [one for one in gig.settings if (one.unit, one.setting.port) == (unit_id, port_id)]
        if here:
            new = tuple(
                changed(one, setting=changed(one.setting, lift=True)) if one in here else one for one in gig.settings
            )
            return change_gig(book, gig_id, settings=new)
        unit = book.rig(rig_id).unit(unit_id)
        setting = unit.setting(port_id) if unit is not None else PortSetting(port=port_id)
        return set_port(book, rig_id, unit_id, changed(setting, lift=True), catalogue=catalogue)

    def in_chain(book: Book) -> Book:
        hand_off, _, number = unit_id.partition("/")
        landing = book.gig(gig_id).landing(hand_off)
        assert landing is not None  # the finding was made from it
        chain = list(landing.chain)
        piece = chain[int(number) - 1]
        assert isinstance(piece, GearPiece)
        kept = tuple(one for one in piece.settings if one.port != port_id)
        setting = changed(end.setting, lift=True)
        chain[int(number) - 1] = changed(piece, settings=(*kept, setting))
        return bind_landing(book, gig_id, changed(landing, chain=tuple(chain)), catalogue)

    return in_rig if place == "rig" else in_chain


def _insert(patch: Patch, bond: Bond) -> tuple[str, Edit] | None:
    """Return what to put into the line a bond belongs to, and the edit that does."""
    assert bond.hop is not None
    for gear_id in OPENERS[bond.opens or "isolator"]:
        gear = patch.catalogue.gear_type(gear_id)
        edit = _into_link(patch, bond.hop, gear) if bond.hop.link is not None else _into_chain(patch, bond.hop, gear)
        if edit is not None:
            return gear_id, edit
    return None


def _into_chain(patch: Patch, hop: Hop, gear: GearType) -> Edit | None:
    """Return the edit that puts a box into a landing's chain where both its plugs fit, as near the end as can be."""
    landing, fits = hop.landing, patch.catalogue.mating.fits
    if landing is None or not landing.chain:
        return None
    path = gear.paths[0]
    ends = [port.connector for port in (gear.port(path.source), gear.port(path.target)) if port is not None]
    trunk = [one for one in patch.hops if one.landing is landing and one.leg == 0]
    for one in reversed(trunk):
        start = one.piece - 1 - len(one.cables)
        if any(isinstance(piece, GearPiece) and len(piece.leave) > 1 for piece in landing.chain[:start]):
            continue
        for number, joint in reversed(list(enumerate(joints(patch, one)))):
            if fits(joint.one, ends[0]) and fits(ends[1], joint.other):
                piece = GearPiece(kind="gear", gear=gear.id, enter=path.source, leave=(path.target,))
                return _chained(patch, landing, start + number, piece)
    return None


def _chained(patch: Patch, landing: Landing, at: int, piece: Piece) -> Edit:
    gig_id, catalogue = patch.gig.id, patch.catalogue
    new = changed(landing, chain=(*landing.chain[:at], piece, *landing.chain[at:]))
    return lambda book: bind_landing(book, gig_id, new, catalogue)


def _into_link(patch: Patch, hop: Hop, gear: GearType) -> Edit | None:
    """Return the edit that puts a box into a link of the rig: the cable to it, a short one on from it."""
    path = gear.paths[0]
    into, out = gear.port(path.source), gear.port(path.target)
    if hop.link is None or into is None or out is None:
        return None
    plugs = hop.plugs
    first = [cable for cable, _ in hop.cables if plugs[1] and patch.catalogue.mating.fits(plugs[1], into.connector)]
    first += [cable for cable in patch.catalogue.cables_between(hop.source.port, into) if cable.medium == "audio"]
    then = [
        cable
        for cable in patch.catalogue.cables_between(out, hop.target.port)
        if cable.medium == "audio" and (cable.wiring == "balanced" or not out.connector.startswith("xlr"))
    ]
    if not first or not then:
        return None
    return _linked(patch, hop, gear, (first[0], then[0]))


def _linked(patch: Patch, hop: Hop, gear: GearType, cables: tuple[CableType, CableType]) -> Edit:
    rig_id, catalogue, link, path = patch.rig.id, patch.catalogue, hop.link, gear.paths[0]
    assert link is not None  # only links of the rig come here
    length_m = hop.length_m or min(cables[0].stock_lengths_m)

    def apply(book: Book) -> Book:
        unit = unit_of(book, rig_id, gear.id, catalogue)
        book = add_unit(book, rig_id, unit, catalogue)
        book = set_cable(book, rig_id, link.id, (cables[0].id, length_m), catalogue=catalogue)
        rig = book.rig(rig_id)
        at = PortRef(unit=unit.id, port=path.source)
        moved = tuple(checked(one, target=at) if one.id == link.id else one for one in rig.links)
        book = put_rig(book, checked(rig, links=moved))
        onward = Link(
            id=new_id(f"{unit.id}-to-{link.target.unit}", {one.id for one in rig.links}),
            source=PortRef(unit=unit.id, port=path.target), target=link.target,
            cable=cables[1].id, length_m=min(cables[1].stock_lengths_m), loom=link.loom,
        )
        return add_link(book, rig_id, onward, catalogue)

    return apply
