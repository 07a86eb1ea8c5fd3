"""Each page of the packet: what stands on it, for whom it is, and what a viewer learns of the file."""

from __future__ import annotations

import datetime as dt
import io
import shutil
import subprocess
import warnings
from collections.abc import Callable
from pathlib import Path

import pypdf
import pypdfium2
import pytest

from rigcore.analysis import Analysis, analyse
from rigcore.book.edits.gigs import change_gig
from rigcore.book.edits.letters import send_packet
from rigcore.book.edits.rebuild import checked
from rigcore.book.file import load
from rigcore.catalogue.loader import shipped
from rigcore.cli.packet import PAGE_IDS
from rigcore.lists.label_list import label_list
from rigcore.lists.set_up_card import set_up_card
from rigcore.paper.grid import Head, Section, grid_leaves
from rigcore.paper.leaf import Job
from rigcore.paper.packet import CHOICES, HOUSE_PAGES, MAKERS, PAGES, PLAYER_PAGES, packet_bytes
from rigcore.patch.edition import content
from rigcore.resources import samples
from tests.rigcore.paper.conftest import analysis_of, ferry_book
from tests.rigcore.paper.readback import outside, overlaps, pdfium_pages, squeezed

ISSUED = dt.date(2026, 7, 31)


@pytest.fixture(scope="module")
def whole(ferry: Analysis) -> bytes:
    """A packet with every page."""
    return packet_bytes(ferry, issued=ISSUED, pages=PAGES)


def _page(ferry: Analysis, *pages: str) -> list[str]:
    return [" ".join(text.split()) for text in pdfium_pages(packet_bytes(ferry, issued=ISSUED, pages=pages))]


def test_the_command_line_offers_every_page() -> None:
    assert PAGE_IDS == PAGES == tuple(MAKERS)
    assert set(CHOICES) == {"house", "player"}
    assert set(HOUSE_PAGES) | set(PLAYER_PAGES) <= set(PAGES)
    assert not set(HOUSE_PAGES) & set(PLAYER_PAGES)


def test_monitors_power_and_supply_share_a_sheet_and_leave_the_input_list(ferry: Analysis) -> None:
    first, second, *more = _page(ferry, "inputs", "plot", "monitors", "power", "supply")
    third = " ".join(more)
    for words in ("Monitor mixes", "Please supply", "Assumed until"):
        assert words not in first, words
        assert words in third, words
    assert "own voice, keys 1, lead vox, a little bass" in third
    assert "downstage right wedge, mono yours" in third
    assert "A at 230 V and power factor 1 to 0.7" in third
    counts = ferry.counts
    assert f"{counts.watts:.0f} {counts.amps:.2f}–{counts.cautious_amps:.2f}" in third
    assert "Stage plot" in second


@pytest.mark.parametrize(
    ("page", "words"),
    [("monitors", "goes to"), ("power", "outlets plugs W A"), ("supply", "We bring"), ("set-up", "Levels down"),
     ("lifeline", "if this fails"), ("carry", "Cables, boxes and stands"), ("gain", "gain to dial")],
)
def test_each_page_stands_alone(ferry: Analysis, page: str, words: str) -> None:
    text = " ".join(_page(ferry, page))
    assert words in text
    assert "page 1 of" in text
    assert "Ferry" in text
    assert "DRAFT" in text


def test_the_set_up_card_has_every_step_and_a_box_for_each(ferry: Analysis) -> None:
    text = squeezed("".join(_page(ferry, "set-up")))
    for step in set_up_card(ferry.patch):
        assert squeezed(step.words) in text, step
        assert squeezed(step.mind) in text, step


def test_every_cable_has_a_label_for_each_end_on_both_faces(ferry: Analysis) -> None:
    for sheet in ("small", "large"):
        data = packet_bytes(ferry, issued=ISSUED, pages=("labels",), label_sheet=sheet)
        text = squeezed("".join(pdfium_pages(data)))
        labels = label_list(ferry.patch)
        for label in labels:
            assert text.count(squeezed(label.mark)) >= 4, label
            assert text.count(squeezed(", ".join(label.colours))) >= 4, "the colour never stands alone"
        assert "pageof" not in text
        assert outside(data, 15.0) == []
        assert overlaps(data) == []
        known = [label.length_m for label in labels if label.length_m is not None]
        for length in set(known):
            assert text.count(f"{length:g}m,") >= 4 * known.count(length), "a cable is found by its length"
    with pytest.raises(ValueError, match="no sheet of labels"):
        packet_bytes(ferry, pages=("labels",), label_sheet="huge")


def test_lines_of_a_label_lie_closer_before_a_name_is_cut() -> None:
    book = load(samples() / "ferry.loom", shipped())[0]
    for sheet, most in (("small", 4), ("large", 0)):
        data = packet_bytes(analysis_of(book), issued=ISSUED, pages=("labels",), label_sheet=sheet)
        assert "".join(pdfium_pages(data)).count("…") <= most, "no more than the faces of one long adapter"
        assert overlaps(data) == []


def test_an_empty_gig_prints_every_page_with_a_word_on_each(many: Callable[..., Analysis]) -> None:
    text = " ".join(" ".join(page.split()) for page in pdfium_pages(packet_bytes(many([]), pages=PAGES)))
    for words in ("No lines to the house", "No mix asked for", "Nothing of ours needs mains", "nothing to set up yet",
                  "Nothing is plugged into an input", "none needed"):
        assert words in text, words
    only = pdfium_pages(packet_bytes(many([]), pages=("labels",)))
    assert "Nothing to print" in only[0]


