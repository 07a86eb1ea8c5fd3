"""The grounds of a gig: which chassis, screens and protective earths hang together, and where they close a loop.

The model, plainly:

- A unit has one potential, its chassis. A box with a transformer keeps the two sides
  of it apart: its lift is taken to be open. A DI box without one has a lift at its output.
- Each class I unit has a protective earth, through its mains links or at its power drop;
  all drops meet in the earth of the building. Class II units have none and pass the screen.
- Units of the house are earthed by the house's own wiring, at another outlet than the
  stage's drops; its stage boxes without mains through the multicore.
- Screens join where both ends of a cable are connected: audio, AES3, word clock, USB and
  rugged network connectors. MIDI, optical and plain network connectors do not join.
- Units bolted into one rack are one piece of metal.

Not here: DC leads, loudspeaker leads and pedals (they hang on one unit), and any judgement.
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from rigcore.book.rig import Unit
from rigcore.catalogue.carriers import Audio, Mains
from rigcore.catalogue.gear import GearType, Port
from rigcore.patch.build import End, Hop, Node, Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.ground_graph import HOUSE_EARTH, Bond, BondKind, GroundGraph, Means, Potential, Ring
from rigcore.patch.once import once_a_kind, once_a_patch, once_each, once_renewed
from rigcore.patch.phantom import supplies
from rigcore.patch.power import drop_of

CHASSIS = ""
LIFTED_BOXES = ("di", "splitter")
EARTHED_BOXES = ("stage box", "multicore", "desk")
DATA = ("usb", "network", "aes3", "wordclock")
ON_BATTERY = "on battery during the set"


class Grounds(Struct, frozen=True):
    """The ground graph of a gig, and where each earthed chassis takes its earth.

    ``point`` is a power drop, or a unit of the house, which is a place of its own.
    """

    graph: GroundGraph
    point: dict[Potential, Potential]

    def name(self, patch: Patch, potential: Potential) -> str:
        """Return a potential as people call it."""
        if potential.kind == "house earth":
            return "house earth"
        if potential.kind == "drop":
            return next(f"outlet {drop.name}" for drop in patch.house.stage.power if drop.id == potential.unit)
        if potential.place == "chain":
            return next(end.name for end in patch.ends() if end.node[:2] == potential[1:3])
        unit = patch.units[potential.unit] if potential.place == "rig" else patch.house.unit(potential.unit)
        assert unit is not None  # potentials are made from the units there are
        return unit.name


@once_renewed
def grounds(patch: Patch, earlier: Grounds | None) -> Grounds:
    """Return the grounds of a gig as planned."""
    maker = _Maker(patch)
    if earlier is not None and patch.stale is not None:
        maker.go_on(earlier, patch.stale)
    return maker.made()


@once_a_patch
def grounds_on_battery(patch: Patch) -> Grounds:
    """Return the grounds of a gig with every computer on battery: what a charger does not explain."""
    whole = grounds(patch)
    computers = {
        one for one in whole.point
        if one.place == "rig" and is_computer(patch.catalogue.gear_type(patch.units[one.unit].gear))
    }
    if not computers:
        return whole
    graph = whole.graph.less(lambda bond: bond.kind == "earth" and (bond.one in computers or bond.other in computers))
    point = {one: where for one, where in whole.point.items() if one not in computers}
    return Grounds(graph, point)


def is_computer(gear: GearType) -> bool:
    """Return whether a gear type plays on from its own battery when the charger is out: laptop, tablet, telephone."""
    return gear.category == "playback" and gear.glyph == "laptop"


def runs_on_battery(patch: Patch, unit: Unit) -> bool:
    """Return whether the player has noted that a computer runs on battery."""
    return "on battery" in unit.note.lower() and is_computer(patch.catalogue.gear_type(unit.gear))


def earthed_inlets(gear: GearType) -> tuple[Port, ...]:
    """Return the class I mains inlets of a gear type: through each it has a protective earth."""
    inlets = gear.mains_inlets()
    return tuple(port for port in inlets if isinstance(port.carrier, Mains) and port.carrier.earth_class == 1)


def has_lift(gear: GearType, port: Port) -> bool:
    """Return whether a port has a ground lift: the output of a DI, the transformer leg of a splitter."""
    if gear.category not in LIFTED_BOXES or port.direction != "out" or port.role == "thru":
        return False
    return any(path.target == port.id and path.kind in ("active", "transformer") for path in gear.paths)


def port_potentials(gear: GearType) -> dict[str, str]:
    """Return for each port the name of the potential its screen lies on, "" for the chassis.

    In a box with transformers and no mains each line is taken to be insulated from the box and from the others.
    """
    isolated = {path.target for path in gear.paths if path.isolates}
    if not isolated:
        return {port.id: CHASSIS for port in gear.ports}
    boxed = not gear.mains_inlets()
    name = {port.id: port.id if boxed or port.id in isolated else CHASSIS for port in gear.ports}
    joining = [(path.source, path.target) for path in gear.paths if not path.isolates and path.target not in isolated]
    settled = False
    while not settled:
        settled = True
        for one, other in joining:
            if name[one] != name[other]:
                name[one] = name[other] = min(name[one], name[other])
                settled = False
    return name


_Side = tuple[str, bool]
"""The name of the potential a port's screen lies on within its unit, and whether a ground lift leads to it."""


