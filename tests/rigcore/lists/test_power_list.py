"""The power list: plugs and wall outlets at each place, and the regions the rig runs in."""

from __future__ import annotations

from rigcore.book.edits.units import move_on_stage
from rigcore.book.house import PowerDrop, Stage
from rigcore.catalogue.loader import shipped
from rigcore.lists.counts import count
from rigcore.lists.power_list import power_list, travel_list
from rigcore.patch.build import Patch, build_patch
from tests.rule_samples.plan import Plan


def _plan(*gear: str) -> Plan:
    plan = Plan()
    drops = tuple(
        PowerDrop(id=name.lower(), name=name, x_m=x_m, y_m=3.0, outlets=2, connector="bs1363.f")
        for name, x_m in (("Left", -3.0), ("Right", 3.0))
    )
    plan.house(stage=Stage(width_m=8.0, power=drops))
    for number, one in enumerate(gear):
        plan.unit(f"u{number}", one, f"{one} {number}")
    return plan


def _patch(plan: Plan) -> Patch:
    return build_patch(plan.book, None, shipped())


def test_strips_are_no_plugs_to_be_fed_but_save_wall_outlets() -> None:
    plan = _plan("stage-piano-88", "synth-61", "tablet")
    (row,) = power_list(_patch(plan))
    assert (row.place, row.outlets, row.wall_outlets, row.watts) == ("Left", 3, 3, 78.0)
    plan.unit("strip", "strip-6", "Strip")
    (row,) = power_list(_patch(plan))
    assert (row.place, row.outlets, row.wall_outlets, row.watts) == ("Left", 3, 1, 78.0)


def test_a_unit_counts_where_its_strip_is_plugged_in() -> None:
    plan = _plan("strip-6", "synth-61", "stage-piano-88")
    plan.link("u0.outlet-1", "u1.mains", "mains-c13-bs1363 5")
    for unit in ("u1", "u2"):
        plan.book = move_on_stage(plan.book, "rig", unit, (3.0, 2.0, 0.0))
    rows = power_list(_patch(plan))
    assert [(row.place, row.units) for row in rows] == [("Left", ("synth-61 1",)), ("Right", ("stage-piano-88 2",))]
    counts = count(_patch(plan))
    assert (counts.outlets, counts.wall_outlets) == (2, 2)


def test_a_strip_alone_is_no_row() -> None:
    assert power_list(_patch(_plan("strip-6"))) == ()


def test_a_rig_with_wide_range_supplies_travels() -> None:
    plan = _plan("stage-piano-88")
    assert all(row.travels for row in travel_list(_patch(plan)))
    plan.unit("amp", "keyboard-amplifier", "Amp")
    stays = {row.region.id: row.stays for row in travel_list(_patch(plan))}
    assert stays == {"europe": (), "australia": (), "north-america": ("Amp",), "japan": ("Amp",)}


def test_a_strip_of_one_voltage_stays_at_home() -> None:
    stays = {row.region.id: row.stays for row in travel_list(_patch(_plan("strip-6")))}
    assert stays["europe"] == ()
    assert stays["north-america"] == ("strip-6 0",)
