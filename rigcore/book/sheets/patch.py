"""Reads the table of connections: links inside the rig, and landings where rig and house meet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple

from msgspec import Struct, field
from pydantic import ValidationError

from rigcore.book.edits.links import usual_length
from rigcore.book.gig import Landing
from rigcore.book.house import Socket
from rigcore.book.ids import PortRef, new_id
from rigcore.book.rig import HandOff, Link, Loom, Owner, PortSetting
from rigcore.book.sheets.cells import OWNERS, Cells, Names, folded, literal_words
from rigcore.book.sheets.chain import chain_of
from rigcore.book.sheets.pairs import paired
from rigcore.book.sheets.table import Columns, Problems, Table
from rigcore.book.sheets.units import Placed, Units
from rigcore.catalogue.gear import Port

Role = Literal["", "click", "talkback"]
Importance = Literal["must", "nice"]
Direction = Literal["to house", "from house"]

PATCH_COLUMNS = Columns(
    words={
        "from": ("source", "from unit", "source unit", "out of"),
        "from port": ("source port", "from output", "output", "out"),
        "to": ("target", "to unit", "target unit", "into", "destination"),
        "to port": ("target port", "to input", "input", "in", "destination port"),
        "cable": ("cable type", "lead", "via"),
        "length": ("length m", "cable length", "metres", "meters"),
        "owner": ("cable owner", "who", "supplier", "supplied by", "whose"),
        "channel": ("channel name", "hand-off", "signal", "line"),
        "role": ("use",),
        "ears only": ("ears", "in ears only", "not to pa"),
        "importance": ("must or nice", "priority"),
        "note": ("notes", "remark", "remarks", "comment", "comments"),
        "loom": ("bundle",),
    },
    required=("from", "to"),
)
ROLES: dict[str, Role] = {"click": "click", "talkback": "talkback", **dict.fromkeys(("none", "-", "–"), "")}
IMPORTANCE: dict[str, Importance] = {**literal_words(("must", "nice")), "needed": "must", "optional": "nice"}


class Side(NamedTuple):
    """One end of a row: the unit, the port, and the column it is written in."""

    placed: Placed
    port: Port
    column: Literal["from", "to"]

    @property
    def ref(self) -> PortRef:
        """The port by ids."""
        return PortRef(unit=self.placed.unit.id, port=self.port.id)


class Connections(Struct):
    """What the rows come to, gathered row by row."""

    sockets: dict[tuple[str, str], Socket]
    links: list[Link] = field(default_factory=list)
    looms: dict[str, Loom] = field(default_factory=dict)
    hand_offs: list[HandOff] = field(default_factory=list)
    landings: list[Landing] = field(default_factory=list)
    settings: dict[str, dict[str, PortSetting]] = field(default_factory=dict)
    taken: set[str] = field(default_factory=set)
    rows: dict[object, int] = field(default_factory=dict)


def read_patch(
    table: Table, units: Units, sockets: Iterable[Socket], names: Names, *, problems: Problems
) -> Connections:
    """Return the connections of a table; what does not hold goes to ``problems``."""
    found = Connections({(one.unit, port): one for one in sockets for port in one.ports})
    for row in table.rows:
        if not any(row.cells.values()):
            continue
        cells = Cells(table, row, problems)
        source, target = (_side(cells, end, units, names) for end in ("from", "to"))
        if source is None or target is None:
            cells.choice("owner", OWNERS, "rig")
            continue
        _setting(cells, source, found)
        if source.port.direction == "in" and target.port.direction == "out":
            source, target = target, source
        houses = [side.placed.in_house for side in (source, target)]
        if all(houses):
            cells.note("to", "both ends belong to the house; a row needs an end in the rig")
        elif any(houses):
            _land(cells, (source, target), found, names)
        else:
            _link(cells, (source, target), found, names)
    found.hand_offs = paired(found.hand_offs, units)
    return found


def _side(cells: Cells, end: Literal["from", "to"], units: Units, names: Names) -> Side | None:
    name = cells.line(end)
    key = folded(name)
    if not name:
        cells.note(end, "the unit is missing")
        return None
    if key not in units.by_name:
        cells.note(end, f"there is no unit '{name[:60]}'{cells.problems.nearest(name, units.names)}")
        return None
    placed = units.by_name[key]
    if placed is None:
        return None
    port = names.port(placed.gear, cells.line(f"{end} port"), "out" if end == "from" else "in")
    if isinstance(port, str):
        cells.note(f"{end} port", port)
        return None
    return Side(placed, port, end)


def _setting(cells: Cells, source: Side, found: Connections) -> None:
    """Keep the role of a signal at the port it comes from, under the name of its channel."""
    role = cells.choice("role", ROLES, "")
    if not role:
        return
    here = found.settings.setdefault(source.placed.unit.id, {})
    before = here.get(source.port.id)
    if before is not None and before.role != role:
        cells.note("role", f"this port is {before.role} in another row already")
        return
    label = cells.line("channel") or (before.label if before else "")
    try:
        here[source.port.id] = PortSetting(port=source.port.id, label=label, role=role)
    except ValidationError as error:
        cells.refused(error, {"label": "channel"})


def _link(cells: Cells, ends: tuple[Side, Side], found: Connections, names: Names) -> None:
    source, target = ends
    refs = source.ref, target.ref
    if refs[0] == refs[1]:
        cells.note("to port", "both ends are the same port")
        return
    if _twice(cells, ("link", frozenset(refs)), "to port", found):
        return
    cable, length = cells.line("cable"), cells.metres("length")
    kind = names.cable(cable) if cable else None
    if cable and kind is None:
        cells.note("cable", names.no_cable(cable))
        return
    if kind is None and length is not None:
        cells.note("length", "there is a length but no cable; leave both empty where one plugs straight in")
        return
    if kind is not None and length is None:
        length = usual_length(kind.stock_lengths_m)
    name = new_id(f"{source.placed.unit.id}-{source.port.id}-to-{target.placed.unit.id}", found.taken)
    try:
        link = Link(
            id=name, source=refs[0], target=refs[1], cable=kind.id if kind else None, length_m=length,
            owner=_owner(cells), loom=_loom(cells, found),
            label=cells.line("channel") or cells.line("note"),
        )
    except ValidationError as error:
        cells.refused(error, {"length_m": "length", "label": "channel", "cable": "cable", "name": "loom"})
        return
    found.taken.add(name)
    found.links.append(link)


def _loom(cells: Cells, found: Connections) -> str | None:
    name = cells.line("loom")
    if not name:
        return None
    key = folded(name)
    if key not in found.looms:
        loom_id = new_id(name, found.taken)
        found.looms[key] = Loom(id=loom_id, name=name)
        found.taken.add(loom_id)
    return found.looms[key].id


def _land(cells: Cells, ends: tuple[Side, Side], found: Connections, names: Names) -> None:
    source, target = ends
    ours, theirs = (target, source) if source.placed.in_house else (source, target)
    rig_column, house_column = f"{ours.column} port", f"{theirs.column} port"
    socket = found.sockets.get((theirs.placed.unit.id, theirs.port.id))
    if socket is None:
        cells.note(house_column, f"the house has no socket at {theirs.placed.unit.name} {theirs.port.name}")
        return
    direction = _direction(ours.port, socket)
    if (direction == "to house") != (socket.direction == "in"):
        ends_words = f"{ours.placed.unit.name} {ours.port.name} and {socket.label}"
        cells.note(rig_column, f"both ends are {socket.direction}puts: {ends_words}")
        return
    if _twice(cells, ("landing", ours.placed.unit.id, ours.port.id), rig_column, found):
        return
    chain = chain_of(cells, names, _owner(cells))
    if source.column == "to":
        chain = chain[::-1]
    name = cells.line("channel") or _own_name(ours)
    hand_off_id = new_id(name, found.taken)
    loom = cells.line("loom")
    try:
        hand_off = HandOff(
            id=hand_off_id, name=name, unit=ours.placed.unit.id, port=ours.port.id, direction=direction,
            importance=cells.choice("importance", IMPORTANCE, "must"),
            order=min(len(found.hand_offs) + 1, 999),
            ears_only=cells.flag("ears only"),
            note=cells.text("note"),
        )
        landing = Landing(
            hand_off=hand_off_id, socket=socket.id, chain=chain,
            length_m=None if chain else cells.metres("length"),
            note=f"in loom {loom}" if loom else "",
        )
    except ValidationError as error:
        cells.refused(error, {"name": "channel", "length_m": "length", "note": "note"})
        return
    found.taken.add(hand_off_id)
    found.hand_offs.append(hand_off)
    found.landings.append(landing)


def _direction(port: Port, socket: Socket) -> Direction:
    """Return which way a hand-off runs: as its own port faces, else as the socket does."""
    if port.direction == "both":
        return "to house" if socket.direction == "in" else "from house"
    return "to house" if port.direction == "out" else "from house"


def _own_name(ours: Side) -> str:
    """Return a name for a hand-off that was given none: the unit, with the port where it has several."""
    gear = ours.placed.gear
    alike = [one for one in gear.ports if one.direction == ours.port.direction and one.carrier.medium == "audio"]
    name = ours.placed.unit.name
    return f"{name} {ours.port.side or ours.port.name}"[:120] if len(alike) > 1 else name


def _twice(cells: Cells, key: object, column: str, found: Connections) -> bool:
    """Return whether an earlier row made the same connection, and note it."""
    if key in found.rows:
        cells.note(column, f"row {found.rows[key]} connects this already")
        return True
    found.rows[key] = cells.row.number
    return False


def _owner(cells: Cells) -> Owner:
    return cells.choice("owner", OWNERS, "rig")