class _Maker:
    """Collects the bonds of one gig."""

    def __init__(self, patch: Patch) -> None:
        self.patch = patch
        self.bonds: list[Bond] = []
        self.point: dict[Potential, Potential] = {}
        self.inside: set[Node] = set()
        self.chassis: dict[tuple[str, str], Potential] = {}
        self.inlets: dict[str, tuple[Port, ...]] = {}
        self.joins: dict[Coupling, tuple[BondKind | None, _Side, _Side]] = {}
        self.known: dict[Hop | None, Bond] = {}

    def go_on(self, earlier: Grounds, stale: set[Node]) -> None:
        """Take over the screens and closed lifts from before an edit that it left alone."""
        for bond in earlier.graph.bonds:
            hop, at = bond.hop, bond.at
            if hop is not None and hop.source.node not in stale and hop.target.node not in stale:
                self.known[hop] = bond
            elif at is not None and at not in stale:
                self.bonds.append(bond)
                self.inside.add(at)

    def made(self) -> Grounds:
        patch = self.patch
        for drop in patch.house.stage.power:
            self.bonds.append(Bond(Potential("drop", unit=drop.id), HOUSE_EARTH, "earth"))
        for unit in patch.units.values():
            self._earth(unit)
        for unit in patch.house.units:
            self._house_earth(unit)
        self._racks()
        fed, wanting = _phantom_lines(patch)
        for hop in patch.hops:
            self._screen(hop, fed, wanting)
        chassis = [self._chassis("rig", unit_id) for unit_id in patch.units]
        return Grounds(GroundGraph([HOUSE_EARTH, *chassis], self.bonds), self.point)

    def _earth(self, unit: Unit) -> None:
        """Add the protective earths of a unit of the rig: one for each class I inlet."""
        inlets = self._inlets(unit)
        if not inlets or runs_on_battery(self.patch, unit):
            return
        here = self._chassis("rig", unit.id)
        self.point[here] = self._point(unit)
        for port in inlets:
            feeder = _feeder(self.patch, unit.id, port.id)
            there = self.point[here] if feeder is None else self._chassis("rig", feeder.node.unit)
            self.bonds.append(Bond(here, there, "earth"))

    def _inlets(self, unit: Unit) -> tuple[Port, ...]:
        if unit.gear not in self.inlets:
            self.inlets[unit.gear] = earthed_inlets(self.patch.catalogue.gear_type(unit.gear))
        return self.inlets[unit.gear]

    def _point(self, unit: Unit) -> Potential:
        """Return the power drop a unit's mains comes from; the house's earth where no drop is known."""
        drop = drop_of(self.patch, unit)
        return HOUSE_EARTH if drop is None else Potential("drop", unit=drop.id)

    def _house_earth(self, unit: Unit) -> None:
        gear = self.patch.catalogue.gear_type(unit.gear)
        if gear.category in EARTHED_BOXES or earthed_inlets(gear):
            here = Potential("unit", "house", unit.id)
            self.point[here] = here
            self.bonds.append(Bond(here, HOUSE_EARTH, "earth"))

    def _racks(self) -> None:
        first: dict[str, Potential] = {}
        for unit in self.patch.units.values():
            if unit.case is None or self.patch.catalogue.gear_type(unit.gear).rack_u <= 0:
                continue
            here = Potential("unit", "rig", unit.id)
            if unit.case in first:
                self.bonds.append(Bond(first[unit.case], here, "rack"))
            first.setdefault(unit.case, here)

    def _screen(self, hop: Hop, fed: set[Node], wanting: set[Node]) -> None:
        known = self.known.get(hop)
        if known is not None:
            self.bonds.append(known)
            return
        source, target = hop.source, hop.target
        joins = self.joins.get(hop.coupling)
        if joins is None:
            joins = _kind(hop.coupling), _side(self.patch, source), _side(self.patch, target)
            self.joins[hop.coupling] = joins
        kind, here, there = joins
        if kind is None:
            return
        means = _means(hop, fed, wanting) if kind == "screen" else None
        self.bonds.append(Bond(self._at(source, here), self._at(target, there), kind, means, hop))

    def _at(self, end: End, side: _Side) -> Potential:
        """Return the potential a port's screen lies on; makes the lift between it and the box when first met."""
        place, unit_id, port_id = node = end.node
        name, lifted = side
        box = Potential("port", place, unit_id, name) if name else self._chassis(place, unit_id)
        if name == port_id or not lifted:
            return box
        port = Potential("port", place, unit_id, port_id)
        if not end.setting.lift and node not in self.inside:
            self.bonds.append(Bond(box, port, "inside", "lift", at=node))
        self.inside.add(node)
        return port

    def _chassis(self, place: str, unit_id: str) -> Potential:
        key = (place, unit_id)
        if key not in self.chassis:
            self.chassis[key] = Potential("unit", place, unit_id)
        return self.chassis[key]


