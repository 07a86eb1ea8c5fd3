"""Pin 1 open on a line that needs 48 V."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.book.edits.gigs import bind_landing
from rigcore.catalogue.record import changed
from rigcore.patch.build import Patch
from rigcore.patch.phantom import FEED, Lifted, lifted
from rigcore.quantities.phantom import feed_ohm
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each: a fault by an open pin 1 in the cable, a note by the lift of the fed box itself."""
    for one in lifted(patch):
        if one.cut:
            said = f"{one.end.name} needs 48 V and {one.lift.name} opens pin 1 on its way: it gets none."
        else:
            said = f"{one.end.name} lives from 48 V with its ground lift open: if it falls silent, close the lift."
        yield Finding(
            RULE.id,
            "fault" if one.cut else "note",
            said,
            tuple(dict.fromkeys((words.unit_of(one.end), words.unit_of(one.lift), words.unit_of(one.supply)))),
            _working(one),
            tuple(_remedies(patch, one)),
            (),
        )


def _working(one: Lifted) -> tuple[str, ...]:
    feed_kohm = feed_ohm(FEED.leg_ohm) / 1000.0
    there = f"48 V of {one.supply.words} goes out on pins 2 and 3 through 6.8 kΩ each, {feed_kohm:.1f} kΩ together"
    back = "it returns on pin 1: with pin 1 open the circuit is not closed, 0 mA flow"
    if not one.cut:
        back = "it returns on pin 1: most lifts open the screen beyond the electronics, some take the return away"
    return (there, back)


def _remedies(patch: Patch, one: Lifted) -> Iterator[Remedy]:
    if not one.cut:
        remedy = remedies.set_here(patch, one.lift, f"Close the ground lift of {one.lift.name}", lift=False)
    else:
        remedy = _without(patch, one)
    if remedy is not None:
        yield remedy


def _without(patch: Patch, one: Lifted) -> Remedy | None:
    """Return the remedy of leaving a lift adapter out of a landing, where a cable is left to take its place."""
    if one.lift.node.place != "chain":
        return None
    hand_off_id, _, number = one.lift.node.unit.partition("/")
    landing = patch.gig.landing(hand_off_id)
    assert landing is not None
    chain = tuple(piece for place, piece in enumerate(landing.chain, start=1) if place != int(number))
    if not any(piece.kind == "cable" for piece in chain):
        return None
    new = changed(landing, chain=chain)
    gig_id, catalogue = patch.gig.id, patch.catalogue
    return Remedy(f"Leave {one.lift.name} out", lambda book: bind_landing(book, gig_id, new, catalogue))


RULE = Rule(
    id="phantom.lifted",
    severity="fault",
    sentence="Pin 1 stays joined on every line that needs 48 V.",
    why="48 V comes back on pin 1: an open screen cures the hum and kills the microphone.",
    basis=(basis.PIN_1, basis.BREAKS),
    working="lifts of pin 1 between what needs 48 V and the input that would feed it; without a return 0 mA flow",
    judge=judge,
)
