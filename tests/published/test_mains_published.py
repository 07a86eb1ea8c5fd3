"""Mains by the program's own path against published figures: a rig is planned, and the analysis must say the same.

The quantities themselves are checked in test_vectors_mains.py; here the same vectors run through catalogue,
patch and rules. Sources stand in vectors.json.
"""

from __future__ import annotations

from typing import Any

import pytest

from rigcore.analysis import analyse
from rigcore.book.edits.rebuild import checked, put_rig
from rigcore.book.house import PowerDrop, Stage
from rigcore.catalogue.cables import CableType
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.loader import shipped
from rigcore.catalogue.regions import lowest_a, region_of, regions
from rigcore.patch.build import build_patch
from rigcore.patch.circuits import Device, circuits
from rigcore.patch.mains_run import Way, lead_ohm_per_m, ways
from rigcore.quantities.geometry import metres_from_feet
from rigcore.quantities.voltage_drop import CLASS_5, TABLE_8, drop_annex_g
from rigcore.rules.rule import Finding
from tests.published.test_vectors_common import VECTORS, check
from tests.rule_samples.plan import Plan
from tests.rule_samples.power import mains_gear


def _plan(mains_v: float, connector: str | None, **fields: Any) -> Plan:
    plan = Plan()
    drop = PowerDrop(
        **{"id": "corner", "name": "Corner", "x_m": 0.0, "y_m": 3.0, "outlets": 20, "connector": connector, **fields}
    )
    plan.house(mains_v=mains_v, stage=Stage(power=(drop,)))
    return plan


def _gear(plan: Plan, *loads: tuple[str, dict[str, Any]]) -> None:
    for number, (connector, mains) in enumerate(loads):
        plan.own(mains_gear(f"load-{number}", f"Load {number}", connector, **{"low_v": 90.0, "high_v": 260.0, **mains}))
        plan.unit(f"load{number}", f"load-{number}", f"Load {number}")


def _findings(plan: Plan, catalogue: Catalogue | None = None) -> dict[str, Finding]:
    return {one.rule: one for one in analyse(plan.book, None, catalogue or shipped()).findings}


# ---- voltage drop -------------------------------------------------------------------------------


def _with_lead(area_mm2: float) -> Catalogue:
    """Return the catalogue with one more extension lead, of British plugs and a given cross-section."""
    whole = shipped()
    like = whole.cable_type("extension-bs1363")
    lead = CableType(
        id="extension-test", name="extension lead of the test", medium="mains", end_a=like.end_a, end_b=like.end_b,
        wiring="mains", conductor_mm2=area_mm2, longest_m=100.0, why_longest="test", stock_lengths_m=(50.0,),
        source="test",
    )  # fmt: skip
    return Catalogue(whole.connectors.values(), whole.mating, [*whole.cables.values(), lead], whole.gear.values())


def _way(area_mm2: float, length_m: float, load_a: float, *, mains_v: float) -> tuple[Way, dict[str, Finding]]:
    """Return the way of a load at the end of one extension from a strip, and what the rules say of it."""
    catalogue = _with_lead(area_mm2)
    plan = _plan(mains_v, "bs1363.f", circuit_a=400.0)
    plan.unit("strip", "strip-6", "Strip")
    _gear(plan, ("bs1363.m", {"watts": load_a * mains_v}))
    plan.link("strip.outlet-1", "load0.mains", "extension-bs1363 1")
    rig = plan.book.rigs[0]
    link = checked(rig.links[0], cable="extension-test", length_m=length_m)
    plan.book = put_rig(plan.book, checked(rig, links=(link,)))
    patch = build_patch(plan.book, None, catalogue)
    return ways(patch)["rig", "load0"], _findings(plan, catalogue)


@pytest.mark.parametrize(("name", "area_mm2"), [("MP-05", 4.0), ("MP-06", 2.5), ("MP-08", 2.5), ("MP-10", 1.5)])
def test_drop_along_an_extension(name: str, area_mm2: float) -> None:
    """NEC Table 8 at 120 V (12 and 14 AWG), IEC 60228 class 5 at 230 V: the sheet's own lead, length and load."""
    vector = VECTORS[name]
    inputs = vector["inputs"]
    length_m = inputs["m"] if "m" in inputs else metres_from_feet(inputs["ft"])
    way, found = _way(area_mm2, length_m, inputs["A"], mains_v=float(inputs["V"]))
    assert way.drop.model == (TABLE_8 if inputs["V"] == 120 else CLASS_5)
    computed = {"drop_V": way.drop.drop_v, "drop_pct": way.drop.drop_pct, "within_3pct": way.drop.within(3.0)}
    check(vector, {key: computed[key] for key in vector["expected"]})
    wanted = None if way.drop.within(3.0) else "note" if way.drop.within(5.0) else "risk"
    told = found.get("power.voltage-drop")
    assert (told.severity if told else None) == wanted
    if told is not None:
        assert any(way.drop.model in line for line in told.working)


