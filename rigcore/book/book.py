"""The book itself, and what must hold across its parts."""

from typing import Literal

from pydantic import Field, model_validator

from rigcore.book.gig import Gig
from rigcore.book.house import House
from rigcore.book.rig import Rig, need, once
from rigcore.book.stock import StockItem
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType
from rigcore.catalogue.record import Id, Name, Record, Text
from rigcore.errors import UnknownThing

FORMAT: Literal["loomwright-book"] = "loomwright-book"
VERSION: Literal[1] = 1


class AcceptedRisk(Record):
    """A finding the player accepts, with the reason: by gig, rule and things concerned.

    ``working`` are its numbers as they stood then; with other numbers it is a finding again.
    """

    gig: Id
    rule: Id
    things: tuple[Text, ...]
    working: tuple[Text, ...] = ()
    reason: Name


class Book(Record):
    """One player's document. Frozen: every edit makes another book."""

    format: Literal["loomwright-book"]
    version: Literal[1]
    title: Text = ""
    owner: Text = ""
    contact: Text = ""
    gear: tuple[GearType, ...] = ()
    stock: tuple[StockItem, ...] = ()
    rigs: tuple[Rig, ...] = ()
    houses: tuple[House, ...] = ()
    gigs: tuple[Gig, ...] = ()
    accepted: tuple[AcceptedRisk, ...] = ()
    log: tuple[Text, ...] = Field(default=())

    @model_validator(mode="after")
    def _nothing_dangles(self) -> "Book":
        rigs = once("rig", self.rigs)
        houses = once("house", self.houses)
        once("gig", self.gigs)
        once("gear type", self.gear)
        for gig in self.gigs:
            need(rigs, gig.rig, f"gig '{gig.name}' plays rig")
            need(houses, gig.house, f"gig '{gig.name}' is at house")
            _check_gig(gig, self.rig(gig.rig), self.house(gig.house))
        return self

    def rig(self, rig_id: str) -> Rig:
        """Return a rig by id.

        Raises
        ------
        UnknownThing
            If there is none of that id.
        """
        for rig in self.rigs:
            if rig.id == rig_id:
                return rig
        raise UnknownThing(f"there is no rig '{rig_id}' in this book", [rig_id])

    def house(self, house_id: str) -> House:
        """Return a house by id.

        Raises
        ------
        UnknownThing
            If there is none of that id.
        """
        for house in self.houses:
            if house.id == house_id:
                return house
        raise UnknownThing(f"there is no house '{house_id}' in this book", [house_id])

    def gig(self, gig_id: str | None = None) -> Gig:
        """Return a gig by id or name, or the first one.

        Raises
        ------
        UnknownThing
            If there is none of that id or name, or no gig at all.
        """
        for gig in self.gigs:
            if gig_id is None or gig_id in (gig.id, gig.name):
                return gig
        if gig_id is None:
            raise UnknownThing("this book has no gig yet: bind a rig to a house first")
        names = ", ".join(f"'{gig.id}'" for gig in self.gigs) or "none"
        raise UnknownThing(f"there is no gig '{gig_id}' in this book (it has {names})", [gig_id])

    def with_catalogue(self, catalogue: Catalogue) -> Catalogue:
        """Return the catalogue with this book's own gear types added."""
        return catalogue.with_gear(self.gear)


def empty_book() -> Book:
    """Return a book with nothing in it."""
    return Book(format=FORMAT, version=VERSION)


def _check_gig(gig: Gig, rig: Rig, house: House) -> None:
    hand_offs = {one.id: one for one in rig.hand_offs}
    sockets = {one.id: one for one in house.sockets}
    hand_off_ids, socket_ids = set(hand_offs), set(sockets)
    units = {unit.id for unit in rig.units}
    for landing in gig.landings:
        need(hand_off_ids, landing.hand_off, f"gig '{gig.name}' lands hand-off")
        need(socket_ids, landing.socket, f"gig '{gig.name}' lands on socket")
        wanted = "in" if hand_offs[landing.hand_off].direction == "to house" else "out"
        if sockets[landing.socket].direction != wanted:
            raise ValueError(
                f"hand-off '{hand_offs[landing.hand_off].name}' runs {hand_offs[landing.hand_off].direction}, "
                f"but socket '{sockets[landing.socket].label}' is an {sockets[landing.socket].direction}put"
            )
    for placement in gig.placements:
        need(units, placement.unit, f"gig '{gig.name}' places unit")
    for here in gig.settings:
        need(units, here.unit, f"gig '{gig.name}' sets unit")
    for name in gig.order:
        need(hand_off_ids, name, f"gig '{gig.name}' orders hand-off")
