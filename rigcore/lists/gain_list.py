"""The gain list, one row for each input with a gain, and the ladders of the lines, with their words.

A ladder is drawn elsewhere; here is which lines a thing of the book lies on and
what is to be said of each. Levels are computed by the patch.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from rigcore.book.rig import Owner
from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import End, Hop, Node, Patch
from rigcore.patch.channels import channels, own_lines
from rigcore.patch.ladder import GainAdvice, Rung, gain_plan, ladder
from rigcore.patch.once import once_a_patch
from rigcore.patch.walk import line_up, origin
from rigcore.rules.rule import Thing
from rigcore.rules.words import decibels, level

FEWEST_RUNGS = 2
"""A single stage is no ladder."""


class GainRow(Struct, frozen=True):
    """The gain to dial at one input, and what arrives there.

    ``name`` is what arrives, ``input`` where; ``number`` is the house's number of
    the line, None at our own inputs. Levels are dBu, gains and head-room dB.
    """

    node: Node
    owner: Owner
    number: int | None
    name: str
    input: str
    nominal_dbu: float | None
    peak_dbu: float | None
    gain_db: float
    dialled_db: float | None
    head_room_db: float | None
    problem: str

    @property
    def gain_words(self) -> str:
        """The gain to dial with sign and unit."""
        return signed(self.gain_db)

    @property
    def is_dialled(self) -> bool:
        """Whether just this gain is dialled."""
        return self.dialled_db is not None and abs(self.dialled_db - self.gain_db) < 0.05


class Ladder(Struct, frozen=True):
    """One line, stage by stage, ready to be drawn.

    ``tightest`` is the stage with the least head-room, None where no stage says
    where it clips (of equal ones the first); ``gain`` is the gain to dial at the last
    stage, if it has one. A source has no clip of its own: its peak is the most it gives.
    """

    title: str
    rungs: tuple[Rung, ...]
    tightest: Rung | None
    gain: GainRow | None

    @property
    def head_room_words(self) -> str:
        """The head-room of the tightest stage in one sentence."""
        rung = self.tightest
        if rung is None or rung.head_room_db is None or rung.level.peak_dbu is None:
            return "No stage here says where it clips."
        peak, room = level(rung.level.peak_dbu), rung.head_room_db
        if room < -0.05:
            return f"{words_of(rung)} clips: peak {peak}, {decibels(-room)} over clip."
        return f"Tightest at {words_of(rung)}: peak {peak}, {decibels(abs(room))} under clip."

    @property
    def room_figure(self) -> str:
        """The head-room of the tightest stage as a bare figure in dB, with one decimal below 10, or nothing."""
        if self.tightest is None or self.tightest.head_room_db is None:
            return ""
        room = round(self.tightest.head_room_db, 1) or 0.0
        return (f"{room:.1f}" if abs(room) < 10.0 else f"{room:.0f}").replace("-", "−")

    @property
    def gain_words(self) -> str:
        """The gain to dial at the last stage in one sentence, or nothing."""
        if self.gain is None:
            return ""
        words = f"Gain to dial at {self.gain.input}: {self.gain.gain_words}"
        return f"{words}, but {self.gain.problem}." if self.gain.problem else f"{words}."

    @property
    def spoken(self) -> str:
        """The whole ladder in words, for who cannot see it."""
        stages = [f"{words_of(rung)}: {', '.join(figures_of(rung))}" for rung in self.rungs]
        return " ".join(part for part in ("; ".join(stages) + ".", self.head_room_words, self.gain_words) if part)


def signed(gain_db: float) -> str:
    """Return a gain with sign and unit.

    >>> signed(-0.04), signed(46.02), signed(-5.4)
    ('0.0 dB', '+46.0 dB', '−5.4 dB')
    """
    rounded = round(gain_db, 1)
    return f"{rounded:+.1f} dB".replace("-", "−") if rounded else "0.0 dB"


def words_of(rung: Rung) -> str:
    """Return the stage of a rung as spoken: unit and port."""
    return f"{rung.name} {rung.port}"


def figures_of(rung: Rung) -> tuple[str, ...]:
    """Return what is known of a rung, each figure named and with its unit, from the top down."""
    named = (
        ("clip", rung.clip_dbu), ("peak", rung.level.peak_dbu),
        ("nominal", rung.level.nominal_dbu), ("noise floor", rung.level.noise_dbu),
    )
    return tuple(f"{name} {level(value)}" for name, value in named if value is not None)


@once_a_patch
def gain_list(patch: Patch) -> tuple[GainRow, ...]:
    """Return the inputs with a gain that something is plugged into: ours in the order of the rig, then the house's.

    The house's stand in the order of its numbers.
    """
    named = _names(patch)
    rows = [_row(patch, advice, named) for advice in gain_plan(patch)]
    ours = [row for row in rows if row.owner == "rig"]
    theirs = [row for row in rows if row.owner == "house"]
    return (*ours, *sorted(theirs, key=lambda row: (row.number is None, row.number or 0)))


def gain_at(patch: Patch, node: Node) -> GainRow | None:
    """Return the gain to dial at a port, None where there is none to dial or nothing arrives."""
    return next((row for row in gain_list(patch) if row.node == node), None)


@once_a_patch
def channel_ladders(patch: Patch) -> tuple[Ladder, ...]:
    """Return the ladder of every channel whose levels are known, in the order of the input list."""
    titled = _ends(patch)
    nodes = [Node("house", one.socket.unit, one.socket.ports[0]) for one in channels(patch)]
    made = (_ladder(patch, node, titled[node]) for node in nodes)
    return tuple(one for one in made if one is not None)


def ladders_about(patch: Patch, thing: Thing) -> tuple[Ladder, ...]:
    """Return the ladders of the lines a thing lies on; empty where there is none or levels are unknown.

    A landing, a hand-off and a socket have one line, down to the house's socket (or
    from it, for what the house sends); a link has the line down to its target; a unit
    has each line through it, or through the port the thing names.
    """
    titled = _ends(patch)
    wanted = [(node, titled.get(node) or _title(patch, node)) for node in _nodes(patch, thing)]
    made = (_ladder(patch, node, title) for node, title in wanted)
    return tuple(one for one in made if one is not None)


def _nodes(patch: Patch, thing: Thing) -> tuple[Node, ...]:
    """Return the ports at which the ladders of a thing end."""
    if thing.kind in ("landing", "hand-off"):
        return _landed(patch, thing.id)
    if thing.kind == "socket":
        names = [one.hand_off for one in patch.gig.landings if one.socket == thing.id]
        return tuple(node for name in names for node in _landed(patch, name))
    if thing.kind == "link":
        link = patch.rig.link(thing.id)
        return (Node("rig", link.target.unit, link.target.port),) if link is not None else ()
    if thing.kind in ("unit", "house unit"):
        place = "rig" if thing.kind == "unit" else "house"
        return tuple(
            end for end, stages in _lines(patch)
            if any((one.place, one.unit) == (place, thing.id) and thing.port in ("", one.port) for one in stages)
        )
    return ()


def _landed(patch: Patch, hand_off_id: str) -> tuple[Node, ...]:
    hand_off, landing = patch.rig.hand_off(hand_off_id), patch.gig.landing(hand_off_id)
    if hand_off is None or landing is None:
        return ()
    if hand_off.direction == "from house":
        return (Node("rig", hand_off.unit, hand_off.port),)
    socket = patch.socket(landing)
    return (Node("house", socket.unit, socket.ports[0]),)


@once_a_patch
def _ends(patch: Patch) -> dict[Node, str]:
    """Return where the lines of a gig end, each with the title of its ladder: the house's first, then our own.

    An input of ours that a line to the house only passes is no end.
    """
    found = {
        Node("house", one.socket.unit, one.socket.ports[0]): f"{one.hand_off.name} → {one.socket.number}"
        for one in channels(patch)
    }
    passed = {node for end in found for node, _ in line_up(patch, end)}
    for end in _own_ends(patch):
        if end.node not in passed:
            found[end.node] = _title(patch, end.node)
    return found


def _own_ends(patch: Patch) -> Iterator[End]:
    """Yield our own inputs where a line ends: those with a gain, and those nothing follows."""
    gains = {advice.node for advice in gain_plan(patch)}
    for end in patch.ends():
        if end.node.place != "rig" or end.port.direction == "out" or not isinstance(end.port.carrier, Audio):
            continue
        is_fed = any(isinstance(step, Hop) for _, step in patch.steps_into(end.node))
        if is_fed and (end.node in gains or not patch.steps_out_of(end.node)):
            yield end


@once_a_patch
def _lines(patch: Patch) -> tuple[tuple[Node, frozenset[Node]], ...]:
    """Return where each line ends, with every port on it."""
    return tuple((end, frozenset(node for node, _ in line_up(patch, end))) for end in _ends(patch))


def _title(patch: Patch, node: Node) -> str:
    end = patch.end(node)
    number, name = _names(patch).get(node, (None, ""))
    return f"{name or _source_words(origin(patch, node))} → {number if number is not None else end.words}"


def _source_words(end: End) -> str:
    """Return where a line begins: the unit, and which of its outputs if it has several.

    At an input where several cables meet, the line begins in that input itself.
    """
    if end.port.direction == "in":
        return "several at once"
    outputs = [port for port in end.gear.ports if port.direction == "out" and isinstance(port.carrier, Audio)]
    return end.words if len(outputs) > 1 else end.name


@once_a_patch
def _names(patch: Patch) -> dict[Node, tuple[int | None, str]]:
    """Return what arrives at the house's inputs and from the house, with the house's number of the line."""
    found: dict[Node, tuple[int | None, str]] = {}
    for channel in channels(patch):
        for port in channel.socket.ports:
            found[Node("house", channel.socket.unit, port)] = (channel.socket.number, channel.hand_off.name)
    for hand_off, _ in own_lines(patch):
        if hand_off.direction == "from house":
            found[Node("rig", hand_off.unit, hand_off.port)] = (None, hand_off.name)
    return found


def _ladder(patch: Patch, node: Node, title: str) -> Ladder | None:
    """Return the ladder down to a port, None where it does not reach it."""
    rungs = ladder(patch, node)
    if len(rungs) < FEWEST_RUNGS or rungs[-1].node != node:
        return None
    first = patch.end(rungs[0].node)
    if first.gear.is_source(first.port.id):
        rungs = (replace(rungs[0], clip_dbu=None), *rungs[1:])
    known = [(round(room, 1), place) for place, rung in enumerate(rungs) if (room := rung.head_room_db) is not None]
    return Ladder(title, rungs, rungs[min(known)[1]] if known else None, gain_at(patch, node))


def _row(patch: Patch, advice: GainAdvice, named: dict[Node, tuple[int | None, str]]) -> GainRow:
    number, name = named.get(advice.node) or (None, _source_words(origin(patch, advice.node)))
    arriving = advice.arriving
    room = None
    if advice.clip_dbu is not None and arriving.peak_dbu is not None:
        room = advice.clip_dbu - arriving.peak_dbu
    return GainRow(
        node=advice.node,
        owner="house" if advice.node.place == "house" else "rig",
        number=number,
        name=name,
        input=advice.name,
        nominal_dbu=arriving.nominal_dbu,
        peak_dbu=arriving.peak_dbu,
        gain_db=round(advice.gain_db, 1),
        dialled_db=advice.dialled_db,
        head_room_db=room,
        problem=advice.problem,
    )
