"""Circuits as the house tells them: breaker, protective device, sharers, limiter, and the region they are in."""

from __future__ import annotations

from typing import Any

import pytest

from rigcore.book.house import PowerDrop, Stage
from rigcore.catalogue.loader import shipped
from rigcore.catalogue.regions import region_of, regions
from rigcore.patch.build import Patch, build_patch
from rigcore.patch.circuits import circuits, region
from tests.rule_samples.plan import Plan


def _drop(name: str, x_m: float, **fields: Any) -> PowerDrop:
    given_ = {"id": name.lower().replace(" ", "-"), "name": name, "x_m": x_m, "y_m": 3.0, "outlets": 4,
              "connector": "bs1363.f", **fields}  # fmt: skip
    return PowerDrop(**given_)


def _plan(*drops: PowerDrop) -> Plan:
    plan = Plan()
    plan.house(stage=Stage(width_m=10.0, depth_m=6.0, power=drops))
    return plan


def _patch(plan: Plan) -> Patch:
    return build_patch(plan.book, None, shipped())


def test_drops_of_one_circuit_name_hang_on_one_breaker() -> None:
    one = _drop("Left", -3.0, circuit="Stage, 16 A")
    other = _drop("Right", 3.0, circuit="stage")
    third = _drop("Back", 0.0, circuit="16 A")
    patch = _patch(_plan(one, other, third))
    assert [(found.name, found.breaker_a, found.breaker_known) for found in circuits(patch)] == [
        ("Left and Right", 16.0, True), ("Back", 16.0, True),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("fields", "facts", "wanted"),
    [
        ({}, {}, ((13.0, False), ("rcd", 30.0, False), "", False)),
        ({"circuit": "16 A, shared with wine cooler"}, {}, ((16.0, True), ("rcd", 30.0, False), "wine cooler", False)),
        ({"circuit_a": 32.0, "circuit": "16 A"}, {}, ((32.0, True), ("rcd", 30.0, False), "", False)),
        ({}, {"circuit": "each 20 A, not shared"}, ((20.0, True), ("rcd", 30.0, False), "", False)),
        ({}, {"circuit": "one, shared with the bar; old"}, ((13.0, False), ("rcd", 30.0, False), "the bar", False)),
        ({"rcd_ma": 10.0}, {"residual_current_device": "30 mA"}, ((13.0, False), ("rcd", 10.0, True), "", False)),
        ({}, {"residual_current_device": "100 mA"}, ((13.0, False), ("rcd", 100.0, True), "", False)),
        ({}, {"residual_current_device": "GFCI"}, ((13.0, False), ("gfci", 6.0, True), "", False)),
        ({}, {"residual_current_device": "none"}, ((13.0, False), None, "", False)),
        ({}, {"sound_limiter": "90 dB"}, ((13.0, False), ("rcd", 30.0, False), "", True)),
        ({}, {"sound_limiter": "no"}, ((13.0, False), ("rcd", 30.0, False), "", False)),
        ({"limiter": False}, {"sound_limiter": "90 dB"}, ((13.0, False), ("rcd", 30.0, False), "", False)),
        ({"limiter": True, "shared_with": "bar"}, {}, ((13.0, False), ("rcd", 30.0, False), "bar", True)),
    ],
)
def test_what_a_house_says_of_its_circuit(
    fields: dict[str, Any], facts: dict[str, str], wanted: tuple[Any, Any, str, bool]
) -> None:
    plan = _plan(_drop("Left", -3.0, **fields))
    plan.says(**facts)
    (found,) = circuits(_patch(plan))
    device = None if found.device is None else (found.device.kind, found.device.rated_ma, found.device_known)
    assert ((found.breaker_a, found.breaker_known), device, found.shared_with, found.limiter) == wanted


def test_regions_are_told_by_voltage_then_by_outlet() -> None:
    assert [region_of(volts).id for volts in (240.0, 230.0, 120.0, 110.5, 109.0, 100.0)] == [
        "europe", "europe", "north-america", "north-america", "japan", "japan",
    ]  # fmt: skip
    plan = _plan(_drop("Left", -3.0, connector="as3112.f"))
    assert region(_patch(plan)).words == "Australia and New Zealand, 230 V 50 Hz"
    for one in regions():
        assert set(one.plugs) <= set(shipped().connectors)
