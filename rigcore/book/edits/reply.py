"""The edit that takes in what a house has answered: facts, lines, mains, people and times, all in one step."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from msgspec import Struct

from rigcore.book.book import Book
from rigcore.book.edits.gigs import change_gig
from rigcore.book.edits.houses import change_house
from rigcore.book.edits.rebuild import checked
from rigcore.book.house import Fact, House, PowerDrop
from rigcore.errors import EditRefused, UnknownThing


class LineSaid(Struct, frozen=True):
    """What the house has said of one of its lines: its number and what is written at the socket."""

    socket: str
    number: int
    label: str


class HouseReply(Struct, frozen=True):
    """What a house has answered. ``drops`` are whole places: a known id is replaced, another added.

    ``people`` are fields of the house as text or number (contact, crew, changeover_min);
    ``load_in`` belongs to a gig there.
    """

    facts: tuple[Fact, ...] = ()
    lines: tuple[LineSaid, ...] = ()
    drops: tuple[PowerDrop, ...] = ()
    people: Mapping[str, str | int] | None = None
    load_in: dt.time | None = None

    @property
    def is_empty(self) -> bool:
        """Whether it says nothing at all."""
        return not (self.facts or self.lines or self.drops or self.people or self.load_in)


def take_reply(book: Book, house_id: str, reply: HouseReply, gig_id: str | None = None) -> Book:
    """Return the book with everything a house has answered known from now on.

    Parameters
    ----------
    gig_id
        The gig a load-in time is for.

    Raises
    ------
    EditRefused
        If a line does not exist, two lines of one direction would get one number, there
        is a load-in time without a gig, or a value does not hold.
    """
    house = book.house(house_id)
    told = {fact.key for fact in reply.facts}
    stage = checked(house.stage, power=_with_drops(house, reply))
    book = change_house(
        book, house_id, **dict(reply.people or {}), stage=stage, sockets=_with_lines(house, reply),
        facts=(*(fact for fact in house.facts if fact.key not in told), *reply.facts),
    )  # fmt: skip
    if reply.load_in is None:
        return book
    if gig_id is None or book.gig(gig_id).house != house_id:
        raise EditRefused(f"a load-in time at {house.name} needs the gig it is for", [house_id])
    return change_gig(book, gig_id, load_in=reply.load_in)


def _with_drops(house: House, reply: HouseReply) -> tuple[PowerDrop, ...]:
    new = {drop.id: drop for drop in reply.drops}
    kept = tuple(new.pop(drop.id, drop) for drop in house.stage.power)
    return (*kept, *new.values())


def _with_lines(house: House, reply: HouseReply) -> tuple[object, ...]:
    said = {line.socket: line for line in reply.lines}
    for socket_id in said:
        if house.socket(socket_id) is None:
            raise UnknownThing(f"{house.name} has no line '{socket_id}'", [socket_id])
    sockets = tuple(
        checked(one, number=said[one.id].number, label=said[one.id].label) if one.id in said else one
        for one in house.sockets
    )
    for twice in doubled(house, reply.lines):
        raise EditRefused(f"two lines of {house.name} would have the number {said[twice].number}", [twice])
    return sockets


def doubled(house: House, lines: tuple[LineSaid, ...]) -> tuple[str, ...]:
    """Return the lines that would share a number with another of their direction and have not done so before."""
    said = {line.socket: line.number for line in lines}
    clash = []
    for one in house.sockets:
        for other in house.sockets:
            if one.id in said and other.id != one.id and other.direction == one.direction:
                number = said.get(other.id, other.number)
                if number == said[one.id] and one.number != other.number:
                    clash.append(one.id)
    return tuple(dict.fromkeys(clash))
