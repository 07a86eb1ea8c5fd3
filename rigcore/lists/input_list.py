"""The input list: one row for each line that reaches the house."""

from __future__ import annotations

from msgspec import Struct

from rigcore.book.rig import Owner, Stand, Unit
from rigcore.patch.build import End, Node, Patch
from rigcore.patch.channels import Channel, channels
from rigcore.patch.once import once_a_patch
from rigcore.patch.phantom import needs_phantom
from rigcore.patch.walk import line_up

OWNER_WORDS: dict[Owner, str] = {"rig": "ours", "house": "yours"}
THEIR_WORDS: dict[Owner, str] = {"rig": "our", "house": "your"}


class InputRow(Struct, frozen=True):
    """One row of the input list.

    ``act`` is the act's own number, ``house`` the house's; ``via`` says microphone,
    DI or direct and who supplies it; ``mate`` is the act number of the stereo
    partner; ``phantom`` is whether the line requires 48 V; ``note`` is what the player wrote, among the ``notes``;
    ``units`` are the rig's own the line runs through.
    """

    act: int
    house: int
    socket: str
    block: str
    name: str
    source: str
    via: str
    supplier: Owner
    stand: Stand | None
    phantom: bool
    mate: int | None
    side: str
    notes: tuple[str, ...]
    hand_off: str
    dis: tuple[tuple[Node, Owner], ...] = ()
    note: str = ""
    units: tuple[str, ...] = ()

    @property
    def stand_words(self) -> str:
        """The stand with its supplier, or a dash."""
        return f"{self.stand.kind}, {OWNER_WORDS[self.stand.owner]}" if self.stand else "–"


@once_a_patch
def input_list(patch: Patch) -> tuple[InputRow, ...]:
    """Return the rows of the house's input list, in channel order."""
    return tuple(_row(patch, channel) for channel in channels(patch))


def _row(patch: Patch, channel: Channel) -> InputRow:
    sockets = [Node("house", channel.socket.unit, port) for port in channel.socket.ports]
    line = [patch.end(node) for node, _ in line_up(patch, sockets[0])]
    dis = _dis(line)
    begin = channel.origin
    unit = patch.units.get(begin.node.unit) if begin.node.place == "rig" else None
    via, supplier = _via(begin, dis, line)
    return InputRow(
        act=channel.number,
        house=channel.socket.number,
        socket=channel.socket.label,
        block=channel.socket.block,
        name=channel.hand_off.name,
        source=begin.name,
        via=via,
        supplier=supplier,
        stand=unit.stand if unit is not None else None,
        phantom=any(needs_phantom(patch, node) for node in sockets),
        mate=channel.mate,
        side=channel.hand_off.side,
        notes=_notes(channel, line, unit),
        hand_off=channel.hand_off.id,
        dis=tuple(dis),
        note=channel.hand_off.note,
        units=tuple(dict.fromkeys(end.node.unit for end in (begin, *line) if end.node.place == "rig")),
    )


def _dis(line: list[End]) -> list[tuple[Node, Owner]]:
    """Return the DI channels on a line: output port and owner, nearest the house first."""
    return [
        (end.node, end.owner)
        for end in line
        if end.gear.category == "di" and end.port.direction == "out" and end.port.role != "thru"
    ]


def _via(begin: End, dis: list[tuple[Node, Owner]], line: list[End]) -> tuple[str, Owner]:
    if dis:
        node, owner = dis[-1]
        box = next(end for end in line if end.node == node)
        carrier = box.port.carrier
        kind = "active DI" if getattr(carrier, "phantom", "") == "needs" else "passive DI"
        return f"{kind}, {OWNER_WORDS[owner]}", owner
    if begin.gear.category == "microphone":
        kind = "condenser mic" if getattr(begin.port.carrier, "phantom", "") == "needs" else "dynamic mic"
        split = next((end for end in line if end.gear.category == "splitter"), None)
        if split is not None and split.owner == begin.owner:
            return f"{kind}, {THEIR_WORDS[split.owner]} splitter", begin.owner
        words = f"{kind}, {OWNER_WORDS[begin.owner]}"
        if split is not None:
            words += f", {THEIR_WORDS[split.owner]} splitter"
        return words, begin.owner
    return f"direct, {OWNER_WORDS[begin.owner]}", begin.owner


def _notes(channel: Channel, line: list[End], unit: Unit | None) -> tuple[str, ...]:
    notes = []
    if channel.hand_off.ears_only:
        notes.append("EARS ONLY, never to the PA")
    if channel.mate is not None:
        notes.append(f"pair with {channel.mate}")
    if any(end.setting.pad for end in line):
        notes.append("pad in")
    if channel.family == "vocals" and not any(path.processes for end in line for path in end.gear.paths):
        notes.append("dry")
    for text in (channel.hand_off.note, unit.note if unit is not None else "", channel.landing.note):
        if text:
            notes.append(text)
    return tuple(notes)
