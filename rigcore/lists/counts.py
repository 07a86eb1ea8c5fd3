"""The totals an engineer adds up anyway: computed, never typed."""

from __future__ import annotations

from collections import Counter

from msgspec import Struct

from rigcore.book.gig import CablePiece
from rigcore.book.rig import Owner
from rigcore.lists.input_list import InputRow, input_list
from rigcore.lists.output_list import OutputRow, output_list
from rigcore.lists.power_list import PowerRow, power_list
from rigcore.patch.build import Patch


class Lead(Struct, frozen=True):
    """So many cables of one type and length (m), by owner."""

    cable: str
    length_m: float | None
    owner: Owner
    count: int


class Counts(Struct, frozen=True):
    """Totals of one gig. ``stands``, ``dis`` and ``mics`` are by owner."""

    channels: int
    phantom: int
    stands: dict[Owner, int]
    dis: dict[Owner, int]
    mics: dict[Owner, int]
    mono_mixes: int
    stereo_mixes: int
    sends: int
    wedges: int
    outlets: int
    watts: float
    amps: float
    cautious_amps: float
    power: tuple[PowerRow, ...]
    leads: tuple[Lead, ...]
    wall_outlets: int

    def lead(self, cable: str, length_m: float | None = None, owner: Owner = "rig") -> int:
        """Return how many leads of a type (and length in m) are used."""
        return sum(
            one.count
            for one in self.leads
            if one.cable == cable and one.owner == owner and length_m in (None, one.length_m)
        )


def count(patch: Patch) -> Counts:
    """Return the totals of a gig."""
    rows, outputs, power = input_list(patch), output_list(patch), power_list(patch)
    stereo = {row.group for row in outputs if row.group is not None}
    return Counts(
        channels=len(rows),
        phantom=sum(row.phantom for row in rows),
        stands=_stands(patch),
        dis=_dis(rows),
        mics=_mics(patch),
        mono_mixes=sum(row.group is None for row in outputs),
        stereo_mixes=len(stereo),
        sends=len(outputs),
        wedges=_wedges(patch, outputs),
        outlets=sum(row.outlets for row in power),
        watts=sum(row.watts for row in power),
        amps=sum(row.amps for row in power),
        cautious_amps=sum(row.cautious_amps for row in power),
        power=power,
        leads=leads(patch),
        wall_outlets=sum(row.wall_outlets for row in power),
    )


def leads(patch: Patch) -> tuple[Lead, ...]:
    """Return the cables of rig and landings, counted by type, length and owner, commonest first."""
    found: Counter[tuple[str, float | None, Owner]] = Counter()
    for link in patch.rig.links:
        if link.cable is not None:
            found[link.cable, link.length_m, link.owner] += 1
    for landing in patch.gig.landings:
        for piece in landing.chain:
            if isinstance(piece, CablePiece):
                found[piece.cable, piece.length_m, piece.owner] += 1
    return tuple(Lead(*key, count=number) for key, number in found.most_common())


def _stands(patch: Patch) -> dict[Owner, int]:
    totals: dict[Owner, int] = {"rig": 0, "house": 0}
    for unit in patch.units.values():
        if unit.stand is not None:
            totals[unit.stand.owner] += 1
    return totals


def _mics(patch: Patch) -> dict[Owner, int]:
    totals: dict[Owner, int] = {"rig": 0, "house": 0}
    for unit in patch.units.values():
        if patch.catalogue.gear_type(unit.gear).category == "microphone":
            totals[unit.owner] += 1
    return totals


def _dis(rows: tuple[InputRow, ...]) -> dict[Owner, int]:
    totals: dict[Owner, int] = {"rig": 0, "house": 0}
    for _, owner in {di for row in rows for di in row.dis}:
        totals[owner] += 1
    return totals


def _wedges(patch: Patch, outputs: tuple[OutputRow, ...]) -> int:
    return sum(row.kind == "wedge" for row in outputs)
