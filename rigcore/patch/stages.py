"""Levels through the whole chain: nominal, peak and noise in dBu at every audio port.

Conventions. A stated output level is that of the unloaded output; the divider
of its source impedance and everything it drives is taken off, then that of each
cable's resistance and what it leads to. A passive box
adds what its type states (a transformer's ratio, a pad). An output that a hand
sets (mixer, equaliser, house returns) is taken at the nominal level its type
states unless a gain is dialled at its inputs; its peaks lie 12 dB over nominal.
Several ways into one output add in power. Where signals run in a circle, the
stated levels stand.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from msgspec import Struct

from rigcore.catalogue.carriers import Audio, Carrier
from rigcore.catalogue.connectors import Consequence
from rigcore.catalogue.gear import Path
from rigcore.patch.build import PASSIVE, End, Hop, Node, Patch, Step
from rigcore.patch.coupling import Coupling
from rigcore.patch.levels import PEAKS_OVER_NOMINAL_DB, SET_BY_HAND, behind_wires
from rigcore.patch.loads import cable_loss_db, loadings
from rigcore.patch.once import once_a_kind, once_each, once_renewed
from rigcore.quantities.electrical import power_sum_db, ratio_db

ONE_LEG_DB = ratio_db(1.0, 2.0)
"""Both legs of a driven balanced output against one of them: 20 log 1/2."""


class Level(NamedTuple):
    """Nominal, peak and noise in dBu; None where nobody knows."""

    nominal_dbu: float | None = None
    peak_dbu: float | None = None
    noise_dbu: float | None = None

    def plus(self, gain_db: float) -> Level:
        """Return the level after a gain in dB."""
        nominal, peak, noise = self
        return Level(
            None if nominal is None else nominal + gain_db,
            None if peak is None else peak + gain_db,
            None if noise is None else noise + gain_db,
        )


NOTHING = Level()

_Ways = dict[Node, list[Step]]
"""Audio ports, each with the ports one step before it and what leads from them."""


class Levels(Struct, frozen=True):
    """The level at every audio port that has one, and the circles signals run in."""

    at: dict[Node, Level]
    circles: tuple[tuple[Node, ...], ...]

    def level(self, node: Node) -> Level:
        """Return the level at a port, nothing known if none."""
        return self.at.get(node, NOTHING)


@once_renewed
def levels(patch: Patch, earlier: Levels | None) -> Levels:
    """Return the levels of a gig, from every source to every house socket."""
    before = _plugged_audio(patch)
    order = _in_order(before)
    circles: tuple[tuple[Node, ...], ...] = ()
    if len(order) < len(before):
        circles = _circles(before)
        order = _in_order(_opened(before, circles))
    in_circle = {node for circle in circles for node in circle}
    known, stale = _known(patch, earlier, circles)
    at: dict[Node, Level] = {}
    for node in order:
        ways = before[node]
        level = known.get(node)
        if level is None or node in stale or any(one in stale for one, _ in ways):
            end = patch.end(node)
            at[node] = _stated(patch, end) if node in in_circle else _level(patch, end, ways, at)
            if known and at[node] != level:
                stale.add(node)
        else:
            at[node] = level
    return Levels(at, circles)


def _known(
    patch: Patch, earlier: Levels | None, circles: tuple[tuple[Node, ...], ...]
) -> tuple[dict[Node, Level], set[Node]]:
    """Return the levels from before an edit, and where they no longer hold: what comes after those is seen on the way.

    A way through a unit may have been opened or closed by what is plugged into another of its ports.
    """
    if earlier is None or patch.stale is None or circles or earlier.circles:
        return {}, set()
    units = {node[:2] for node in patch.stale}
    beside = (end.node for key in units if key in patch.ends_of for end in patch.ends_of[key])
    return earlier.at, patch.stale.union(beside)


def _plugged_audio(patch: Patch) -> _Ways:
    """Return the audio ports something is plugged into, each with what leads to it: others carry nothing."""
    before: _Ways = {end.node: [] for end in patch.plugged_where(_is_audio)}
    for node, ways in before.items():
        for way in patch.steps_into(node):
            step = way[1]
            if way[0] in before and (type(step) is not Hop or step.coupling.is_sound):
                ways.append(way)
    return before


def _is_audio(end: End) -> bool:
    return isinstance(end.port.carrier, Audio)


def _in_order(before: _Ways) -> list[Node]:
    """Return the ports so that each comes after those that lead to it; circles and what hangs on them are left out."""
    waiting: dict[Node, int] = {}
    after: dict[Node, list[Node]] = {}
    order: list[Node] = []
    for node, ways in before.items():
        if not ways:
            order.append(node)
            continue
        waiting[node] = len(ways)
        for one, _ in ways:
            after.setdefault(one, []).append(node)
    for node in order:
        for one in after.get(node, ()):
            left = waiting[one] = waiting[one] - 1
            if left == 0:
                order.append(one)
    return order


def _circles(before: _Ways) -> tuple[tuple[Node, ...], ...]:
    """Return the groups of ports that reach each other."""
    import networkx as nx

    graph: nx.DiGraph[Node] = nx.DiGraph((one, node) for node, ways in before.items() for one, _ in ways)
    parts = nx.strongly_connected_components(graph)
    return tuple(sorted(tuple(sorted(part)) for part in parts if len(part) > 1))


def _opened(before: _Ways, circles: tuple[tuple[Node, ...], ...]) -> _Ways:
    """Return the ways without those inside a circle: what is left can be walked in order."""
    number = {node: place for place, circle in enumerate(circles) for node in circle}
    return {
        node: [way for way in ways if node not in number or number.get(way[0]) != number[node]]
        for node, ways in before.items()
    }


def _level(patch: Patch, end: End, ways: list[Step], at: dict[Node, Level]) -> Level:
    """Return the level at a port from those before it: arriving at an input, leaving an output."""
    arriving = [_arriving(patch, at[before], step) for before, step in ways if type(step) is Hop]
    if arriving:
        return _sum(arriving)
    port = end.port
    if port.direction == "in":
        return NOTHING
    paths = end.gear.paths_into[port.id]
    if not paths:
        emf = _stated(patch, end)
    else:
        emf = _through(patch, end, at)
        if any(path.kind in ("transformer", "resistive") for path in paths):
            return emf
    loading = loadings(patch).get(end.node)
    return emf if loading is None else emf.plus(-loading.loss_db)


def _arriving(patch: Patch, level: Level, hop: Hop) -> Level:
    gain_db = _leg_lost_db(patch, hop.coupling) - cable_loss_db(patch, hop)
    return level.plus(gain_db) if gain_db else level


def _through(patch: Patch, end: End, at: dict[Node, Level]) -> Level:
    """Return what leaves an output before it is loaded."""
    paths = end.gear.paths_into[end.port.id]
    steps = patch.steps_into(end.node)[: len(paths)]
    # The paths come first, the hops after them.
    ways = [(patch.end(before), path, at.get(before, NOTHING)) for (before, _), path in zip(steps, paths, strict=True)]
    brought = [level.plus(_gain_db(into, path)) for into, path, level in ways if level.nominal_dbu is not None]
    if all(path.kind in PASSIVE for path in paths):
        return _sum(brought).plus(_leg_left_behind_db(patch, end, ways))
    own = _stated(patch, end)
    if end.gear.category in SET_BY_HAND and all(into.setting.gain_db is None for into, _, _ in ways):
        return Level(own.nominal_dbu, own.peak_dbu, _noise(own, _sum(brought)))
    total = _sum(brought)
    return Level(total.nominal_dbu, _lower(total.peak_dbu, _highest(end)), _noise(own, total))


def _gain_db(into: End, path: Path) -> float:
    """Return the gain of a path as set: dialled at its input or as delivered, less a pad switched in."""
    carrier = into.port.carrier
    pad_db = carrier.pad_db if isinstance(carrier, Audio) and into.setting.pad and path.kind != "wire" else 0.0
    gain_db = path.gain_db
    if into.setting.gain_db is not None and path.gain_min_db is not None:
        gain_db = into.setting.gain_db
    return gain_db - pad_db


@once_a_kind
def _stated(patch: Patch, end: End) -> Level:
    carrier = end.port.carrier
    if not isinstance(carrier, Audio):
        return NOTHING
    peak = carrier.max_dbu
    if end.gear.category in SET_BY_HAND and carrier.nominal_dbu is not None:
        peak = _lower(peak, carrier.nominal_dbu + PEAKS_OVER_NOMINAL_DB)
    return Level(carrier.nominal_dbu, peak, carrier.noise_dbu)


def _highest(end: End) -> float | None:
    return end.port.carrier.max_dbu if isinstance(end.port.carrier, Audio) else None


@once_each
def _leg_lost_db(patch: Patch, coupling: Coupling) -> float:
    """Return what a connection itself takes: 6 dB where one of two driven legs is left behind."""
    if not _drives_both(coupling.source.carrier) or not coupling.cables:
        return 0.0
    whole = coupling.consequences[0] is Consequence.FITS and all(one.wiring != "unbalanced" for one in coupling.cables)
    return 0.0 if whole else ONE_LEG_DB


def _leg_left_behind_db(patch: Patch, end: End, ways: list[tuple[End, Path, Level]]) -> float:
    """Return what an adapter costs that goes on with one of the two legs a driver gives: 6 dB, or nothing."""
    carrier = end.port.carrier
    if end.gear.category != "adapter" or not isinstance(carrier, Audio) or carrier.balance != "unbalanced":
        return 0.0
    for into, _, _ in ways:
        arrives_whole = all(
            isinstance(hop, Hop) and _leg_lost_db(patch, hop.coupling) == 0.0 for _, hop in patch.steps_into(into.node)
        )
        if arrives_whole and drives_both_legs(behind_wires(patch, into.node)):
            return ONE_LEG_DB
    return 0.0


def drives_both_legs(end: End) -> bool:
    """Return whether an output drives both its legs: a microphone's coil and a transformer float."""
    return _drives_both(end.port.carrier)


def _drives_both(carrier: Carrier) -> bool:
    return (
        isinstance(carrier, Audio)
        and carrier.balance == "balanced"
        and carrier.layout == "mono"
        and carrier.level != "mic"
    )


def _sum(parts: list[Level]) -> Level:
    """Return several levels added in power; one is itself."""
    if len(parts) == 1:
        return parts[0]
    columns = zip(*parts, strict=True)
    return Level(*(_sum_known(column) for column in columns))


def _sum_known(parts: Iterable[float | None]) -> float | None:
    known = [one for one in parts if one is not None]
    return power_sum_db(known) if known else None


def _noise(own: Level, brought: Level) -> float | None:
    return _sum_known((own.noise_dbu, brought.noise_dbu))


def _lower(one: float | None, other: float | None) -> float | None:
    known = [value for value in (one, other) if value is not None]
    return min(known) if known else None
