"""Edits of a house as a whole: begin from a kind, sockets for the ports of a box, and keeping what a form drafted.

The first few work on a house that lies in no book yet; :func:`keep_house` puts it in.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from pydantic import ValidationError

from rigcore.book.book import Book
from rigcore.book.edits.houses import check_house, new_plan
from rigcore.book.edits.rebuild import checked, put_house, without_landings
from rigcore.book.house import House, HouseKind, Socket, Stage
from rigcore.book.house_kinds import house_kinds
from rigcore.book.ids import new_id
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.record import from_row
from rigcore.errors import EditRefused, UnknownThing

_ROWS = {
    "risers": "riser", "power": "power drop", "units": "box", "sockets": "socket", "stock": "stock line",
    "facts": "what the house said",
}
_HIGHEST_NUMBER = 9999


def house_from_draft(draft: Mapping[str, Any]) -> tuple[House | None, str]:
    """Return the house a table of plain values describes, or None with one sentence that says why not."""
    try:
        return from_row(House, draft), ""
    except ValidationError as error:
        return None, _sentence(draft, error)


def begin_as(house: House, kind: HouseKind, catalogue: Catalogue, *, landed: Collection[str] = ()) -> House:
    """Return the house with what houses of a kind commonly have, where it has nothing yet.

    The stage box of a new plan counts as nothing while no hand-off lands there.

    Parameters
    ----------
    landed
        Ids of the sockets some gig lands on.
    """
    usual = house_kinds()[kind]
    stage = house.stage
    if (stage.width_m, stage.depth_m) == (Stage().width_m, Stage().depth_m) and not stage.risers and not stage.power:
        stage = checked(stage, width_m=usual.width_m, depth_m=usual.depth_m)
    if not stage.power:
        inside = tuple(one for one in usual.power if abs(one.x_m) <= stage.width_m / 2 and one.y_m <= stage.depth_m)
        stage = checked(stage, power=inside)
    fields: dict[str, object] = {"kind": kind, "stage": stage, "stock": house.stock or usual.stock}
    first = new_plan(catalogue).houses[0]
    untouched = (house.units, house.sockets) == (first.units, first.sockets) and not landed
    if not house.units or untouched:
        fields |= {"units": usual.units, "sockets": usual.sockets}
    began = checked(house, **fields)
    if began.units == usual.units and not began.sockets:
        for unit in began.units:
            began = checked(began, sockets=(*began.sockets, *sockets_for(began, unit.id, catalogue)))
    return began


def sockets_for(house: House, unit_id: str, catalogue: Catalogue) -> tuple[Socket, ...]:
    """Return a socket for each audio port of a box that has none yet, numbered on from the highest of its direction.

    Raises
    ------
    EditRefused
        If the house has no such box, every port of it has a socket, or the numbers run out.
    """
    unit = house.unit(unit_id)
    if unit is None:
        raise UnknownThing(f"house '{house.name}' has no box '{unit_id}'", [unit_id])
    taken = {(one.unit, port) for one in house.sockets for port in one.ports}
    ids = {one.id for one in house.sockets}
    highest = {way: max((one.number for one in house.sockets if one.direction == way), default=0)
               for way in ("in", "out")}  # fmt: skip
    block = unit.name if house.sockets or len(house.units) > 1 else ""
    made = []
    for port in catalogue.gear_type(unit.gear).ports:
        if port.direction == "both" or port.carrier.medium != "audio" or (unit_id, port.id) in taken:
            continue
        highest[port.direction] += 1
        number = highest[port.direction]
        label = f"{number}" if port.direction == "in" else f"Mix {number}"
        name = new_id(f"in-{number}" if port.direction == "in" else f"mix-{number}", ids)
        ids.add(name)
        if number > _HIGHEST_NUMBER:
            raise EditRefused(f"numbers of sockets end at {_HIGHEST_NUMBER}; renumber them first", [unit_id])
        made.append(
            Socket(id=name, unit=unit_id, ports=(port.id,), direction=port.direction, number=number, label=label,
                   block=block[:120])
        )  # fmt: skip
    if not made:
        raise EditRefused(f"every audio port of {unit.name} has a socket already", [unit_id])
    return tuple(made)


def renumbered(house: House, unit_id: str, start: int) -> House:
    """Return the house with the sockets of one box numbered on from a number, in their order, each direction by itself.

    A label that said the old number says the new one.

    Raises
    ------
    EditRefused
        If the numbers run out.
    """
    following = {"in": start, "out": start}
    sockets = []
    for socket in house.sockets:
        if socket.unit == unit_id:
            number = following[socket.direction]
            following[socket.direction] += 1
            words = {f"{socket.number}": f"{number}", f"Mix {socket.number}": f"Mix {number}"}
            socket = checked(socket, number=number, label=words.get(socket.label, socket.label))
        sockets.append(socket)
    return checked(house, sockets=tuple(sockets))


def landings_on(book: Book, house_id: str, socket_ids: Collection[str]) -> dict[str, list[str]]:
    """Return, by socket, the hand-offs that land there, each as spoken, with its gig."""
    found: dict[str, list[str]] = {}
    for gig in book.gigs:
        for landing in gig.landings if gig.house == house_id else ():
            if landing.socket in socket_ids:
                hand_off = book.rig(gig.rig).hand_off(landing.hand_off)
                name = hand_off.name if hand_off is not None else landing.hand_off
                found.setdefault(landing.socket, []).append(f"{name} ({gig.name})")
    return found


def keep_house(book: Book, house: House, catalogue: Catalogue, *, unplug: bool = False) -> Book:
    """Return the book with a house in the place of its former self.

    Parameters
    ----------
    unplug
        Whether landings on sockets that are gone, or face the other way now, go with them.

    Raises
    ------
    EditRefused
        If gear or a port does not exist, or hand-offs still land on what is gone; the sentence names them.
    """
    check_house(house, book.with_catalogue(catalogue))
    lost = _lost(book.house(house.id), house)
    told = lost_sentence(book, house)
    if told and not unplug:
        raise EditRefused(told, sorted(lost))
    return put_house(_unplugged(book, house.id, lost), house)


def lost_sentence(book: Book, house: House) -> str:
    """Return which hand-offs land on sockets the new house lacks, in one sentence; nothing if none does."""
    old = book.house(house.id)
    landed = landings_on(book, house.id, _lost(old, house))
    names = {one.id: one.label for one in old.sockets}
    told = [f"{', '.join(who)} on {names[socket]}" for socket, who in landed.items()]
    if not told:
        return ""
    shown = "; ".join(told[:4]) + (f"; and {len(told) - 4} more" if len(told) > 4 else "")
    return f"These land on sockets that would be gone: {shown}. Keep the sockets, or unplug what lands there as well."


def _lost(old: House, new: House) -> set[str]:
    """Return the ids of the sockets that are gone or face the other way."""
    there = {(one.id, one.direction) for one in new.sockets}
    return {one.id for one in old.sockets if (one.id, one.direction) not in there}


def _unplugged(book: Book, house_id: str, lost: Collection[str]) -> Book:
    gigs = []
    for gig in book.gigs:
        gone = {one.hand_off for one in gig.landings if gig.house == house_id and one.socket in lost}
        gigs.append(checked(gig, landings=without_landings(gig.landings, gone)) if gone else gig)
    return checked(book, gigs=tuple(gigs))


def _sentence(draft: Mapping[str, Any], error: ValidationError) -> str:
    """Return the first fault in words: which row, which field, what it needs."""
    fault = error.errors()[0]
    row: Any = draft
    where, field = "", ""
    kind = ""
    for part in fault["loc"]:
        if isinstance(part, int):
            row = row[part] if part < len(row) else {}
            name = (row.get("name") or row.get("label") or row.get("type") or "") if isinstance(row, dict) else ""
            where = f"{kind} {part + 1}" + (f" '{name}'" if name else "")
            field = ""
        else:
            row = row.get(part, {}) if isinstance(row, dict) else {}
            kind = _ROWS.get(part, kind)
            field = part
    words = _needs(fault["type"], fault.get("ctx", {}), str(fault["msg"]))
    stem = field.rpartition("_")[0] if field.rpartition("_")[2] in ("m", "a", "ma", "v", "min") else field
    thing = ", ".join(filter(None, (where, "" if field in _ROWS else stem.replace("_", " "))))
    return f"{thing[:1].upper()}{thing[1:]} {words}." if thing else f"{words[:1].upper()}{words[1:]}."


def _needs(kind: str, limits: Mapping[str, Any], message: str) -> str:
    """Return what a field needs, for a kind of fault and its limits."""
    if kind in ("missing", "string_too_short"):
        return "must not be empty"
    if kind == "string_too_long":
        return f"must not be longer than {limits['max_length']} characters"
    for name, words in (("gt", "more than"), ("ge", "at least"), ("lt", "less than"), ("le", "at most")):
        if name in limits:
            return f"must be {words} {limits[name]:g}"
    return message.removeprefix("Value error, ")
