"""The gain page read back: every gain, the ladders, the page that is only printed when asked for."""

from __future__ import annotations

import datetime as dt
import io
import re
from collections.abc import Callable
from pathlib import Path

import pypdf
import pypdfium2
import pytest

from rigcore.analysis import Analysis
from rigcore.book.edits.units import set_gain
from rigcore.book.ids import PortRef
from rigcore.catalogue.loader import shipped
from rigcore.lists.gain_list import channel_ladders, gain_list
from rigcore.paper import ladder as page
from rigcore.paper.packet import packet_bytes, unprintable_characters, write_packet
from rigcore.paper.style import SMALLEST_PT, clean

ISSUED = dt.date(2026, 7, 31)
Many = Callable[..., Analysis]


def pages_of(data: bytes) -> list[str]:
    return [one.get_textpage().get_text_bounded().replace("\r\n", "\n") for one in pypdfium2.PdfDocument(data)]


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def gains(analysis: Analysis, **choice: object) -> bytes:
    return packet_bytes(analysis, pages=("gain",), issued=ISSUED, **choice)  # type: ignore[arg-type]


def test_the_house_gets_no_gain_page_unless_asked(ferry: Analysis) -> None:
    usual = packet_bytes(ferry, issued=ISSUED)
    assert usual == packet_bytes(ferry, issued=ISSUED, pages=("inputs", "plot"))
    assert "gain to dial" not in "".join(pages_of(usual))
    more = packet_bytes(ferry, issued=ISSUED, pages=("gain", "plot", "inputs"))
    titles = [entry.title for entry in pypdf.PdfReader(io.BytesIO(more)).outline]  # type: ignore[union-attr]
    assert titles[:3] == ["Input list", "Stage plot", "Gains"]
    assert "gain to dial" in "".join(pages_of(more))


@pytest.mark.parametrize(
    ("pages", "titles"),
    [(("plot",), ["Stage plot"]), (("inputs",), ["Input list"]), (("gain",), ["Gains", "Gains, continued"])],
)
def test_each_page_can_be_had_alone(ferry: Analysis, pages: tuple[str, ...], titles: list[str]) -> None:
    reader = pypdf.PdfReader(io.BytesIO(packet_bytes(ferry, issued=ISSUED, pages=pages)))
    assert [entry.title for entry in reader.outline] == titles  # type: ignore[union-attr]


@pytest.mark.parametrize("pages", [(), ("gains",), ("inputs", "cover")])
def test_a_page_that_is_none_is_refused(ferry: Analysis, pages: tuple[str, ...]) -> None:
    with pytest.raises(ValueError, match="there is no page"):
        packet_bytes(ferry, pages=pages)


def test_write_packet_takes_the_pages(ferry: Analysis, folder: Path) -> None:
    path = write_packet(ferry, folder, issued=ISSUED, pages=("gain",))
    assert path.read_bytes() == gains(ferry)


def test_every_gain_is_in_the_table(ferry: Analysis) -> None:
    text = squeezed("".join(pages_of(gains(ferry))))
    for row in gain_list(ferry.patch):
        number = "–" if row.number is None else str(row.number)
        assert squeezed(f"{number}{row.name}{row.input}") in text, row
        assert squeezed(row.gain_words) in text
    assert "Gainsatourinputs" in text
    assert "Gainsatyourinputs" in text


def test_every_channel_has_its_ladder(ferry: Analysis) -> None:
    text = squeezed("".join(pages_of(gains(ferry))))
    ladders = channel_ladders(ferry.patch)
    assert len(ladders) == len(ferry.inputs)
    for ladder in ladders:
        assert text.count(squeezed(ladder.title)) == 1
    assert text.count("leasthead-room") + text.count("clips,") == len(ladders)


def test_a_problem_stands_in_words_under_its_row(ferry: Analysis) -> None:
    problems = [row.problem for row in gain_list(ferry.patch) if row.problem]
    text = squeezed("".join(pages_of(gains(ferry))))
    assert all(squeezed(f"! {problem}") in text for problem in problems)


def test_a_gain_that_is_dialled_otherwise_is_told(
    ferry: Analysis, with_gig: Callable[..., Analysis]
) -> None:
    book = set_gain(ferry.book, "ferry", PortRef(unit="ears", port="mic-1"), 12.0, catalogue=shipped())
    dialled = with_gig(Analysis(book, ferry.gig, ferry.patch, ()))
    assert "now at +12.0 dB" in "".join(pages_of(gains(dialled)))


def test_96_channels_take_several_pages_and_none_is_lost(many: Many) -> None:
    analysis = many([f"Voice {number}" for number in range(1, 97)])
    data = gains(analysis)
    pages = pages_of(data)
    assert 5 < len(pages) < 20
    text = squeezed("".join(pages))
    for row in gain_list(analysis.patch):
        assert squeezed(f"{row.number}{row.name}{row.input}") in text
        assert squeezed(f"{row.name}→{row.number}") in text
    tables = [one for one in pages if "Gains at your inputs" in one]
    assert len(tables) > 1
    assert all("gain to dial" in one for one in tables)
    wide, high = pypdfium2.PdfDocument(data)[0].get_size()
    for one in pypdfium2.PdfDocument(data):
        words = one.get_textpage()
        for place in range(words.count_chars()):
            left, low, right, top = words.get_charbox(place)
            assert left >= 20
            assert low >= 12
            assert right <= wide - 20
            assert top <= high - 20


def test_nothing_is_smaller_than_9_pt_nor_in_colour(ferry: Analysis) -> None:
    reader = pypdf.PdfReader(io.BytesIO(gains(ferry)))
    drawn = b"".join(one.get_contents().get_data() for one in reader.pages)  # type: ignore[union-attr]
    sizes = {float(size) for size in re.findall(rb"/F\S+ (\d+(?:\.\d+)?) Tf", drawn)}
    assert min(sizes - {12.0}) >= SMALLEST_PT
    assert not re.search(rb"\d (?:rg|RG|k|K)\n", drawn)
    assert b"/Image" not in drawn


def test_a_title_never_ends_a_page(many: Many) -> None:
    analysis = many([f"Voice {number}" for number in range(1, 40)])
    for room in (200.0, 333.0, 470.0, 664.0):
        for parts in page.gain_pages(analysis.patch, room):
            assert not parts[-1].title
            assert sum(part.height for part in parts) <= room


def test_nothing_to_dial_is_said(many: Many) -> None:
    assert "Nothing is plugged into an input with a gain" in " ".join(pages_of(gains(many([]))))


@pytest.mark.parametrize("name", ["<b>Lead</b>", "<img src='/etc/passwd'/>", "Fish &amp; Chips", "Żółć Ελλάς"])
def test_names_are_printed_literally(many: Many, name: str) -> None:
    assert squeezed(clean(name)) in squeezed("".join(pages_of(gains(many([name, "Other"])))))


def test_scripts_without_a_font_are_counted(many: Many) -> None:
    assert set(unprintable_characters(many(["歌手"]), pages=("gain",))) == set("歌手")


def test_long_names_stay_in_their_column(many: Many) -> None:
    data = gains(many(["W" * 100, "the third singer from the left " * 3]), paper="Letter")
    one = pypdfium2.PdfDocument(data)[0]
    wide = one.get_size()[0]
    words = one.get_textpage()
    assert all(words.get_charbox(place)[2] <= wide - 20 for place in range(words.count_chars()))


def test_same_book_and_date_give_the_same_bytes(ferry: Analysis) -> None:
    assert gains(ferry) == gains(ferry)
