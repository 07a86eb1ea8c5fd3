"""The patch graph of a gig: ports are nodes, links and internal paths are edges; and how to read it.

Made by :mod:`rigcore.patch.build` alone. Nothing is judged here.
"""

from __future__ import annotations

import functools
import itertools
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from msgspec import Struct

from rigcore.book.book import Book
from rigcore.book.gig import Gig, Landing
from rigcore.book.house import House, Socket
from rigcore.book.ids import PortRef
from rigcore.book.rig import HandOff, Link, Owner, PortSetting, Rig, Unit
from rigcore.catalogue.cables import CableType
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType, Path, Port
from rigcore.catalogue.record import changed
from rigcore.patch.coupling import Coupling, Facing, coupled

if TYPE_CHECKING:
    import networkx as nx

Place = Literal["rig", "house", "chain"]
Settings = Mapping[str, PortSetting]
_value = tuple.__new__


class Node(NamedTuple):
    """A port of the graph. In ``chain`` the unit is ``<hand-off>/<number of the piece>``."""

    place: Place
    unit: str
    port: str


class End(NamedTuple):
    """What sits at a node: the port with the unit and gear type around it."""

    node: Node
    port: Port
    gear: GearType
    name: str
    owner: Owner
    setting: PortSetting

    @property
    def words(self) -> str:
        """The end as spoken: unit and port."""
        return f"{self.name} {self.port.name}"


class Hop(Struct, eq=False):
    """One connection from port to port, by no cable, one, or several joined.

    ``link`` or ``landing`` says where in the book it comes from; ``piece`` is
    its place in the landing's chain. ``length_m`` is the length of the cables,
    or the distance of a landing that is only intended. ``leg`` is 1 for the
    second half of a socket with two ports, which repeats what the first half is.
    ``coupling`` is what it has in common with all hops between such ports over
    such cables. A hop is equal to itself alone, and never changed: it is not frozen
    because there are thousands, and freezing takes five times the making.
    """

    source: End
    target: End
    coupling: Coupling
    cables: tuple[tuple[CableType, float], ...]
    length_m: float | None
    link: Link | None = None
    landing: Landing | None = None
    piece: int = 0
    leg: int = 0
    owners: tuple[Owner, ...] = ()

    @property
    def plugs(self) -> tuple[str | None, str | None]:
        """The connector that meets the source and the one that meets the target, None where ports meet bare."""
        return self.coupling.plugs

    @property
    def facing(self) -> Facing:
        """Which way the connection lies between its two ports."""
        return self.coupling.facing

    @property
    def is_audio(self) -> bool:
        """Whether both ends carry analogue audio."""
        return self.coupling.is_audio


Step = tuple[Node, Hop | Path]
"""A node one step further, with what leads there."""

class _Met(NamedTuple):
    """Hops by the node they lead to and the one they lead from, as steps; by both; and the nodes with several."""

    into: dict[Node, list[Step]]
    out_of: dict[Node, list[Step]]
    at: dict[Node, tuple[Hop, ...]]
    many: set[Node]


PASSIVE = ("wire", "transformer", "resistive")
"""Kinds of paths through which a signal goes on its own strength."""


