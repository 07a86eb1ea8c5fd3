"""Remedies several rules offer, each a pure edit of the book bound to the gig it was found at."""

from __future__ import annotations

from collections.abc import Callable

from rigcore.book.book import Book
from rigcore.book.edits.gigs import bind_landing, change_gig, unbind_landing
from rigcore.book.edits.houses import learn
from rigcore.book.edits.links import remove_links, set_cable, usual_length
from rigcore.book.edits.rebuild import checked, put_rig, replaced
from rigcore.book.edits.units import set_port
from rigcore.book.gig import CablePiece, GearPiece, Landing, Piece
from rigcore.book.house import Fact, Socket
from rigcore.book.rig import HandOff, Link, PortSetting
from rigcore.catalogue.cables import CableType
from rigcore.catalogue.carriers import Carrier
from rigcore.catalogue.record import changed
from rigcore.patch.build import End, Hop, Patch
from rigcore.patch.joints import joints
from rigcore.rules.rule import Remedy

Edit = Callable[[Book], Book]


def use_cable(patch: Patch, hop: Hop, cable: CableType) -> Remedy:
    """Return the remedy of taking another kind of cable, of the stock length that reaches."""
    lengths = cable.stock_lengths_m
    if hop.length_m is None:
        length = usual_length(lengths)
    else:
        length = min((one for one in lengths if one >= hop.length_m), default=max(lengths))
    words = f"Use {cable.name}, {length:g} m"
    if hop.link is not None:
        link, rig_id, catalogue = hop.link, patch.rig.id, patch.catalogue
        return Remedy(
            words, lambda book: set_cable(book, rig_id, link.id, (cable.id, length), catalogue=catalogue)
        )
    assert hop.landing is not None
    piece = CablePiece(kind="cable", cable=cable.id, length_m=length)
    return Remedy(words, rechain(patch, hop, lambda run: [piece]))


def join_cables(patch: Patch, hop: Hop, cable: CableType, number: int) -> Remedy:
    """Return the remedy of joining so many of the longest cables of a kind in a landing."""
    longest = max(cable.stock_lengths_m)
    piece = CablePiece(kind="cable", cable=cable.id, length_m=longest)
    words = f"Join {number} × {cable.name}, {longest:g} m"
    return Remedy(words, rechain(patch, hop, lambda run: [piece] * number))


def rechain(patch: Patch, hop: Hop, change: Callable[[list[Piece]], list[Piece]]) -> Edit:
    """Return an edit that exchanges the cables of one run in a landing's chain."""
    landing = hop.landing
    assert landing is not None
    before = list(landing.chain[: _run_start(landing, hop)])
    run = list(landing.chain[_run_start(landing, hop) : hop.piece - 1])
    after = list(landing.chain[hop.piece - 1 :])
    gig_id, catalogue = patch.gig.id, patch.catalogue
    new = changed(landing, chain=(*before, *change(run), *after))
    return lambda book: bind_landing(book, gig_id, new, catalogue)


def _run_start(landing: Landing, hop: Hop) -> int:
    start = hop.piece - 1
    while start > 0 and landing.chain[start - 1].kind == "cable":
        start -= 1
    return start


def unplug(patch: Patch, hop: Hop) -> Remedy:
    """Return the remedy of taking a connection out."""
    if hop.link is not None:
        link_id, rig_id = hop.link.id, patch.rig.id
        return Remedy("Take this cable out", lambda book: remove_links(book, rig_id, [link_id]))
    assert hop.landing is not None
    return land_nowhere(patch, hop.landing.hand_off, "Land it nowhere for now")


def take_out(patch: Patch, hop: Hop) -> tuple[Remedy, ...]:
    """Return the remedy of taking a connection out, none where that would leave a hand-off that must land without."""
    if hop.landing is not None and patch.hand_off(hop.landing).importance == "must":
        return ()
    return (unplug(patch, hop),)


def land_nowhere(patch: Patch, hand_off_id: str, words: str) -> Remedy:
    """Return the remedy of giving up a landing at this gig."""
    gig_id = patch.gig.id
    return Remedy(words, lambda book: unbind_landing(book, gig_id, hand_off_id))


def put_in(patch: Patch, hop: Hop, gear_id: str) -> tuple[Remedy, ...]:
    """Return the remedy of putting a box of one way into a landing's chain, as near its end as both plugs fit."""
    gear, landing, fits = patch.catalogue.gear_type(gear_id), hop.landing, patch.catalogue.mating.fits
    path = gear.paths[0]
    into, out = gear.port(path.source), gear.port(path.target)
    if landing is None or into is None or out is None:
        return ()
    places = [
        one.piece - 1 - len(one.cables) + number
        for one in patch.hops
        if one.landing is landing and one.leg == 0 and landing.chain
        for number, joint in enumerate(joints(patch, one))
        if fits(joint.one, into.connector) and fits(out.connector, joint.other)
    ]
    if not places:
        return ()
    piece = GearPiece(kind="gear", gear=gear.id, enter=path.source, leave=(path.target,))
    new = changed(landing, chain=(*landing.chain[: places[-1]], piece, *landing.chain[places[-1] :]))
    gig_id, catalogue = patch.gig.id, patch.catalogue
    return (Remedy(f"Put {gear.name} in", lambda book: bind_landing(book, gig_id, new, catalogue)),)