@once_a_kind
def _side(patch: Patch, end: End) -> _Side:
    """Return the name of the potential a port's screen lies on, and whether it has a ground lift."""
    return _names(patch, end.gear.id)[end.port.id], has_lift(end.gear, end.port)


@once_each
def _names(patch: Patch, gear_id: str) -> dict[str, str]:
    return port_potentials(patch.catalogue.gear_type(gear_id))


def _feeder(patch: Patch, unit_id: str, port_id: str) -> End | None:
    """Return the outlet of the rig that feeds a mains inlet, or None."""
    node = Node("rig", unit_id, port_id)
    for hop in patch.hops_at.get(node, ()):
        far = hop.source if hop.target.node == node else hop.target
        if far.node.place == "rig" and far.port.carrier.medium == "mains" and far.port.direction == "out":
            return far
    return None


def _phantom_lines(patch: Patch) -> tuple[set[Node], set[Node]]:
    """Return the ports that 48 V can come to, and those through which something gets it that needs it."""
    fed: set[Node] = set()
    wanting: set[Node] = set()
    for supply in supplies(patch):
        line = {supply.end.node, *(end.node for end in supply.reaches)}
        fed |= line
        if any(isinstance(end.port.carrier, Audio) and end.port.carrier.phantom == "needs" for end in supply.reaches):
            wanting |= line
    return fed, wanting


def _kind(hop: Coupling) -> BondKind | None:
    """Return what a connection joins: the screen of audio or of data, or nothing."""
    medium, other = hop.media
    if medium != other:
        return None
    if medium == "audio":
        return "screen"
    if medium not in DATA:
        return None
    if medium == "network":
        plugs = [one for one in hop.plugs if one is not None] or [hop.source.connector]
        return "data" if all("rugged" in one for one in plugs) else None
    return "data"


