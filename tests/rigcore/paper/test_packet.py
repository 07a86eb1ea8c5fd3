"""The packet read back: every channel, in any script, inside the page, the same bytes every time."""

from __future__ import annotations

import datetime as dt
import io
import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pypdf
import pypdfium2
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rigcore.analysis import Analysis
from rigcore.errors import PacketNotWritten
from rigcore.lists.power_list import CAUTION
from rigcore.paper.packet import packet_bytes, packet_name, unprintable_characters, write_packet
from rigcore.paper.style import clean
from tests.rigcore.paper.readback import pdfium_pages, pypdf_pages, squeezed

ISSUED = dt.date(2026, 7, 31)
LETTERS = "ABCDEFGHIJKLMNOPabcdefghijklmnopäöüßéèñçøåœŁżΑΒΓαβγδεζАБВГабвгдєї&<>\"'/%()[]"
Many = Callable[..., Analysis]


def char_boxes(data: bytes) -> list[list[tuple[float, float, float, float]]]:
    pages = []
    for page in pypdfium2.PdfDocument(data):
        text = page.get_textpage()
        boxes = [text.get_charbox(place) for place in range(text.count_chars())]
        pages.append([box for box in boxes if box[2] > box[0] and box[3] > box[1]])
    return pages


def test_both_readers_find_exactly_the_channels(ferry: Analysis) -> None:
    data = packet_bytes(ferry, issued=ISSUED)
    for pages in (pdfium_pages(data), pypdf_pages(data)):
        lists = squeezed(pages[0])
        for row in ferry.inputs:
            start = f"{row.act}{row.house}{'48V' if row.phantom else '–'}{row.socket}{squeezed(row.name)}"
            assert start in lists, row
        assert len(re.findall(r"(?:DI|mic),(?:ours|yours)", lists)) == len(ferry.inputs)


def test_first_page_says_what_an_engineer_asks_first(ferry: Analysis) -> None:
    first = " ".join(pdfium_pages(packet_bytes(ferry, issued=ISSUED))[0].split())
    counts = ferry.counts
    power = f"{counts.watts:.0f} W {counts.amps:.2f} A at 230 V"
    outlets = " + ".join(str(row.wall_outlets) for row in counts.power)
    for words in (
        "Ferry", "duo: keys + voice, bass + voice", "Longmarsh Green, stage 2 · Fri 14 Aug 2026 · on 18:40",
        "20 min changeover", "issued Fri 31 Jul 2026", "valid until Sat 15 Aug 2026", "9 channels", "7 DIs all ours",
        "1 ours, 1 yours", f"{outlets} outlets", power, "48 V on your channel 13", "Please supply",
        "We bring", "Monitor mixes", "Assumed until you tell us otherwise", "page 1 of 2",
        "Maren Oswick · +00 000 000 000 · maren@ferry.example", CAUTION,
    ):
        assert words in first, words
    assert "fault" not in first
    assert "risk" not in first


def test_second_page_is_the_plot(ferry: Analysis) -> None:
    text = pdfium_pages(packet_bytes(ferry, issued=ISSUED))[1]
    for words in (
        "UPSTAGE", "STAGE RIGHT", "STAGE LEFT", "AUDIENCE", "scale 1 : 50 on A4", "grid 1 m", "B1–B8", "C1–C8",
        "27 Lead vox", "18 Backing vox", "mix 1", "6 outlets", "rolling riser", "page 2 of 2", CAUTION,
    ):
        assert words in text, words


@pytest.mark.parametrize("count", [0, 1, 9, 32, 96])
def test_any_number_of_channels(many: Many, count: int) -> None:
    names = [f"Voice {number}" for number in range(1, count + 1)]
    analysis = many(names)
    data = packet_bytes(analysis, issued=ISSUED)
    text = squeezed("".join(pdfium_pages(data)))
    for row in analysis.inputs:
        start = f"{row.act}{row.house}{'48V' if row.phantom else '–'}{row.socket}{squeezed(row.name)}"
        assert text.count(start) >= 1, row
    wide, high = pypdfium2.PdfDocument(data)[0].get_size()
    for page in char_boxes(data):
        assert all(box[0] >= 20 and box[1] >= 12 and box[2] <= wide - 20 and box[3] <= high - 20 for box in page)
    if not count:
        assert "Nolinestothehouse" in text