class Patch:
    """The patch of one gig with everything needed to read it: ports, and the steps between them.

    ``ends_of`` are the ends of each unit, by place and unit id. ``derived`` and the dicts after it hold
    what was worked out from it, by function (see :mod:`rigcore.patch.once`); ``earlier`` what the same
    functions found before the last edit, and ``stale`` the ports for which that no longer holds, None
    where there was no patch before (see :mod:`rigcore.patch.renew`).
    """

    def __init__(self, book: Book, gig: Gig, catalogue: Catalogue) -> None:
        self.book = book
        self.gig = gig
        self.rig: Rig = book.rig(gig.rig)
        self.house: House = book.house(gig.house)
        self.catalogue = book.with_catalogue(catalogue)
        self.hops: tuple[Hop, ...] = ()
        self.derived: dict[Callable[..., Any], Any] = {}
        self.of_kinds: dict[Callable[..., Any], dict[Any, Any]] = {}
        self.of_nets: dict[Callable[..., Any], dict[Node, Any]] = {}
        self.of_mains: dict[Callable[..., Any], Any] = {}
        self.earlier: dict[Callable[..., Any], Any] = {}
        self.stale: set[Node] | None = None
        self.ends_of: dict[tuple[Place, str], tuple[End, ...]] = {}
        self._set_to: dict[tuple[Place, str], Settings] = {}
        self._ends: dict[tuple[Place, str, str], End] = {}
        self._blank: dict[str, tuple[tuple[str, Port, PortSetting], ...]] = {}
        self._kinds: dict[int, End] = {}
        self._couplings: dict[tuple[int, int, tuple[str, ...]], Coupling] = {}
        self._places: dict[str, dict[str, int]] = {}
        self._passive: dict[int, tuple[Path, ...]] = {}
        self._into: dict[Node, Sequence[Step]] = {}
        self._out_of: dict[Node, Sequence[Step]] = {}
        self._passive_out_of: dict[Node, Sequence[Step]] = {}

    def share_kinds(self, before: Patch) -> None:
        """Go on with what an earlier patch of the same catalogue knows of its types; only for its maker."""
        self.of_kinds = before.of_kinds
        self._blank, self._kinds, self._places = before._blank, before._kinds, before._places
        self._couplings, self._passive = before._couplings, before._passive

    def take_unit(self, key: tuple[Place, str], before: Patch) -> None:
        """Put in the ports of a unit as they were in an earlier patch; only for its maker."""
        ends = self.ends_of[key] = before.ends_of[key]
        self._set_to[key] = before._set_to[key]
        self._ends.update(zip([end[0] for end in ends], ends, strict=True))

    def take_steps(self, before: Patch, touched: set[Node]) -> None:
        """Take over the steps of an earlier patch at all ports that were not touched; only for its maker."""
        for mine, known in (
            (self._into, before._into), (self._out_of, before._out_of), (self._passive_out_of, before._passive_out_of),
        ):
            mine.update(known)
            for node in touched:
                mine.pop(node, None)

    def is_as_it_was(self, key: tuple[Place, str], gear: GearType, whose: tuple[str, Owner], set_to: Settings) -> bool:
        """Return whether the ports of a unit are what they would be made anew."""
        ends = self.ends_of.get(key)
        if not ends:
            return False
        _, _, known, name, owner, _ = ends[0]
        return known is gear and (name, owner) == whose and self._set_to[key] == set_to

    def add_unit(self, key: tuple[Place, str], gear: GearType, whose: tuple[str, Owner], set_to: Settings) -> None:
        """Put the ports of a unit into the patch, by place and id, name and owner; only for its maker."""
        place, unit_id = key
        name, owner = whose
        blank = self._blank.get(gear.id)
        is_new = blank is None
        if blank is None:
            self._places[gear.id] = {port.id: number for number, port in enumerate(gear.ports)}
            blank = self._blank[gear.id] = tuple((port.id, port, _neutral(port.id)) for port in gear.ports)
        # Made as tuples are, past the named constructors: these two are half of all values a check makes.
        found: list[End] = []
        for port_id, port, neutral in blank:
            node = _value(Node, (place, unit_id, port_id))
            setting = set_to.get(port_id, neutral) if set_to else neutral
            found.append(_value(End, (node, port, gear, name, owner, setting)))
        if is_new:
            self._kinds.update((id(end.port), end) for end in found)
        self.ends_of[key], self._set_to[key] = tuple(found), set_to
        self._ends.update(zip([end[0] for end in found], found, strict=True))

    def coupling(self, source: End, target: End, *cable_ids: str) -> Coupling:
        """Return what two ends and some cables joined end to end come to, as their types tell."""
        # A port of a type is one and the same record in all units of the type.
        key = (id(source.port), id(target.port), cable_ids)
        known = self._couplings.get(key)
        if known is None:
            cables = tuple(self.catalogue.cable_type(one) for one in cable_ids)
            known = self._couplings[key] = coupled(self.catalogue, source.port, target.port, cables)
        return known

    @cached_property
    def graph(self) -> nx.MultiDiGraph[Node]:
        """The patch as a ``networkx.MultiDiGraph``, made when first asked for.

        Node data ``end`` (:class:`End`), edge data ``hop`` (:class:`Hop`) or
        ``path`` (:class:`~rigcore.catalogue.gear.Path`). Walks that only follow
        steps use :meth:`steps_into` and :meth:`steps_out_of` instead.
        """
        import networkx as nx

        graph: nx.MultiDiGraph[Node] = nx.MultiDiGraph()
        for end in self._ends.values():
            graph.add_node(end.node, end=end)
        # A key of our own spares the graph the search for a free one.
        key = itertools.count()
        for source in list(graph):
            for target, step in self.steps_out_of(source):
                graph.add_edge(source, target, key=next(key), **{"hop" if isinstance(step, Hop) else "path": step})
        return graph

    def steps_into(self, node: Node) -> Sequence[Step]:
        """Return the nodes one step upstream, each with the hop or path that leads from there: paths first."""
        steps = self._into.get(node)
        if steps is None:
            gear = self._ends[node].gear
            paths = gear.paths_into[node.port]
            hops: Sequence[Step] = self._met.into.get(node, ())
            if paths:
                ends, place = self.ends_of[node.place, node.unit], self._places[gear.id]
                through: list[Step] = [(ends[place[path.source]].node, path) for path in paths]
                hops = [*through, *hops]
            steps = self._into[node] = hops
        return steps

    def steps_out_of(self, node: Node) -> Sequence[Step]:
        """Return the nodes one step downstream, each with the hop or path that leads there: paths first."""
        steps = self._out_of.get(node)
        if steps is None:
            steps = self._out_of[node] = self._onward(node, self._ends[node].gear.paths_out_of[node.port])
        return steps

    def passive_steps_out_of(self, node: Node) -> Sequence[Step]:
        """Return the steps downstream that take no electronics: wires, transformers and resistors, then hops."""
        steps = self._passive_out_of.get(node)
        if steps is None:
            end = self._ends[node]
            paths = self._passive.get(id(end.port))
            if paths is None:
                paths = tuple(path for path in end.gear.paths_out_of[node.port] if path.kind in PASSIVE)
                self._passive[id(end.port)] = paths
            steps = self._passive_out_of[node] = self._onward(node, paths)
        return steps

    def _onward(self, node: Node, paths: tuple[Path, ...]) -> Sequence[Step]:
        """Return the steps over some paths out of a port, and over all its hops."""
        hops = self._met.out_of.get(node, ())
        if not paths:
            return hops
        ends, place = self.ends_of[node.place, node.unit], self._places[self._ends[node].gear.id]
        through: list[Step] = [(ends[place[path.target]].node, path) for path in paths]
        return [*through, *hops]

    def end(self, node: Node) -> End:
        """Return what sits at a node."""
        return self._ends[node]

    def has(self, node: Node) -> bool:
        """Return whether there is such a port."""
        return node in self._ends

    def end_is(self, end: End) -> bool:
        """Return whether an end of an earlier patch is one of this."""
        return self._ends.get(end.node) is end

    def rig_end(self, ref: PortRef) -> End:
        """Return what sits at a port of the rig."""
        return self._ends["rig", ref.unit, ref.port]

    def ends(self) -> Iterable[End]:
        """Return every end, rig first, in the order of the book."""
        return self._ends.values()

    @cached_property
    def runs(self) -> tuple[Hop, ...]:
        """The hops to be judged one by one: without the second legs that repeat the first."""
        return tuple(hop for hop in self.hops if hop.leg == 0)

    @cached_property
    def along(self) -> tuple[Hop, ...]:
        """The runs that lie the right way round, from an output to an input."""
        return tuple(hop for hop in self.runs if hop.coupling.facing == "along")

    @cached_property
    def misplaced(self) -> tuple[Hop, ...]:
        """The runs that lie against the flow, or between two ports of one direction."""
        return tuple(hop for hop in self.runs if hop.coupling.facing != "along")

    def along_where(self, suits: Callable[[Coupling], bool]) -> tuple[Hop, ...]:
        """Return the runs that lie the right way round and are of a kind that suits, in the order of the book.

        Each kind is asked once, however many hops are of it: a cheap sieve before anything is followed. The
        answers are kept by the function, so it must be one of a module and ask nothing but the kind.
        """
        return self._sifted(self.along, suits)

    def hops_where(self, suits: Callable[[Coupling], bool]) -> tuple[Hop, ...]:
        """Return all hops of a kind that suits, second legs and misplaced ones among them, as :meth:`along_where`."""
        return self._sifted(self.hops, suits)

    def _sifted(self, hops: tuple[Hop, ...], suits: Callable[[Coupling], bool]) -> tuple[Hop, ...]:
        asked = self.of_kinds.setdefault(suits, {})
        # Listed first: a check beside may come upon a new kind at this moment.
        if len(asked) < len(self._couplings):
            asked.update({one: suits(one) for one in list(self._couplings.values()) if one not in asked})
        return tuple([hop for hop in hops if asked[hop.coupling]]) if True in asked.values() else ()

    @cached_property
    def runs_between(self) -> dict[tuple[str, str], tuple[Hop, ...]]:
        """The runs by the media of their two ports, source first."""
        found: dict[tuple[str, str], list[Hop]] = {}
        for hop in self.runs:
            found.setdefault(hop.coupling.media, []).append(hop)
        return {media: tuple(hops) for media, hops in found.items()}

    @cached_property
    def plugged(self) -> tuple[End, ...]:
        """The ends something is plugged into, rig first, in the order of the book."""
        hops_at = self.hops_at
        return tuple(end for node, end in self._ends.items() if node in hops_at)

    def ends_where(self, suits: Callable[[End], bool]) -> tuple[End, ...]:
        """Return the ends of a kind that suits, rig first, in the order of the book.

        A kind is a port of a gear type. Each is asked once, by any end of it; the answers are kept by the
        function, so it must be one of a module and ask nothing but what the type tells.
        """
        return self._of_kind(self._ends.values(), suits)

    def plugged_where(self, suits: Callable[[End], bool]) -> tuple[End, ...]:
        """Return the plugged ends of a kind that suits, as :meth:`ends_where` does."""
        return self._of_kind(self.plugged, suits)

    def _of_kind(self, ends: Iterable[End], suits: Callable[[End], bool]) -> tuple[End, ...]:
        asked = self.of_kinds.setdefault(suits, {})
        if len(asked) < len(self._kinds):
            asked.update({kind: suits(end) for kind, end in list(self._kinds.items()) if kind not in asked})
        return tuple([end for end in ends if asked[id(end.port)]]) if True in asked.values() else ()

    @cached_property
    def crowded(self) -> tuple[End, ...]:
        """The ends that more than one connection wants, rig first, in the order of the book."""
        many = self._met.many
        return tuple(end for end in self.plugged if end.node in many) if many else ()

    @property
    def hops_at(self) -> dict[Node, tuple[Hop, ...]]:
        """Every hop by each of its two nodes."""
        return self._met.at

    @cached_property
    def _met(self) -> _Met:
        """The hops by the nodes they meet."""
        met = _Met({}, {}, {}, set())
        at = met.at
        for hop in self.hops:
            source, target = hop.source.node, hop.target.node
            met.into.setdefault(target, []).append((source, hop))
            met.out_of.setdefault(source, []).append((target, hop))
            for node in (source, target):
                if node in at:
                    at[node] += (hop,)
                    met.many.add(node)
                else:
                    at[node] = (hop,)
        return met

    @cached_property
    def settings_here(self) -> dict[str, dict[str, PortSetting]]:
        """Settings that hold at this gig only, by unit and port."""
        found: dict[str, dict[str, PortSetting]] = {}
        for one in self.gig.settings:
            found.setdefault(one.unit, {})[one.setting.port] = one.setting
        return found

    @cached_property
    def units(self) -> dict[str, Unit]:
        """Units of the rig by id, as placed and set at this gig."""
        places = {one.unit: one for one in self.gig.placements}
        found = {}
        for unit in self.rig.units:
            here = places.get(unit.id)
            if here is not None:
                unit = changed(unit, x_m=here.x_m, y_m=here.y_m, rotation_deg=here.rotation_deg)
            found[unit.id] = unit
        return found

    def hand_off(self, landing: Landing) -> HandOff:
        """Return the hand-off of a landing."""
        hand_off = self.rig.hand_off(landing.hand_off)
        assert hand_off is not None  # the book's validator saw to it
        return hand_off

    def socket(self, landing: Landing) -> Socket:
        """Return the house socket of a landing."""
        socket = self.house.socket(landing.socket)
        assert socket is not None  # the book's validator saw to it
        return socket


@functools.lru_cache(maxsize=4096)
def _neutral(port_id: str) -> PortSetting:
    """Return the setting of a port nobody touched; one for all units that have such a port."""
    return PortSetting(port=port_id)
