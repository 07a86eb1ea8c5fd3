"""Lifelines: every single thing between a source and where it must arrive, and what falls silent with it.

Both directions: from what is played to the house, and from the house to the
player's ears. Looked at are the units and cables of the rig, the pieces of its
landings, and the strips and supplies behind them; the house's own gear is the
house's care. Whether there is a spare is in :mod:`rigcore.patch.spares`, the way
round in ``solve.bypass``.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from msgspec import Struct

from rigcore.book.rig import HandOff, Owner
from rigcore.catalogue.gear import Path
from rigcore.patch.build import Hop, Node, Patch
from rigcore.patch.channels import own_lines
from rigcore.patch.cuts import cuts, touching
from rigcore.patch.feeding import feeds, kept_alive_by
from rigcore.patch.once import once_a_patch, once_each
from rigcore.patch.plugs import Key
from rigcore.patch.walk import downstream, sources

_SOUNDS = ("in-ear", "monitor", "loudspeaker")
_PASSIVE = ("wire", "transformer", "resistive")

_Wire = tuple[Hop, int]
"""One cable of a connection, counted from its source."""

_Way = tuple[Node, Node]
"""A way through a unit that needs the unit's power."""

_Vertex = Node | _Wire | _Way


class Item(Struct, frozen=True):
    """One thing that can fail.

    ``unit`` is the unit's id, ``link`` the link of a cable inside the rig; else ``hand_off`` and
    ``piece`` (from 1) are the place in a landing's chain. ``type`` is a gear or cable type by id, ``length_m``
    the length of a cable. ``what`` is the kind of thing as spoken, ``place`` where it is: a unit's name, a line,
    or what a cable joins.
    """

    kind: Literal["unit", "cable", "box"]
    type: str
    what: str
    place: str
    owner: Owner
    unit: str = ""
    link: str = ""
    hand_off: str = ""
    piece: int = 0
    length_m: float = 0.0

    @property
    def name(self) -> str:
        """The thing as spoken, with its place."""
        return self.place if self.kind == "unit" else f"{self.what}, {self.place}"


class Goal(Struct, frozen=True):
    """Where sound must arrive: by a hand-off that must land, or at a loudspeaker of the rig's own.

    ``ends`` are the ports that count, any of them; ``sources`` where the sound begins.
    """

    name: str
    hand_off: HandOff | None
    ends: tuple[Node, ...]
    sources: tuple[Node, ...]


class Loss(Struct, frozen=True):
    """What one goal loses: some of its sources, or all."""

    goal: Goal
    sources: frozenset[Node]

    @property
    def whole(self) -> bool:
        """Whether nothing is left there."""
        return len(self.sources) == len(self.goal.sources)


class Lifeline(Struct, frozen=True):
    """A single point of failure, what is lost with it, and that in words."""

    item: Item
    losses: tuple[Loss, ...]
    silent: tuple[str, ...]

    @property
    def words(self) -> str:
        """What falls silent, as spoken."""
        return ", ".join(self.silent)


@once_a_patch
def lifelines(patch: Patch) -> tuple[Lifeline, ...]:
    """Return every single point of failure, those that silence most first.

    Each source is followed to each goal alone: what only carries a second way is none.
    """
    things = _things(patch)
    by_vertex = touching(things)
    found: dict[Item, list[Loss]] = {}
    for goal in goals(patch):
        lost_with = cuts(lambda at: _before(patch, at), goal.ends, goal.sources, things, at=by_vertex)
        for item, lost in lost_with.items():
            found.setdefault(item, []).append(Loss(goal, frozenset(one for one in goal.sources if one in lost)))
    order = {item: number for number, item in enumerate(things)}
    made = [Lifeline(item, tuple(losses), _silent(patch, losses)) for item, losses in found.items()]
    return tuple(sorted(made, key=lambda one: (-_weight(one.losses), order[one.item])))


def items(patch: Patch) -> tuple[Item, ...]:
    """Return everything that can fail, whether it silences anything or not, in the order of the book."""
    return tuple(_things(patch))


def _weight(losses: tuple[Loss, ...]) -> float:
    return sum(1.0 if loss.whole else len(loss.sources) / len(loss.goal.sources) for loss in losses)


@once_a_patch
def goals(patch: Patch) -> tuple[Goal, ...]:
    """Return where sound must arrive, most important first.

    Where nothing must reach the house, the loudspeakers the rig brings are what the audience hears.
    """
    musts = [(one, landing) for one, landing in own_lines(patch) if one.importance == "must"]
    found = []
    for hand_off, landing in sorted(musts, key=lambda one: one[0].order):
        socket, top = patch.socket(landing), Node("rig", hand_off.unit, hand_off.port)
        if hand_off.direction == "to house":
            ends = tuple(Node("house", socket.unit, port) for port in socket.ports)
            found.append(Goal(hand_off.name, hand_off, ends, tuple(one.node for one in sources(patch, top))))
        else:
            begin = (Node("house", socket.unit, socket.ports[0]),)
            found.append(Goal(hand_off.name, hand_off, _ears(patch, top), begin))
    if not any(goal.hand_off is not None and goal.hand_off.direction == "to house" for goal in found):
        found += _own_loudspeakers(patch)
    return tuple(goal for goal in found if goal.sources)


def _ears(patch: Patch, top: Node) -> tuple[Node, ...]:
    """Return the ports of what sounds at the player behind a hand-off; the hand-off itself where nothing does."""
    last = [
        node for node in downstream(patch, top)
        if patch.end(node).gear.category in _SOUNDS and not patch.steps_out_of(node)
    ]  # fmt: skip
    return tuple(node for node in last if patch.end(node).port.direction == "in") or tuple(last) or (top,)


