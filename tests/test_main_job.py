"""The main job from end to end, from spreadsheets alone: import, check, packet, read back by other libraries."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pypdf
import pypdfium2
import pytest

from rigcore import resources
from rigcore.analysis import analyse
from rigcore.book.file import load
from rigcore.catalogue.loader import own_gear, shipped
from rigcore.cli import run
from rigcore.quantities.geometry import POINTS_PER_METRE

NAMES = ("piper", "tandem", "ferry")


@pytest.fixture(params=NAMES)
def folder(request: pytest.FixtureRequest) -> Path:
    return resources.samples() / str(request.param)


@pytest.fixture
def packet(folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """The packet made from one sample's four text files by the command line."""
    book = tmp_path / "my.loom"
    words = ["import", "--units", folder / "units.csv", "--patch", folder / "patch.csv"]
    words += ["--gear", folder / "gear.toml", "--house", folder / "house.toml", "--out", book]
    assert run(None, [str(word) for word in words]) == 0
    assert run(None, ["check", str(book)]) in (0, 1)
    assert run(None, ["packet", str(book), "--out", str(tmp_path / "out")]) == 0
    return Path(capsys.readouterr().out.splitlines()[-1])


def _channels_of(folder: Path) -> list[str]:
    """Return the names of the lines to the house, as the spreadsheet has them."""
    with (folder / "patch.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    with (folder / "units.csv").open(encoding="utf-8", newline="") as file:
        units = [row for row in csv.DictReader(file) if row["owner"] == "house"]
    boxes = {row["name"] for row in units if _is_box(row["gear"], folder)}
    return [row["channel"] for row in rows if row["channel"] and row["to"] in boxes]


def _is_box(gear: str, folder: Path) -> bool:
    """Return whether a gear type is where the house takes lines in, own types of the plan included."""
    catalogue = shipped().with_gear(own_gear(folder / "gear.toml", shipped()))
    return catalogue.gear_type(gear).category in ("stage box", "desk")


def test_the_packet_holds_exactly_the_channels_of_the_spreadsheet(folder: Path, packet: Path) -> None:
    """Read back by two libraries that did not write it."""
    expected = _channels_of(folder)
    texts = [
        pypdf.PdfReader(packet).pages[0].extract_text(),
        pypdfium2.PdfDocument(packet)[0].get_textpage().get_text_range(),
    ]
    for text in texts:
        lines = [line.strip() for line in text.splitlines()]
        for name in expected:
            assert any(name in line for line in lines), f"{name} is missing"
        assert re.search(rf"\b{len(expected)}\b\s*channels?", " ".join(lines)), "the total is another"


def test_the_plot_is_to_the_stated_scale(packet: Path, tmp_path: Path) -> None:
    """The stage's outline, measured from the vectors read back, is the stage's size within 0.5 %."""
    book, _ = load(tmp_path / "my.loom", shipped())
    stage = analyse(book, None, shipped()).patch.house.stage
    page = pypdfium2.PdfDocument(packet)[1]
    scale = int(re.search(r"scale\s*1\s*:\s*(\d+)", page.get_textpage().get_text_range()).group(1))
    wanted = [size * POINTS_PER_METRE / scale for size in (stage.width_m, stage.depth_m)]
    sizes = []
    for thing in page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_PATH]):
        left, bottom, right, top = thing.get_bounds()
        sizes.append((right - left, top - bottom))
    close = [size for size in sizes if abs(size[0] - wanted[0]) < 4 and abs(size[1] - wanted[1]) < 4]
    assert close, f"no outline of {wanted} among the vectors"
    # The bounds include the width of the line, drawn half outside on each side.
    line = min(size[0] - wanted[0] for size in close)
    for size in close:
        for got, want in zip(size, wanted, strict=True):
            assert got - line == pytest.approx(want, rel=0.005)
