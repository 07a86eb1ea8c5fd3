"""The channels of a gig: which hand-off reaches which house line, in the trade's order.

Drums, percussion, bass, guitars, keys, playback, brass and strings, vocals,
then talkback and ambience; stereo pairs on odd-even numbers where a single
channel of the same family can be drawn forward to make it so.
"""

from __future__ import annotations

from typing import get_args

from msgspec import Struct

from rigcore.book.gig import Landing
from rigcore.book.house import Socket
from rigcore.book.rig import HandOff
from rigcore.catalogue.gear import SourceFamily
from rigcore.patch.build import End, Node, Patch
from rigcore.patch.once import once_a_patch
from rigcore.patch.walk import line_up, origin, sources

FAMILY_ORDER: tuple[SourceFamily, ...] = get_args(SourceFamily)


class Channel(Struct, frozen=True):
    """One line to the house. ``number`` is the act's own count from 1.

    ``origin`` is where the line begins, ``top`` the hand-off's own port,
    ``mate`` the number of the stereo partner or None.
    """

    number: int
    hand_off: HandOff
    landing: Landing
    socket: Socket
    top: Node
    origin: End
    sources: tuple[End, ...]
    family: SourceFamily
    mate: int | None = None


@once_a_patch
def channels(patch: Patch) -> tuple[Channel, ...]:
    """Return the channels of a gig in order.

    The gig's own ``order`` comes first, the rest follow by convention.
    """
    made = [_channel(patch, landing) for landing in patch.gig.landings]
    lines = [one for one in made if one is not None]
    place = {hand_off.id: number for number, hand_off in enumerate(patch.rig.hand_offs)}
    lines.sort(key=lambda one: (FAMILY_ORDER.index(one.family), place[one.hand_off.id]))
    given = {name: number for number, name in enumerate(patch.gig.order)}
    first = sorted((one for one in lines if one.hand_off.id in given), key=lambda one: given[one.hand_off.id])
    rest = [one for one in lines if one.hand_off.id not in given]
    return _numbered([*first, *_odd_even(rest, len(first) + 1)])


def pair_key(hand_off: HandOff) -> str | None:
    """Return what both halves of a stereo pair have in common, or None."""
    return hand_off.group if hand_off.side else None


def own_lines(patch: Patch) -> tuple[tuple[HandOff, Landing], ...]:
    """Return the landed audio hand-offs with their landings, in the order of the rig."""
    return tuple(
        (hand_off, landing)
        for hand_off in patch.rig.hand_offs
        if (landing := patch.gig.landing(hand_off.id)) is not None and is_audio(patch, hand_off)
    )


def is_audio(patch: Patch, hand_off: HandOff) -> bool:
    """Return whether audio crosses the house boundary here."""
    end = patch.end(Node("rig", hand_off.unit, hand_off.port))
    return end.port.carrier.medium == "audio"


def fallen_back_to(patch: Patch) -> frozenset[str]:
    """Return the hand-offs that stand in for others: they need no line of their own while those have one."""
    return frozenset(one.falls_back_to for one in patch.rig.hand_offs if one.falls_back_to is not None)


def is_settled(patch: Patch, hand_off: HandOff) -> bool:
    """Return whether a hand-off has landed, what it falls back to has, or its left half carries both sides."""
    names = (hand_off.id, hand_off.falls_back_to)
    if any(name is not None and patch.gig.landing(name) is not None for name in names):
        return True
    left = left_for_both(patch, hand_off)
    return left is not None and patch.gig.landing(left.id) is not None


def left_for_both(patch: Patch, hand_off: HandOff) -> HandOff | None:
    """Return the left half of a right one where its output alone carries both sides, or None."""
    if hand_off.side != "R" or hand_off.group is None:
        return None
    for other in patch.rig.hand_offs:
        if other.group == hand_off.group and other.side == "L" and other.unit == hand_off.unit:
            return other if patch.end(Node("rig", other.unit, other.port)).port.sums else None
    return None


def house_inputs(patch: Patch) -> tuple[Socket, ...]:
    """Return the sockets through which the house takes audio."""
    return tuple(
        socket
        for socket in patch.house.sockets
        if socket.direction == "in"
        and patch.end(Node("house", socket.unit, socket.ports[0])).port.carrier.medium == "audio"
    )


def _channel(patch: Patch, landing: Landing) -> Channel | None:
    hand_off = patch.hand_off(landing)
    if hand_off.direction != "to house" or landing.joins is not None or not is_audio(patch, hand_off):
        return None
    node = Node("rig", hand_off.unit, hand_off.port)
    begin = origin(patch, node)
    return Channel(
        0, hand_off, landing, patch.socket(landing), node, begin, sources(patch, node), _family(patch, node, begin)
    )


def _family(patch: Patch, node: Node, begin: End) -> SourceFamily:
    """Return the family of a line: what the player said of a unit on it, else what its source or sources play."""
    for step, _ in reversed(line_up(patch, node)):
        unit = patch.units.get(step.unit) if step.place == "rig" else None
        if unit is not None and unit.family is not None:
            return unit.family
    if begin.gear.family is not None:
        return begin.gear.family
    mixed = {one.gear.family for one in sources(patch, node)}
    if len(mixed) == 1 and (only := mixed.pop()) is not None:
        return only
    return "vocals" if begin.gear.category == "microphone" else "playback"


def _odd_even(lines: list[Channel], start: int) -> list[Channel]:
    """Return the lines with singles drawn forward, within their family, so that pairs start on odd numbers."""
    ordered: list[Channel] = []
    waiting = list(lines)
    while waiting:
        head = waiting[0]
        even = (start + len(ordered)) % 2 == 0
        if even and not _is_single(head, lines):
            single = next(
                (one for one in waiting if one.family == head.family and _is_single(one, lines)), None
            )
            head = single or head
        waiting.remove(head)
        ordered.append(head)
        key = pair_key(head.hand_off)
        mate = next((one for one in waiting if key is not None and pair_key(one.hand_off) == key), None)
        if mate is not None:
            waiting.remove(mate)
            ordered.insert(len(ordered) - (mate.hand_off.side == "L"), mate)
    return ordered


def _is_single(one: Channel, lines: list[Channel]) -> bool:
    key = pair_key(one.hand_off)
    return key is None or sum(pair_key(other.hand_off) == key for other in lines) == 1


def _numbered(lines: list[Channel]) -> tuple[Channel, ...]:
    numbers = {one.hand_off.id: number for number, one in enumerate(lines, start=1)}
    numbered = []
    for one in lines:
        key = pair_key(one.hand_off)
        mates = [
            numbers[other.hand_off.id]
            for other in lines
            if key is not None and other is not one and pair_key(other.hand_off) == key
        ]
        numbered.append(
            Channel(
                numbers[one.hand_off.id], one.hand_off, one.landing, one.socket, one.top, one.origin,
                one.sources, one.family, mates[0] if mates else None,
            )
        )
    return tuple(numbered)
