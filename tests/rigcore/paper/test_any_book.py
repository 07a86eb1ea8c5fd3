"""Any book at all: every page renders, every channel is read back by two libraries, no text leaves the page or lies on
another. Names in many scripts, mark-up and control characters in every field, 0 to 96 channels.
"""

from __future__ import annotations

import datetime as dt
import warnings
from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rigcore import resources
from rigcore.analysis import Analysis, analyse
from rigcore.book.book import Book, empty_book
from rigcore.book.edits.gigs import add_gig
from rigcore.book.edits.houses import add_house, add_rig
from rigcore.book.edits.rebuild import checked
from rigcore.book.file import load
from rigcore.book.gig import CablePiece, Gig, Landing
from rigcore.book.house import House, PowerDrop, Riser, Socket, Stage
from rigcore.book.ids import PortRef
from rigcore.book.rig import HandOff, Link, Rig, Stand, Unit
from rigcore.catalogue.loader import shipped
from rigcore.paper.fonts import own_widths
from rigcore.paper.packet import PAGES, packet_bytes
from rigcore.paper.style import clean
from rigcore.patch.build import build_patch
from tests.rigcore.paper.readback import outside, overlaps, pdfium_pages, pypdf_pages, squeezed

ISSUED = dt.date(2026, 7, 31)
NASTY = (
    "<b>Lead</b>", "<img src='/etc/passwd'/>", "Fish &amp; Chips", "<para>", "</font>", "<a href='file:///'>x</a>",
    "a\nb\tc", "\u202eright to left", "z\u200bero", "\x85next\x9f", "Zoe\u0308", "Ω½°µ→Ω", "100 % (left) \\ [x]",
    "W" * 110, "i" * 115, "a " * 55, "Ωμέγα και άλφα", "Щука й ёж", "歌手", "שלום", "नमस्ते", "🎹 keys", "e\u0301" * 30,
    "%PDF-1.4", "((((", "endstream endobj", "\ufeffmark", "ﷺ", "a\u00adb",
)
PRINTED = st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"])
NAMES = st.one_of(st.sampled_from(NASTY), st.text(PRINTED, min_size=1, max_size=40))
COUNTS = st.sampled_from((0, 1, 1, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 5, 5, 6, 6, 7, 8, 9, 10, 12, 16, 24, 48, 96))
OTHERS = (("monitors", "power", "supply"), ("set-up", "labels"), ("gain",), ("carry", "set-up"), ("lifeline",))
"""Pages printed with the list and the plot: some at a time, for the sake of time; the shipped gigs print all."""
GEAR = (("dynamic-handheld", "out"), ("condenser-handheld", "out"), ("synth-61", "out-l"), ("stage-piano-88", "out-l"))


