"""The command `fit` on the shipped tour: the bar's one line, the chapel's feed, the kit, the budget, the refusals."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.file import load
from rigcore.catalogue.loader import shipped
from rigcore.cli.main import run
from rigcore.solve.fit_question import Asked
from rigcore.solve.tour import TourKit, tour_kit


@pytest.fixture(scope="module")
def tour(samples_folder: Path) -> Path:
    return samples_folder / "tour.loom"


@pytest.fixture(scope="module")
def kit(tour: Path) -> TourKit:
    return tour_kit(load(tour, shipped())[0], shipped(), asked=Asked(fresh=True))


def test_the_bar_needs_the_mono_fall_back_and_hears_what_it_costs(
    tour: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert run(arguments=["fit", str(tour), "--gig", "bar", "--fresh"]) == 0
    said = capfd.readouterr().out
    assert "left output alone, for both sides" in said
    assert "up to 6.0 dB less at the house where left and right are alike, 3.0 dB less where they differ" in said
    assert "Proven best in all 13 aims" in said


def test_as_planned_the_bar_lacks_nothing(tour: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert run(arguments=["fit", str(tour), "--gig", "bar"]) == 0
    assert "gets no line" not in capfd.readouterr().out


def test_a_fit_is_applied_to_a_copy_and_the_rules_find_no_fault(tour: Path, tmp_path: Path) -> None:
    before = tour.read_bytes()
    for gig in ("bar", "chapel", "festival"):
        out = tmp_path / f"{gig}.loom"
        assert run(arguments=["fit", str(tour), "--gig", gig, "--fresh", "--apply", str(out)]) == 0
        book: Book = load(out, shipped())[0]
        assert not [one.sentence for one in analyse(book, gig, shipped()).findings if one.severity == "fault"]
    assert tour.read_bytes() == before


def test_the_chapels_feed_lands_in_the_players_own_mixer(tour: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert run(arguments=["fit", str(tour), "--gig", "chapel", "--fresh", "--json"]) == 0
    told = json.loads(capfd.readouterr().out)
    feed = next(one for one in told["landings"] if one["hand_off"] == "ear-feed")
    hand_off = load(tour, shipped())[0].rig("keys-and-voice").hand_off("ear-feed")
    assert feed["socket"] == "drop-sl-out-1"
    assert hand_off is not None
    assert hand_off.unit == "mixer"
    assert told["proven"] is True
    assert [one["socket"] for one in told["lines"]] == ["SL3", "SL1", "SL2", "Ear mix"]


def test_the_kit_is_printed(tour: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert run(arguments=["fit", str(tour), "--tour", "--fresh"]) == 0
    said = capfd.readouterr().out
    assert "do for 3 gigs, beside the rig's own leads; no smaller one does." in said
    assert "without one: " in said


def test_less_than_the_kit_makes_some_gig_worse_and_which_is_told(kit: TourKit) -> None:
    assert kit.proven
    for item in kit.kit:
        worse = kit.without(item)
        assert worse, f"one {item.type} fewer and nothing gets worse"
        assert {gig for gig, _ in worse} <= {"bar", "chapel", "festival"}


def test_with_the_kit_every_gig_fits_as_well_as_with_everything(tour: Path, kit: TourKit) -> None:
    from rigcore.patch.build import build_patch
    from rigcore.solve.fit import fit
    from rigcore.solve.tour import AS_GOOD

    book = load(tour, shipped())[0]
    for done in kit.fits:
        everything = fit(build_patch(book, done.patch.gig.id, shipped()), Asked(fresh=True))
        assert [done.answer.value(aim) for aim in AS_GOOD] == [everything.answer.value(aim) for aim in AS_GOOD]
        assert all(count <= kit.kit[item] for item, count in kit.takes(done).items())


def test_the_budget_is_printed(tour: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert run(arguments=["fit", str(tour), "--gig", "chapel", "--lines", "8"]) == 0
    said = capfd.readouterr().out
    assert "1 line: Lead vox" in said
    assert "2 lines: Lead vox, Keys L, Keys R" in said
    assert run(arguments=["fit", str(tour), "--gig", "chapel", "--lines", "2", "--json"]) == 0
    assert [row["used"] for row in json.loads(capfd.readouterr().out)] == [1, 2]


@pytest.mark.parametrize("wrong", [
    ["--tour", "--gig", "bar"], ["--tour", "--lines", "2"], ["--lines", "0"], ["--lines", "2", "--apply", "x.loom"],
    ["--gig", "nowhere"],
])  # fmt: skip
def test_what_cannot_be_asked_is_refused_in_one_sentence(
    tour: Path, wrong: list[str], capfd: pytest.CaptureFixture[str]
) -> None:
    assert run(arguments=["fit", str(tour), *wrong]) == 2
    said = capfd.readouterr().err
    assert said.startswith("loomwright: ")
    assert "Traceback" not in said