def _means(hop: Hop, fed: set[Node], wanting: set[Node]) -> Means | None:
    """Return the easiest lawful way to open the screen of an audio connection, or None.

    One end of the screen may be left open on a balanced line-level cable to which 48 V
    never comes; a transformer may stand in any line that needs no 48 V to pass.
    """
    source = hop.coupling.begins
    if hop.target.node in wanting or not isinstance(source, Audio):
        return None
    if source.level == "line" and hop.target.node not in fed and hop.coupling.is_balanced:
        return "open screen"
    return "isolator"


FamilyKind = Literal["unbalanced", "balanced", "circuits"]


class Loop(Struct, frozen=True):
    """A loop through two earthed units that take their earth at different places.

    ``way`` are the bonds from the first of them, a unit of the rig, to the second, without the earths between.
    """

    ring: Ring
    way: tuple[Bond, ...]
    ends: tuple[Potential, Potential]


class Family(Struct, frozen=True):
    """All loops of one kind between the same two places: one mistake, one finding."""

    kind: FamilyKind
    points: tuple[Potential, Potential]
    loops: tuple[Loop, ...]

    @property
    def closing(self) -> tuple[Bond, ...]:
        """The bonds to open, one for each loop, by the easiest lawful means each has."""
        return tuple(loop.ring.closes for loop in self.loops)


@once_a_patch
def families(patch: Patch) -> tuple[Family, ...]:
    """Return the loops that can hum, by kind and by the two places they join.

    Left out: loops at one outlet (short, hardly any voltage along them), loops
    without an earth, what the house's own gear does among itself, what only a
    computer's charger closes, and balanced ones (usually silent) where no outlet is known.
    """
    on_battery = grounds_on_battery(patch)
    graph, point = on_battery.graph, on_battery.point
    grouped: dict[tuple[FamilyKind, Potential, Potential], list[Loop]] = {}
    for bond in graph.split[1]:
        ends = (graph.anchor(bond.one), graph.anchor(bond.other))
        if bond.kind == "earth" or point.get(ends[0], ends[0]) == point.get(ends[1], ends[1]):
            continue
        loop = _loop(patch, graph.ring_of(bond))
        if loop is None or not any(one.kind == "screen" for one in loop.way):
            continue
        points = [point.get(end, end) for end in loop.ends]
        kind = _family_kind(patch, loop, points)
        if kind == "balanced" and HOUSE_EARTH in points:
            continue
        second = Potential("unit", "house") if points[1].place == "house" else points[1]
        grouped.setdefault((kind, points[0], second), []).append(loop)
    return tuple(
        Family(kind, (first, second), tuple(sorted(loops, key=lambda one: one.ring.closes.order)))
        for (kind, first, second), loops in sorted(grouped.items())
    )


def _loop(patch: Patch, ring: Ring) -> Loop | None:
    """Return a ring cut where its earths begin and end, the rig's side first; None if nobody here can mend it."""
    earths = [number for number, bond in enumerate(ring.bonds) if bond.kind == "earth"]
    if not earths or ring.closes.kind == "earth":
        return None
    stops = [ring.starts]
    for bond in ring.bonds:
        stops.append(bond.beyond(stops[-1]))
    way = (*ring.bonds[earths[-1] + 1 :], *ring.bonds[: earths[0]])
    ends = (stops[earths[-1] + 1], stops[earths[0]])
    if (ends[1].place != "house", ends[1]) < (ends[0].place != "house", ends[0]) and ends[0].place == ends[1].place:
        way, ends = tuple(reversed(way)), (ends[1], ends[0])
    if ends[0].place == "house" and ends[1].place != "house":
        way, ends = tuple(reversed(way)), (ends[1], ends[0])
    owners = {patch.units[end.unit].owner for end in ends if end.place == "rig"}
    return Loop(ring, way, ends) if "rig" in owners else None


