"""The way round each single point of failure: a spare, another of its kind, one from a lesser line, or past it.

Every bypass is a pure edit; it is tried on a copy of the book, and only what
sounds again there is promised. What the rules say of it is asked in
``lists.lifeline_card``, where they may be known.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Literal

from msgspec import Struct

from rigcore.book.book import Book
from rigcore.book.rig import Owner
from rigcore.errors import EditRefused
from rigcore.patch.build import Patch, build_patch
from rigcore.patch.lifelines import Goal, Item, Lifeline, goals, items, lifelines
from rigcore.patch.spares import Thing, reaching, spares
from rigcore.solve import exchange, into_wall, past

Kind = Literal["spare", "other kind", "from a lesser line", "past it", "into the wall"]


class Bypass(Struct, frozen=True):
    """One way round.

    ``steps`` in few words; ``apply`` makes it in a book; ``restored`` are the lost sources that sound
    again, of so many ``lost``.
    """

    kind: Kind
    steps: tuple[str, ...]
    apply: Callable[[Book], Book]
    restored: int
    lost: int

    @property
    def whole(self) -> bool:
        """Whether nothing stays silent."""
        return self.restored == self.lost


def spare_of(patch: Patch, item: Item) -> Owner | None:
    """Return who has a spare of a thing, the player before the house; a longer cable is one."""
    wanted = Thing("cable" if item.kind == "cable" else "gear", item.type, item.length_m)
    left = spares(patch)
    owners: tuple[Owner, ...] = ("rig", "house")
    return next((owner for owner in owners if reaching(left[owner], wanted) is not None), None)


def bypasses(patch: Patch, lifeline: Lifeline) -> tuple[Bypass, ...]:
    """Return the ways round a failure with what is at hand, best first: what restores most, then the fewest steps.

    Returns
    -------
    tuple of Bypass
        Empty where nothing at hand helps.
    """
    found = []
    for kind, steps, apply in _ideas(patch, lifeline):
        restored, lost = _tried(patch, lifeline, apply)
        if restored:
            found.append(Bypass(kind, steps, apply, restored, lost))
    return tuple(sorted(found, key=lambda one: (-one.restored, len(one.steps))))


_Idea = tuple[Kind, tuple[str, ...], Callable[[Book], Book]]


def _ideas(patch: Patch, lifeline: Lifeline) -> Iterator[_Idea]:
    item = lifeline.item
    owner = spare_of(patch, item)
    if owner is not None:
        whose = "the spare" if owner == "rig" else "the house's spare"
        yield "spare", (f"swap it for {whose}",), exchange.by_spare(patch, item)
    for words, apply in exchange.by_other_kind(patch, item):
        yield "other kind", (words,), apply
    if owner is None:
        for other in _lesser(patch, item):
            words = f"take the {other.what} from {other.place}"
            yield "from a lesser line", (words,), exchange.robbed(patch, item, other)
    for steps, apply in past.ways(patch, lifeline):
        yield "past it", steps, apply
    for steps, apply in into_wall.ways(patch, item):
        yield "into the wall", steps, apply


def _lesser(patch: Patch, item: Item) -> Iterator[Item]:
    """Yield what would do in the place of a thing and serves no line that must land: the first of them."""
    vital = {one.item for one in lifelines(patch)}
    for other in items(patch):
        alike = (other.kind == "cable", other.type) == (item.kind == "cable", item.type)
        if alike and other not in vital and other.length_m >= item.length_m:
            yield other
            return


def _tried(patch: Patch, lifeline: Lifeline, apply: Callable[[Book], Book]) -> tuple[int, int]:
    """Return how many of the lost sources sound again when an edit is made to a copy of the book, and of how many."""
    lost = [(loss.goal, source) for loss in lifeline.losses for source in loss.sources]
    try:
        trial = build_patch(apply(patch.book), patch.gig.id, patch.catalogue)
    except EditRefused:
        return 0, len(lost)
    known = {one.id for one in patch.rig.hand_offs}
    heard = {(_line(one, known), source, end) for one in goals(trial) for source in one.sources for end in one.ends}
    lines = {(line, source) for line, source, _ in heard}
    back = 0
    for goal, source in lost:
        if goal.hand_off is not None and goal.hand_off.direction == "to house":
            back += (goal.hand_off.id, source) in lines or ("a new line", source) in lines
        else:
            back += any((_line(goal, known), source, end) in heard for end in goal.ends)
    return back, len(lost)


def _line(goal: Goal, known: set[str]) -> str:
    """Return what tells a line of the trial: its hand-off, that it is a new one, or the loudspeaker."""
    if goal.hand_off is None:
        return goal.name
    return goal.hand_off.id if goal.hand_off.id in known else "a new line"
