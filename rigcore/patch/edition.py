"""What a packet of this gig says, as data: kept with each letter, so that the next one can say what changed.

Facts only, never their wording: a better sentence in the program must not raise a letter.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable

from rigcore.book.gig import CablePiece, GearPiece, Letter, Sent, SentPart, SentPlace, SentRow
from rigcore.patch.build import Node, Patch
from rigcore.patch.channels import Channel, channels, own_lines
from rigcore.patch.once import once_a_patch
from rigcore.patch.phantom import needs_phantom
from rigcore.patch.power import places, watts
from rigcore.patch.walk import line_up


@once_a_patch
def content(patch: Patch) -> Sent:
    """Return what the packet of a gig says: rows, places on the plot, and digests of the rest."""
    return Sent(
        rows=tuple(_row(patch, channel) for channel in channels(patch)),
        places=tuple(
            SentPlace(unit=unit.id, name=unit.name, x_m=unit.x_m, y_m=unit.y_m, rotation_deg=unit.rotation_deg)
            for unit in patch.units.values()
            if unit.x_m is not None and unit.y_m is not None
        ),
        parts=tuple(
            SentPart(name=name, digest=_short_digest(facts))
            for name, facts in (
                ("title and contact", _heading(patch)), ("monitor mixes", _mixes(patch)),
                ("power", _power(patch)), ("what the house supplies", _asked(patch)), ("the stage", _stage(patch)),
            )
        ),
    )


def held_letter(patch: Patch) -> Letter | None:
    """Return the letter that says what the book says now, if the last one sent does."""
    last = patch.gig.letters[-1] if patch.gig.letters else None
    return last if last is not None and last.digest == content(patch).digest else None


def letter_before(patch: Patch) -> Letter | None:
    """Return the letter a packet printed now replaces: the last one that says something else."""
    letters = patch.gig.letters
    older = letters[:-1] if held_letter(patch) is not None else letters
    return older[-1] if older else None


def _row(patch: Patch, channel: Channel) -> SentRow:
    sockets = [Node("house", channel.socket.unit, port) for port in channel.socket.ports]
    line = [patch.end(node) for node, _ in line_up(patch, sockets[0])]
    boxes = dict.fromkeys(
        f"{end.gear.id} {end.owner}{' pad' * end.setting.pad}" for end in line if end.node.place != "house"
    )
    unit = patch.units.get(channel.origin.node.unit) if channel.origin.node.place == "rig" else None
    stand = unit.stand if unit is not None else None
    hand_off = channel.hand_off
    notes = ("ears only" if hand_off.ears_only else "", hand_off.note, unit.note if unit else "", channel.landing.note)
    return SentRow(
        hand_off=hand_off.id, name=hand_off.name, act=channel.number, house=channel.socket.number,
        socket=channel.socket.label, via=", ".join(boxes)[:2000],
        stand=f"{stand.kind}, {stand.owner}" if stand is not None else "",
        phantom=any(needs_phantom(patch, node) for node in sockets),
        note="; ".join(note for note in notes if note)[:2000],
    )


def _heading(patch: Patch) -> list[object]:
    gig, book, house = patch.gig, patch.book, patch.house
    return [
        gig.act or book.owner, gig.about, gig.contact or book.contact, str(gig.date), gig.on_stage,
        str(gig.valid_until), house.name, house.place, house.changeover_min,
    ]


def _mixes(patch: Patch) -> list[object]:
    return [
        (patch.socket(landing).number, patch.socket(landing).label, one.name, one.note, one.side, one.group,
         patch.units[one.unit].name, patch.units[one.unit].gear)
        for one, landing in own_lines(patch)
        if one.direction == "from house"
    ]


def _power(patch: Patch) -> list[object]:
    return [
        (place.name, len(place.in_wall), sorted(
            (unit.name, watts(patch, unit))
            for unit in (patch.units[plug.key[1]] for plug in place.loads if plug.key[0] == "rig")
        ))
        for place in places(patch)
    ]


def _asked(patch: Patch) -> list[object]:
    """Return what the house lends: units, stands, and the cables and boxes of landings."""
    units = [
        (unit.name, unit.gear, unit.owner, (unit.stand.kind, unit.stand.owner) if unit.stand else ())
        for unit in patch.units.values()
    ]
    pieces: list[object] = []
    for landing in patch.gig.landings:
        for piece in landing.chain:
            if isinstance(piece, CablePiece):
                pieces.append((landing.hand_off, piece.cable, piece.length_m, piece.owner))
            elif isinstance(piece, GearPiece):
                pieces.append((landing.hand_off, piece.gear, piece.owner))
    return [units, pieces]


def _stage(patch: Patch) -> list[object]:
    house = patch.house
    boxes = [(unit.name, unit.gear, unit.x_m, unit.y_m) for unit in house.units]
    return [house.stage.model_dump(mode="json"), boxes, [(one.label, one.number) for one in house.sockets]]


def _short_digest(facts: Iterable[object]) -> str:
    plain = json.dumps(list(facts), ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(plain.encode()).hexdigest()[:16]
