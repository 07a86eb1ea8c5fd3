"""Characters our fonts lack: taken from an installed font where one has them and may be embedded, else a square."""

from __future__ import annotations

import datetime as dt
import shutil
import struct
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from rigcore.analysis import Analysis
from rigcore.paper import fonts, installed_fonts
from rigcore.paper.installed_fonts import InstalledFont, covering, installed, is_plain
from rigcore.paper.packet import packet_bytes, unprintable_characters
from rigcore.paper.style import runs, unprintable
from rigcore.resources import font_file
from tests.rigcore.paper.conftest import forget_fonts
from tests.rigcore.paper.readback import pdfium_pages, pypdf_pages

ISSUED = dt.date(2026, 7, 31)
GREEK = "Ευρυδίκη"


@pytest.fixture
def installed_here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A machine with one installed font, a copy of ours under another name."""
    shutil.copy(font_file("FiraSans-Regular"), tmp_path / "Some Sans.ttf")
    monkeypatch.setattr(installed_fonts, "font_folders", lambda: (tmp_path,))
    forget_fonts()
    yield tmp_path
    monkeypatch.undo()
    forget_fonts()


@pytest.fixture
def without_greek(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Our own faces without their Greek letters."""
    widths = {
        face: {char: width for char, width in known.items() if not "\u0370" <= char <= "\u03ff"}
        for face, known in fonts.own_widths().items()
    }
    monkeypatch.setattr(fonts, "own_widths", lambda: widths)
    monkeypatch.setattr("rigcore.paper.style.own_widths", lambda: widths)
    forget_fonts()
    yield
    monkeypatch.undo()
    forget_fonts()


@pytest.mark.usefixtures("installed_here", "without_greek")
def test_an_installed_font_stands_in_and_is_embedded(many: Callable[..., Analysis]) -> None:
    assert runs(f"Lead {GREEK} L", "bold") == (
        ("FiraSans-SemiBold", "Lead "), ("Installed-Some Sans-0", GREEK), ("FiraSans-SemiBold", " L"),
    )  # fmt: skip
    analysis = many([f"Lead {GREEK}"])
    data = packet_bytes(analysis, issued=ISSUED)
    assert GREEK in pdfium_pages(data)[0]
    assert GREEK in pypdf_pages(data)[0].replace(" ", "")
    assert unprintable_characters(analysis) == ""
    assert packet_bytes(analysis, issued=ISSUED) == data


@pytest.mark.usefixtures("without_greek")
def test_without_one_it_is_squares_and_a_note(many: Callable[..., Analysis]) -> None:
    analysis = many([f"Lead {GREEK}"])
    first = pdfium_pages(packet_bytes(analysis, issued=ISSUED))[0]
    assert "could not be printed" in first
    assert set(unprintable_characters(analysis)) == set(GREEK)


@pytest.mark.parametrize(
    ("char", "plain"),
    [("鍵", True), ("✓", True), ("ガ", True), ("한", True), ("ש", False), ("ض", False), ("क", False), ("ไ", False),
     ("\u0301", False), ("\ue000", False)],
)
def test_scripts_that_need_shaping_or_run_right_to_left_are_not_drawn_wrong(char: str, plain: bool) -> None:
    assert is_plain(char) is plain
    assert plain or not list(covering(char))


def _patched(source: Path, target: Path, tag: bytes, change: Callable[[bytearray, int], None]) -> None:
    """Copy a font with one of its tables changed; ``change`` gets the file and where the table begins."""
    data = bytearray(source.read_bytes())
    count = struct.unpack(">H", data[4:6])[0]
    for place in range(count):
        entry = 12 + 16 * place
        if data[entry:entry + 4] == tag:
            change(data, struct.unpack(">I", data[entry + 8:entry + 12])[0])
    target.write_bytes(data)


def test_fonts_that_may_not_be_embedded_or_are_damaged_are_passed_over(installed_here: Path) -> None:
    def forbid(data: bytearray, at: int) -> None:
        data[at + 8:at + 10] = struct.pack(">H", installed_fonts.RESTRICTED)

    source = font_file("FiraSans-Regular")
    _patched(source, installed_here / "Forbidden.ttf", b"OS/2", forbid)
    (installed_here / "Short.ttf").write_bytes(source.read_bytes()[:400])
    (installed_here / "Empty.ttf").write_bytes(b"")
    (installed_here / "Noise.ttc").write_bytes(b"ttcf" + b"\xff" * 60)
    (installed_here / "Other.otf").write_bytes(b"OTTO" + b"\0" * 60)
    forget_fonts()
    assert [font.path.name for font in installed()] == ["Some Sans.ttf"]


@pytest.mark.usefixtures("installed_here")
def test_what_a_font_says_it_holds_is_what_it_holds() -> None:
    [font] = installed()
    own = fonts.own_widths()["regular"]
    assert all(font.has(ord(char)) for char in own)
    assert not font.has(ord("鍵"))
    assert font == InstalledFont(font.path, 0, font.ranges)


def test_the_real_folders_can_be_searched(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.undo()
    assert all(isinstance(folder, Path) for folder in installed_fonts.font_folders())
    assert unprintable("Keys L") == ""