def test_annex_g_is_another_model_and_differs_by_design() -> None:
    """IEC 60364-5-52 Annex G against IEC 60228 class 5: MP-07 and MP-08, the same lead, 10 % apart."""
    vector = VECTORS["MP-07"]
    given = vector["inputs"]
    drop = drop_annex_g(given["S_mm2"], given["m"], given["A"], given["V"], power_factor=given["cosphi"])
    check(vector, {"drop_V": drop.drop_v, "drop_pct": drop.drop_pct})
    way, _ = _way(given["S_mm2"], given["m"], given["A"], mains_v=given["V"])
    assert way.drop.model != drop.model
    assert way.drop.drop_v / drop.drop_v == pytest.approx(1.10, abs=0.01)


def test_resistance_of_the_catalogues_leads() -> None:
    """MP-09, IEC 60228 class 5: one core of 5, 20 and 45 m of 1.5 mm2, and of 20 m of 2.5 mm2."""
    vector = VECTORS["MP-09"]
    europe = region_of(230.0)
    leads = {1.5: shipped().cable_type("extension-bs1363"), 2.5: shipped().cable_type("extension-iec60309-16")}
    found = []
    for area_mm2, length_m in zip(vector["inputs"]["S_mm2"], vector["inputs"]["m"], strict=True):
        lead = leads[area_mm2]
        assert lead.conductor_mm2 == area_mm2
        found.append((lead_ohm_per_m(lead, europe) or 0.0) * length_m)
    check(vector, {"R_one_core_ohm": found})


LEADS = [one for one in shipped().cables.values() if one.medium == "mains"]


@pytest.mark.parametrize("cable", LEADS, ids=[one.id for one in LEADS])
def test_the_catalogue_prints_class_5(cable: CableType) -> None:
    """IEC 60228 class 5, plain copper at 20 degrees C: ohm/m of every mains lead is that of its cross-section."""
    assert cable.ohm_per_m == pytest.approx(lead_ohm_per_m(cable, region_of(230.0)), rel=1e-6)


# ---- circuits -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("breaker_a", "most_a"), [(15.0, 12.0), (20.0, 16.0), (30.0, 24.0)])
def test_four_fifths_of_a_circuit(breaker_a: float, most_a: float) -> None:
    """NEC 210.19(A) and 210.20(A), MP-01 and MP-02: 12, 16 and 24 A; 1,440 and 1,920 W at 120 V."""
    for extra_w, wanted in ((0.0, None), (1.0, "risk")):
        plan = _plan(120.0, "nema5-20.f", circuit_a=breaker_a)
        parts = 4
        _gear(plan, *[("c14", {"watts": (most_a * 120.0 + extra_w) / parts})] * parts)
        told = _findings(plan).get("power.circuit")
        assert (told.severity if told else None) == wanted
    assert region_of(120.0).continuous_share == 0.8
    assert [one.id for one in regions() if one.continuous_share is not None] == ["north-america"]


def test_power_factor_counts() -> None:
    """MP-14: 200 W at a power factor of 0.6 and 120 V are 333.3 VA and 2.778 A."""
    plan = _plan(120.0, "nema5-15.f", circuit_a=2.0)
    _gear(plan, ("c14", {"watts": 200.0, "power_factor": 0.6}))
    told = _findings(plan)["power.circuit"]
    assert "2.78 A" in told.sentence
    assert any("333.333 VA / 120 V" in line for line in told.working)


# ---- ratings ------------------------------------------------------------------------------------

IEC_60320 = {
    "c6": (2.5, 2.5), "c8": (2.5, 10.0), "c14": (10.0, 15.0), "c16": (10.0, 15.0), "c18": (10.0, 10.0),
    "c20": (16.0, 20.0),
}  # fmt: skip
"""Inlets of IEC 60320: A internationally, and in North America (C6 and C8 there from memory)."""


@pytest.mark.parametrize("inlet", IEC_60320)
def test_inlets_bear_their_rating_and_no_more(inlet: str) -> None:
    """IEC 60320: the full rating is no finding, 1 % over it is a fault; in North America the lower is a risk."""
    europe_a, america_a = IEC_60320[inlet]
    assert lowest_a(shipped().connectors[inlet]) == europe_a
    for mains_v, rated_a in ((230.0, europe_a), (120.0, america_a)):
        for share, wanted in ((1.0, None if rated_a == europe_a else "risk"), (1.01, "fault")):
            plan = _plan(mains_v, None, circuit_a=400.0)
            _gear(plan, (inlet, {"watts": rated_a * mains_v * share}))
            told = _findings(plan).get("power.rating")
            assert (told.severity if told else None) == wanted, (inlet, mains_v, share)


def test_eleven_amperes_on_a_c14() -> None:
    """BX-15: refused in Europe (10 A); borne in North America by inlet (15 A) and circuit (12 A of 15 A)."""
    expected = VECTORS["BX-15"]["expected"]
    for mains_v, connector, key in ((230.0, "cee7-4.f", "europe_ok"), (120.0, "nema5-15.f", "north_america_ok")):
        plan = _plan(mains_v, connector, circuit_a=16.0 if mains_v == 230.0 else 15.0)
        _gear(plan, ("c14", {"watts": 11.0 * mains_v}))
        faults = [one.rule for one in _findings(plan).values() if one.severity == "fault"]
        assert (faults == []) is expected[key]


