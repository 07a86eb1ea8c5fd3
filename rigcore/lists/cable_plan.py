"""Which owned cable lies where at a gig, with the least waste: words for the solver's plan of the stock."""

from __future__ import annotations

from msgspec import Struct

from rigcore.patch.build import Patch
from rigcore.quantities.geometry import length_words
from rigcore.solve.stock import Need, stock_plan
from rigcore.solve.stockroom import Item


class CablePlanRow(Struct, frozen=True):
    """One run: from what to what, how long it must be, what serves it, and what is left over or lacking."""

    run: str
    needed_m: float
    served_by: str
    remark: str


def cable_plan(patch: Patch) -> tuple[CablePlanRow, ...]:
    """Return a row for each run whose cable the stock counts, those it cannot serve last."""
    plan = stock_plan(patch)
    served = [
        CablePlanRow(
            _run_words(patch, one.need), one.need.length_m, " + ".join(_item(patch, it) for it in one.items),
            f"{length_words(one.waste_m)} over" if one.waste_m > 0 else "just reaches",
        )
        for one in plan.served
    ]
    missed = [
        CablePlanRow(_run_words(patch, one.need), one.need.length_m, "nothing", one.words) for one in plan.missed
    ]
    return (*served, *missed)


def shortage_words(patch: Patch) -> tuple[str, ...]:
    """Return what is to be had from somewhere else, by type and length."""
    return tuple(
        f"{one.count} × {patch.catalogue.cable_type(one.cable).name}, {length_words(one.length_m)} short"
        for one in stock_plan(patch).shortages
    )


def _run_words(patch: Patch, need: Need) -> str:
    """Return a run as spoken: unit to unit inside the rig, or the hand-off that goes to the house."""
    link, hand_off = patch.rig.link(need.run), patch.rig.hand_off(need.run)
    if link is not None:
        ends = (patch.units[link.source.unit].name, patch.units[link.target.unit].name)
        return " to ".join(ends)
    return hand_off.name if hand_off is not None else need.run


def _item(patch: Patch, item: Item) -> str:
    whose = "" if item.comes_from == "rig" else " (yours)"
    return patch.catalogue.cable_type(item.type).of(length_words(item.length_m)) + whose

