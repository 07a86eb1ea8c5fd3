"""The lifeline card: what dies, what falls silent, what to do about it, and whether a spare is packed.

For the pocket. A way round is printed only if the rules find no new fault with it;
new risks stand beside it.
"""

from __future__ import annotations

from collections import Counter

from msgspec import Struct

from rigcore.lists.supply import lowered
from rigcore.patch.build import Patch, build_patch
from rigcore.patch.lending import is_lent
from rigcore.patch.lifelines import Goal, Item, Lifeline, goals, lifelines, line_names
from rigcore.rules.rule import Finding
from rigcore.rules.run import run_rules
from rigcore.solve.bypass import Bypass, bypasses, spare_of

_ASK: dict[str, str] = {
    "microphone": "ask the house for a microphone",
    "di": "ask the house for a DI box",
    "in-ear": "ask the house for a wedge",
    "monitor": "ask the house for another wedge",
    "power": "ask the house for another strip",
}
"""What to do by category where nothing at hand helps: common practice, no source."""


class LifelineRow(Struct, frozen=True):
    """One row: what dies, what falls silent, the steps, and who has a spare ("yes", "house", "no").

    ``caution`` are the new risks of the way round; ``brings_back`` says how much of what is lost: "all", "part" or
    "none". ``still`` is what is heard in any case.
    """

    dies: str
    silent: str
    steps: tuple[str, ...]
    spare: str
    brings_back: str
    caution: tuple[str, ...]
    still: str
    item: Item

    @property
    def do(self) -> str:
        """The steps as printed."""
        return "; ".join(self.steps)


def lifeline_card(patch: Patch) -> tuple[LifelineRow, ...]:
    """Return the rows of the card, what silences most first."""
    check = _Check(patch)
    return tuple(_row(patch, one, check) for one in lifelines(patch))


class _Check:
    """Asks the rules of a way round once: the same lead is often taken from the same lesser line."""

    def __init__(self, patch: Patch) -> None:
        self.patch = patch
        self.before = run_rules(patch)
        self.answers: dict[tuple[str, ...], tuple[str, ...] | None] = {}

    def new_risks(self, way: Bypass) -> tuple[str, ...] | None:
        """Return the sentences of the risks a way brings, or None if it brings a fault."""
        if way.kind == "spare":
            return ()
        key = (way.kind, *way.steps)
        if key not in self.answers:
            self.answers[key] = self._asked(way)
        return self.answers[key]

    def _asked(self, way: Bypass) -> tuple[str, ...] | None:
        book = way.apply(self.patch.book)
        found = run_rules(build_patch(book, self.patch.gig.id, self.patch.catalogue))
        if _faults(found) - _faults(self.before):
            return None
        return tuple(one.sentence for one in found if one.severity == "risk" and not self._known(one))

    def _known(self, risk: Finding) -> bool:
        """Return whether a risk was there before, at these places or more."""
        return any(one.rule == risk.rule and set(one.things) >= set(risk.things) for one in self.before)


def _row(patch: Patch, one: Lifeline, check: _Check) -> LifelineRow:
    way: Bypass | None = None
    risks: tuple[str, ...] = ()
    for possible in bypasses(patch, one):
        answer = check.new_risks(possible)
        if answer is not None:
            way, risks = possible, answer
            break
    owner = spare_of(patch, one.item)
    lost = {loss.goal for loss in one.losses if loss.whole}
    left = [goal for goal in goals(patch) if goal not in lost]
    return LifelineRow(
        dies=one.item.name,
        silent=one.words,
        steps=way.steps if way is not None else _asked(patch, one, left),
        spare={"rig": "yes", "house": "house", None: "no"}[owner],
        brings_back="none" if way is None else "all" if way.whole else "part",
        caution=risks,
        still=", ".join(line_names(left)),
        item=one.item,
    )


def _faults(found: tuple[Finding, ...]) -> Counter[str]:
    """Return how often each rule finds a fault: unbound lines left out, because what is lost is lost already."""
    return Counter(one.rule for one in found if one.severity == "fault" and one.rule != "channels.unbound")


def _asked(patch: Patch, one: Lifeline, left: list[Goal]) -> tuple[str, ...]:
    """Return what to do when nothing at hand helps: ask for it, use the other half of a pair, or play on."""
    item = one.item
    category = "" if item.kind == "cable" else patch.catalogue.gear_type(item.type).category
    halves, ears = _other_halves(one, left), all(_is_return(loss.goal) for loss in one.losses)
    if halves:
        return (f"have the whole mix put on {halves}",) if ears else (f"have {halves} put in the middle", "play mono")
    if category in _ASK:
        return (_ASK[category],)
    if is_lent(patch, item):
        return (f"ask the house for another {lowered(item.what)}",)
    if ears:
        return ("ask the house for a wedge",)
    on = line_names([goal for goal in left if goal.hand_off is not None and not _is_return(goal)])
    if on:
        return (f"play on with {', '.join(on)}",)
    heard = line_names([goal for goal in left if goal.hand_off is None])
    return (f"play on: {', '.join(heard)} still sound",) if heard else ("nothing at hand: tell the engineer",)


def _is_return(goal: Goal) -> bool:
    return goal.hand_off is not None and goal.hand_off.direction == "from house"


def _other_halves(one: Lifeline, left: list[Goal]) -> str:
    """Return the halves that still sound where each lost line is one half of a stereo pair; nothing otherwise."""
    there, halves = {goal.name for goal in left}, []
    for loss in one.losses:
        stem, _, side = loss.goal.name.rpartition(" ")
        other = f"{stem} {'R' if side == 'L' else 'L'}"
        if not loss.whole or loss.goal.hand_off is None or loss.goal.hand_off.group is None or other not in there:
            return ""
        halves.append(other)
    return ", ".join(halves)
