"""Edits of rigs and houses as wholes: add, change, remove, and a first plan to start from."""

from __future__ import annotations

import datetime as dt

from pydantic import ValidationError

from rigcore.book.book import Book, empty_book
from rigcore.book.edits.rebuild import checked, put_house, sentence_of
from rigcore.book.edits.stock import check_stock
from rigcore.book.gig import Gig
from rigcore.book.house import Fact, FactKey, House, Socket, Stage
from rigcore.book.rig import Rig, Unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import EditRefused


def add_rig(book: Book, rig: Rig) -> Book:
    """Return the book with a rig added."""
    return checked(book, rigs=(*book.rigs, rig))


def add_house(book: Book, house: House, catalogue: Catalogue) -> Book:
    """Return the book with a house added.

    Raises
    ------
    EditRefused
        If one of its units or sockets names gear or a port that does not exist.
    """
    check_house(house, book.with_catalogue(catalogue))
    return checked(book, houses=(*book.houses, house))


def check_house(house: House, catalogue: Catalogue) -> None:
    """Check that the gear and ports a house names exist.

    Raises
    ------
    EditRefused
        If one does not.
    """
    for unit in house.units:
        catalogue.gear_type(unit.gear)
    for socket in house.sockets:
        unit_here = house.unit(socket.unit)
        if unit_here is not None:
            for port_id in socket.ports:
                catalogue.port(unit_here.gear, port_id)
    check_stock(house.stock, catalogue)


def change_house(book: Book, house_id: str, **fields: object) -> Book:
    """Return the book with some fields of a house replaced."""
    return put_house(book, checked(book.house(house_id), **fields))


def known(key: FactKey, value: str, *, said_by: str = "", said_on: dt.date | None = None) -> Fact:
    """Return a fact a house has stated.

    Raises
    ------
    EditRefused
        If it is no answer to that question; the sentence names the answers there are.
    """
    try:
        return Fact(key=key, value=value, said_by=said_by, said_on=said_on)
    except ValidationError as error:
        raise EditRefused(sentence_of(error)) from None


def learn(book: Book, house_id: str, fact: Fact) -> Book:
    """Return the book with a fact about a house known from now on."""
    house = book.house(house_id)
    kept = tuple(one for one in house.facts if one.key != fact.key)
    return put_house(book, checked(house, facts=(*kept, fact)))


def remove_house(book: Book, house_id: str) -> Book:
    """Return the book without a house.

    Raises
    ------
    EditRefused
        If a gig is still planned there.
    """
    house = book.house(house_id)
    for gig in book.gigs:
        if gig.house == house_id:
            raise EditRefused(f"gig '{gig.name}' is at {house.name}; remove the gig first", [gig.id])
    return checked(book, houses=tuple(one for one in book.houses if one is not house))


def new_plan(catalogue: Catalogue, *, lines: int = 8) -> Book:
    """Return a book with one empty rig, one house of which little is known, and their gig.

    The house has a stage box with so many lines and two returns; what it has
    not said is assumed.
    """
    box = Unit(id="stage-box", name="Stage box", gear="stage-box-8", owner="house", x_m=2.0, y_m=3.5)
    sockets = tuple(
        Socket(id=f"in-{n}", unit="stage-box", ports=(f"in-{n}",), direction="in", number=n, label=f"{n}")
        for n in range(1, min(lines, 8) + 1)
    ) + tuple(
        Socket(id=f"mix-{n}", unit="stage-box", ports=(f"out-{n}",), direction="out", number=n, label=f"Mix {n}")
        for n in (1, 2)
    )
    book = add_rig(empty_book(), Rig(id="rig", name="My rig"))
    house = House(id="house", name="A house", stage=Stage(width_m=6.0, depth_m=4.0), units=(box,), sockets=sockets)
    book = add_house(book, house, catalogue)
    return checked(book, gigs=(Gig(id="gig", name="First gig", rig="rig", house="house"),))