def test_rows_are_repeated_heads_and_leading_words_go_on(ferry: Analysis) -> None:
    job = Job(ferry, "A4", False, None, frozenset())  # type: ignore[arg-type]
    heads = (Head("phase", 80, strong=True), Head("words", 300, 1.0))
    rows = tuple(("Loom" if n < 60 else "Check", f"step {n}") for n in range(90))
    leaves = grid_leaves(job, "Card", (Section("Part", heads, rows, leading=True),))
    assert [leaf.title for leaf in leaves] == ["Card", "Card, continued", "Card, continued"]


def test_a_second_letter_says_on_page_one_what_changed_and_frames_the_rows() -> None:
    book = ferry_book(shipped())
    sent, _ = send_packet(book, "gig", content(analysis_of(book).patch), day=ISSUED, to="House engineer")
    first = packet_bytes(analysis_of(sent))
    assert "LETTER A" in pdfium_pages(first)[0]
    assert "Changes since" not in pdfium_pages(first)[0]
    assert "issued Fri 31 Jul 2026" in pdfium_pages(first)[0], "the day it was sent, whenever it is printed again"
    landings = tuple(
        checked(one, socket="c7") if one.hand_off == "back" else one for one in sent.gig("gig").landings
    )
    later = change_gig(sent, "gig", landings=landings)
    text = " ".join(pdfium_pages(packet_bytes(analysis_of(later), issued=ISSUED))[0].split())
    assert "DRAFT after A" in text
    assert "Changes since letter A" in text
    assert "19 Backing vox moves from C6 (your 18) to C7" in text
    assert "moved since A" in text
    again, letter = send_packet(later, "gig", content(analysis_of(later).patch), day=ISSUED, to="House engineer")
    assert letter.letter == "B"
    second = " ".join(pdfium_pages(packet_bytes(analysis_of(again)))[0].split())
    assert "LETTER B replaces earlier" in second
    assert "moved since A" in second


def test_many_changes_stay_on_page_one_beside_a_long_list(many: Callable[..., Analysis]) -> None:
    analysis = many([f"Voice {n}" for n in range(1, 49)])
    sent, _ = send_packet(analysis.book, "gig", content(analysis.patch), day=ISSUED)
    rig = sent.rig("rig")
    renamed = checked(rig, hand_offs=tuple(checked(one, name=f"Singer {one.id}") for one in rig.hand_offs))
    data = packet_bytes(analysis_of(checked(sent, rigs=(renamed,))), issued=ISSUED)
    text = " ".join(pdfium_pages(data)[0].split())
    assert "Changes since letter A" in text
    assert "and 35 more: see the framed rows" in text
    assert overlaps(data) == []
    assert "".join(pdfium_pages(data)).count("renamed since A") == 48


def test_a_viewer_learns_titles_pages_and_language(whole: bytes) -> None:
    reader = pypdf.PdfReader(io.BytesIO(whole), strict=True)
    assert reader.metadata is not None
    assert reader.metadata.title == "Ferry: " + ", ".join(MAKERS[one][0] for one in PAGES[:-1]) + " and cable labels"
    assert reader.metadata.author == "Ferry"
    assert reader.trailer["/Root"]["/Lang"] == "en-GB"
    assert reader.page_labels == [str(number) for number in range(1, len(reader.pages) + 1)]
    titles = [entry.title for entry in reader.outline]  # type: ignore[union-attr]
    assert len(titles) == len(reader.pages)
    assert titles[:2] == ["Input list", "Stage plot"]
    assert len(whole) < 150_000


def test_every_reader_opens_it_without_a_word(whole: bytes) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert len(pypdf.PdfReader(io.BytesIO(whole), strict=True).pages) == len(pypdfium2.PdfDocument(whole))


@pytest.mark.parametrize("tool", [["pdftotext", "-layout", "{}", "-"], ["pdfinfo", "{}"], ["qpdf", "--check", "{}"]])
def test_the_usual_tools_open_it_without_a_word(whole: bytes, tool: list[str], tmp_path: Path) -> None:
    if shutil.which(tool[0]) is None:
        pytest.skip(f"{tool[0]} is not installed here")
    path = tmp_path / "packet.pdf"
    path.write_bytes(whole)
    done = subprocess.run([one.format(path) for one in tool], capture_output=True, text=True, check=True)
    assert done.stderr == ""
    assert "Ferry" in done.stdout or tool[0] == "qpdf"


def test_grey_or_colour_only_labels_are_coloured(ferry: Analysis) -> None:
    plain = packet_bytes(ferry, issued=ISSUED, pages=[page for page in PAGES if page != "labels"])
    for page in pypdf.PdfReader(io.BytesIO(plain)).pages:
        contents = page.get_contents()
        assert contents is not None
        operators = contents.get_data().split()
        assert b"rg" not in operators
        assert b"RG" not in operators


def test_nothing_is_printed_smaller_than_nine_points(whole: bytes) -> None:
    for page in pypdf.PdfReader(io.BytesIO(whole)).pages:
        contents = page.get_contents()
        assert contents is not None
        words = contents.get_data().split()
        sizes = [float(words[place - 1]) for place, word in enumerate(words) if word == b"Tf"]
        assert min(sizes) >= 9.0


def test_a_shipped_small_act_gets_two_pages() -> None:
    for sample in ("piper", "tandem", "ferry"):
        book, _ = load(samples() / f"{sample}.loom", shipped())
        data = packet_bytes(analyse(book, None, shipped()), issued=ISSUED)
        assert len(pypdfium2.PdfDocument(data)) == 2, sample
        assert len(data) < 150_000
