"""What each strip, outlet, drop and circuit has to feed, asked of the plugs of a gig.

Only what the rig brings is counted, or is fed by it; the house's own gear adds to it.
"""

from __future__ import annotations

import math

from msgspec import Struct

from rigcore.book.house import PowerDrop
from rigcore.book.rig import Unit
from rigcore.patch.build import Patch
from rigcore.patch.circuits import STAGE, Circuit, circuit_of, outlets_given
from rigcore.patch.once import once_a_patch
from rigcore.patch.plugs import Key, Plug, is_strip, nearest_drop, plugs
from rigcore.quantities.leakage import sum_ma


@once_a_patch
def powered_units(patch: Patch) -> tuple[Unit, ...]:
    """Return the units the rig brings that need an outlet, in the order of the rig."""
    return tuple(unit for unit in patch.units.values() if unit.owner == "rig" and watts(patch, unit) > 0)


def watts(patch: Patch, unit: Unit) -> float:
    """Return the highest mains power of a unit, in W."""
    return patch.catalogue.gear_type(unit.gear).watts()


def drop_of(patch: Patch, unit: Unit) -> PowerDrop | None:
    """Return the power drop a unit of the rig is fed from, through links or by nearness; None without drops."""
    plug = plugs(patch).get(("rig", unit.id))
    return plug.drop if plug is not None else nearest_drop(patch.house.stage.power, unit.x_m, unit.y_m)


class Place(Struct, frozen=True):
    """One place where mains is to be had: the plugs to be fed there, and the outlets.

    ``loads`` draw power, ``strips`` spread it; ``in_wall`` sit in the wall outlets. ``given`` is
    the number of wall outlets, None where nothing tells it.
    """

    drop: PowerDrop | None
    loads: tuple[Plug, ...]
    strips: tuple[Plug, ...]
    in_wall: tuple[Plug, ...]
    given: int | None
    given_assumed: bool

    @property
    def name(self) -> str:
        """The place as spoken."""
        return self.drop.name if self.drop is not None else STAGE

    @property
    def on_strips(self) -> int:
        """How many of the loads need no wall outlet of their own."""
        return sum(one.up is not None for one in self.loads)


@once_a_patch
def places(patch: Patch) -> tuple[Place, ...]:
    """Return the places at which the rig takes mains, in the order of the house's drops."""
    groups: dict[str, list[Plug]] = {}
    for plug in plugs(patch).values():
        groups.setdefault(plug.drop.id if plug.drop is not None else "", []).append(plug)
    drops = patch.house.stage.power
    order = {drop.id: number for number, drop in enumerate(drops)}
    found = []
    for drop_id in sorted(groups, key=lambda one: order.get(one, -1)):
        here = groups[drop_id]
        drop = here[0].drop
        given, assumed = outlets_given(patch, drop)
        found.append(
            Place(
                drop,
                tuple(one for one in here if not one.feeds_only),
                tuple(one for one in here if one.key[0] == "rig" and is_strip(one.inlet.gear)),
                tuple(one for one in here if one.up is None),
                given, assumed,
            )
        )
    return tuple(found)


class Load(Struct, frozen=True):
    """What hangs on one circuit: VA, A at the house's voltage, and leakage in mA, of the rig alone."""

    circuit: Circuit
    plugs: tuple[Plug, ...]
    load_va: float
    load_a: float
    leakage_ma: float


@once_a_patch
def loads(patch: Patch) -> tuple[Load, ...]:
    """Return the load of every circuit the rig hangs on. Their sum does not depend on what hangs where."""
    groups: dict[str, tuple[Circuit, list[Plug]]] = {}
    for plug in plugs(patch).values():
        circuit = circuit_of(patch, plug.drop)
        groups.setdefault(circuit.id, (circuit, []))[1].append(plug)
    found = []
    for circuit, here in groups.values():
        load_va = math.fsum(one.own_va for one in here)
        leak = sum_ma(one.leakage_ma for one in here)
        found.append(Load(circuit, tuple(here), load_va, load_va / patch.house.mains_v, leak))
    return tuple(found)


def hanging_on(patch: Patch, plug: Plug) -> tuple[Plug, ...]:
    """Return everything fed through a plug, itself left out, nearest first."""
    below = _below(patch)
    found = list(below.get(plug.key, ()))
    for one in found:
        found += below.get(one.key, ())
    return tuple(found)


@once_a_patch
def _below(patch: Patch) -> dict[Key, tuple[Plug, ...]]:
    found: dict[Key, list[Plug]] = {}
    for one in plugs(patch).values():
        if one.up is not None:
            found.setdefault(one.up, []).append(one)
    return {key: tuple(here) for key, here in found.items()}
