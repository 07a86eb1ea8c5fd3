"""Lengths against pint and footprints against plain trigonometry."""

from __future__ import annotations

import pint
import pytest

from rigcore.quantities.geometry import POINTS_PER_METRE, corners, feet_from_metres, length_words


@pytest.mark.parametrize("length", [0.3048, 1.0, 12.0])
def test_feet_against_pint(length: float) -> None:
    """International foot: 0.3048 m exactly, as pint has it."""
    units = pint.UnitRegistry()
    assert feet_from_metres(length) == pytest.approx((length * units.metre).to(units.foot).magnitude)


def test_points_against_pint() -> None:
    """A paper point is 1/72 inch."""
    units = pint.UnitRegistry()
    assert pytest.approx((1 * units.metre).to(units.inch).magnitude * 72) == POINTS_PER_METRE


def test_words() -> None:
    assert length_words(5.0) == "5 m"
    assert length_words(1.25) == "1.25 m"
    assert length_words(6.096, feet=True) == "20 ft"


def test_a_quarter_turn_swaps_width_and_depth() -> None:
    xs, ys = zip(*corners((1.0, 2.0), (2.0, 1.0), 90.0), strict=True)
    assert (min(xs), max(xs), min(ys), max(ys)) == pytest.approx((0.5, 1.5, 1.0, 3.0))


def test_turning_is_clockwise_seen_from_above() -> None:
    """With y upstage and x to stage left, clockwise from above takes the downstage edge to stage right."""
    front_left = corners((0.0, 0.0), (2.0, 1.0), 0.0)[0]
    turned = corners((0.0, 0.0), (2.0, 1.0), 90.0)[0]
    assert front_left == (-1.0, -0.5)
    assert turned == pytest.approx((-0.5, 1.0))
