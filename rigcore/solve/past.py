"""Past a dead box: what came into it goes straight on to where it went, or into a free line of the house."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from msgspec import Struct

from rigcore.book.book import Book
from rigcore.book.edits.gigs import bind_landing
from rigcore.book.edits.hand_offs import add_hand_off
from rigcore.book.edits.links import add_link
from rigcore.book.edits.rebuild import checked
from rigcore.book.edits.units import remove_units
from rigcore.book.gig import CablePiece, Landing, Piece
from rigcore.book.house import Socket
from rigcore.book.ids import PortRef, new_id
from rigcore.book.rig import HandOff, Link
from rigcore.patch.build import End, Hop, Node, Patch
from rigcore.patch.channels import house_inputs
from rigcore.patch.lifelines import Lifeline
from rigcore.patch.walk import downstream, sources, upstream
from rigcore.solve.at_hand import Kit, Run, at_hand, runs_between, taken, words

Edit = Callable[[Book], Book]


class _Gap(Struct, frozen=True):
    """One connection to be made: from port to port, the hand-off it is if it meets the house, and its socket."""

    source: End
    target: End
    length_m: float
    hand_off: HandOff | None = None
    socket: Socket | None = None


def ways(patch: Patch, lifeline: Lifeline) -> Iterator[tuple[tuple[str, ...], Edit]]:
    """Yield the way past a unit or box, made of what is at hand and of the cables that met it."""
    if lifeline.item.kind == "box":
        yield from _past_box(patch, lifeline)
    elif lifeline.item.kind == "unit":
        yield from _past_unit(patch, lifeline)


def _past_box(patch: Patch, lifeline: Lifeline) -> Iterator[tuple[tuple[str, ...], Edit]]:
    """Yield the landing laid anew from before the box to behind it."""
    item = lifeline.item
    hops = [hop for hop in patch.runs if hop.landing is not None and hop.landing.hand_off == item.hand_off]
    before, after = ([hop for hop in hops if hop.piece == item.piece], [hop for hop in hops if hop.piece > item.piece])
    landing = patch.gig.landing(item.hand_off)
    if landing is None or not before or len(after) != 1 + sum(p.kind == "gear" for p in landing.chain[item.piece :]):
        return
    first, last = before[0], min(after, key=lambda hop: hop.piece)
    start, stop = item.piece - 1 - len(first.cables), item.piece + len(last.cables)
    freed = [piece for piece in landing.chain[start:stop] if isinstance(piece, CablePiece)]
    length_m = sum(piece.length_m for piece in freed)
    runs = runs_between(patch.catalogue, (first.source.port, last.target.port), at_hand(patch, freed), length_m)
    if runs:
        new = checked(landing, chain=(*landing.chain[:start], *runs[0], *landing.chain[stop:]))
        step = f"{first.source.words} to {last.target.words}: {words(patch.catalogue, runs[0])}"
        yield (step,), lambda book: bind_landing(book, patch.gig.id, new, patch.catalogue)


def _past_unit(patch: Patch, lifeline: Lifeline) -> Iterator[tuple[tuple[str, ...], Edit]]:
    gaps = _gaps(patch, lifeline)
    kit = at_hand(patch, _freed(patch, lifeline.item.unit))
    made: list[tuple[_Gap, Run]] = []
    for gap in gaps:
        run = _bridged(patch, gap, kit)
        if run is not None:
            made.append((gap, run))
            kit = taken(kit, run)
    if made:
        steps = [f"{gap.source.words} to {_target(gap)}: {words(patch.catalogue, run) or 'plug'}" for gap, run in made]
        yield (f"unplug {lifeline.item.name}", *steps), lambda book: _bridge(patch, book, lifeline.item.unit, made)


def _bridged(patch: Patch, gap: _Gap, kit: Kit) -> Run | None:
    """Return the run that closes a gap, or None; inside the rig it is one cable."""
    for run in runs_between(patch.catalogue, (gap.source.port, gap.target.port), kit, gap.length_m):
        if gap.hand_off is not None or (len(run) == 1 and isinstance(run[0], CablePiece)):
            return run
    return None


def _target(gap: _Gap) -> str:
    to_house = gap.hand_off is not None and gap.hand_off.direction == "to house"
    return f"house {gap.socket.label}" if to_house and gap.socket is not None else gap.target.words


def _freed(patch: Patch, unit_id: str) -> list[Piece]:
    """Return the cables and pieces that come free when a unit is taken out."""
    freed: list[Piece] = []
    landings: dict[str, Landing] = {}
    for end in patch.ends_of["rig", unit_id]:
        for hop in patch.hops_at.get(end.node, ()):
            if hop.landing is not None:
                landings[hop.landing.hand_off] = hop.landing
            for (cable, length_m), owner in zip(hop.cables, hop.owners, strict=True) if hop.link is not None else ():
                freed.append(CablePiece(kind="cable", cable=cable.id, length_m=length_m, owner=owner))
    return freed + [piece for landing in landings.values() for piece in landing.chain]


def _gaps(patch: Patch, lifeline: Lifeline) -> list[_Gap]:
    """Return the connections that would carry the lost sources past a unit: voices first, then keys, then the rest.

    Each place behind the unit takes one plug; what is left over goes into free lines of the house.
    """
    into, out_of = _around(patch, lifeline)
    gaps: list[_Gap] = []
    full: set[Hop] = set()
    used: set[Node] = set()
    for entry in into:
        leads_to = set(downstream(patch, entry.target.node))
        for leaving in out_of:
            fits = leaving not in full and entry.source.node not in used and leaving.source.node in leads_to
            if fits and not (entry.landing and leaving.landing):
                full.add(leaving)
                used.add(entry.source.node)
                gaps.append(_gap(patch, entry, leaving))
    free = _free_lines(patch) if any(gap.hand_off is not None for gap in gaps) else []
    rest = [entry for entry in into if entry.source.node not in used and entry.landing is None]
    gaps += [_new_line(patch, entry, socket, gaps[0].length_m) for entry, socket in zip(rest, free, strict=False)]
    return gaps


def _around(patch: Patch, lifeline: Lifeline) -> tuple[list[Hop], list[Hop]]:
    """Return the connections into a unit that carry what is lost, most important first, and those out of it."""
    inside = {end.node for end in patch.ends_of["rig", lifeline.item.unit]}
    lost = {source for loss in lifeline.losses for source in loss.sources}
    ends = {end for loss in lifeline.losses for end in loss.goal.ends}
    audio = [hop for hop in patch.along if hop.is_audio]
    into = [hop for hop in audio if hop.target.node in inside and lost & set(upstream(patch, hop.source.node))]
    out_of = [hop for hop in audio if hop.source.node in inside and ends & set(downstream(patch, hop.target.node))]
    return sorted(into, key=lambda hop: _rank(patch, hop)), out_of


def _rank(patch: Patch, hop: Hop) -> int:
    families = {one.gear.family or one.gear.category for one in sources(patch, hop.source.node)}
    return 0 if families & {"vocals", "microphone"} else 1 if "keys" in families else 2


def _gap(patch: Patch, entry: Hop, leaving: Hop) -> _Gap:
    """Return the connection from before a unit to behind it. Inside the rig the longer of both cables is enough."""
    lengths = [_length_m(entry), _length_m(leaving)]
    if leaving.landing is not None:
        socket = patch.socket(leaving.landing)
        target = patch.end(Node("house", socket.unit, socket.ports[0]))
        return _Gap(entry.source, target, sum(lengths), patch.hand_off(leaving.landing), socket)
    if entry.landing is not None:
        socket = patch.socket(entry.landing)
        source = patch.end(Node("house", socket.unit, socket.ports[0]))
        return _Gap(source, leaving.target, max(lengths), patch.hand_off(entry.landing), socket)
    return _Gap(entry.source, leaving.target, max(lengths))


def _length_m(hop: Hop) -> float:
    """Return how long the cables are a hop stands for: all those of its landing, or its own; in m."""
    if hop.landing is not None:
        return sum(piece.length_m for piece in hop.landing.chain if isinstance(piece, CablePiece))
    return sum(length_m for _, length_m in hop.cables)


def _new_line(patch: Patch, entry: Hop, socket: Socket, length_m: float) -> _Gap:
    """Return a line of its own for a source that shared the unit's output with others."""
    name = entry.source.words
    line = HandOff(
        id=new_id(name, {one.id for one in patch.rig.hand_offs}), name=name, unit=entry.source.node.unit,
        port=entry.source.node.port, direction="to house", order=len(patch.rig.hand_offs) + 1,
    )  # fmt: skip
    return _Gap(entry.source, patch.end(Node("house", socket.unit, socket.ports[0])), length_m, line, socket)