@st.composite
def books(draw: st.DrawFn) -> Book:
    """Return a book with some channels, mixes, a riser, power and text of every kind wherever text may stand."""
    count = draw(COUNTS)
    words = draw(st.lists(NAMES, min_size=14, max_size=14))
    own = draw(st.lists(NAMES, min_size=1, max_size=8))
    wide, deep = draw(st.floats(1.5, 30)), draw(st.floats(1.5, 30))

    def word(place: int) -> str:
        return words[place % len(words)][:120] or "x"

    def name(place: int) -> str:
        return (own[place % len(own)])[:110] + f" {place}"

    gear = [GEAR[place % len(GEAR)] for place in range(count)]
    units = [
        Unit(id=f"u{n}", name=name(n), gear=gear[n][0], owner="house" if n % 5 == 3 else "rig",
             note=word(n) * (n % 4 == 1),
             x_m=draw(st.floats(-wide / 2, wide / 2)) if n < 12 else (n % 12 - 6) * wide / 13,
             y_m=(n // 12 + 0.5) * deep / 9, rotation_deg=float(n * 37 % 360),
             stand=Stand(kind="tall boom", owner="house" if n % 2 else "rig") if "handheld" in gear[n][0] else None)
        for n in range(count)
    ]
    units += [Unit(id="wedge", name=word(1), gear="wedge-powered", owner="house", x_m=0.0, y_m=0.3),
              Unit(id="mixer", name=word(2), gear="mixer-in-ear", x_m=-0.5, y_m=0.9)]
    units.append(Unit(id="pedal", name=word(3), gear="dynamic-handheld"))
    links = (Link(id="l", source=PortRef(unit="pedal", port="out"), target=PortRef(unit="mixer", port="mic-1"),
                  cable="xlr", length_m=5.0, label=word(3)),)
    hand_offs = [HandOff(id=f"h{n}", name=name(n), unit=f"u{n}", port=gear[n][1], direction="to house",
                         note=word(n) * (n % 3 == 0), ears_only=n % 7 == 6) for n in range(count)]
    hand_offs.append(HandOff(id="mix", name=word(4), unit="wedge", port="in", direction="from house", note=word(5)))
    boxes = [
        Unit(id=f"box{b}", name=word(6 + b), gear="stage-box-8", owner="house", x_m=-wide / 2 + b * wide / 13, y_m=deep)
        for b in range(max(1, (count + 7) // 8))
    ]
    sockets = [Socket(id=f"s{n}", unit=f"box{n // 8}", ports=(f"in-{n % 8 + 1}",), direction="in", number=n * 3 % 997,
                      label=f"{'ABCDEFGHIJKL'[n // 8]}{n % 8 + 1}" if n % 11 else word(n)[:40]) for n in range(count)]
    sockets.append(Socket(id="m", unit="box0", ports=("out-1",), direction="out", number=1, label=word(7)))
    stage = Stage(
        width_m=wide, depth_m=deep,
        risers=(Riser(id="r", name=word(8), x_m=0.0, y_m=deep / 2, width_m=min(2.0, wide), depth_m=1.0),),
        power=(PowerDrop(id="p", name=word(9), x_m=wide / 2, y_m=0.2, outlets=2, circuit=word(10),
                         shared_with=word(11)),),
    )
    xlr = CablePiece(kind="cable", cable="xlr", length_m=5.0)
    landings = [Landing(hand_off=f"h{n}", socket=f"s{n}", chain=(xlr,) if n % 3 else (), note=word(n) * (n % 6 == 2))
                for n in range(count)] + [Landing(hand_off="mix", socket="m", chain=(xlr,))]
    book = add_rig(checked(empty_book(), owner=word(12)), Rig(
        id="rig", name=word(0), about=word(1), units=tuple(units), links=links, hand_offs=tuple(hand_offs)))
    book = add_house(book, House(id="house", name=word(2), place=word(3), stage=stage, units=tuple(boxes),
                                 sockets=tuple(sockets), contact=word(4)), shipped())
    return add_gig(book, Gig(
        id="gig", name=word(5), rig="rig", house="house", act=word(6) * (count % 2), about=word(7) * 3,
        contact=word(8) * 2, date=ISSUED if count % 3 else None, on_stage=word(9)[:60],
        landings=tuple(landings), notes=word(10)))


def check(analysis: Analysis, paper: str = "A4", pages: Sequence[str] = PAGES) -> None:
    """Read every page of a packet back and compare it with the lists."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        data = packet_bytes(analysis, paper=paper, issued=ISSUED, pages=pages)
        lists = sum("Input list" in text or "Supply, mixes" in text for text in pdfium_pages(data)) + 1
        for read in (pdfium_pages(data), pypdf_pages(data, lists + 1)):
            text = only_own(squeezed("".join(read)))
            for row in analysis.inputs:
                assert own_letters(row.name)[:14] in text, row.name
    assert len(data) < 500_000
    assert outside(data, 9.0) == []
    assert overlaps(data) == []


def only_own(text: str) -> str:
    """Return the characters of a text that our own fonts hold."""
    return "".join(char for char in text if char in own_widths()["regular"])


def own_letters(name: str) -> str:
    """Return what of a name must be found again, blanks left out."""
    return only_own(squeezed(clean(name)))


@settings(deadline=None, max_examples=200, suppress_health_check=list(HealthCheck))
@given(books(), st.sampled_from(["A4", "Letter"]), st.sampled_from(OTHERS))
def test_any_book_prints_and_reads_back(book: Book, paper: str, others: tuple[str, ...]) -> None:
    patch = build_patch(book, None, shipped())
    analysis = Analysis(book, patch.gig, patch, ())
    check(analysis, paper, ("inputs", "plot", *others))


SAMPLES = sorted(path.name for path in resources.samples().glob("*.loom"))


@pytest.mark.parametrize("sample", SAMPLES)
def test_every_shipped_gig_prints_and_reads_back(sample: str) -> None:
    book, _ = load(Path(resources.samples() / sample), shipped())
    for gig in book.gigs:
        check(analyse(book, gig.id, shipped()))
