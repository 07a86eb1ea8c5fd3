"""A gig: one rig at one house on one date, and how its hand-offs land."""

import datetime as dt
import hashlib
from collections import Counter
from typing import Annotated, Literal, get_args

from pydantic import AfterValidator, Field, model_validator

from rigcore.book.rig import Owner, PortSetting
from rigcore.catalogue.record import Id, Length, Metres, Name, Record, Text

Phase = Literal["load_in", "line_check", "set_start", "set_end"]
"""The times of a gig's day, as the fields of :class:`Gig` that hold them."""

PHASES: tuple[Phase, ...] = get_args(Phase)
DAY_MIN = 24 * 60
LONGEST_CALL_MIN = 20 * 60
"""From load-in to the end of the set; more means that two times are exchanged."""


def _to_the_minute(time: dt.time) -> dt.time:
    if time.tzinfo is not None or time.second or time.microsecond:
        raise ValueError("write a time as hours and minutes of the house's clock, such as 18:30, without a zone")
    return time


ClockTime = Annotated[dt.time, AfterValidator(_to_the_minute)]
"""Hours and minutes on the clock of the house."""

TimeZone = Annotated[str, Field(pattern=r"^([A-Za-z0-9_+-]+(/[A-Za-z0-9_+-]+){0,2})?$", max_length=64)]
"""Name of a time zone in the IANA database; empty for whatever clock hangs at the house."""


class CablePiece(Record, defer_build=False):
    """A cable in a landing's chain; its length in m."""

    kind: Literal["cable"]
    cable: Id
    length_m: Length
    owner: Owner = "rig"


class GearPiece(Record, defer_build=False):
    """An adapter or box in a landing's chain: entered at one port, left at one or two."""

    kind: Literal["gear"]
    gear: Id
    enter: Id
    leave: tuple[Id, ...] = Field(min_length=1, max_length=2)
    owner: Owner = "rig"
    settings: tuple[PortSetting, ...] = ()


Piece = Annotated[CablePiece | GearPiece, Field(discriminator="kind")]


class Join(Record):
    """A free port of a box in another hand-off's chain: ``piece`` is its number there, counted from 1."""

    hand_off: Id
    piece: Annotated[int, Field(ge=1, le=99)]
    port: Id


class Landing(Record, defer_build=False):
    """Where a hand-off meets the house, and what lies between, in the order the signal takes it.

    With an empty chain the landing is only intended: ``length_m`` says how far apart the two ends are.
    A landing that ``joins`` ends in a box of another hand-off's chain, and reaches the same socket through it.
    """

    hand_off: Id
    socket: Id
    chain: tuple[Piece, ...] = ()
    length_m: Length | None = None
    joins: Join | None = None
    note: Text = ""


class Placement(Record):
    """Where a unit of the rig stands at this gig, if not where the rig has it."""

    unit: Id
    x_m: Metres
    y_m: Metres
    rotation_deg: Annotated[float, Field(ge=0, lt=360)] = 0.0


class SettingHere(Record):
    """A port setting of a unit that holds at this gig only."""

    unit: Id
    setting: PortSetting


class SentRow(Record):
    """One row of an input list as it was sent; ``via`` names gear and owner of what lies on the line."""

    hand_off: Id
    name: Name
    act: Annotated[int, Field(ge=0)]
    house: Annotated[int, Field(ge=0)]
    socket: Text
    via: Text = ""
    stand: Text = ""
    phantom: bool = False
    note: Text = ""


class SentPlace(Record):
    """Where a unit stood on the plot that was sent; in m and degrees."""

    unit: Id
    name: Name
    x_m: Metres
    y_m: Metres
    rotation_deg: Annotated[float, Field(ge=0, lt=360)] = 0.0


class SentPart(Record):
    """A part of a packet of which only a digest is kept, to tell whether it changed."""

    name: Name
    digest: Annotated[str, Field(pattern=r"^[0-9a-f]{16}$")]


class Sent(Record):
    """What a packet said: its rows and places in full, everything else as digests. No dates of issue."""

    rows: tuple[SentRow, ...] = ()
    places: tuple[SentPlace, ...] = ()
    parts: tuple[SentPart, ...] = ()

    @property
    def digest(self) -> str:
        """SHA-256 of the content: equal contents, equal digests."""
        return hashlib.sha256(self.model_dump_json().encode()).hexdigest()


