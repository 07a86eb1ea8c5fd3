"""The tour kit: the fewest own things that make every gig of a book fit as well as everything owned would."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from rigcore.book.book import Book
from rigcore.catalogue.catalogue import Catalogue
from rigcore.patch.build import Patch, build_patch
from rigcore.solve.aims import Aim, Program, Stage, Watch, solve
from rigcore.solve.fit import Fit, fit
from rigcore.solve.fit_flow import Flow
from rigcore.solve.fit_question import Asked, Posed, pose
from rigcore.solve.fit_shapes import FALLEN, FAULTS, MISSING, PRICE, Question
from rigcore.solve.stockroom import Item, Supply, supply

AS_GOOD = (*MISSING, FAULTS, FALLEN, PRICE)
"""The aims in which no gig may get worse than with everything owned."""


class TourKit(Struct, frozen=True, eq=False):
    """The kit, the proof that it is the smallest, and the fit of every gig with it."""

    kit: Mapping[Item, int]
    owned: Mapping[Item, int]
    stages: tuple[Stage, ...]
    fits: tuple[Fit, ...]
    posed: tuple[Posed, ...]

    @property
    def proven(self) -> bool:
        """Whether no smaller kit does."""
        return all(stage.gap == 0 for stage in self.stages)

    def takes(self, fitted: Fit) -> Counter[Item]:
        """Return what one gig takes from the kit."""
        used = fitted.taken + fitted.posed.kept_items
        return Counter({item: count for item, count in used.items() if item.comes_from == "rig"})

    def without(self, item: Item) -> tuple[tuple[str, str], ...]:
        """Return the gigs that get worse with one fewer of a thing, each with the first aim that suffers."""
        fewer = {**self.kit, item: self.kit[item] - 1}
        found = []
        for posed in self.posed:
            if posed.kept_items[item] > fewer[item]:
                found.append((posed.patch.gig.id, "landings that are kept"))
                continue
            before, after = (_values(_with(posed, kit)) for kit in (self.kit, fewer))
            worse = next((name for name in AS_GOOD if after[name] > before[name]), None)
            # An aim further down may only suffer where none above it has gained.
            if worse is not None:
                found.append((posed.patch.gig.id, worse))
        return tuple(found)


def tour_kit(
    book: Book, catalogue: Catalogue, *, gigs: Sequence[str] = (), asked: Asked | None = None,
    watch: Watch | None = None,
) -> TourKit:
    """Return the smallest kit for some gigs of a book, or all: fewest things, then least cable.

    What the rig's own links use is not counted: it travels with the rig anyway.

    Parameters
    ----------
    gigs
        Ids; none means all.
    asked
        How each gig is fitted; its stock is the book's.
    """
    ids = [gig.id for gig in book.gigs if not gigs or gig.id in gigs]
    patches = [build_patch(book, gig_id, catalogue) for gig_id in ids]
    asked = replace(asked or Asked(), wide=True)
    posed = tuple(pose(patch, asked) for patch in patches)
    owned = _owned(book, patches)
    found, stages = _smallest(posed, owned, watch)
    fits = tuple(fit(patch, replace(asked, stock=_stock(patch, found))) for patch in patches)
    return TourKit(found, owned, stages, fits, posed)


def _owned(book: Book, patches: Sequence[Patch]) -> Supply:
    """Return what is owned at every gig: the least, where rigs differ in what their own links use."""
    each = [supply(book.stock, (), patch.rig) for patch in patches]
    return {item: min(one.get(item, 0) for one in each) for item in (each[0] if each else {})}


def _smallest(posed: Sequence[Posed], owned: Supply, watch: Watch | None) -> tuple[dict[Item, int], tuple[Stage, ...]]:
    """Return the smallest kit with its proof: one program for all gigs, each held to its own best."""
    program = Program()
    wanted = {item for one in posed for item in (*one.question.supply, *one.kept_items) if isinstance(item, Item)}
    items = [item for item in sorted(wanted, key=str) if item.comes_from == "rig"]
    most = [max(owned.get(item, 0), *(one.kept_items[item] for one in posed)) for item in items]
    columns = {item: program.column(count) for item, count in zip(items, most, strict=True)}
    start = [0] * len(items)
    for one in posed:
        alone = Flow(one.question)
        best = solve(alone.program, alone.aims(), alone.start())
        used = Counter(one.kept_items)
        for (_, _, (_, needs)), column in alone.columns.items():
            for thing, count in needs:
                used[thing] += count * best.values[column]  # type: ignore[index]
        start = [max(count, used[item]) for count, item in zip(start, items, strict=False)] + start[len(items) :]
        part = Flow(one.question, program, {item: (columns[item], one.kept_items[item]) for item in items})
        start += best.values[: len(alone.columns)]
        values = {stage.aim: stage.value for stage in best.stages}
        for aim in part.aims():
            if aim.name in AS_GOOD:
                program.keep(aim, values[aim.name])
    things = Aim("things", dict.fromkeys(columns.values(), 1))
    cable = Aim("cable", {columns[item]: round(100 * item.length_m) for item in items if item.length_m})
    solved = solve(program, [things, cable], start, watch)
    return {item: solved.values[column] for item, column in columns.items() if solved.values[column]}, solved.stages


def _stock(patch: Patch, kit: Mapping[Item, int]) -> Supply:
    theirs = supply((), patch.house.stock)
    return {**kit, **theirs}


def _with(posed: Posed, kit: Mapping[Item, int]) -> Question:
    """Return the question of a gig with only a kit to take from."""
    counts = {
        thing: max(0, kit.get(thing, 0) - posed.kept_items[thing])
        if isinstance(thing, Item) and thing.comes_from == "rig" else count
        for thing, count in posed.question.supply.items()
    }  # fmt: skip
    return replace(posed.question, supply=counts)


def _values(question: Question) -> dict[str, int]:
    flow = Flow(question)
    return {stage.aim: stage.value for stage in solve(flow.program, flow.aims(), flow.start()).stages}
