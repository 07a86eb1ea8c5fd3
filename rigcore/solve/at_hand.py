"""What is at hand on the day, and the short runs to be made of it: a cable, two joined, a box between cables.

For the hurry of a failure: at most three pieces, and nothing bought. What a plug
costs that fits only half, levels and 48 V are left to the rules, which the caller asks.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterable, Iterator

from rigcore.book.gig import CablePiece, GearPiece, Piece
from rigcore.book.rig import Owner
from rigcore.catalogue.cables import CableType
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.connectors import Consequence
from rigcore.catalogue.gear import GearType, Port
from rigcore.patch.build import Patch
from rigcore.patch.spares import Thing, spares
from rigcore.solve.chain_parts import IN_LINE

Kit = Counter[tuple[Thing, Owner]]
"""So many of each thing, and whose."""

Run = tuple[Piece, ...]


def at_hand(patch: Patch, freed: Iterable[Piece] = ()) -> Kit:
    """Return what nothing else needs: spares of the player and of the house, and pieces that have come free."""
    found: Kit = Counter()
    for owner, left in spares(patch).items():
        for thing, count in left.items():
            found[thing, owner] += count
    for piece in freed:
        found[thing_of(piece), piece.owner] += 1
    return found


def thing_of(piece: Piece) -> Thing:
    """Return the kind of thing a piece is."""
    if isinstance(piece, CablePiece):
        return Thing("cable", piece.cable, piece.length_m)
    return Thing("gear", piece.gear)


def taken(kit: Kit, run: Run) -> Kit:
    """Return what is at hand once a run is made."""
    return kit - Counter((thing_of(piece), piece.owner) for piece in run)


def runs_between(catalogue: Catalogue, ends: tuple[Port, Port], kit: Kit, length_m: float) -> tuple[Run, ...]:
    """Return the runs from one port to another that are long enough: best plugs, fewest pieces, shortest first.

    Parameters
    ----------
    catalogue
        With the book's own gear types.
    ends
        Output and input.
    kit
        What is at hand.
    length_m
        How long the cables must be together, in m.
    """
    found: list[tuple[int, int, float, int, Run]] = []
    for shape in _shapes(catalogue, kit):
        run = _laid(catalogue, ends, shape)
        total_m = sum(piece.length_m for piece in run or () if isinstance(piece, CablePiece))
        if run and total_m >= length_m and not Counter((thing_of(one), one.owner) for one in run) - kit:
            found.append((_flaws(catalogue, ends, run), len(run), total_m, len(found), run))
    return tuple(run for *_, run in sorted(found, key=lambda one: one[:4]))


_Made = tuple[CableType | GearType, float, Owner]


def _shapes(catalogue: Catalogue, kit: Kit) -> Iterator[tuple[_Made, ...]]:
    """Yield the sequences of things to be tried: cable, two cables, and one box with cables at either end."""
    cables: list[_Made] = []
    boxes: list[_Made] = []
    for (thing, owner), count in kit.items():
        if count > 0 and thing.kind == "cable":
            cables.append((catalogue.cable_type(thing.type), thing.length_m, owner))
        elif count > 0 and catalogue.gear_type(thing.type).category in IN_LINE:
            boxes.append((catalogue.gear_type(thing.type), 0.0, owner))
    yield from ((one,) for one in cables)
    yield from itertools.product(cables, repeat=2)
    for box in boxes:
        yield from ((box, one) for one in cables)
        yield from ((one, box) for one in cables)
        yield from ((one, box, other) for one, other in itertools.product(cables, repeat=2))


def _laid(catalogue: Catalogue, ends: tuple[Port, Port], shape: tuple[_Made, ...]) -> Run:
    """Return a sequence of things laid from output to input, or nothing where two plugs do not meet."""
    here, run = ends[0].connector, list[Piece]()
    for number, (made, length_m, owner) in enumerate(shape):
        last = ends[1].connector if number == len(shape) - 1 else None
        if isinstance(made, CableType):
            turns = ((made.end_a, made.end_b), (made.end_b, made.end_a))
            onward = next((b for a, b in turns if _meet(catalogue, here, a) and _goes(catalogue, b, last)), None)
            run.append(CablePiece(kind="cable", cable=made.id, length_m=length_m, owner=owner))
        else:
            way = _way_through(catalogue, made, here, last)
            onward = way[1].connector if way else None
            if way:
                run.append(GearPiece(kind="gear", gear=made.id, enter=way[0].id, leave=(way[1].id,), owner=owner))
        if onward is None:
            return ()
        here = onward
    return tuple(run)


def _way_through(catalogue: Catalogue, gear: GearType, here: str, last: str | None) -> tuple[Port, Port] | None:
    """Return the first way through a box that a plug fits into, its main output before its thru."""
    for path in sorted(gear.paths, key=lambda one: _is_thru(gear, one.target)):
        enter, leave = gear.port(path.source), gear.port(path.target)
        if enter is None or leave is None or enter.direction == "out" or leave.direction == "in":
            continue
        if _meet(catalogue, here, enter.connector) and _goes(catalogue, leave.connector, last):
            return enter, leave
    return None


def _is_thru(gear: GearType, port_id: str) -> bool:
    port = gear.port(port_id)
    return port is not None and port.role == "thru"


def _flaws(catalogue: Catalogue, ends: tuple[Port, Port], run: Run) -> int:
    """Return how many of the two ends meet a plug that does not fit in full."""
    flaws = 0
    for port, piece, enters in ((ends[0], run[0], True), (ends[1], run[-1], False)):
        if isinstance(piece, CablePiece):
            cable = catalogue.cable_type(piece.cable)
            plugs = {catalogue.mating.consequence(port.connector, end) for end in (cable.end_a, cable.end_b)}
        else:
            plug = catalogue.port(piece.gear, piece.enter if enters else piece.leave[0])
            plugs = {catalogue.mating.consequence(port.connector, plug.connector)}
        flaws += Consequence.FITS not in plugs
    return flaws


def _meet(catalogue: Catalogue, one: str, other: str) -> bool:
    return catalogue.mating.fits(one, other)


def _goes(catalogue: Catalogue, connector: str, last: str | None) -> bool:
    return last is None or _meet(catalogue, connector, last)


def words(catalogue: Catalogue, run: Run) -> str:
    """Return a run in few words.

    Examples
    --------
    >>> from rigcore.catalogue.loader import shipped
    >>> five = CablePiece(kind="cable", cable="xlr", length_m=5.0)
    >>> words(shipped(), (five, five))
    'XLR cable 5 m + XLR cable 5 m'
    """
    named = []
    for piece in run:
        if isinstance(piece, CablePiece):
            named.append(catalogue.cable_type(piece.cable).of(f"{piece.length_m:g} m"))
        else:
            named.append(catalogue.gear_type(piece.gear).name)
    return " + ".join(named)