def _free_lines(patch: Patch) -> list[Socket]:
    landed = {landing.socket for landing in patch.gig.landings}
    return [one for one in sorted(house_inputs(patch), key=lambda one: one.number) if one.id not in landed]


def _bridge(patch: Patch, book: Book, unit_id: str, made: list[tuple[_Gap, Run]]) -> Book:
    """Return the book without a unit and with the gaps it leaves closed."""
    rig_id = patch.rig.id
    book = remove_units(book, rig_id, [unit_id])
    for gap, run in made:
        at = gap.source if gap.source.node.place == "rig" else gap.target
        if gap.hand_off is not None and gap.socket is not None:
            fallback = gap.hand_off.falls_back_to
            kept = fallback if fallback and book.rig(rig_id).hand_off(fallback) else None
            line = checked(gap.hand_off, unit=at.node.unit, port=at.node.port, falls_back_to=kept)
            book = add_hand_off(book, rig_id, line, patch.catalogue)
            landing = Landing(hand_off=line.id, socket=gap.socket.id, chain=run)
            book = bind_landing(book, patch.gig.id, landing, patch.catalogue)
        else:
            [piece] = run
            assert isinstance(piece, CablePiece)
            source, target = (PortRef(unit=end.node.unit, port=end.node.port) for end in (gap.source, gap.target))
            name = new_id(f"past-{unit_id}", {link.id for link in book.rig(rig_id).links})
            link = Link(id=name, source=source, target=target, cable=piece.cable, length_m=piece.length_m)
            book = add_link(book, rig_id, link, patch.catalogue)
    return book