class Letter(Record):
    """One edition of the packet: what was sent, to whom, when. Older books hold no ``content``."""

    letter: Annotated[str, Field(pattern=r"^[A-Z]{1,2}$")]
    sent: dt.date
    to: Text = ""
    digest: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
    content: Sent | None = None


class Gig(Record, defer_build=False):
    """One rig at one house. ``order`` lists hand-offs to the house as the player wants them numbered.

    ``on_stage`` is free words for the packet; ``load_in``, ``line_check``, ``set_start`` and
    ``set_end`` are the times a calendar needs, of ``date`` or of the morning after it.
    """

    id: Id
    name: Name
    rig: Id
    house: Id
    act: Text = ""
    about: Text = ""
    contact: Text = ""
    date: dt.date | None = None
    on_stage: Text = ""
    valid_until: dt.date | None = None
    landings: tuple[Landing, ...] = ()
    placements: tuple[Placement, ...] = ()
    settings: tuple[SettingHere, ...] = ()
    order: tuple[Id, ...] = ()
    letters: tuple[Letter, ...] = ()
    notes: Text = ""
    load_in: ClockTime | None = None
    line_check: ClockTime | None = None
    set_start: ClockTime | None = None
    set_end: ClockTime | None = None
    timezone: TimeZone = ""
    archived: bool = False

    @model_validator(mode="after")
    def _in_order(self) -> "Gig":
        if self.set_end is not None and self.set_start is None:
            raise ValueError(f"gig '{self.name}' has an end of the set but no start; give 'set_start' as well")
        self.call()
        return self

    @model_validator(mode="after")
    def _once_each(self) -> "Gig":
        for kind, ids in (
            ("hand-off", [landing.hand_off for landing in self.landings]),
            ("placement", [placement.unit for placement in self.placements]),
            ("place in the order", list(self.order)),
        ):
            for name, times in Counter(ids).items():
                if times > 1:
                    raise ValueError(f"{kind} '{name}' appears twice in gig '{self.name}'")
        return self

    def call(self) -> tuple[tuple[Phase, int], ...]:
        """Return the times of the day in their order, in minutes from midnight of the gig's date.

        What lies past midnight counts on: 00:30 after a start at 23:00 is 1470.

        Raises
        ------
        ValueError
            If the times do not follow each other within one call.
        """
        made: list[tuple[Phase, int]] = []
        for phase in PHASES:
            time: dt.time | None = getattr(self, phase)
            if time is None:
                continue
            minutes = time.hour * 60 + time.minute
            while made and minutes < made[-1][1]:
                minutes += DAY_MIN
            made.append((phase, minutes))
        if made and made[-1][1] - made[0][1] > LONGEST_CALL_MIN:
            told = ", ".join(f"{phase.replace('_', ' ')} {getattr(self, phase):%H:%M}" for phase, _ in made)
            raise ValueError(f"the times of gig '{self.name}' do not follow each other ({told}); put them in order")
        return tuple(made)

    @model_validator(mode="after")
    def _joins_hold(self) -> "Gig":
        for landing in self.landings:
            if landing.joins is not None:
                self._check_join(landing, landing.joins)
        return self

    def _check_join(self, landing: Landing, join: Join) -> None:
        host = self.landing(join.hand_off)
        words = f"hand-off '{landing.hand_off}' joins the chain of '{join.hand_off}' in gig '{self.name}'"
        if host is None or host.joins is not None or host.socket != landing.socket:
            raise ValueError(f"{words}, which does not land on the same socket by itself; land it anew")
        piece = host.chain[join.piece - 1] if join.piece <= len(host.chain) else None
        if not isinstance(piece, GearPiece) or join.port in (piece.enter, *piece.leave):
            raise ValueError(f"{words} at piece {join.piece}, port '{join.port}', which is not free; land it anew")
        taken = [one.joins for one in self.landings if one.joins == join]
        if len(taken) > 1:
            raise ValueError(f"{words} where another one already does; land it anew")

    def landing(self, hand_off_id: str) -> Landing | None:
        """Return the landing of a hand-off, or None."""
        return next((one for one in self.landings if one.hand_off == hand_off_id), None)


