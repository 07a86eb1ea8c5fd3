"""Voltage drop along a mains lead, by four published models; every answer names the model it used.

The same lead gives 13 to 25 % different figures by model, so a drop without its model means nothing.
Not here: which limit applies (3, 5, 6 or 8 %, advice in all codes) and the resistance tables (``conductors``).
"""

from __future__ import annotations

import math

from msgspec import Struct

from rigcore.quantities.checks import above_zero, zero_or_more
from rigcore.quantities.conductors import awg_ohm_per_m, class_5_ohm_per_m, loop_ohm, table_8_ohm_per_m

CLASS_5 = "IEC 60228 class 5 at 20 °C, power factor 1"
ANNEX_G = "IEC 60364-5-52 Annex G"
TABLE_8 = "NEC chapter 9 Table 8 at 75 °C, power factor 1"
SOLID_20_C = "ASTM B258 solid copper at 20 °C, power factor 1"

ANNEX_G_OHM_MM2_PER_M = 0.0225
"""Resistivity of copper in service: 1.25 times that at 20 degrees C (IEC 60364-5-52 Annex G)."""

ANNEX_G_REACTANCE_OHM_PER_M = 0.00008
"""Reactance of a conductor, 0.08 mohm/m (IEC 60364-5-52 Annex G, from memory)."""

ANNEX_G_POWER_FACTOR = 0.8
"""Where the load's is unknown (IEC 60364-5-52 Annex G)."""

BRANCH_LIMIT_PCT = 3.0
"""Advised for a branch circuit (informational note to NEC 210.19; not enforceable)."""

WHOLE_LIMIT_PCT = 5.0
"""Advised from origin to load (same note; IEC 60364-5-52 Table G.52.1 for other uses than lighting)."""


class Drop(Struct, frozen=True):
    """A voltage drop in V, the supply in V it is taken from, and the model that gave it."""

    drop_v: float
    supply_v: float
    model: str

    @property
    def drop_pct(self) -> float:
        """Drop in % of the supply."""
        return 100.0 * self.drop_v / self.supply_v

    @property
    def end_v(self) -> float:
        """Voltage in V at the far end."""
        return self.supply_v - self.drop_v

    def within(self, limit_pct: float) -> bool:
        """Return whether the drop is at most so many %."""
        return self.drop_pct <= limit_pct + 1e-9


def _resistive(ohm_per_m: float, length_m: float, current_a: float, *, supply_v: float, model: str) -> Drop:
    drop_v = loop_ohm(ohm_per_m, length_m) * zero_or_more(current_a, "the current")
    return Drop(drop_v, above_zero(supply_v, "the supply"), model)


def drop_class_5(area_mm2: float, length_m: float, current_a: float, supply_v: float) -> Drop:
    """Return the drop along a flexible lead, single phase, by the highest resistance at 20 degrees C.

    Parameters
    ----------
    area_mm2
        Cross-section in mm2, one of the table's.
    length_m
        One-way length in m.
    current_a
        Current in A.
    supply_v
        Voltage at the start, in V.

    Raises
    ------
    ValueError
        If the cross-section is not in the table, length or current are negative, or the supply is not above zero.

    Examples
    --------
    >>> drop = drop_class_5(2.5, 30.0, 10.0, 230.0)
    >>> round(drop.drop_v, 3), round(drop.drop_pct, 3), drop.model
    (4.788, 2.082, 'IEC 60228 class 5 at 20 °C, power factor 1')

    Source
    ------
    IEC 60228 class 5, plain copper.
    """
    return _resistive(class_5_ohm_per_m(area_mm2), length_m, current_a, supply_v=supply_v, model=CLASS_5)


def drop_table_8(awg: int, length_m: float, current_a: float, supply_v: float, *, stranded: bool = True) -> Drop:
    """Return the drop along a lead of AWG conductors, single phase, at 75 degrees C.

    Parameters
    ----------
    awg
        Wire gauge, one of the table's.
    length_m
        One-way length in m.
    current_a
        Current in A.
    supply_v
        Voltage at the start, in V.
    stranded
        Stranded (default) or solid conductors.

    Raises
    ------
    ValueError
        If the gauge is not in the table, length or current are negative, or the supply is not above zero.

    Examples
    --------
    >>> drop = drop_table_8(12, 30.48, 16.0, 120.0)
    >>> round(drop.drop_v, 3), round(drop.drop_pct, 2)
    (6.336, 5.28)

    Source
    ------
    NEC chapter 9 Table 8, uncoated copper.
    """
    per_m = table_8_ohm_per_m(awg, stranded=stranded)
    return _resistive(per_m, length_m, current_a, supply_v=supply_v, model=TABLE_8)


def drop_solid_20_c(awg: int, length_m: float, current_a: float, supply_v: float) -> Drop:
    """Return the drop along a lead of solid AWG conductors, single phase, at 20 degrees C.

    Parameters
    ----------
    awg
        Wire gauge.
    length_m
        One-way length in m.
    current_a
        Current in A.
    supply_v
        Voltage at the start, in V.

    Raises
    ------
    ValueError
        If the gauge is none, length or current are negative, or the supply is not above zero.

    Examples
    --------
    >>> round(drop_solid_20_c(16, 30.48, 3.3, 120.0).end_v, 2)
    117.35

    Source
    ------
    ASTM B258 geometry with the resistivity of annealed copper.
    """
    return _resistive(awg_ohm_per_m(awg), length_m, current_a, supply_v=supply_v, model=SOLID_20_C)


def drop_annex_g(
    area_mm2: float,
    length_m: float,
    current_a: float,
    supply_v: float,
    *,
    power_factor: float = ANNEX_G_POWER_FACTOR,
    three_phase: bool = False,
) -> Drop:
    """Return the drop along a copper circuit in service.

    Parameters
    ----------
    area_mm2
        Cross-section in mm2.
    length_m
        One-way length in m.
    current_a
        Current in A.
    supply_v
        Voltage at the start between line and neutral, in V.
    power_factor
        Of the load, lagging; 0.8 if unknown.
    three_phase
        Balanced three-phase circuits drop half as much, their neutral being empty.

    Raises
    ------
    ValueError
        If length or current are negative, cross-section or supply not above zero, or the power factor impossible.

    Examples
    --------
    >>> drop = drop_annex_g(2.5, 30.0, 10.0, 230.0)
    >>> round(drop.drop_v, 3), round(drop.drop_pct, 3)
    (4.349, 1.891)

    Source
    ------
    IEC 60364-5-52:2009 Annex G: u = b (rho L/S cos phi + lambda L sin phi) I; lambda from memory.
    """
    if not 0 < power_factor <= 1:
        raise ValueError("the power factor must be above 0 and at most 1")
    resistance = ANNEX_G_OHM_MM2_PER_M / above_zero(area_mm2, "the cross-section") * power_factor
    reactance = ANNEX_G_REACTANCE_OHM_PER_M * math.sqrt(1.0 - power_factor**2)
    paths = 1.0 if three_phase else 2.0
    volts_per_a = paths * (resistance + reactance) * zero_or_more(length_m, "the length")
    return Drop(volts_per_a * zero_or_more(current_a, "the current"), above_zero(supply_v, "the supply"), ANNEX_G)
