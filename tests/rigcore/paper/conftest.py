"""Small books made in code for the tests of the sheets: a duo at a festival, and rows of any number."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from rigcore.analysis import Analysis
from rigcore.book.book import Book, empty_book
from rigcore.book.edits.gigs import add_gig, bind_landing, change_gig
from rigcore.book.edits.hand_offs import add_hand_off
from rigcore.book.edits.houses import add_house, add_rig
from rigcore.book.edits.links import add_link
from rigcore.book.edits.units import add_unit
from rigcore.book.gig import CablePiece, GearPiece, Gig, Landing
from rigcore.book.house import Fact, House, PowerDrop, Riser, Socket, Stage
from rigcore.book.ids import PortRef
from rigcore.book.rig import HandOff, Link, Rig, Stand, Unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.loader import shipped
from rigcore.paper import fonts, installed_fonts, style
from rigcore.patch.build import build_patch

ISSUED = dt.date(2026, 7, 31)
XLR = CablePiece(kind="cable", cable="xlr", length_m=5.0)


def _house() -> House:
    drops = (("b", "Drop B", 0.9, 4.3), ("c", "Drop C", -3.4, 2.0))
    units = [Unit(id=box, name=name, gear="stage-box-8", owner="house", x_m=x, y_m=y) for box, name, x, y in drops]
    sockets = [
        Socket(id=f"{box}{n}", unit=box, ports=(f"in-{n}",), direction="in", number=start + n,
               label=f"{box.upper()}{n}", block=box.upper())
        for box, start in (("b", 20), ("c", 12))
        for n in range(1, 9)
    ]
    sockets += [
        Socket(id=f"mix-{n}", unit=box, ports=("out-1",), direction="out", number=n, label=f"Mix {n}")
        for n, box in ((1, "c"), (2, "b"))
    ]
    stage = Stage(
        width_m=8.0, depth_m=6.5, height_m=1.0,
        risers=(Riser(id="keys", name="rolling riser", x_m=2.2, y_m=5.0, width_m=2.2, depth_m=2.0, height_m=0.4),),
        power=(
            PowerDrop(id="usl", name="riser outlet", x_m=3.6, y_m=5.7, outlets=6),
            PowerDrop(id="dsr", name="downstage right", x_m=-3.5, y_m=1.2, outlets=2),
        ),
    )
    return House(
        id="green", name="Longmarsh Green, stage 2", kind="festival", stage=stage, units=tuple(units),
        sockets=tuple(sockets), changeover_min=20, facts=(Fact(key="phantom", value="per channel"),),
    )


def _units() -> tuple[Unit, ...]:
    tall, house_tall = Stand(kind="tall boom"), Stand(kind="tall boom", owner="house")
    return (
        Unit(id="k1", name="Keys 1", gear="stage-piano-88", x_m=2.3, y_m=5.05),
        Unit(id="k2", name="Keys 2", gear="synth-61", x_m=2.3, y_m=4.5),
        Unit(id="lt", name="Laptop", gear="laptop-interface-4", x_m=1.55, y_m=5.5, rotation_deg=90.0),
        Unit(id="di6", name="DI 6", gear="di-passive-6", x_m=2.9, y_m=5.75),
        Unit(id="split", name="Vocal splitter", gear="splitter-1x2"),
        Unit(id="ears", name="Ear mixer", gear="mixer-in-ear", x_m=2.95, y_m=5.45),
        Unit(id="lead", name="Lead mic", gear="dynamic-handheld", x_m=2.3, y_m=5.6, stand=tall),
        Unit(id="back", name="Backing mic", gear="dynamic-handheld", owner="house", x_m=-2.5, y_m=1.4,
             stand=house_tall),
        Unit(id="bass", name="Bass", gear="synth-monophonic-37", family="bass", x_m=-2.4, y_m=2.2),
        Unit(id="wedge", name="Wedge", gear="wedge-powered", owner="house", x_m=-2.5, y_m=0.5, rotation_deg=180.0),
        Unit(id="strip", name="Outlet strip", gear="strip-6"),
    )


_LINES = (
    ("bass", "Bass", "bass", "out", "c1"), ("k1l", "Keys 1 L", "di6", "out-1", "b1"),
    ("k1r", "Keys 1 R", "di6", "out-2", "b2"), ("k2l", "Keys 2 L", "di6", "out-3", "b3"),
    ("k2r", "Keys 2 R", "di6", "out-4", "b4"), ("trl", "Tracks L", "di6", "out-5", "b5"),
    ("trr", "Tracks R", "di6", "out-6", "b6"), ("lead", "Lead vox", "split", "direct", "b7"),
    ("back", "Backing vox", "back", "out", "c6"),
)
_WIRED = (
    ("k1", "out-l", "di6", "in-1"), ("k1", "out-r", "di6", "in-2"), ("k2", "out-l", "di6", "in-3"),
    ("k2", "out-r", "di6", "in-4"), ("lt", "out-1", "di6", "in-5"), ("lt", "out-2", "di6", "in-6"),
    ("lead", "out", "split", "in"), ("split", "isolated", "ears", "mic-1"),
)


def ferry_book(catalogue: Catalogue) -> Book:
    """Return the duo at the festival: nine channels, a riser, two mixes."""
    book = add_rig(empty_book(), Rig(id="ferry", name="Ferry"))
    for unit in _units():
        book = add_unit(book, "ferry", unit, catalogue)
    for unit, port, to, into in _WIRED:
        cable, length = ("xlr", 5.0) if to != "di6" else ("ts", 3.0)
        link = Link(id=f"{unit}-{port}", source=PortRef(unit=unit, port=port), target=PortRef(unit=to, port=into),
                    cable=cable, length_m=length)
        book = add_link(book, "ferry", link, catalogue)
    for name, words, unit, port, _ in _LINES:
        side = name[-1].upper() if name[-1] in "lr" and name[:-1] in ("k1", "k2", "tr") else ""
        hand_off = HandOff(id=name, name=words, unit=unit, port=port, direction="to house", side=side,
                           group=name[:-1] if side else None)
        book = add_hand_off(book, "ferry", hand_off, catalogue)
    for name, words, unit, port, note in (
        ("mix-dsr", "Wedge", "wedge", "in", "own voice, keys 1, lead vox, a little bass"),
        ("to-ears", "Ear feed", "ears", "line-8", "everything but lead vox and keys, plus talkback"),
    ):
        hand_off = HandOff(id=name, name=words, unit=unit, port=port, direction="from house", note=note)
        book = add_hand_off(book, "ferry", hand_off, catalogue)
    book = add_house(book, _house(), catalogue)
    gig = Gig(
        id="gig", name="Longmarsh", rig="ferry", house="green", act="Ferry", about="duo: keys + voice, bass + voice",
        contact="Maren Oswick · +00 000 000 000 · maren@ferry.example", date=dt.date(2026, 8, 14),
        on_stage="18:40", valid_until=dt.date(2026, 8, 15),
    )
    book = add_gig(book, gig)
    active = GearPiece(kind="gear", gear="di-active", enter="in-1", leave=("out-1",))
    lead = CablePiece(kind="cable", cable="ts", length_m=3.0)
    for name, _, _, _, socket in _LINES:
        chain = (lead, active, XLR) if name == "bass" else (XLR,)
        book = bind_landing(book, "gig", Landing(hand_off=name, socket=socket, chain=chain), catalogue)
    book = bind_landing(book, "gig", Landing(hand_off="mix-dsr", socket="mix-1", chain=(XLR,)), catalogue)
    return bind_landing(book, "gig", Landing(hand_off="to-ears", socket="mix-2", chain=(XLR,)), catalogue)


def rows_book(names: list[str], catalogue: Catalogue, *, act: str = "Many") -> Book:
    """Return a book with one microphone and one channel for each name."""
    boxes = max(1, (len(names) + 7) // 8)
    units = tuple(
        Unit(id=f"box-{b}", name=f"Box {b}", gear="stage-box-8", owner="house", x_m=-5.0 + b, y_m=5.6)
        for b in range(1, boxes + 1)
    )
    sockets = tuple(
        Socket(id=f"s{n}", unit=f"box-{(n - 1) // 8 + 1}", ports=(f"in-{(n - 1) % 8 + 1}",), direction="in",
               number=100 + n, label=f"{'ABCDEFGHIJKL'[(n - 1) // 8]}{(n - 1) % 8 + 1}")
        for n in range(1, len(names) + 1)
    )
    mics = tuple(
        Unit(id=f"m{n}", name=f"Microphone {n}", gear="condenser-handheld" if n % 3 == 0 else "dynamic-handheld",
             owner="house" if n % 2 else "rig", x_m=-4.6 + (n % 12) * 0.8, y_m=0.6 + (n // 12) * 0.6,
             stand=Stand(kind="short boom", owner="house" if n % 2 else "rig"))
        for n in range(1, len(names) + 1)
    )
    lines = tuple(
        HandOff(id=f"h{n}", name=name, unit=f"m{n}", port="out", direction="to house")
        for n, name in enumerate(names, start=1)
    )
    house = House(id="hall", name="The Long Hall", stage=Stage(width_m=10.0, depth_m=6.0), units=units,
                  sockets=sockets)
    landings = tuple(
        Landing(hand_off=f"h{n}", socket=f"s{n}", chain=(XLR,)) for n in range(1, len(names) + 1)
    )
    book = add_rig(empty_book(), Rig(id="rig", name="Rig", units=mics, hand_offs=lines))
    book = add_house(book, house, catalogue)
    return add_gig(book, Gig(id="gig", name="Gig", rig="rig", house="hall", act=act, landings=landings,
                             date=dt.date(2026, 8, 14), contact="Maren Oswick · maren@ferry.example"))


def forget_fonts() -> None:
    """Let the fonts of this machine be looked for again."""
    for known in (installed_fonts.installed, fonts.font_of, style.runs, style._em):
        known.cache_clear()


@pytest.fixture(autouse=True, scope="session")
def _no_installed_fonts() -> Iterator[None]:
    """Print with our own fonts alone: what else is installed differs from machine to machine."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(installed_fonts, "font_folders", lambda: ())
        forget_fonts()
        yield
    forget_fonts()


def analysis_of(book: Book) -> Analysis:
    """Return the analysis of the first gig without its findings: the house is not told them."""
    patch = build_patch(book, None, shipped())
    return Analysis(book, patch.gig, patch, ())


@pytest.fixture(scope="session")
def ferry() -> Analysis:
    """The duo at the festival, analysed."""
    return analysis_of(ferry_book(shipped()))


@pytest.fixture(scope="session")
def many() -> Callable[..., Analysis]:
    """Make an analysis with one channel for each name."""
    def make(names: list[str], **words: str) -> Analysis:
        return analysis_of(rows_book(names, shipped(), **words))

    return make


@pytest.fixture
def with_gig() -> Callable[..., Analysis]:
    """Make an analysis from another one with fields of its gig changed."""
    def make(analysis: Analysis, **fields: object) -> Analysis:
        return analysis_of(change_gig(analysis.book, "gig", **fields))

    return make


@pytest.fixture
def issued() -> dt.date:
    """The issue date of every packet in these tests."""
    return ISSUED


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder that does not exist yet."""
    return tmp_path / "for" / "the house"
