"""The three invented rigs, worked by hand on paper: their spreadsheets come to the same sums.

The expected numbers stand in the reference of the trade, chapter 7. The shipped
books must be what the script makes of the spreadsheets, byte for byte.
"""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

from rigcore.book.file import from_bytes
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.loader import shipped
from rigcore.lists.counts import Counts, count
from rigcore.lists.input_list import InputRow, input_list
from rigcore.lists.output_list import output_list
from rigcore.patch.build import Patch, build_patch
from rigcore.patch.channels import is_settled
from rigcore.rules.run import run_rules

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return shipped()


@pytest.fixture(scope="module")
def script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_samples", ROOT / "tests" / "make_samples.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def patch_of(script: ModuleType, catalogue: Catalogue, name: str) -> Patch:
    return build_patch(script.sheet_book(name, catalogue), None, catalogue)


def sums(counts: Counts) -> dict[str, object]:
    return {
        "channels": counts.channels,
        "phantom": counts.phantom,
        "stands": (counts.stands["rig"], counts.stands["house"]),
        "dis": (counts.dis["rig"], counts.dis["house"]),
        "mixes": (counts.mono_mixes, counts.stereo_mixes, counts.sends, counts.wedges),
        "outlets": [row.outlets for row in counts.power],
        "watts": [row.watts for row in counts.power],
        "amps": [round(row.amps, 2) for row in counts.power],
        "cautious": [round(row.cautious_amps, 2) for row in counts.power][:1],
    }


def test_piper(script: ModuleType, catalogue: Catalogue) -> None:
    counts = count(patch_of(script, catalogue, "piper"))
    assert sums(counts) == {
        "channels": 1, "phantom": 0, "stands": (1, 0), "dis": (0, 0), "mixes": (0, 0, 0, 0),
        "outlets": [5], "watts": [383.0], "amps": [1.67], "cautious": [2.38],
    }
    assert (counts.lead("xlr", 5.0), counts.lead("ts", 3.0)) == (3, 2)


def test_tandem(script: ModuleType, catalogue: Catalogue) -> None:
    patch = patch_of(script, catalogue, "tandem")
    counts, rows = count(patch), input_list(patch)
    assert sums(counts) == {
        "channels": 8, "phantom": 4, "stands": (0, 1), "dis": (4, 3), "mixes": (0, 1, 2, 0),
        "outlets": [5], "watts": [183.0], "amps": [0.80], "cautious": [1.14],
    }
    assert [row.act for row in rows if row.phantom] == [1, 2, 7, 8]
    assert (counts.lead("xlr", 5.0), counts.lead("xlr", 1.5), counts.lead("ts")) == (11, 1, 12)
    assert names(rows) == [
        "1 SL1 Piano L", "2 SL2 Piano R", "3 SL3 Synth L", "4 SL4 Synth R", "5 SL5 Tracks L", "6 SL6 Tracks R",
        "7 SL7 Click", "8 SL8 Lead vox",
    ]


def test_ferry(script: ModuleType, catalogue: Catalogue) -> None:
    patch = patch_of(script, catalogue, "ferry")
    counts, rows = count(patch), input_list(patch)
    assert sums(counts) == {
        "channels": 9, "phantom": 1, "stands": (1, 1), "dis": (7, 0), "mixes": (2, 0, 2, 1),
        "outlets": [5, 1], "watts": [183.0, 30.0], "amps": [0.80, 0.13], "cautious": [1.14],
    }
    assert (counts.lead("xlr", 5.0), counts.lead("xlr", 5.0, "house")) == (10, 3)
    assert names(rows) == [
        "1 C1 Bass", "2 B1 Keys 1 L", "3 B2 Keys 1 R", "4 B3 Keys 2 L", "5 B4 Keys 2 R", "6 B5 Tracks L",
        "7 B6 Tracks R", "8 B7 Lead vox", "9 C6 Backing vox",
    ]
    assert [row.house for row in rows] == [13, 18, 19, 20, 21, 22, 23, 28, 25]
    assert [(row.socket, row.kind) for row in output_list(patch)] == [("Mix DSR", "wedge"), ("Riser line", "line")]


def names(rows: tuple[InputRow, ...]) -> list[str]:
    return [f"{row.act} {row.socket} {row.name}" for row in rows]


@pytest.mark.parametrize("name", ["piper", "tandem", "ferry"])
def test_everything_stands_on_its_stage(script: ModuleType, catalogue: Catalogue, name: str) -> None:
    book = script.sheet_book(name, catalogue)
    stage = book.houses[0].stage
    for unit in (*book.rigs[0].units, *book.houses[0].units):
        if unit.x_m is None or unit.y_m is None:
            assert unit.gear in ("ceiling-system", "adapter-trs6m-trs3f")
            continue
        gear = catalogue.gear_type(unit.gear)
        size = (gear.width_m, gear.depth_m) if unit.rotation_deg % 180 == 0 else (gear.depth_m, gear.width_m)
        assert abs(unit.x_m) + size[0] / 2 <= stage.width_m / 2, unit.name
        assert size[1] / 2 <= unit.y_m <= stage.depth_m - size[1] / 2, unit.name


@pytest.mark.parametrize("gig", ["bar", "chapel", "festival"])
def test_one_rig_lands_whole_at_every_house_of_the_tour(script: ModuleType, catalogue: Catalogue, gig: str) -> None:
    book = script.tour_book(catalogue)
    assert len(book.rigs) == 1
    patch = build_patch(book, gig, catalogue)
    assert all(is_settled(patch, one) for one in patch.rig.hand_offs)
    landed = {one.hand_off for one in patch.gig.landings}
    # The bar has one line input beside the microphone's: the left output carries both sides there.
    assert {one.id for one in patch.rig.hand_offs} - landed == ({"keys-r"} if gig == "bar" else set())
    assert count(patch).channels == (2 if gig == "bar" else 3)
    mono = {"channels.mono-house"} if gig == "bar" else set()
    assert {one.rule for one in run_rules(patch) if one.severity == "fault"} <= mono


def test_the_shipped_books_are_what_the_script_makes(script: ModuleType, catalogue: Catalogue) -> None:
    made = script.books(catalogue)
    for name, data in made.items():
        assert (ROOT / "samples" / name).read_bytes() == data, name
        from_bytes(data, name, catalogue)