def _own_loudspeakers(patch: Patch) -> Iterator[Goal]:
    for unit in patch.units.values():
        gear = patch.catalogue.gear_type(unit.gear)
        if unit.owner == "rig" and gear.category in ("loudspeaker", "monitor"):
            ends = tuple(end.node for end in patch.ends_of["rig", unit.id] if end.port.direction == "in")
            begin = {source.node: None for end in ends for source in sources(patch, end)}
            yield Goal(unit.name, None, ends, tuple(begin))


def _before(patch: Patch, at: _Vertex) -> tuple[_Vertex, ...]:
    """Return what lies one step upstream: ports, cables, and the ways through a unit that need its power."""
    if isinstance(at, Node):
        return tuple(_entry(before, at, step) for before, step in patch.steps_into(at))
    first, second = at
    if isinstance(first, Node):
        return (first,)
    assert isinstance(second, int)  # a cable
    return ((first, second - 1),) if second else (first.source.node,)


def _entry(before: Node, at: Node, step: Hop | Path) -> _Vertex:
    if isinstance(step, Hop):
        return (step, len(step.cables) - 1) if step.cables else before
    return before if step.kind in _PASSIVE else (before, at)


@once_a_patch
def _things(patch: Patch) -> dict[Item, frozenset[_Vertex]]:
    """Return everything that can fail with all that fails with it, units first, in the order of the book."""
    found: dict[Item, set[_Vertex]] = {}
    for key, item in _units(patch):
        found[item] = {end.node for end in patch.ends_of[key]}
        found[item].update(*(_powered(patch, one) for one in kept_alive_by(patch, key)))
    fed = {feed.hop: feed.taker for feed in feeds(patch) if feed.hop is not None}
    for hop in patch.hops:
        for number in range(len(hop.cables)):
            vertices = found.setdefault(_cable(patch, hop, number), set())
            vertices.add((hop, number))
            if hop in fed:
                vertices.update(*(_powered(patch, one) for one in (fed[hop], *kept_alive_by(patch, fed[hop]))))
    return {item: frozenset(vertices) for item, vertices in found.items()}


def _units(patch: Patch) -> Iterator[tuple[Key, Item]]:
    for unit in patch.units.values():
        what = patch.catalogue.gear_type(unit.gear).name
        yield ("rig", unit.id), Item("unit", unit.gear, what, unit.name, unit.owner, unit=unit.id)
    for landing in patch.gig.landings:
        line = patch.hand_off(landing).name
        for number, piece in enumerate(landing.chain, start=1):
            if piece.kind == "gear":
                what, hand_off = patch.catalogue.gear_type(piece.gear).name, landing.hand_off
                box = Item("box", piece.gear, what, line, piece.owner, hand_off=hand_off, piece=number)
                yield ("chain", f"{hand_off}/{number}"), box


def _cable(patch: Patch, hop: Hop, number: int) -> Item:
    cable, length_m = hop.cables[number]
    what, owner = cable.of(f"{length_m:g} m"), hop.owners[number]
    if hop.link is not None:
        place = hop.link.label or f"{hop.source.words} to {hop.target.words}"
        return Item("cable", cable.id, what, place, owner, link=hop.link.id, length_m=length_m)
    assert hop.landing is not None  # a hop comes from one or the other
    place, piece = patch.hand_off(hop.landing).name, hop.piece - len(hop.cables) + number
    return Item(
        "cable", cable.id, what, place, owner, hand_off=hop.landing.hand_off, piece=piece, length_m=length_m
    )


@once_each
def _powered(patch: Patch, key: Key) -> tuple[_Vertex, ...]:
    """Return what of a unit stops without power: where its sound begins, and its active ways. Passive ones go on."""
    ends = patch.ends_of[key]
    begins = [end.node for end in ends if end.port.id in end.gear.source_ports]
    active = [path for path in ends[0].gear.paths if path.kind not in _PASSIVE] if ends else []
    return (*begins, *((Node(*key, path.source), Node(*key, path.target)) for path in active))


def _silent(patch: Patch, losses: list[Loss]) -> tuple[str, ...]:
    """Return what falls silent in words: lines that are lost whole, and sources lost out of a mix."""
    if len(losses) == len(goals(patch)) > 1 and all(loss.whole for loss in losses):
        return ("everything",)
    words = line_names([loss.goal for loss in losses if loss.whole])
    gone: dict[str, list[Goal]] = {}
    for loss in losses:
        for name in _source_names(patch, loss) if not loss.whole else ():
            gone.setdefault(name, []).append(loss.goal)
    for name, where in gone.items():
        everywhere = len(where) == len(goals(patch))
        words.append(name if everywhere else f"{name} in {', '.join(line_names(where))}")
    return tuple(words)


def line_names(lost: list[Goal]) -> list[str]:
    """Return the names of goals, both halves of a stereo pair as one.

    Halves are one where their hand-offs say so and their names differ by a last L or R.
    """
    words: dict[str, None] = {}
    for goal in lost:
        stem, _, side = goal.name.rpartition(" ")
        group = goal.hand_off.group if goal.hand_off is not None else None
        halves = [one for one in lost if group and one.hand_off is not None and one.hand_off.group == group]
        both = {f"{stem} L", f"{stem} R"} <= {one.name for one in halves}
        words[stem if both and side in ("L", "R") else goal.name] = None
    return list(words)


def _source_names(patch: Patch, loss: Loss) -> list[str]:
    """Return the sources a mix loses: a unit by its name if all of it is gone, else by its port too."""
    names: dict[str, None] = {}
    for node in loss.goal.sources:
        if node in loss.sources:
            here = [one for one in loss.goal.sources if one.unit == node.unit]
            end = patch.end(node)
            names[end.name if loss.sources.issuperset(here) else end.words] = None
    return list(names)