def test_rows_do_not_touch(many: Many) -> None:
    analysis = many([f"Voice {number}, with a name that goes on and on and needs two lines" for number in range(1, 10)])
    boxes = char_boxes(packet_bytes(analysis, issued=ISSUED))[0]
    for place, one in enumerate(boxes):
        for other in boxes[place + 1:]:
            across = min(one[2], other[2]) - max(one[0], other[0])
            up = min(one[3], other[3]) - max(one[1], other[1])
            assert min(across, up) <= 1.6, (one, other)


def test_heads_repeat_and_pairs_stay_together(many: Many) -> None:
    pages = pdfium_pages(packet_bytes(many([f"Voice {n}" for n in range(1, 97)]), issued=ISSUED))
    lists = [page for page in pages if "Input list" in page]
    assert len(lists) > 1
    assert all("socket" in page and "source" in page for page in lists)


@pytest.mark.parametrize(
    "name",
    [
        "<b>Lead</b>", "<img src='/etc/passwd'/>", "Fish &amp; Chips & more", "Żółć Ångström", "Ευρυδίκη", "Ёлка Київ",
        "Zoe\u0308", "100 % (left)", "back\\slash", "=1+1", "Ōgon ő",
    ],
)
def test_names_are_printed_literally(many: Many, name: str) -> None:
    data = packet_bytes(many([name, "Other"]), issued=ISSUED)
    for pages in (pdfium_pages(data), pypdf_pages(data)):
        assert squeezed(clean(name)) in squeezed(pages[0])
    assert b"/etc/passwd" not in data


def test_scripts_without_a_font_get_squares_and_a_note(many: Many) -> None:
    analysis = many(["Lead 歌手", "שלום", "Other"])
    first = pdfium_pages(packet_bytes(analysis, issued=ISSUED))[0]
    assert "could not be printed" in first
    assert "U+6B4C" in first
    assert "Lead" in first
    assert "\x00" not in first
    assert set(unprintable_characters(analysis)) == set("歌手שלום")


def test_nothing_is_noted_where_everything_prints(ferry: Analysis) -> None:
    assert "could not be printed" not in "".join(pdfium_pages(packet_bytes(ferry, issued=ISSUED)))
    assert unprintable_characters(ferry) == ""


@settings(deadline=None, max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), min_size=1, max_size=120),
                min_size=1, max_size=5))
def test_any_name_stays_on_the_page(many: Many, names: list[str]) -> None:
    data = packet_bytes(many(names, act=names[0]), issued=ISSUED)
    wide, high = pypdfium2.PdfDocument(data)[0].get_size()
    for page in char_boxes(data):
        assert all(box[0] >= 10 and box[1] >= 5 and box[2] <= wide - 10 and box[3] <= high - 5 for box in page)


@settings(deadline=None, max_examples=25)
@given(name=st.text(LETTERS, min_size=1, max_size=24))
def test_printable_names_read_back(many: Many, name: str) -> None:
    pages = pdfium_pages(packet_bytes(many([name]), issued=ISSUED))
    assert squeezed(clean(name)) in squeezed(pages[0])


def test_long_words_are_given_in_full_below(many: Many, with_gig: Callable[..., Analysis]) -> None:
    name = "The quick brown voice of the third singer from the left who also plays the small drum and the large bell"
    text = squeezed("".join(pdfium_pages(packet_bytes(many([name]), issued=ISSUED))))
    assert squeezed(name) in text
    contact = with_gig(many(["A"]), contact="x" * 1500, about="y" * 1500, act="z" * 1500, on_stage="w" * 1500)
    data = packet_bytes(contact, issued=ISSUED)
    wide = pypdfium2.PdfDocument(data)[0].get_size()[0]
    assert all(box[2] <= wide - 20 for page in char_boxes(data) for box in page)


def test_same_book_and_date_give_the_same_bytes(
    ferry: Analysis, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = packet_bytes(ferry, issued=ISSUED)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1234567890")
    monkeypatch.setenv("TZ", "Pacific/Auckland")
    assert packet_bytes(ferry, issued=ISSUED) == first
    assert packet_bytes(ferry, issued=dt.date(2026, 8, 1)) != first


def test_same_bytes_in_every_process() -> None:
    root = Path(__file__).parents[3]
    code = (
        "import runpy, hashlib, datetime, rigcore.paper.packet as p; from rigcore.catalogue.loader import shipped;"
        "b = runpy.run_path('tests/rigcore/paper/conftest.py'); a = b['analysis_of'](b['ferry_book'](shipped()));"
        "print(hashlib.sha256(p.packet_bytes(a, issued=datetime.date(2026, 7, 31))).hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", code], cwd=root, check=True, capture_output=True, text=True,
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone},
        ).stdout
        for seed, zone in (("1", "UTC"), ("2", "Asia/Tokyo"))
    }
    assert len(digests) == 1


