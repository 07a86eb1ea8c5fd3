"""Reads what lies between rig and house: one cable, several joined, adapters between, all in one cell.

``xlr``, ``xlr 10 m + xlr 10 m`` and ``xlr 5 m + adapter-xlr3f-trs6m`` are such
cells; the order is that of the row, from its first end to its second.
"""

from __future__ import annotations

import re

from pydantic import ValidationError

from rigcore.book.gig import CablePiece, GearPiece, Piece
from rigcore.book.rig import Owner
from rigcore.book.sheets.cells import Cells, Names, metres
from rigcore.catalogue.cables import CableType
from rigcore.catalogue.gear import GearType

MOST_PIECES = 12


def chain_of(cells: Cells, names: Names, owner: Owner) -> tuple[Piece, ...]:
    """Return the pieces of a landing in the order of the row; what does not hold is noted."""
    text = cells.line("cable")
    if not text:
        return ()
    parts = [part for part in re.split(r"\s\+\s|\s*→\s*|\s>\s", text) if part]
    if len(parts) > MOST_PIECES:
        cells.note("cable", f"has more than {MOST_PIECES} pieces")
        return ()
    given = cells.metres("length")
    found = [_part(cells, names, part) for part in parts]
    bare = [thing for thing, length in (one for one in found if one) if isinstance(thing, CableType) and length is None]
    if given is not None and len(bare) != 1:
        cells.note("length", "write the length of each of several cables beside it: xlr 10 m + xlr 5 m")
    pieces = []
    for one in found:
        piece = None if one is None else _piece(cells, one[0], one[1] or given, owner)
        if piece is not None:
            pieces.append(piece)
    return tuple(pieces)


def _part(cells: Cells, names: Names, text: str) -> tuple[CableType | GearType, float | None] | None:
    """Return one part of the cell: a cable type with its length if it says so, or a gear type."""
    whole = names.cable(text)
    if whole is not None:
        return whole, None
    split = re.fullmatch(r"(.*\S)\s+([0-9][0-9.,]*\s*[^\s0-9]*)", text)
    cable = names.cable(split[1]) if split else None
    if split and cable is not None:
        try:
            return cable, metres(split[2])
        except ValueError as error:
            cells.note("cable", str(error))
            return None
    gear = names.gear(text)
    if gear is not None:
        return gear, None
    known = [*names.catalogue.cables, *(one.id for one in names.catalogue.gear.values() if one.category == "adapter")]
    cells.note("cable", f"there is no cable or adapter '{text[:60]}'{cells.problems.nearest(text, known)}")
    return None


def _piece(
    cells: Cells, thing: CableType | GearType, length_m: float | None, owner: Owner
) -> Piece | None:
    try:
        if isinstance(thing, CableType):
            lengths = thing.stock_lengths_m
            usual = min((one for one in lengths if one >= 5.0), default=max(lengths))
            return CablePiece(
                kind="cable", cable=thing.id, length_m=usual if length_m is None else length_m, owner=owner
            )
        enter = [port.id for port in thing.ports if port.direction == "in" and port.carrier.medium != "mains"]
        leave = [port.id for port in thing.ports if port.direction == "out" and port.carrier.medium != "mains"]
        if len(enter) != 1 or len(leave) not in (1, 2):
            cells.note("cable", f"{thing.name} has several ways through it; make it a unit with rows of its own")
            return None
        return GearPiece(kind="gear", gear=thing.id, enter=enter[0], leave=tuple(leave), owner=owner)
    except ValidationError as error:
        cells.refused(error, {"length_m": "length"})
        return None
