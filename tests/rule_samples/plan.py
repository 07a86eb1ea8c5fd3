"""A small language for sample books: every word of it is one pure edit of the book.

The house is invented: Millrace Hall, a stage box with eight numbered lines and
two mixes, loudspeakers in stereo and 48 V for each channel, both known. What a
case needs otherwise it says.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Literal

from rigcore.book.book import Book, empty_book
from rigcore.book.edits.gigs import add_gig, bind_landing, change_gig
from rigcore.book.edits.hand_offs import add_hand_off, hand_off_at
from rigcore.book.edits.houses import add_house, add_rig, change_house, learn
from rigcore.book.edits.links import add_link
from rigcore.book.edits.rebuild import checked
from rigcore.book.edits.units import add_unit, set_port
from rigcore.book.gig import CablePiece, GearPiece, Gig, Landing, Piece
from rigcore.book.house import Fact, FactKey, House, Socket
from rigcore.book.ids import PortRef, new_id, slug
from rigcore.book.rig import Link, PortSetting, Rig, Unit
from rigcore.catalogue.gear import GearType
from rigcore.catalogue.loader import shipped

Kind = Literal["bad", "good", "near_miss"]

KINDS: tuple[Kind, ...] = ("bad", "good", "near_miss")


class Plan:
    """A book in the making. Ports are written ``unit.port``, cables ``type length``, boxes ``type port port``."""

    def __init__(self) -> None:
        book = add_rig(empty_book(), Rig(id="rig", name="Sample rig"))
        book = add_house(book, House(id="house", name="Millrace Hall", units=(_box("stage-box-8"),)), shipped())
        gig = Gig(
            id="gig", name="Sample gig", rig="rig", house="house", contact="Sample act, act@rigs.example",
            date=dt.date(2027, 8, 14), valid_until=dt.date(2027, 8, 31),
        )
        self.book: Book = add_gig(book, gig)
        self.lines(8)
        self.says(pa="stereo", phantom="per channel")

    def own(self, gear: GearType) -> None:
        """Add a gear type of the player's own."""
        self.book = checked(self.book, gear=(*self.book.gear, gear))

    def lines(self, number: int, block: str = "") -> None:
        """Say how many of the stage box's lines the house gives, and the block they belong to."""
        inputs = [
            Socket(id=f"in-{n}", unit="box", ports=(f"in-{n}",), direction="in", number=n, label=f"{n}", block=block)
            for n in range(1, number + 1)
        ]
        mixes = [
            Socket(id=f"mix-{n}", unit="box", ports=(f"out-{n}",), direction="out", number=n, label=f"Mix {n}")
            for n in (1, 2)
        ]
        self.book = change_house(self.book, "house", sockets=(*inputs, *mixes))

    def bar_system(self) -> None:
        """Put a wall box with a phono pair, one line by a Y-lead, in the place of the stage box."""
        pair = Socket(id="bar", unit="box", ports=("in-l", "in-r"), direction="in", number=1, label="Bar")
        left = Socket(id="bar-l", unit="box", ports=("in-l",), direction="in", number=2, label="Bar left")
        self.book = change_house(self.book, "house", units=(_box("wall-box-line"),), sockets=(pair, left))

    def house(self, **fields: object) -> None:
        """Replace fields of the house."""
        self.book = change_house(self.book, "house", **fields)

    def says(self, **facts: str) -> None:
        """Let the house have said something; underscores stand for blanks in the name of the fact."""
        for key, value in facts.items():
            name: FactKey = key.replace("_", " ")  # type: ignore[assignment]
            self.book = learn(self.book, "house", Fact(key=name, value=value, said_by="house engineer"))

    def unit(self, unit_id: str, gear: str, name: str) -> None:
        """Bring a unit into the rig."""
        self.book = add_unit(self.book, "rig", Unit(id=unit_id, name=name, gear=gear), shipped())

    def link(self, source: str, target: str, cable: str = "") -> None:
        """Plug two ports together by a cable, or bare."""
        cable_id, length = _cable(cable) if cable else (None, None)
        taken = {link.id for link in self.book.rig("rig").links}
        link = Link(
            id=new_id(f"{source}-to-{target.partition('.')[0]}", taken),
            source=_ref(source), target=_ref(target), cable=cable_id, length_m=length,
        )
        self.book = add_link(self.book, "rig", link, shipped())

    def hand_off(self, port: str, name: str, **fields: object) -> str:
        """Name a port as a hand-off and return its id."""
        fresh = hand_off_at(self.book, "rig", _ref(port), shipped())
        hand_off = checked(fresh, **{"id": slug(name), "name": name, "group": None, "side": "", **fields})
        self.book = add_hand_off(self.book, "rig", hand_off, shipped())
        return hand_off.id

    def land(self, port: str, socket: str, *chain: str, name: str, **fields: object) -> None:
        """Land a port of the rig on a house socket by a chain of cables and boxes."""
        hand_off = self.hand_off(port, name, **fields)
        landing = Landing(hand_off=hand_off, socket=socket, chain=tuple(_piece(text) for text in chain))
        self.book = bind_landing(self.book, "gig", landing, shipped())

    def intend(self, port: str, socket: str, length_m: float, *, name: str) -> None:
        """Land a port of the rig without saying how, so many m away."""
        hand_off = self.hand_off(port, name)
        landing = Landing(hand_off=hand_off, socket=socket, length_m=length_m)
        self.book = bind_landing(self.book, "gig", landing, shipped())

    def set(self, port: str, **fields: object) -> None:
        """Set something at a port of the rig."""
        ref = _ref(port)
        setting = checked(PortSetting(port=ref.port), **fields)
        self.book = set_port(self.book, "rig", ref.unit, setting, catalogue=shipped())

    def order(self, *hand_offs: str) -> None:
        """Number these hand-offs first."""
        self.book = change_gig(self.book, "gig", order=hand_offs)


Case = Callable[[Plan, Kind], None]


class Sample:
    """The three books of one rule: their titles and what makes them."""

    def __init__(self, rule: str, titles: dict[Kind, str], case: Case) -> None:
        self.rule, self.titles, self.case = rule, titles, case

    def book(self, kind: Kind) -> Book:
        """Return one of the three books."""
        plan = Plan()
        self.case(plan, kind)
        return checked(plan.book, title=self.titles[kind])


class Samples(dict[str, Sample]):
    """Samples by rule, filled by decorating the functions that make them."""

    def of(self, rule: str, *, bad: str, good: str, near_miss: str) -> Callable[[Case], Case]:
        """Return a decorator that keeps a case with the titles of its three books."""

        def keep(case: Case) -> Case:
            assert rule not in self, f"{rule} has two samples"
            self[rule] = Sample(rule, {"bad": bad, "good": good, "near_miss": near_miss}, case)
            return case

        return keep


def _box(gear: str) -> Unit:
    return Unit(id="box", name="Stage box" if gear.startswith("stage") else "Wall box", gear=gear, owner="house")


def _ref(text: str) -> PortRef:
    unit, _, port = text.partition(".")
    return PortRef(unit=unit, port=port)


def _cable(text: str) -> tuple[str, float]:
    cable, _, length = text.partition(" ")
    return cable, float(length)


def _piece(text: str) -> Piece:
    first, *rest = text.split()
    if first in shipped().cables:
        return CablePiece(kind="cable", cable=first, length_m=float(rest[0]))
    return GearPiece(kind="gear", gear=first, enter=rest[0], leave=tuple(rest[1:]))
