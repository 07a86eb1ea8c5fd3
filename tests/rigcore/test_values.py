"""Classes of values behave as those of the standard decorator, and are made of fewer functions."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from functools import cached_property
from typing import Any

import pytest

from rigcore import values


def _classes(decorator: Callable[..., Any]) -> tuple[Any, Any]:
    @decorator(frozen=True)
    class Lead:
        """One lead."""

        name: str
        length_m: float = 1.5
        marks: list[str] = dataclasses.field(default_factory=list, compare=False)

        @cached_property
        def twice(self) -> float:
            """Twice its length."""
            return 2 * self.length_m

        def __post_init__(self) -> None:
            if self.length_m < 0:
                raise ValueError("shorter than nothing")

    @decorator(frozen=True, eq=False)
    class Bare:
        """Nothing in it."""

    return Lead, Bare


@pytest.fixture(params=[values.dataclass, dataclasses.dataclass], ids=["ours", "standard"])
def made(request: pytest.FixtureRequest) -> tuple[Any, Any]:
    return _classes(request.param)


def test_values_of_alike_fields_are_one(made: tuple[Any, Any]) -> None:
    lead, bare = made
    assert lead("a") == lead("a", 1.5, ["red"])
    assert lead("a") != lead("b")
    assert lead("a") != ("a", 1.5, [])
    assert len({lead("a"), lead("a"), lead("a", 2.0)}) == 2
    assert bare() != bare()
    assert len({bare(), bare()}) == 2


def test_defaults_are_made_anew(made: tuple[Any, Any]) -> None:
    lead, _ = made
    one, other = lead("a"), lead(name="a", length_m=3.0)
    assert one.marks == []
    assert one.marks is not other.marks
    assert other.twice == 6.0
    with pytest.raises(ValueError, match="shorter"):
        lead("a", -1.0)
    with pytest.raises(TypeError, match="name"):
        lead()


def test_nothing_can_be_written(made: tuple[Any, Any]) -> None:
    lead, bare = made
    one = lead("a")
    with pytest.raises(dataclasses.FrozenInstanceError):
        one.name = "b"
    with pytest.raises(dataclasses.FrozenInstanceError):
        del one.name
    with pytest.raises(dataclasses.FrozenInstanceError):
        bare().colour = "red"
    assert one.name == "a"


def test_the_standard_library_knows_them(made: tuple[Any, Any]) -> None:
    lead, bare = made
    one = lead("a")
    assert dataclasses.replace(one, length_m=2.0) == lead("a", 2.0)
    assert dataclasses.asdict(one) == {"name": "a", "length_m": 1.5, "marks": []}
    assert [field.name for field in dataclasses.fields(lead)] == ["name", "length_m", "marks"]
    assert dataclasses.is_dataclass(bare)
    assert repr(one).endswith("Lead(name='a', length_m=1.5, marks=[])")
    assert lead.__match_args__ == ("name", "length_m", "marks")


def test_what_is_not_frozen_is_the_standard_one() -> None:
    @values.dataclass
    class Tally:
        """A count."""

        count: int = 0

    tally = Tally()
    tally.count += 1
    assert tally == Tally(1)


def test_only_what_is_asked_for_is_compiled(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    standard = dataclasses.dataclass
    monkeypatch.setattr(values.dataclasses, "dataclass", lambda *a, **k: asked.append("now") or standard(*a, **k))
    lead, _ = _classes(values.dataclass)
    assert lead("a").length_m == 1.5
    assert not asked
    assert lead("a") == lead("a")
    assert hash(lead("a")) == hash(lead("a"))
    assert not asked
    assert repr(lead("a"))
    assert len(dataclasses.fields(lead)) == 3
    assert asked == ["now"]
