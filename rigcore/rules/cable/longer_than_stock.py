"""A way longer than any single cable there is for it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rigcore.book.gig import CablePiece
from rigcore.catalogue.cables import CableType
from rigcore.patch.build import Hop, Patch
from rigcore.patch.counting import counted, is_counted
from rigcore.patch.joints import same_medium
from rigcore.patch.lengths import CableRun, cable_runs
from rigcore.patch.spares import spares
from rigcore.rules import basis, remedies, words
from rigcore.rules.cable_remedies import can_join, hop_of
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield a fault for each open landing no owned cable spans, a risk for each cable longer than the trade has."""
    for hop in patch.runs:
        for cable, length_m in hop.cables:
            longest = max(cable.stock_lengths_m)
            if longest < length_m <= cable.longest_m and not is_counted(patch, "rig", cable.id):
                yield _not_made(patch, hop, patch.catalogue.cable_type(cable.id), length_m)
    if not counted(patch)["rig"] or all(one.chain for one in patch.gig.landings):
        return
    for run in cable_runs(patch):
        if run.landing is not None and not run.landing.chain and run.required_m is not None:
            yield from _too_far(patch, run, run.required_m)


def _too_far(patch: Patch, run: CableRun, required_m: float) -> Iterator[Finding]:
    hop = hop_of(patch, run.of)
    if hop.facing != "along" or not same_medium(patch, hop):
        return
    pieces = _spare_pieces(patch, hop)
    if not pieces or pieces[0][1] >= required_m:
        return
    cable, longest = pieces[0]
    alike = [length for one, length in pieces if one is cable]
    taken = _joined(alike, required_m) if can_join(patch, cable) else []
    cure = f"join {_sum(taken)}" if taken else "what is left over does not reach joined either"
    yield Finding(
        RULE.id,
        "fault",
        f"{words.name_of(patch, hop)} needs {words.metres(required_m)}; the longest cable left over is "
        f"{cable.name}, {words.metres(longest)}: {cure}.",
        words.place(hop),
        (
            f"{words.metres(required_m)} > {words.metres(longest)}",
            f"{_sum(taken)} = {words.metres(sum(taken))}, {words.metres(round(sum(taken) - required_m, 2))} over"
            if taken
            else f"all of {cable.name} left over: {words.metres(sum(alike))}",
        ),
        _join(patch, hop, cable, taken),
    )


def _spare_pieces(patch: Patch, hop: Hop) -> list[tuple[CableType, float]]:
    """Return the cables to spare that could lie there, longest first: those that fit both ends if there are any."""
    medium = hop.source.port.carrier.medium
    fitting = patch.catalogue.cables_between(hop.source.port, hop.target.port)
    found = [
        (patch.catalogue.cables[thing.type], thing.length_m)
        for thing, count in spares(patch)["rig"].items()
        if thing.kind == "cable" and thing.type in patch.catalogue.cables
        and patch.catalogue.cables[thing.type].carries(medium)
        for _ in range(count)
    ]  # fmt: skip
    meant = [one for one in found if one[0] in fitting]
    return sorted(meant or found, key=lambda one: -one[1])


def _joined(lengths: list[float], required_m: float) -> list[float]:
    """Return the fewest lengths, longest first, that reach together; none if all do not."""
    taken: list[float] = []
    for length in lengths:
        taken.append(length)
        if sum(taken) >= required_m:
            return taken
    return []


def _sum(taken: list[float]) -> str:
    if len(set(taken)) == 1:
        return f"{len(taken)} × {words.metres(taken[0])}"
    return " + ".join(words.metres(length) for length in taken)


def _join(patch: Patch, hop: Hop, cable: CableType, taken: list[float]) -> tuple[Remedy, ...]:
    if not taken or patch.catalogue.ends_at(cable, hop.source.port, hop.target.port) is None:
        return ()
    pieces = [CablePiece(kind="cable", cable=cable.id, length_m=length) for length in taken]
    return (Remedy(f"Join {_sum(taken)} of {cable.name}", remedies.rechain(patch, hop, lambda run: list(pieces))),)


def _not_made(patch: Patch, hop: Hop, cable: CableType, length_m: float) -> Finding:
    longest = max(cable.stock_lengths_m)
    number = math.ceil(length_m / longest)
    joins = can_join(patch, cable)
    cure = f"{number} joined would do" if joins else "have one made, or go another way"
    return Finding(
        RULE.id,
        "risk",
        f"{words.name_of(patch, hop)} takes {cable.name} of {words.metres(length_m)}, and the longest in the trade is "
        f"{words.metres(longest)}: {cure}.",
        words.place(hop),
        (f"{words.metres(length_m)} / {words.metres(longest)} = {length_m / longest:.2f}: {number} pieces",),
        (remedies.join_cables(patch, hop, cable, number),)
        if joins and hop.landing is not None and len(hop.cables) == 1
        else (),
    )


RULE = Rule(
    id="cable.longer-than-stock",
    severity="fault",
    sentence="A run is no longer than the longest cable there is for it, or it is joined of several.",
    why="Nobody finds a longer one on the evening.",
    basis=(basis.COMMON,),
    working="length wanted against the longest cable left over in the stock; without a stock, against the longest of "
    "the usual lengths in the trade, up to its sensible run",
    judge=judge,
)
