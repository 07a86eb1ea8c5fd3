"""A gig: one rig at one house on one date, and how its hand-offs land."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from typing import Annotated, Literal

from pydantic import Field, model_validator

from rigcore.book.rig import Owner, PortSetting
from rigcore.catalogue.record import Id, Length, Metres, Name, Record, Text


class CablePiece(Record):
    """A cable in a landing's chain; its length in m."""

    kind: Literal["cable"]
    cable: Id
    length_m: Length
    owner: Owner = "rig"


class GearPiece(Record):
    """An adapter or box in a landing's chain: entered at one port, left at one or two."""

    kind: Literal["gear"]
    gear: Id
    enter: Id
    leave: tuple[Id, ...] = Field(min_length=1, max_length=2)
    owner: Owner = "rig"
    settings: tuple[PortSetting, ...] = ()


Piece = Annotated[CablePiece | GearPiece, Field(discriminator="kind")]


class Landing(Record):
    """Where a hand-off meets the house, and what lies between, in the order the signal takes it.

    With an empty chain the landing is only intended: ``length_m`` says how far apart the two ends are.
    """

    hand_off: Id
    socket: Id
    chain: tuple[Piece, ...] = ()
    length_m: Length | None = None
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


class Letter(Record):
    """One edition of the packet: what was sent, to whom, when."""

    letter: Annotated[str, Field(pattern=r"^[A-Z]{1,2}$")]
    sent: dt.date
    to: Text = ""
    digest: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]


class Gig(Record):
    """One rig at one house. ``order`` lists hand-offs to the house as the player wants them numbered."""

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

    @model_validator(mode="after")
    def _once_each(self) -> Gig:
        for kind, ids in (
            ("hand-off", [landing.hand_off for landing in self.landings]),
            ("placement", [placement.unit for placement in self.placements]),
            ("place in the order", list(self.order)),
        ):
            for name, times in Counter(ids).items():
                if times > 1:
                    raise ValueError(f"{kind} '{name}' appears twice in gig '{self.name}'")
        return self

    def landing(self, hand_off_id: str) -> Landing | None:
        """Return the landing of a hand-off, or None."""
        return next((one for one in self.landings if one.hand_off == hand_off_id), None)