def turn_round(patch: Patch, link: Link) -> Remedy:
    """Return the remedy of swapping the two ends of a link."""
    rig_id = patch.rig.id

    def apply(book: Book) -> Book:
        rig = book.rig(rig_id)
        turned = checked(link, source=link.target, target=link.source)
        return put_rig(book, checked(rig, links=replaced(rig.links, turned)))

    return Remedy("Turn the cable round", apply)


def set_here(patch: Patch, end: End, words: str, **fields: object) -> Remedy | None:
    """Return the remedy of setting something at a port of the rig, or of a chain's piece; None at the house."""
    setting: PortSetting = changed(end.setting, **fields)
    if end.node.place == "rig":
        return Remedy(words, _rig_setting(patch, end, setting))
    if end.node.place == "chain":
        return Remedy(words, _piece_setting(patch, end, setting))
    return None


def pads_in(patch: Patch, ends: list[End]) -> Edit:
    """Return one edit that engages the pads at several ports of the rig."""
    edits = [_rig_setting(patch, end, changed(end.setting, pad=True)) for end in ends]

    def apply(book: Book) -> Book:
        for edit in edits:
            book = edit(book)
        return book

    return apply


def _rig_setting(patch: Patch, end: End, setting: PortSetting) -> Edit:
    rig_id, catalogue, gig = patch.rig.id, patch.catalogue, patch.gig
    here = [
        one for one in gig.settings if (one.unit, one.setting.port) == (end.node.unit, end.node.port)
    ]
    if here:
        new = tuple(changed(one, setting=setting) if one in here else one for one in gig.settings)
        return lambda book: change_gig(book, gig.id, settings=new)
    return lambda book: set_port(book, rig_id, end.node.unit, setting, catalogue=catalogue)


def _piece_setting(patch: Patch, end: End, setting: PortSetting) -> Edit:
    hand_off_id, _, number = end.node.unit.partition("/")
    landing = patch.gig.landing(hand_off_id)
    assert landing is not None
    index = int(number) - 1
    piece = landing.chain[index]
    assert isinstance(piece, GearPiece)
    kept = tuple(one for one in piece.settings if one.port != setting.port)
    chain = list(landing.chain)
    chain[index] = changed(piece, settings=(*kept, setting))
    new = changed(landing, chain=tuple(chain))
    gig_id, catalogue = patch.gig.id, patch.catalogue
    return lambda book: bind_landing(book, gig_id, new, catalogue)


def instead(patch: Patch, end: End, suits: Callable[[Carrier], bool]) -> tuple[Remedy, ...]:
    """Return the remedies of taking other gear in place of a unit: same port, same plug, another carrier."""
    if end.node.place != "rig":
        return ()
    return tuple(
        Remedy(f"Take {gear.name} in its place", _exchange(patch, end, gear.id))
        for gear in patch.catalogue.gear.values()
        if gear.category == end.gear.category
        and (port := gear.port(end.port.id)) is not None
        and port.connector == end.port.connector
        and suits(port.carrier)
    )[:2]


def _exchange(patch: Patch, end: End, gear_id: str) -> Edit:
    rig_id = patch.rig.id

    def apply(book: Book) -> Book:
        rig = book.rig(rig_id)
        units = tuple(checked(one, gear=gear_id) if one.id == end.node.unit else one for one in rig.units)
        return put_rig(book, checked(rig, units=units))

    return apply


def cut_to(patch: Patch, hop: Hop, cable: CableType, length_m: float) -> Remedy:
    """Return the remedy of a shorter cable of the same kind, if things can stand so near."""
    words = f"Use {cable.name}, {length_m:g} m, if that reaches"
    if hop.link is not None:
        link, rig_id, catalogue = hop.link, patch.rig.id, patch.catalogue
        return Remedy(words, lambda book: set_cable(book, rig_id, link.id, (cable.id, length_m), catalogue=catalogue))
    piece = CablePiece(kind="cable", cable=cable.id, length_m=length_m)
    return Remedy(words, rechain(patch, hop, lambda run: [piece]))


def land_on(patch: Patch, landing: Landing, socket: Socket, words: str) -> Remedy:
    """Return the remedy of landing a hand-off on another socket by the same chain."""
    gig_id, catalogue = patch.gig.id, patch.catalogue
    new = changed(landing, socket=socket.id)
    return Remedy(words, lambda book: bind_landing(book, gig_id, new, catalogue))


def mark_hand_off(patch: Patch, hand_off: HandOff, words: str, **fields: object) -> Remedy:
    """Return the remedy of changing some fields of a hand-off."""
    rig_id = patch.rig.id

    def apply(book: Book) -> Book:
        rig = book.rig(rig_id)
        return put_rig(book, checked(rig, hand_offs=replaced(rig.hand_offs, checked(hand_off, **fields))))

    return Remedy(words, apply)


def ask_house(patch: Patch, fact: Fact, words: str) -> Remedy:
    """Return the remedy of having agreed something with the house."""
    house_id = patch.house.id
    return Remedy(words, lambda book: learn(book, house_id, fact))
