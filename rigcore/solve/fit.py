"""The fit of a rig at a house: every hand-off on a line, by the chain that costs least, proven aim by aim.

Only computes; ``book.edits.fits`` puts a fit into a gig, ``lists.fit_list`` says it in words.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import cached_property
from typing import Literal

from msgspec import Struct

from rigcore.book.gig import Landing
from rigcore.patch.build import Patch
from rigcore.solve.aims import Watch
from rigcore.solve.chain import Chain, Cost
from rigcore.solve.fall_backs import consequences
from rigcore.solve.fit_model import best
from rigcore.solve.fit_question import Asked, Posed, pose
from rigcore.solve.fit_shapes import Answer, Placed
from rigcore.solve.stockroom import Item, supply

How = Literal["own line", "kept", "left output alone", "summed", "stands in"]


_NOTES: Mapping[How, str] = {"left output alone": "mono: the left output alone carries both sides"}
"""What the house must read beside a line that is not what its name says."""


class Landed(Struct, frozen=True):
    """One line of a fit: the hand-off whose port leaves the stage, what it settles, where and by which chain."""

    hand_off: str
    settles: tuple[str, ...]
    socket: str
    how: How
    cost: Cost
    chain: Chain | None
    consequences: tuple[str, ...] = ()


class Fit(Struct, frozen=True, eq=False, dict=True):
    """The best fit of a gig, with its proof in ``answer``."""

    posed: Posed
    answer: Answer
    lines: tuple[Landed, ...]

    @property
    def patch(self) -> Patch:
        """The patch the fit was asked for."""
        return self.posed.patch

    @cached_property
    def landings(self) -> tuple[Landing, ...]:
        """Every landing of the gig as the fit has it, kept ones first, in the order of the rig."""
        made = {one.hand_off: one for line in self.lines for one in self._landings(line)}
        made |= {one.hand_off: one for one in self.posed.kept}
        # What was only intended, and found no chain, stays intended: the rules say what it lacks.
        if not self.posed.asked.fresh and self.posed.asked.most_lines is None:
            settled = {name for line in self.lines for name in line.settles}
            made |= {one.hand_off: one for one in self.patch.gig.landings if one.hand_off not in {*made, *settled}}
        order = [one.id for one in self.patch.rig.hand_offs]
        return tuple(sorted(made.values(), key=lambda one: (one.joins is not None, order.index(one.hand_off))))

    @property
    def unsettled(self) -> tuple[str, ...]:
        """The hand-offs that got no line, by id."""
        return self.answer.unsettled

    @cached_property
    def taken(self) -> Counter[Item]:
        """What the chains take, so many of each thing; what is kept as it was is not in it."""
        found: Counter[Item] = Counter()
        for placed in self.answer.placed:
            for thing, count in placed.offer.needs:
                if isinstance(thing, Item):
                    found[thing] += count
        return found

    @property
    def to_buy(self) -> Mapping[Item, int]:
        """What nobody has yet: for the chains found, and for those kept that the stock does not hold."""
        wanted = Counter({item: count for item, count in self.taken.items() if item.comes_from == "buy"})
        patch = self.patch
        there = supply(patch.book.stock, patch.house.stock, patch.rig)
        for item, count in self.posed.kept_items.items():
            if count > there.get(item, 0):
                wanted[item._replace(comes_from="buy")] += count - there.get(item, 0)
        return wanted

    def _landings(self, line: Landed) -> tuple[Landing, ...]:
        if line.chain is None:
            return ()
        if line.how == "summed":
            return self.posed.summed[line.hand_off].landings(line.socket, line.chain)
        before = self.patch.gig.landing(line.hand_off)
        same = before is not None and before.socket == line.socket
        return (
            Landing(
                hand_off=line.hand_off, socket=line.socket, chain=line.chain.pieces,
                length_m=before.length_m if same and before is not None else None,
                note=before.note if before is not None else _NOTES.get(line.how, ""),
            ),
        )  # fmt: skip


def fit(patch: Patch, asked: Asked | None = None, watch: Watch | None = None) -> Fit:
    """Return the best fit of a gig.

    Landings with a chain are kept, landings with a socket only keep the socket, unless a fresh fit is asked for.

    Parameters
    ----------
    asked
        What is asked beyond that; nothing by default.
    watch
        Told how things stand, says whether to go on; when stopped, the best so far is returned with its gaps.
    """
    posed = pose(patch, asked or Asked())
    answer = best(posed.question, watch)
    return Fit(posed, answer, tuple(_landed(posed, one) for one in answer.placed))


def _landed(posed: Posed, placed: Placed) -> Landed:
    bid, patch = placed.bid, posed.patch
    chain = placed.offer.chain
    how: How = "own line"
    told: tuple[str, ...] = ()
    if bid.held:
        how = "kept"
    elif len(bid.settles) > 1 or bid.carrier not in bid.settles:
        hand_off = next(one for one in patch.rig.hand_offs if one.id == bid.carrier)
        if bid.carrier not in bid.settles:
            how = "stands in"
            names = " and ".join(posed.names[name] for name in bid.settles)
            told = (f"{hand_off.name} stands in for {names}",)
        elif isinstance(chain, Chain) and _is_summed(posed, placed):
            how, told = "summed", consequences(patch, hand_off, posed.summed[bid.carrier].loss_db)
        else:
            how, told = "left output alone", consequences(patch, hand_off)
    return Landed(bid.carrier, bid.settles, placed.line, how, placed.offer.cost, chain, told)


def _is_summed(posed: Posed, placed: Placed) -> bool:
    """Return whether a shared line goes through the box: then it takes more than its chain does."""
    made = posed.summed.get(placed.bid.carrier)
    chain: Chain = placed.offer.chain
    return made is not None and Counter(dict(placed.offer.needs)) != chain.needs