def test_a_lead_of_18_awg_is_the_weakest_part() -> None:
    """NEC 400.5(A): 10 A for 18 AWG, so 11 A want a lead of 16 AWG or heavier; MP-13: the weakest part counts."""
    plan = _plan(120.0, "nema5-15.f", circuit_a=15.0)
    plan.unit("strip", "strip-6-nema5-15", "Strip")
    _gear(plan, ("c14", {"watts": 11.0 * 120.0}))
    plan.link("strip.outlet-1", "load0.mains", "mains-c13-nema5-15 2")
    told = _findings(plan)["power.rating"]
    assert "conductors of 1 mm²; 10 A is what it may carry" in told.sentence


def test_sixteen_amperes_through_a_fused_plug() -> None:
    """BX-18, BS 1363 with the fuses of BS 1362: 16 A through a 13 A plug is refused."""
    plan = _plan(230.0, "bs1363.f", circuit_a=32.0)
    _gear(plan, ("c20", {"watts": 16.0 * 230.0}))
    assert (_findings(plan).get("power.rating") is None) is VECTORS["BX-18"]["expected"]["ok"]


@pytest.mark.parametrize(("lead", "inlet", "goes"), [
    ("mains-c13-bs1363", "c16", False), ("mains-c15-bs1363", "c14", True), ("mains-c15-bs1363", "c16", True),
    ("mains-c13-bs1363", "c14", True), ("mains-c13-bs1363", "c20", False),
])  # fmt: skip
def test_which_cord_goes_into_which_inlet(lead: str, inlet: str, goes: bool) -> None:
    """BX-14, IEC 60320: a C13 does not enter a C16 inlet, a C15 enters a C14."""
    plan = _plan(230.0, "bs1363.f")
    plan.unit("strip", "strip-6", "Strip")
    _gear(plan, (inlet, {"watts": 100.0}))
    plan.link("strip.outlet-1", "load0.mains", f"{lead} 2")
    assert ("fit.no-mating" not in _findings(plan)) is goes


# ---- leakage ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["LK-02", "LK-03"])
def test_thirty_per_cent_of_a_residual_current_device(name: str) -> None:
    """BS 7671:2018 531.3.2(iii): 7 mA may stand before 30 mA, 10.5 mA may not."""
    vector = VECTORS[name]
    plan = _plan(230.0, "bs1363.f", circuit_a=32.0, rcd_ma=float(vector["inputs"]["rcd_mA"]))
    _gear(plan, *[("c14", {"watts": 10.0, "leakage_ma": one}) for one in vector["inputs"]["items_mA"]])
    told = _findings(plan)["power.leakage"]
    assert f"{vector['expected']['sum_mA']:g} mA" in told.sentence
    assert (told.severity == "note") is vector["expected"]["ok"]


@pytest.mark.parametrize("name", ["LK-04", "LK-05"])
def test_a_class_a_gfci(name: str) -> None:
    """UL 943: never below 4 mA; the 30 % rule is for residual-current devices only."""
    vector = VECTORS[name]
    plan = _plan(120.0, "nema5-15.f", circuit_a=15.0)
    plan.says(residual_current_device="class A GFCI")
    _gear(plan, *[("c14", {"watts": 10.0, "leakage_ma": one}) for one in vector["inputs"]["items_mA"]])
    told = _findings(plan)["power.leakage"]
    assert f"{vector['expected']['sum_mA']:g} mA" in told.sentence
    assert (told.severity == "note") is vector["expected"]["below_no_trip_4mA"]


def test_what_stands_and_what_trips() -> None:
    """LK-01, BS 7671 and IEC 61008-1: 9 mA may stand before 30 mA, and it may trip from 15 mA."""
    vector = VECTORS["LK-01"]
    device = Device("rcd", float(vector["inputs"]["rcd_mA"]))
    found = {"standing_limit_mA": device.stands_ma, "may_trip_from_mA": device.trips_from_ma,
             "must_trip_mA": device.rated_ma}  # fmt: skip
    check(vector, found)
    assert (Device("gfci", 6.0).stands_ma, Device("gfci", 6.0).bears(4.0)) == (4.0, False)


def test_north_america_is_taken_to_have_a_gfci() -> None:
    """UL 943 where the house has said nothing at 120 V; a residual-current device elsewhere."""
    for mains_v, connector, kind in (
        (120.0, "nema5-15.f", "gfci"), (230.0, "cee7-4.f", "rcd"), (100.0, "nema5-15.f", "rcd"),
    ):  # fmt: skip
        (circuit,) = circuits(build_patch(_plan(mains_v, connector).book, None, shipped()))
        assert circuit.device is not None
        assert (circuit.device.kind, circuit.device_known) == (kind, False)