def _family_kind(patch: Patch, loop: Loop, points: list[Potential]) -> FamilyKind:
    if all(point.kind == "drop" for point in points):
        circuits = [drop.circuit for drop in patch.house.stage.power if drop.id in (points[0].unit, points[1].unit)]
        if not circuits[0] or circuits[0] != circuits[1]:
            return "circuits"
    return "unbalanced" if is_unbalanced(patch, loop) else "balanced"


def is_unbalanced(patch: Patch, loop: Loop) -> bool:
    """Return whether a loop runs over the screen of an unbalanced audio connection."""
    return any(
        bond.kind == "screen" and bond.hop is not None and not bond.hop.coupling.is_balanced for bond in loop.way
    )


def charger_rings(patch: Patch) -> dict[str, Ring]:
    """Return for each computer whose charger's earth lies on a loop the shortest such loop, by unit."""
    found: dict[str, Ring] = {}
    whole, rest = grounds(patch), grounds_on_battery(patch)
    computers = whole.point.keys() - rest.point.keys()
    for bond in whole.graph.split[1] if computers else ():
        ends = {whole.graph.anchor(bond.one), whole.graph.anchor(bond.other)}
        if bond.kind == "earth" or len(ends) == 1:
            continue
        for end in ends & computers:
            ring = whole.graph.ring_of(bond)
            if end.unit not in found or len(ring.bonds) < len(found[end.unit].bonds):
                found[end.unit] = ring
    return found


def spelled(patch: Patch, ring: Ring) -> str:
    """Return the way round a loop as one follows it with a finger, from a contact of a plug back to the same unit."""
    whole = grounds(patch)
    bonds = _from_a_unit(ring)
    here = bonds[0][0]
    steps = [f"{whole.name(patch, here)} {_contact(here, bonds[0][1])}".rstrip()]
    for start, bond in bonds:
        there = bond.beyond(start)
        if bond.kind in ("screen", "data"):
            steps.append(_cable(bond))
        elif bond.kind == "rack":
            steps.append("bolted in one rack")
        name = whole.name(patch, there)
        if bond.kind != "inside" and not steps[-1].startswith(name):
            steps.append(name)
    if bonds[-1][1].kind == "earth":
        steps[-1] = f"{steps[-1]} earth"
    return " → ".join(steps)


def _from_a_unit(ring: Ring) -> list[tuple[Potential, Bond]]:
    """Return the bonds of a ring with where each is entered, beginning where the way leaves an earthed unit."""
    steps = []
    here = ring.starts
    for bond in ring.bonds:
        steps.append((here, bond))
        here = bond.beyond(here)
    earths = [number for number, (_, bond) in enumerate(steps) if bond.kind == "earth"]
    if not earths:
        return steps
    cut = earths[-1] + 1
    steps = [*steps[cut:], *steps[:cut]]
    if steps[0][0].place == "house":
        steps = [(bond.beyond(start), bond) for start, bond in reversed(steps)]
        first = next(number for number, (_, bond) in enumerate(steps) if bond.kind != "earth")
        steps = [*steps[first:], *steps[:first]]
    return steps


def _contact(here: Potential, bond: Bond) -> str:
    """Return which contact of a unit's socket the way begins at."""
    if bond.hop is None:
        return ""
    ends = (bond.hop.source, bond.hop.target)
    end = next((one for one in ends if one.node[:2] == here[1:3]), ends[0])
    family = end.port.connector.partition(".")[0]
    if family.startswith(("xlr", "combo", "multipin")):
        return "pin 1"
    if family.startswith(("ts", "trs", "trrs")):
        return "sleeve"
    return "shell" if family in ("rca", "bnc") or "usb" in family else "screen"


def _cable(bond: Bond) -> str:
    assert bond.hop is not None  # screens and data bonds are made from hops
    if bond.hop.cables:
        return " + ".join(cable.of(f"{length:g} m") for cable, length in bond.hop.cables)
    return "plugged straight" if bond.hop.length_m is None else f"{bond.hop.length_m:g} m of cable to come"
