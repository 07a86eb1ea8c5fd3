"""Gear types: ports, the paths between them, size, mass and provenance.

Adapters, DI boxes, pads, splitters, stage boxes and multicores are gear types
like any other: only their paths differ.
"""

from functools import cached_property
from typing import Literal

from pydantic import Field, model_validator

from rigcore.catalogue.cables import Cold
from rigcore.catalogue.carriers import Audio, Carrier, Mains
from rigcore.catalogue.record import Id, Name, NotNegative, Positive, Record, Text

Category = Literal[
    "keys", "controller", "playback", "microphone", "di", "splitter", "isolator", "pad",
    "mixer", "equaliser", "processor", "monitor", "loudspeaker", "amplifier", "in-ear",
    "pedal", "guitar", "bass", "drums", "percussion", "brass", "strings", "stage box", "desk",
    "multicore", "adapter", "power", "furniture", "other",
]

SourceFamily = Literal[
    "drums", "percussion", "bass", "guitars", "keys", "playback", "brass", "strings",
    "vocals", "talkback", "ambience",
]

Direction = Literal["in", "out", "both"]

IN_HAND_M = 0.04
"""What is no wider than this is no box."""


class Port(Record):
    """One socket, plug or tail of a gear type.

    ``jack_carrier`` is what the 6.35 mm half of a combined socket takes.
    ``pair`` names the stereo group a port belongs to, ``side`` its half. ``sums`` marks
    an output that carries both halves while nothing is plugged into its partner.
    """

    id: Id
    name: Name
    direction: Direction
    connector: Id
    carrier: Carrier
    jack_carrier: Carrier | None = None
    pair: Id | None = None
    side: Literal["", "L", "R"] = ""
    sums: bool = False
    role: Literal["", "click", "talkback", "thru", "send", "return", "phones", "main"] = ""

    @cached_property
    def may_feed_phantom(self) -> bool:
        """Whether the port can feed 48 V into some plug."""
        carriers = (self.carrier, self.jack_carrier)
        return any(isinstance(one, Audio) and one.phantom in ("supplies", "switchable") for one in carriers)


class Path(Record):
    """A way through a unit, from one of its ports to another.

    ``gain_db`` is what the signal gains (negative: loses) as delivered, between
    ``gain_min_db`` and ``gain_max_db`` if it can be set. ``cold`` is what becomes of the second leg where a wire
    goes from balanced to unbalanced.
    """

    source: Id
    target: Id
    kind: Literal["wire", "transformer", "resistive", "active", "digital"]
    gain_db: float = 0.0
    gain_min_db: float | None = None
    gain_max_db: float | None = None
    passes_phantom: bool = False
    isolates: bool = False
    processes: bool = False
    cold: Cold = ""
    tap: Literal["", "pre", "post"] = ""


class Provenance(Record, defer_build=False):
    """Where the figures of a gear type come from."""

    levels: Text = "typical"
    size: Text = "typical"
    mass: Text = "typical"
    power: Text = "typical"


class GearType(Record):
    """A kind of gear. Sizes in m, mass in kg, height in rack units."""

    id: Id
    name: Name
    category: Category
    about: Text = ""
    family: SourceFamily | None = None
    ports: tuple[Port, ...] = ()
    paths: tuple[Path, ...] = ()
    width_m: Positive
    depth_m: Positive
    height_m: Positive
    mass_kg: NotNegative
    rack_u: NotNegative = 0.0
    pattern: Literal["", "omni", "wide cardioid", "cardioid", "supercardioid", "hypercardioid", "figure-8"] = ""
    phantom_switch: Literal["", "per channel", "global"] = ""
    glyph: Literal["box", "keys", "mic", "wedge", "drums", "amp", "laptop", "person", "power", "riser"] = "box"
    provenance: Provenance = Field(default_factory=Provenance)

    @model_validator(mode="after")
    def _ports_and_paths_agree(self) -> "GearType":
        ids = [port.id for port in self.ports]
        for twice in sorted({name for name in ids if ids.count(name) > 1}):
            raise ValueError(f"port '{twice}' appears twice")
        by_id = {port.id: port for port in self.ports}
        for path in self.paths:
            for end, wrong in ((path.source, "out"), (path.target, "in")):
                if end not in by_id:
                    raise ValueError(f"path {path.source} to {path.target}: there is no port '{end}'")
                if by_id[end].direction == wrong and not self._is_passive(path):
                    raise ValueError(f"path {path.source} to {path.target}: port '{end}' faces the other way")
        return self

    @staticmethod
    def _is_passive(path: Path) -> bool:
        return path.kind == "wire"

    @cached_property
    def _port_by_id(self) -> dict[str, Port]:
        return {port.id: port for port in self.ports}

    @property
    def is_in_hand(self) -> bool:
        """Whether it is no box but an adapter or a lead, whose connectors hang free."""
        return self.width_m <= IN_HAND_M

    def port(self, port_id: str) -> Port | None:
        """Return the port of that id, or None."""
        return self._port_by_id.get(port_id)

    def is_source(self, port_id: str) -> bool:
        """Return whether sound begins at this port: an audio output no path leads to."""
        return port_id in self.source_ports

    @cached_property
    def source_ports(self) -> frozenset[str]:
        """The ids of the ports at which sound begins."""
        led_to = {path.target for path in self.paths}
        return frozenset(
            port.id
            for port in self.ports
            if port.direction == "out" and isinstance(port.carrier, Audio) and port.id not in led_to
        )

    @cached_property
    def paths_into(self) -> dict[str, tuple[Path, ...]]:
        """The paths that lead to each port, in the order of the type."""
        return {port.id: tuple(path for path in self.paths if path.target == port.id) for port in self.ports}

    @cached_property
    def paths_out_of(self) -> dict[str, tuple[Path, ...]]:
        """The paths that lead away from each port, in the order of the type."""
        return {port.id: tuple(path for path in self.paths if path.source == port.id) for port in self.ports}

    @cached_property
    def fed_outlets(self) -> dict[str, tuple[str, Literal["wire", "transformer"]]]:
        """The mains outlets that are fed through an inlet of the same thing, with that inlet and how."""
        inlets = {port.id for port in self.mains_inlets()}
        found: dict[str, tuple[str, Literal["wire", "transformer"]]] = {}
        for path in self.paths if inlets else ():
            port = self.port(path.target)
            if path.source in inlets and port is not None and port.direction == "out":
                found[path.target] = (path.source, "transformer" if path.kind == "transformer" else "wire")
        return found

    def mains_inlets(self) -> tuple[Port, ...]:
        """Return the ports through which the unit draws mains."""
        return self._mains_inlets

    @cached_property
    def _mains_inlets(self) -> tuple[Port, ...]:
        return tuple(
            port for port in self.ports if port.direction == "in" and isinstance(port.carrier, Mains)
        )

    def watts(self) -> float:
        """Return the highest mains power the unit draws, in W."""
        return self._watts

    @cached_property
    def _watts(self) -> float:
        return sum(p.carrier.watts for p in self.mains_inlets() if isinstance(p.carrier, Mains))