def test_small_act_is_small_and_says_what_it_is(ferry: Analysis) -> None:
    data = packet_bytes(ferry, issued=ISSUED)
    assert len(data) < 150_000
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert reader.metadata is not None
    assert reader.metadata.title == "Ferry: input list and stage plot"
    assert reader.metadata.author == "Ferry"
    assert "Longmarsh Green" in (reader.metadata.subject or "")
    assert reader.metadata.creation_date is not None
    assert reader.metadata.creation_date.date() == ISSUED
    assert reader.trailer["/Root"]["/Lang"] == "en-GB"
    assert [entry.title for entry in reader.outline] == ["Input list", "Stage plot"]  # type: ignore[union-attr]
    fonts = {font for page in reader.pages for font in page["/Resources"]["/Font"]}
    embedded = [page["/Resources"]["/Font"][name] for page in reader.pages for name in page["/Resources"]["/Font"]]
    assert fonts
    assert all("/FontDescriptor" in font for font in embedded if "+Fira" in str(font["/BaseFont"]))
    assert not any("/JavaScript" in part or "/Launch" in part for part in (data.decode("latin-1"),))


def test_letter_and_feet(ferry: Analysis) -> None:
    data = packet_bytes(ferry, paper="Letter", feet=True, issued=ISSUED)
    assert pypdfium2.PdfDocument(data)[0].get_size() == (612.0, 792.0)
    text = pdfium_pages(data)[1]
    assert "on Letter" in text
    assert "grid 2 ft" in text
    assert " m " not in text.replace("1 : ", "")
    with pytest.raises(ValueError, match="no paper"):
        packet_bytes(ferry, paper="A5")


def test_written_in_one_step_under_a_safe_name(ferry: Analysis, folder: Path) -> None:
    path = write_packet(ferry, folder, issued=ISSUED)
    assert path == folder / "Ferry_TechSheet_LongmarshGreenStage2_2026-08-14.pdf"
    assert path.read_bytes() == packet_bytes(ferry, issued=ISSUED)
    write_packet(ferry, folder, issued=ISSUED)
    assert [one.name for one in folder.iterdir()] == [path.name]


@pytest.mark.parametrize(
    ("act", "start"),
    [("../../etc/passwd", "EtcPasswd_"), ("Zoë & Ωmega", "ZoeΩmega_"), ("☃", "Act_"), ("ж" * 200, "Ж")],
)
def test_file_names_are_tame(ferry: Analysis, with_gig: Callable[..., Analysis], act: str, start: str) -> None:
    name = packet_name(with_gig(ferry, act=act))
    assert name.startswith(start)
    assert not set(name) & set("/\\:*?\"<>| ")
    assert len(name.encode()) < 255


def test_a_folder_that_cannot_be_written_is_one_sentence(ferry: Analysis, tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    with pytest.raises(PacketNotWritten) as caught:
        write_packet(ferry, blocked / "below", issued=ISSUED)
    assert str(blocked) in caught.value.sentence
    assert "\n" not in caught.value.sentence


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_forbidden_folder_is_one_sentence(ferry: Analysis, tmp_path: Path) -> None:
    locked = tmp_path / "locked"
    locked.mkdir(mode=0o500)
    with pytest.raises(PacketNotWritten):
        write_packet(ferry, locked, issued=ISSUED)


def test_a_full_disk_leaves_the_old_packet(
    ferry: Analysis, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write_packet(ferry, folder, issued=ISSUED)
    old = path.read_bytes()

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(PacketNotWritten, match="No space left"):
        write_packet(ferry, folder, issued=dt.date(2026, 8, 2))
    assert path.read_bytes() == old
    assert len(list(folder.iterdir())) == 1


def test_nothing_slow_is_imported_early() -> None:
    code = "import sys, rigcore.paper.packet; print(any(name.startswith('reportlab') for name in sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True,
                          cwd=Path(__file__).parents[3])
    assert done.stdout.strip() == "False"
