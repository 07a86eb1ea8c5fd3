"""The cable labels of a gig: two for each cable of ours, one for each end, with a number that occurs once.

A cable on the way to a channel carries the channel's number, with a letter where several lie on the
way; all others are numbered on from there. Colours follow the number (IEC 60062) and never stand alone.
What a sheet of labels looks like is not decided here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

from rigcore.lists.plot import place_words
from rigcore.patch.build import End, Hop, Node, Patch
from rigcore.patch.channels import channels
from rigcore.patch.walk import line_up
from rigcore.quantities.numbering import colours_of

ALPHABET = "abcdefghijklmnopqrstuvwxyz"


class CableLabel(Struct, frozen=True):
    """What stands on both labels of one cable; ``length_m`` is its length in m, if known."""

    number: int
    suffix: str
    one_end: str
    other_end: str
    cable: str
    length_m: float | None
    line: str
    colours: tuple[str, ...]

    @property
    def mark(self) -> str:
        """The number with its letter, as written large."""
        return f"{self.number}{self.suffix}"


def label_list(patch: Patch) -> tuple[CableLabel, ...]:
    """Return the labels of every cable the rig brings, channels first and in their order."""
    numbers = _channel_numbers(patch)
    names = {one.number: one.hand_off.name for one in channels(patch)}
    ours = [(hop, place) for hop in patch.runs for place in _own_cables(hop)]
    ours.sort(key=lambda one: numbers.get(one[0], 10**6))
    on_channel = Counter(numbers[hop] for hop, _ in ours if hop in numbers)
    used: Counter[int] = Counter()
    after = len(names)
    made = []
    for hop, place in ours:
        number = numbers.get(hop)
        suffix = ""
        if number is None:
            after += 1
            number, line = after, ""
        else:
            line = names[number]
            suffix = _suffix(used[number]) if on_channel[number] > 1 else ""
            used[number] += 1
        made.append(_label(patch, hop, place, (number, suffix, line)))
    return tuple(made)


def _own_cables(hop: Hop) -> Iterator[int]:
    """Yield the places of the player's own cables in a connection."""
    for place in range(len(hop.cables)):
        owner = hop.owners[place] if place < len(hop.owners) else "rig"
        if owner == "rig":
            yield place


def _channel_numbers(patch: Patch) -> dict[Hop, int]:
    """Return the channel each connection leads to; the first one counts."""
    found: dict[Hop, int] = {}
    for channel in channels(patch):
        node = Node("house", channel.socket.unit, channel.socket.ports[0])
        for _, step in line_up(patch, node):
            if isinstance(step, Hop):
                found.setdefault(step, channel.number)
    return found


def _label(patch: Patch, hop: Hop, place: int, marks: tuple[int, str, str]) -> CableLabel:
    number, suffix, line = marks
    cable, length_m = hop.cables[place]
    several = len(hop.cables) > 1
    one = _end_words(patch, hop.source) if place == 0 else f"cable before it, to {hop.source.name}"
    last = place == len(hop.cables) - 1
    other = _end_words(patch, hop.target) if last else f"next cable, to {hop.target.name}"
    known = length_m if several or hop.length_m is not None or hop.landing is not None else None
    return CableLabel(number, suffix, one, other, cable.name, known, line, colours_of(number))


def _end_words(patch: Patch, end: End) -> str:
    """Return one end as it reads on a label: at the house the socket's own label, and where it is."""
    if end.node.place != "house":
        return end.words
    for socket in patch.house.sockets:
        if socket.unit == end.node.unit and end.node.port in socket.ports:
            unit = patch.house.unit(socket.unit)
            spot = place_words((unit.x_m, unit.y_m), patch.house.stage) if unit is not None else ""
            return f"{socket.label}, {end.name}" + (f", {spot}" if spot else "")
    return end.words


def _suffix(place: int) -> str:
    """Return a, b … z, aa, ab … for the place of a cable on its line."""
    return (_suffix(place // 26 - 1) if place >= 26 else "") + ALPHABET[place % 26]
