"""The way of mains to a plug: what each part may carry, and the volts lost along the leads.

The model of a drop is always named: IEC 60228 class 5 at 20 degrees C, or NEC chapter 9
Table 8 at 75 degrees C in North America. What is fed from where is in ``plugs``.
"""

from __future__ import annotations

from typing import NamedTuple

from msgspec import Struct

from rigcore.catalogue.cables import CableType
from rigcore.catalogue.carriers import Mains
from rigcore.catalogue.regions import Region, lowest_a
from rigcore.patch.build import Patch
from rigcore.patch.circuits import region
from rigcore.patch.once import once_each, once_of_mains
from rigcore.patch.plugs import Key, Plug, plugs
from rigcore.quantities.conductors import (
    CLASS_5_OHM_PER_KM,
    TABLE_8_STRANDED_OHM_PER_KFT,
    awg_area_mm2,
    class_5_ohm_per_m,
    loop_ohm,
    table_8_ohm_per_m,
)
from rigcore.quantities.mains import CORD_AMPERES_BY_AWG, CORD_AMPERES_BY_MM2
from rigcore.quantities.voltage_drop import CLASS_5, TABLE_8, Drop

NEAR_ENOUGH = 1.1
"""A metric cross-section counts as the largest AWG that is at most a tenth thicker."""


class Limit(NamedTuple):
    """What one part on the way to a plug may carry: in this region, and the lowest of all regions, in A."""

    words: str
    here_a: float
    lowest_a: float


class Stretch(Struct, frozen=True):
    """One lead on the way: the cable, its length in m, the current in A, ohm/m of one conductor, V lost."""

    cable: CableType
    length_m: float
    current_a: float
    ohm_per_m: float
    drop_v: float


class Way(Struct, frozen=True):
    """The leads between the wall (or a transformer) and a plug, and what is lost along them."""

    stretches: tuple[Stretch, ...]
    drop: Drop


def limits(patch: Patch, plug: Plug) -> tuple[Limit, ...]:
    """Return what each part between a plug and its outlet may carry, both included."""
    area = region(patch)
    found = [*_at_port(patch, plug.inlet.words, (plug.inlet.port.connector, plug.inlet.port.carrier))]
    for cable, length_m in plug.hop.cables if plug.hop is not None else ():
        words = f"{cable.name} ({length_m:g} m)"
        for end in (cable.end_a, cable.end_b):
            found += _at_port(patch, words, (end, None))
        wire = wire_a(cable, area)
        if wire is not None:
            found.append(Limit(f"{words}, conductors of {cable.conductor_mm2:g} mm²", wire, wire))
    if plug.into is not None:
        found += _at_port(patch, plug.into.words, (plug.into.port.connector, plug.into.port.carrier))
    elif plug.drop is not None and plug.drop.connector is not None:
        found += _at_port(patch, f"outlet at {plug.drop.name}", (plug.drop.connector, None))
    return tuple(found)


def lowest_limits(patch: Patch, plug: Plug) -> tuple[float, ...]:
    """Return the lowest of all limits between a plug and its outlet, in A: here, and of all regions; empty without any.

    The same for all plugs of one kind on one kind of outlet, so worked out once a kind.
    """
    outlet = plug.drop.connector if plug.into is None and plug.drop is not None else None
    into = None if plug.into is None else id(plug.into.port)
    key = (id(plug.inlet.port), None if plug.hop is None else plug.hop.coupling, into, outlet)
    known: dict[object, tuple[float, ...]] = patch.derived.setdefault(lowest_limits, {})
    if key not in known:
        parts = limits(patch, plug)
        known[key] = (min(one.here_a for one in parts), min(one.lowest_a for one in parts)) if parts else ()
    return known[key]


@once_each
def _rated_a(patch: Patch, connector_id: str) -> tuple[float | None, float | None]:
    """Return the rating of a connector here, and the lowest of all regions, in A."""
    connector = patch.catalogue.connectors[connector_id]
    return region(patch).rated_a(connector), lowest_a(connector)


def _at_port(patch: Patch, words: str, port: tuple[str, object]) -> list[Limit]:
    connector, carrier = patch.catalogue.connectors[port[0]], port[1]
    found = []
    here, lowest = _rated_a(patch, connector.id)
    if here is not None and lowest is not None:
        found.append(Limit(f"{words} ({connector.name})", here, lowest))
    if isinstance(carrier, Mains) and carrier.rated_a is not None:
        found.append(Limit(f"{words}, as rated", carrier.rated_a, carrier.rated_a))
    return found


def wire_a(cable: CableType, area: Region) -> float | None:
    """Return what the conductors of a mains lead may carry in a region, in A; None outside the tables.

    Source
    ------
    NEC 400.5(A) by AWG in North America, else British flexible cord by mm2.
    """
    if cable.conductor_mm2 is None:
        return None
    if area.drop == "table 8":
        awg = nearest_awg(cable.conductor_mm2)
        return CORD_AMPERES_BY_AWG.get(awg) if awg is not None else None
    return CORD_AMPERES_BY_MM2.get(cable.conductor_mm2)


def nearest_awg(area_mm2: float) -> int | None:
    """Return the AWG of NEC chapter 9 Table 8 a metric conductor counts as, None if it is thinner than all.

    Examples
    --------
    >>> [nearest_awg(area) for area in (0.35, 0.75, 1.0, 1.5, 2.5, 4.0)]
    [None, 18, 18, 16, 14, 12]
    """
    fitting = [awg for awg in TABLE_8_STRANDED_OHM_PER_KFT if awg_area_mm2(awg) <= area_mm2 * NEAR_ENOUGH]
    return min(fitting, default=None)


def lead_ohm_per_m(cable: CableType, area: Region) -> float | None:
    """Return the resistance of one conductor of a lead by a region's model, in ohm/m; None where nothing tells it."""
    if cable.conductor_mm2 is not None and area.drop == "table 8":
        awg = nearest_awg(cable.conductor_mm2)
        return table_8_ohm_per_m(awg) if awg is not None else cable.ohm_per_m
    if cable.conductor_mm2 in CLASS_5_OHM_PER_KM:
        return class_5_ohm_per_m(cable.conductor_mm2 or 0.0)
    return cable.ohm_per_m


@once_of_mains
def ways(patch: Patch) -> dict[Key, Way]:
    """Return the leads between the wall and each plug that has any, with the drop along them."""
    area = region(patch)
    model = TABLE_8 if area.drop == "table 8" else CLASS_5
    found: dict[Key, Way] = {}
    for key, plug in plugs(patch).items():
        above = found.get(plug.up) if plug.up is not None else None
        before = above.stretches if above is not None and not _transformed(patch, plug) else ()
        stretches = (*before, *_stretches(plug, area))
        if stretches:
            drop_v = sum(one.drop_v for one in stretches)
            found[key] = Way(stretches, Drop(drop_v, plug.supply_v, model))
    return found


def _transformed(patch: Patch, plug: Plug) -> bool:
    up = plugs(patch)[plug.up] if plug.up is not None else None
    return up is not None and up.supply_v != plug.supply_v


def _stretches(plug: Plug, area: Region) -> list[Stretch]:
    found = []
    for cable, length_m in plug.hop.cables if plug.hop is not None else ():
        ohm_per_m = lead_ohm_per_m(cable, area)
        if ohm_per_m is not None:
            drop_v = loop_ohm(ohm_per_m, length_m) * plug.load_a
            found.append(Stretch(cable, length_m, plug.load_a, ohm_per_m, drop_v))
    return found
