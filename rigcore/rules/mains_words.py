"""Words the rules about power speak with: amperes, milliamperes, and the things a plug or a circuit is."""

from __future__ import annotations

from collections.abc import Iterable

from rigcore.patch.build import Patch
from rigcore.patch.circuits import STAGE, Circuit
from rigcore.patch.once import once_a_patch
from rigcore.patch.plugs import Plug
from rigcore.rules.rule import Thing
from rigcore.rules.words import joined

ELECTRICIAN = "Local codes and the house's licensed electrician decide."
"""The caution of every finding about the house's own circuits."""

MANY = 6
"""So many names are read out, the others counted."""


def amps(current_a: float) -> str:
    """Return a current with two decimals and its unit; ratings as they are printed."""
    return f"{current_a:g} A" if current_a == round(current_a, 1) else f"{current_a:.2f} A"


def milliamps(current_ma: float) -> str:
    """Return a small current with its unit."""
    return f"{round(current_ma, 2):g} mA"


def at(patch: Patch, place: str) -> str:
    """Return a place of the house as spoken."""
    return f"on stage at {patch.house.name}" if place == STAGE else f"at {place} of {patch.house.name}"


def names(plugs: Iterable[Plug]) -> str:
    """Return the names of some plugs' owners, the first few of them."""
    found = [one.name for one in plugs]
    if len(found) > MANY:
        found = [*found[:MANY], f"{len(found) - MANY} more"]
    return joined(found)


def things(patch: Patch, plugs: Iterable[Plug]) -> tuple[Thing, ...]:
    """Return the units of some plugs in the order of the rig, and the gig: the house is its partner."""
    order = _order(patch)
    ids = sorted({one.key[1] for one in plugs if one.unit is not None}, key=lambda unit: order[unit])
    return (*(Thing("unit", unit) for unit in ids), Thing("gig", patch.gig.id))


@once_a_patch
def _order(patch: Patch) -> dict[str, int]:
    return {unit: number for number, unit in enumerate(patch.units)}


def thing(plug: Plug) -> Thing:
    """Return the thing a plug belongs to: its unit, or the landing it is a piece of."""
    if plug.key[0] == "rig":
        return Thing("unit", plug.key[1])
    return Thing("landing", plug.key[1].partition("/")[0])


def drawn(plugs: Iterable[Plug]) -> tuple[str, ...]:
    """Return one line of working for each plug that draws power itself: name and VA."""
    return tuple(f"{one.name}: {one.own_va:g} VA" for one in plugs if one.own_va > 0)


def breaker(circuit: Circuit) -> str:
    """Return how a circuit's rating is known."""
    assert circuit.breaker_a is not None  # asked only where there is one
    rating = amps(circuit.breaker_a)
    return f"circuit {rating}" if circuit.breaker_known else f"circuit taken as {rating}, the rating of its outlet"
