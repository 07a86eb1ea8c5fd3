"""Phantom power against published values and verdicts.

The supply is P48 of IEC 61938:2018: 48 V (44 to 52 V) through 6.8 kohm in each
leg. The identifiers are those of our collection of test vectors.
"""

from __future__ import annotations

import pytest

from rigcore.analysis import analyse
from rigcore.catalogue.loader import shipped
from rigcore.rules import basis
from rigcore.rules.phantom import harmed
from tests.rule_samples.plan import Plan

SUPPLY_V = 48.0
LEG_KOHM = 6.8


def _faults(plan: Plan) -> set[str]:
    return {one.rule for one in analyse(plan.book, None, shipped()).findings if one.severity == "fault"}


def test_p48_is_named_with_its_values() -> None:
    """IEC 61938:2018, P48: 48 V with a tolerance of 4 V, 6.8 kohm per leg."""
    assert "IEC 61938:2018" in basis.P48
    assert "48 V (44 to 52 V)" in basis.P48
    assert "6.8 kohm in each leg" in basis.P48


def test_current_into_one_leg() -> None:
    """PH-P48: 7.06 mA, by Ohm's law from the 48 V and 6.8 kohm of IEC 61938:2018; the program prints both figures."""
    current_ma = SUPPLY_V / LEG_KOHM
    assert current_ma == pytest.approx(7.06, abs=0.005)
    assert f"{current_ma:.2f} mA" in harmed.RULE.working


def test_bx_04_unbalanced_output_on_an_adapter() -> None:
    """BX-04: TS output into an XLR input by a passive adapter with 48 V on fails.

    Source: a mixer manual's chart of what may and may not be plugged into an input with 48 V on, and a
    microphone maker's answers to users; pin 3 lies on pin 1 and the current flows into the source.
    """
    plan = Plan()
    plan.says(phantom="always on")
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.land("piano.out-l", "in-1", "adapter-ts6m-xlr3m in out", "xlr 5", name="Piano")
    findings = [one for one in analyse(plan.book, None, shipped()).findings if one.severity == "fault"]
    assert [one.rule for one in findings] == ["phantom.harmed"]
    assert "48 V / 6.8 kΩ = 7.1 mA" in findings[0].working[0]


def test_bx_05_condenser_on_the_isolated_leg() -> None:
    """BX-05: a condenser microphone whose desk hangs only on the isolated leg of a splitter is unpowered.

    Source: a splitter maker's technical paper and two live-sound articles: only the direct leg passes 48 V.
    """
    plan = Plan()
    plan.says(phantom="always on")
    plan.unit("vox", "condenser-handheld", "Vox mic")
    plan.unit("split", "splitter-1x2", "Splitter")
    plan.link("vox.out", "split.in", "xlr 5")
    plan.land("split.isolated", "in-1", "xlr 5", name="Lead vox")
    assert _faults(plan) == {"phantom.missing"}


def test_bx_07_passive_di_with_48_v_on() -> None:
    """BX-07: a passive DI on an input with 48 V on is all right.

    Source: articles on direct boxes: a passive one needs neither 48 V nor a battery; that it keeps 48 V off the
    instrument follows from a transformer passing no DC.
    """
    plan = Plan()
    plan.says(phantom="always on")
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.land("piano.out-l", "in-1", "ts 3", "di-passive in-1 out-1", "xlr 5", name="Piano")
    assert _faults(plan) == set()
