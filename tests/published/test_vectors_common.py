"""How a vector of vectors.json is compared, and proof that the comparison can fail.

A vector carries inputs, expected values computed from the definitions, a tolerance for each, its source, and
under ``printed`` what the source prints, with half a unit of the last printed digit (more where the basis says
why). The families of vectors are computed in test_vectors_*.py beside this file.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

Values = dict[str, Any]
Adapter = Callable[[Values], Values]

TABLE: Values = json.loads(Path(__file__).with_name("vectors.json").read_text("utf-8"))
VECTORS: dict[str, Values] = {row["id"]: row for row in (*TABLE["numeric"], *TABLE["verdicts"])}


def _pairs(found: Any, wanted: Any) -> Iterator[tuple[Any, Any]]:
    if isinstance(wanted, list):
        assert len(found) == len(wanted), (found, wanted)
        for one, other in zip(found, wanted, strict=True):
            yield from _pairs(one, other)
    else:
        yield found, wanted


def within(found: Any, wanted: Any, tolerance: Values) -> bool:
    """Whether one value keeps to its tolerance: abs, rel, exact or at_least."""
    ((kind, amount),) = tolerance.items()
    if isinstance(wanted, bool | str):
        return kind == "exact" and type(found) is type(wanted) and found == wanted
    if kind == "at_least":
        return bool(found >= wanted - 1e-9)
    if kind == "exact":
        return math.isclose(found, wanted, rel_tol=1e-12)
    if kind == "rel":
        return abs(found - wanted) <= amount * abs(wanted)
    assert kind == "abs"
    return abs(found - wanted) <= amount


def check(vector: Values, found: Values) -> None:
    """Assert that everything a vector expects was computed, and lies within its tolerance and the print."""
    assert set(found) == set(vector["expected"]) == set(vector["tolerance"])
    for name, wanted in vector["expected"].items():
        for one, other in _pairs(found[name], wanted):
            assert within(one, other, vector["tolerance"][name]), f"{name}: {one}, expected {other}"
    for name, printed in vector.get("printed", {}).items():
        pairs = list(_pairs(found[name], printed["value"]))
        slack = printed["abs"] if isinstance(printed["abs"], list) else [printed["abs"]] * len(pairs)
        for (one, other), half_digit in zip(pairs, slack, strict=True):
            assert abs(one - other) <= half_digit * (1 + 1e-9), f"{name}: {one}, printed {other}"


def _moved(value: Any, tolerance: Values) -> Any:
    """Return a value just outside its tolerance."""
    if isinstance(value, list):
        return [_moved(one, tolerance) for one in value]
    if isinstance(value, bool):
        return not value
    if isinstance(value, str):
        return value + "?"
    ((kind, amount),) = tolerance.items()
    if kind == "at_least":
        return value - 0.1
    return value + 1.001 * {"abs": amount, "rel": amount * abs(value), "exact": 1e-6}[kind]


@pytest.mark.parametrize("vector", VECTORS.values(), ids=VECTORS)
def test_the_comparison_can_fail(vector: Values) -> None:
    """Every expected value, moved just outside its tolerance, is refused; unmoved it is accepted."""
    expected, tolerance = vector["expected"], vector["tolerance"]
    bare = {key: value for key, value in vector.items() if key != "printed"}
    check(bare, expected)
    for name in expected:
        with pytest.raises(AssertionError, match=name):
            check(bare, {**expected, name: _moved(expected[name], tolerance[name])})


@pytest.mark.parametrize("vector", VECTORS.values(), ids=VECTORS)
def test_a_missing_or_short_answer_is_refused(vector: Values) -> None:
    for name, value in vector["expected"].items():
        with pytest.raises(AssertionError):
            check(vector, {key: one for key, one in vector["expected"].items() if key != name})
        if isinstance(value, list):
            with pytest.raises(AssertionError):
                check(vector, {**vector["expected"], name: value[:-1]})
