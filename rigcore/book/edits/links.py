"""Edits of a rig's links: plug, unplug, choose the cable, dress a loom."""

from __future__ import annotations

from collections.abc import Collection

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked, put_rig, replaced, the_loom, the_unit
from rigcore.book.ids import PortRef, new_id
from rigcore.book.rig import Link, Loom, Rig
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import EditRefused, UnknownThing

FIXED = ("xlr3.m", "xlr3.f", "combo.f")
"""Connectors that are built into boxes: on two boxes they never meet, though they would mate."""


def add_link(book: Book, rig_id: str, link: Link, catalogue: Catalogue) -> Book:
    """Return the book with a link added.

    Only what cannot exist is refused; what exists but does not work is left to the rules.

    Raises
    ------
    EditRefused
        If a unit, port or cable type does not exist, both ends are the same port,
        or the two ports are linked already.
    """
    rig = book.rig(rig_id)
    whole = book.with_catalogue(catalogue)
    for end in (link.source, link.target):
        whole.port(the_unit(rig, end.unit).gear, end.port)
    if link.source == link.target:
        raise EditRefused("a cable needs two different ports", [link.source.unit])
    pair = {link.source, link.target}
    if any({one.source, one.target} == pair for one in rig.links):
        raise EditRefused("these two ports are already linked", [link.source.unit, link.target.unit])
    if link.cable is not None:
        whole.cable_type(link.cable)
    return put_rig(book, checked(rig, links=(*rig.links, link)))


def plug(book: Book, rig_id: str, ends: tuple[PortRef, PortRef], catalogue: Catalogue) -> Book:
    """Return the book with two ports linked by the likeliest cable, in the direction of the signal.

    No cable is chosen where the two plugs go straight together, or where no
    cable type fits both ends (the rules then say so).

    Raises
    ------
    EditRefused
        As :func:`add_link`.
    """
    rig = book.rig(rig_id)
    whole = book.with_catalogue(catalogue)
    ports = [whole.port(the_unit(rig, end.unit).gear, end.port) for end in ends]
    boxes = [not whole.gear_type(the_unit(rig, end.unit).gear).is_in_hand for end in ends]
    source, target = ends
    if ports[0].direction == "in" and ports[1].direction == "out":
        source, target = target, source
        ports.reverse()
    cable_id, length = None, None
    apart = all(boxes) and all(port.connector in FIXED for port in ports)
    if apart or not whole.mating.fits(ports[0].connector, ports[1].connector):
        cables = whole.cables_between(ports[0], ports[1])
        if cables:
            cable_id, length = cables[0].id, usual_length(cables[0].stock_lengths_m)
    taken = {link.id for link in rig.links}
    name = new_id(f"{source.unit}-{source.port}-to-{target.unit}", taken)
    link = Link(id=name, source=source, target=target, cable=cable_id, length_m=length)
    return add_link(book, rig_id, link, catalogue)


def usual_length(stock_lengths_m: tuple[float, ...]) -> float:
    """Return the stock length a player reaches for first, in m: the shortest of 3 m or more.

    >>> usual_length((1.5, 3.0, 5.0)), usual_length((0.5, 1.0))
    (3.0, 1.0)
    """
    return min((one for one in stock_lengths_m if one >= 3.0), default=max(stock_lengths_m))


def remove_links(book: Book, rig_id: str, link_ids: Collection[str]) -> Book:
    """Return the book without these links, and without looms they leave empty.

    Raises
    ------
    UnknownThing
        If one of them does not exist.
    """
    rig = book.rig(rig_id)
    for link_id in link_ids:
        _the_link(rig, link_id)
    links = tuple(link for link in rig.links if link.id not in set(link_ids))
    used = {link.loom for link in links}
    looms = tuple(loom for loom in rig.looms if loom.id in used)
    return put_rig(book, checked(rig, links=links, looms=looms))


def set_cable(
    book: Book, rig_id: str, link_id: str, cable: tuple[str | None, float | None], *, catalogue: Catalogue
) -> Book:
    """Return the book with a link's cable type and length (m) replaced.

    Raises
    ------
    EditRefused
        If link or cable type do not exist or the length is impossible.
    """
    cable_id, length_m = cable
    if cable_id is not None:
        catalogue.cable_type(cable_id)
    rig = book.rig(rig_id)
    new = checked(_the_link(rig, link_id), cable=cable_id, length_m=length_m)
    return put_rig(book, checked(rig, links=replaced(rig.links, new)))


def bundle(book: Book, rig_id: str, link_ids: Collection[str], name: str) -> Book:
    """Return the book with some links dressed as one new loom."""
    rig = book.rig(rig_id)
    for link_id in link_ids:
        _the_link(rig, link_id)
    loom = Loom(id=new_id(name, {one.id for one in rig.looms}), name=name)
    links = tuple(
        checked(link, loom=loom.id) if link.id in set(link_ids) else link for link in rig.links
    )
    used = {link.loom for link in links}
    looms = tuple(one for one in (*rig.looms, loom) if one.id in used)
    return put_rig(book, checked(rig, links=links, looms=looms))


def put_in_loom(book: Book, rig_id: str, link_id: str, loom_id: str | None) -> Book:
    """Return the book with a link dressed into a loom, or lying by itself; looms left empty go."""
    rig = book.rig(rig_id)
    link = checked(_the_link(rig, link_id), loom=loom_id)
    links = replaced(rig.links, link)
    used = {one.loom for one in links}
    return put_rig(book, checked(rig, links=links, looms=tuple(one for one in rig.looms if one.id in used)))


def rename_loom(book: Book, rig_id: str, loom_id: str, name: str) -> Book:
    """Return the book with a loom renamed.

    Raises
    ------
    EditRefused
        If there is no such loom, or the name is empty.
    """
    rig = book.rig(rig_id)
    loom = checked(the_loom(rig, loom_id), name=name.strip())
    return put_rig(book, checked(rig, looms=replaced(rig.looms, loom)))


def _the_link(rig: Rig, link_id: str) -> Link:
    link = rig.link(link_id)
    if link is None:
        raise UnknownThing(f"there is no link '{link_id}' in rig '{rig.name}'", [link_id])
    return link
