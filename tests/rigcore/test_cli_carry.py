"""`carry` and `compare` on the command line."""

from __future__ import annotations

import json

import pytest

from rigcore import resources
from rigcore.cli import run

TOUR, TANDEM = (str(resources.samples() / f"{name}.loom") for name in ("tour", "tandem"))


def test_carry_prints_what_to_pack(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(None, ["carry", TANDEM]) == 0
    shown = capsys.readouterr().out
    assert "11 × XLR cable, 5 m: 3 short (owned: 8)" in shown
    assert "Piano: its own supply or mains lead" in shown
    assert "Please supply, Sunday at Fenwold Chapel" in shown


def test_carry_for_a_tour_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(None, ["carry", TOUR, "--tour", "--json"]) == 0
    plain = json.loads(capsys.readouterr().out)
    assert plain["gigs"] == ["bar", "chapel", "festival"]
    assert {row["type"]: row["needed"] for row in plain["cables"]}["xlr"] == 6
    assert run(None, ["carry", TOUR, "--gig", "chapel", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["since"]["gig"] == "Tuesday at the corner bar"


def test_compare(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(None, ["compare", TOUR, "--gig", "bar", "--with", "chapel"]) == 0
    assert "+ Keys L, Passive DI box: 1 ×" in capsys.readouterr().out
    assert run(None, ["compare", TOUR, "--gig", "bar", "--with", "bar"]) == 0
    assert "no difference" in capsys.readouterr().out
    assert run(None, ["compare", TOUR, "--gig", "bar", "--with", "chapel", "--json"]) == 0
    assert {one["part"] for one in json.loads(capsys.readouterr().out)} == {"landing", "piece", "carry"}


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["carry", TOUR, "--gig", "bar", "--tour"], "not both"),
        (["carry", TOUR, "--gig", "nowhere"], "no gig 'nowhere'"),
        (["compare", TOUR, "--gig", "bar", "--with", "nowhere"], "no gig 'nowhere'"),
        (["compare", TOUR, "--gig", "bar"], "Missing option '--with'"),
    ],
)
def test_refusals(arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(None, arguments) == 2
    shown = capsys.readouterr()
    assert words in shown.err
    assert "Traceback" not in shown.err
