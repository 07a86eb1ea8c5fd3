"""A rig: the units one player carries or asks for, their links, and where it meets the house."""

from collections import Counter
from typing import Annotated, Literal

from pydantic import Field, model_validator

from rigcore.book.ids import PortRef
from rigcore.catalogue.gear import SourceFamily
from rigcore.catalogue.record import Id, Length, Metres, Name, Record, Text

Owner = Literal["rig", "house"]
"""Who supplies a thing: the player's rig, or the house on request."""

OnSheet = Annotated[float, Field(ge=-100000, le=100000)]
"""A place along one edge of the Patch sheet, in sheet units."""

StandKind = Literal["tall boom", "short boom", "straight", "round base", "overhead", "clip"]


class Stand(Record):
    """The stand a microphone needs, and who supplies it."""

    kind: StandKind
    owner: Owner = "rig"


class PortSetting(Record, defer_build=False):
    """How one port of one unit is set or used.

    ``gain_db`` is the gain dialled at an input, ``pad`` a pad switched in,
    ``phantom`` a 48 V supply switched on, ``lift`` a ground lift open (of the
    audio shield, never of the mains). ``label`` names the signal.
    """

    port: Id
    label: Text = ""
    role: Literal["", "click", "talkback"] = ""
    gain_db: Annotated[float, Field(ge=-120, le=120)] | None = None
    pad: bool = False
    phantom: bool = False
    lift: bool = False


class Unit(Record, defer_build=False):
    """One physical thing. ``x_m``/``y_m`` lie on the stage plan, ``card_x``/``card_y`` on the Patch sheet.

    The stage's x runs from the centre line to stage left, y from the
    downstage edge upstage; ``rotation_deg`` turns clockwise seen from above.
    """

    id: Id
    name: Name
    gear: Id
    owner: Owner = "rig"
    x_m: Metres | None = None
    y_m: Metres | None = None
    rotation_deg: Annotated[float, Field(ge=0, lt=360)] = 0.0
    card_x: OnSheet | None = None
    card_y: OnSheet | None = None
    stand: Stand | None = None
    family: SourceFamily | None = None
    settings: tuple[PortSetting, ...] = ()
    case: Id | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _one_setting_a_port(self) -> "Unit":
        ports = [setting.port for setting in self.settings]
        if len(ports) != len(set(ports)):
            raise ValueError(f"unit '{self.name}' sets the same port twice")
        return self

    def setting(self, port_id: str) -> PortSetting:
        """Return the setting of a port; the neutral one if none is kept."""
        for setting in self.settings:
            if setting.port == port_id:
                return setting
        return PortSetting(port=port_id)


class Link(Record):
    """One connection inside a rig. No cable means one plugs straight into the other."""

    id: Id
    source: PortRef
    target: PortRef
    cable: Id | None = None
    length_m: Length | None = None
    owner: Owner = "rig"
    loom: Id | None = None
    label: Text = ""


class Loom(Record):
    """A bundle of links dressed together; ``folded`` draws it as one trunk on the Patch sheet."""

    id: Id
    name: Name
    folded: bool = False


class Fold(Record):
    """Where the one card lies that stands on the Patch sheet for all units of a case."""

    card_x: OnSheet
    card_y: OnSheet


class Case(Record):
    """A case things are carried in; mass in kg, height in rack units. With a ``fold`` it is drawn as one card."""

    id: Id
    name: Name
    mass_kg: Annotated[float, Field(ge=0, le=500)] = 0.0
    rack_u: Annotated[float, Field(ge=0, le=60)] = 0.0
    fold: Fold | None = None


class HandOff(Record):
    """A named boundary of the rig: a port that must meet the house.

    ``group`` with ``side`` makes a stereo pair. ``ears_only`` marks what must
    never reach the house loudspeakers. ``order`` is the importance: 1 survives longest.
    """

    id: Id
    name: Name
    unit: Id
    port: Id
    direction: Literal["to house", "from house"]
    group: Id | None = None
    side: Literal["", "L", "R"] = ""
    importance: Literal["must", "nice"] = "must"
    order: Annotated[int, Field(ge=1, le=999)] = 1
    falls_back_to: Id | None = None
    ears_only: bool = False
    note: Text = ""


class Rig(Record, defer_build=False):
    """Everything planned once: units, links, looms, cases and hand-offs."""

    id: Id
    name: Name
    about: Text = ""
    units: tuple[Unit, ...] = ()
    links: tuple[Link, ...] = ()
    looms: tuple[Loom, ...] = ()
    cases: tuple[Case, ...] = ()
    hand_offs: tuple[HandOff, ...] = ()
    notes: Text = ""
    archived: bool = False

    @model_validator(mode="after")
    def _nothing_dangles(self) -> "Rig":
        units = once("unit", self.units)
        looms = once("loom", self.looms)
        cases = once("case", self.cases)
        once("link", self.links)
        hand_offs = once("hand-off", self.hand_offs)
        for link in self.links:
            need(units, link.source.unit, f"link '{link.id}' starts at")
            need(units, link.target.unit, f"link '{link.id}' ends at")
            if link.loom is not None:
                need(looms, link.loom, f"link '{link.id}' lies in loom")
        for hand_off in self.hand_offs:
            need(units, hand_off.unit, f"hand-off '{hand_off.name}' sits at")
            if hand_off.falls_back_to is not None:
                need(hand_offs, hand_off.falls_back_to, f"hand-off '{hand_off.name}' falls back to")
        for unit in self.units:
            if unit.case is not None:
                need(cases, unit.case, f"unit '{unit.name}' is packed in")
        return self

    def unit(self, unit_id: str) -> "Unit | None":
        """Return the unit of that id, or None."""
        return next((unit for unit in self.units if unit.id == unit_id), None)

    def link(self, link_id: str) -> Link | None:
        """Return the link of that id, or None."""
        return next((link for link in self.links if link.id == link_id), None)

    def hand_off(self, hand_off_id: str) -> HandOff | None:
        """Return the hand-off of that id, or None."""
        return next((one for one in self.hand_offs if one.id == hand_off_id), None)




def once(kind: str, records: tuple[Record, ...]) -> set[str]:
    """Return the ids of some records.

    Raises
    ------
    ValueError
        If an id stands twice.
    """
    ids = [str(getattr(record, "id")) for record in records]  # noqa: B009
    for name, times in Counter(ids).items():
        if times > 1:
            raise ValueError(f"{kind} '{name}' appears twice")
    return set(ids)


def need(known: set[str], wanted: str, words: str) -> None:
    """Check that an id is known.

    Raises
    ------
    ValueError
        If it is not, in the words given.
    """
    if wanted not in known:
        raise ValueError(f"{words} '{wanted}', which does not exist")
