"""Writes the sample books: three from their spreadsheets, a tour built by edits, the classic mistakes and their twin.

Run ``python tests/make_samples.py``. A test compares the shipped books with what this makes.
"""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path
from typing import Any, Literal

ROOT = Path(__file__).resolve().parents[1]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

from rigcore.book.book import Book, empty_book  # noqa: E402
from rigcore.book.edits.gigs import add_gig, bind_landing, place_here  # noqa: E402
from rigcore.book.edits.hand_offs import add_hand_off  # noqa: E402
from rigcore.book.edits.houses import add_house, add_rig, learn  # noqa: E402
from rigcore.book.edits.links import add_link  # noqa: E402
from rigcore.book.edits.rebuild import checked  # noqa: E402
from rigcore.book.edits.units import add_unit  # noqa: E402
from rigcore.book.file import to_bytes  # noqa: E402
from rigcore.book.gig import CablePiece, GearPiece, Gig, Landing, Piece, Placement  # noqa: E402
from rigcore.book.house import Fact, FactKey, House, PowerDrop, Riser, Socket, Stage  # noqa: E402
from rigcore.book.ids import PortRef  # noqa: E402
from rigcore.book.rig import HandOff, Link, Rig, Stand, Unit  # noqa: E402
from rigcore.book.sheets import import_plan  # noqa: E402
from rigcore.book.stock import StockItem  # noqa: E402
from rigcore.catalogue.carriers import Audio, Mains  # noqa: E402
from rigcore.catalogue.catalogue import Catalogue  # noqa: E402
from rigcore.catalogue.gear import GearType, Port, Provenance  # noqa: E402
from rigcore.catalogue.gear import Path as Way  # noqa: E402
from rigcore.catalogue.loader import shipped  # noqa: E402
from tests.rigcore.planted import made as planted  # noqa: E402
from tests.rigcore.planted_rest import REST  # noqa: E402
from tests.rigcore.planted_signal import SIGNAL  # noqa: E402

SAMPLES = ROOT / "samples"
SHEETS = ("piper", "tandem", "ferry")
RIG = "keys-and-voice"
CONTACT = "tour@rigs.example, +00 555 0104"


def sheet_book(name: str, catalogue: Catalogue) -> Book:
    """Return the book the spreadsheets of one sample come to."""
    folder = SAMPLES / name
    return import_plan(
        folder / "units.csv", folder / "patch.csv", folder / "gear.toml", folder / "house.toml",
        catalogue=catalogue,
    )


def tour_book(catalogue: Catalogue) -> Book:
    """Return a book with one rig at a bar, a chapel and a festival."""
    book = checked(
        empty_book(), title="One rig, three houses", owner="One player", contact=CONTACT,
        gear=(_bar_mixer(),), stock=_stock(),
    )
    book = _rig(book, catalogue)
    for house, facts in (_bar(), _chapel(), _festival()):
        book = add_house(book, house, catalogue)
        for key, value, said_by in facts:
            book = learn(book, house.id, Fact(key=key, value=value, said_by=said_by, said_on=dt.date(2027, 7, 26)))
    for gig, landings in (_at_bar(), _at_chapel(), _at_festival()):
        book = add_gig(book, gig)
        for landing in landings:
            book = bind_landing(book, gig.id, landing, catalogue)
    for unit in book.rig(RIG).units:
        if unit.x_m is not None and unit.y_m is not None:
            placement = Placement(unit=unit.id, x_m=unit.x_m + 2.6, y_m=unit.y_m + 3.7, rotation_deg=unit.rotation_deg)
            book = place_here(book, "festival", placement)
    return book


def _stock() -> tuple[StockItem, ...]:
    cables = (("xlr", 5.0, 6), ("ts", 3.0, 2), ("ts-rca", 3.0, 2), ("rca-xlr", 3.0, 1), ("xlr-trs", 3.0, 1))
    gear = (("di-passive", 2), ("line-isolator", 1), ("adapter-xlr3f-trs6m", 1), ("strip-6", 1))
    return (
        *(StockItem(kind="cable", type=kind, length_m=length, count=count) for kind, length, count in cables),
        *(StockItem(kind="gear", type=kind, count=count) for kind, count in gear),
    )


def _bar_mixer() -> GearType:
    """Return the bar's own mixer: a gear type that lives in this book only."""
    phono = Audio(
        medium="audio", level="consumer", balance="unbalanced", nominal_dbu=-7.78, max_dbu=12.0,
        weakest_dbu=-20.0, ohm=22000.0, noise_dbu=-88.0,
    )
    voice = Audio(
        medium="audio", level="mic", balance="balanced", nominal_dbu=-42.0, max_dbu=0.0,
        weakest_dbu=-56.0, ohm=2000.0, noise_dbu=-124.0,
    )
    record = Audio(
        medium="audio", level="consumer", balance="unbalanced", nominal_dbu=-7.78, max_dbu=8.2,
        ohm=1000.0, noise_dbu=-85.0, phantom="harmed",
    )
    mains = Mains(medium="mains", low_v=220.0, high_v=240.0, watts=25.0, leakage_ma=1.0)
    return GearType(
        id="bar-mixer",
        name="Bar mixer, mono",
        category="desk",
        about="One microphone and one phono line into the bar's ceiling loudspeakers; a record output",
        ports=(
            Port(id="mic", name="Mic", direction="in", connector="xlr3.f", carrier=voice),
            Port(id="line", name="Line", direction="in", connector="rca.f", carrier=phono),
            Port(id="record", name="Record", direction="out", connector="rca.f", carrier=record),
            Port(id="mains", name="Mains", direction="in", connector="c14", carrier=mains),
        ),
        paths=(
            Way(source="mic", target="record", kind="active", gain_db=34.0, gain_min_db=10.0, gain_max_db=50.0),
            Way(source="line", target="record", kind="active", gain_db=-6.0, gain_min_db=-40.0, gain_max_db=6.0),
        ),
        width_m=0.48, depth_m=0.2, height_m=0.09, mass_kg=3.0, rack_u=2.0,
        provenance=Provenance(levels="typical", size="measured", mass="typical", power="typical"),
    )


def _rig(book: Book, catalogue: Catalogue) -> Book:
    book = add_rig(book, Rig(id=RIG, name="Keys and voice", about="Piano and voice with own ears; the house mixes."))
    boom = Stand(kind="tall boom")
    for unit in (
        Unit(id="piano", name="Piano", gear="stage-piano-88", x_m=0.0, y_m=0.7, family="keys"),
        Unit(id="vocal", name="Vocal", gear="dynamic-handheld", x_m=0.0, y_m=1.0, stand=boom, family="vocals"),
        Unit(id="splitter", name="Splitter", gear="splitter-1x2", x_m=0.8, y_m=1.55),
        Unit(id="mixer", name="In-ear mixer", gear="mixer-in-ear", x_m=0.75, y_m=1.2),
        Unit(id="phones-adapter", name="Earphone adapter", gear="adapter-trs6m-trs3f"),
        Unit(id="earphones", name="Earphones", gear="earphones", x_m=0.1, y_m=1.3),
    ):
        book = add_unit(book, RIG, unit, catalogue)
    for name, source, target, cable in (
        ("vocal-to-splitter", ("vocal", "out"), ("splitter", "in"), "xlr"),
        ("splitter-to-mixer", ("splitter", "isolated"), ("mixer", "mic-1"), "xlr"),
        ("phones-to-adapter", ("mixer", "phones"), ("phones-adapter", "in"), None),
        ("adapter-to-earphones", ("phones-adapter", "out"), ("earphones", "in"), None),
    ):
        ends = [PortRef(unit=unit, port=port) for unit, port in (source, target)]
        length = 5.0 if cable else None
        link = Link(id=name, source=ends[0], target=ends[1], cable=cable, length_m=length)
        book = add_link(book, RIG, link, catalogue)
    keys: dict[str, Any] = {"unit": "piano", "direction": "to house", "group": "keys"}
    for hand_off in (
        HandOff(id="lead-vox", name="Lead vox", unit="splitter", port="direct", direction="to house", order=1),
        HandOff(id="keys-l", name="Keys L", port="out-l", side="L", order=2, **keys),
        HandOff(id="keys-r", name="Keys R", port="out-r", side="R", order=3, **keys),
        HandOff(
            id="ear-feed", name="In-ear feed", unit="mixer", port="line-1", direction="from house", order=4,
            note="mono: keys and room",
        ),
    ):
        book = add_hand_off(book, RIG, hand_off, catalogue)
    return book


MONO = "mono: the left output alone carries both sides"
"""Beside the piano's line at a house with one line for it."""

Facts = tuple[tuple[FactKey, str, str], ...]
Line = tuple[str, Literal["in", "out"], int, str, str]
"""Port, direction, the house's number, label and block of a socket."""


def _sockets(unit: str, lines: tuple[Line, ...]) -> tuple[Socket, ...]:
    return tuple(
        Socket(id=f"{unit}-{port}", unit=unit, ports=(port,), direction=way, number=number, label=label, block=block)
        for port, way, number, label, block in lines
    )


def _power(name: str, place: tuple[float, float], outlets: int, circuit: str) -> tuple[PowerDrop, ...]:
    x_m, y_m = place
    drop = PowerDrop(
        id="power", name=name, x_m=x_m, y_m=y_m, outlets=outlets, connector="bs1363.f", circuit=circuit
    )
    return (drop,)


def _bar() -> tuple[House, Facts]:
    rack = Unit(id="rack", name="Bar mixer", gear="bar-mixer", owner="house", x_m=-0.9, y_m=1.6)
    house = House(
        id="bar",
        name="Corner bar",
        kind="bar",
        contact="bar@corner.example, +00 555 0150",
        crew="none",
        stage=Stage(width_m=2.6, depth_m=1.8, power=_power("Corner", (-1.2, 1.2), 2, "bar")),
        units=(rack,),
        sockets=_sockets("rack", (
            ("line", "in", 1, "Line", "bar"),
            ("mic", "in", 2, "Mic", "bar"),
            ("record", "out", 1, "Record", "bar"),
        )),
        notes="Ceiling loudspeakers, summed to mono.",
    )
    said = "bar manager"
    return house, (
        ("pa", "mono", said), ("phantom", "none", said), ("input level", "consumer", said), ("di boxes", "0", said),
        ("outlets", "2", said), ("circuit", "one circuit, shared with the bar", said), ("channels", "2", said),
    )


def _chapel() -> tuple[House, Facts]:
    drop = Unit(id="drop-sl", name="Drop SL", gear="stage-box-8", owner="house", x_m=3.0, y_m=1.8)
    lines: tuple[Line, ...] = tuple((f"in-{n}", "in", n, f"SL{n}", "drop SL") for n in range(1, 9))
    house = House(
        id="chapel",
        name="Fenwold Chapel",
        place="Fenwold",
        kind="church",
        contact="sound@fenwold-chapel.example, +00 555 0130",
        crew="one engineer at the desk",
        stage=Stage(width_m=7.0, depth_m=4.0, height_m=0.3, power=_power("Quad SL", (3.2, 3.0), 4, "stage left")),
        units=(drop,),
        sockets=_sockets("drop-sl", (*lines, ("out-1", "out", 1, "Ear mix", "returns SL"))),
    )
    said = "chapel sound desk"
    return house, (
        ("pa", "stereo", said), ("phantom", "per channel", said), ("input level", "mic", said), ("di boxes", "3", said),
        ("outlets", "4", said), ("monitor mixes", "1", said), ("monitor layout", "mono", said), ("channels", "8", said),
    )


def _festival() -> tuple[House, Facts]:
    drop = Unit(id="drop-b", name="Drop box B", gear="drop-box-8", owner="house", x_m=3.8, y_m=5.0)
    riser = Riser(id="riser", name="Rolling riser", x_m=2.6, y_m=5.0, width_m=2.0, depth_m=2.0)
    keys: tuple[Line, ...] = tuple((f"in-{n}", "in", 18 + n, f"B{n}", "keys and playback") for n in range(1, 7))
    house = House(
        id="festival",
        name="Longmarsh Green, stage 2",
        place="Longmarsh Green",
        kind="festival",
        changeover_min=20,
        contact="stage2@longmarsh-green.example, +00 555 0140",
        crew="two stage hands, a patch technician, a monitor engineer",
        stage=Stage(
            width_m=8.0, depth_m=6.4, height_m=1.0, risers=(riser,), power=_power("Riser", (3.8, 5.6), 2, "stage left")
        ),
        units=(drop,),
        sockets=_sockets("drop-b", (
            *keys,
            ("in-7", "in", 28, "B7", "vocals"),
            ("in-8", "in", 29, "B8", "vocals"),
            ("out-1", "out", 2, "Riser line", "mixes"),
        )),
    )
    said = "festival production"
    return house, (
        ("pa", "stereo", said), ("phantom", "per channel", said), ("input level", "mic", said), ("di boxes", "0", said),
        ("outlets", "2", said), ("monitor mixes", "1", said), ("monitor layout", "mono", said), ("channels", "8", said),
    )


def _gig(gig_id: str, name: str, day: int, on_stage: str) -> Gig:
    return Gig(
        id=gig_id, name=name, rig=RIG, house=gig_id, act="Keys and voice", contact=CONTACT, on_stage=on_stage,
        about="Piano in stereo, one voice, one mono line back for the ears.",
        date=dt.date(2027, 8, day), valid_until=dt.date(2027, 8, 31),
    )


def _cable(cable: str, length_m: float) -> CablePiece:
    return CablePiece(kind="cable", cable=cable, length_m=length_m)


def _piece(gear: str, enter: str = "in", leave: str = "out") -> GearPiece:
    return GearPiece(kind="gear", gear=gear, enter=enter, leave=(leave,))


def _lands(
    sockets: tuple[str, str, str | None, str], keys: tuple[Piece, ...], ears: tuple[Piece, ...]
) -> tuple[Landing, ...]:
    """Return the landings of voice, keys left and right (none: the left output carries both), and the ear feed."""
    chains = ((_cable("xlr", 5.0),), keys, keys, ears)
    names = ("lead-vox", "keys-l", "keys-r", "ear-feed")
    return tuple(
        Landing(hand_off=name, socket=socket, chain=chain, note=MONO if name == "keys-l" and not sockets[2] else "")
        for name, socket, chain in zip(names, sockets, chains, strict=True)
        if socket is not None
    )


def _through_di() -> tuple[Piece, ...]:
    return (_cable("ts", 3.0), _piece("di-passive", "in-1", "out-1"), _cable("xlr", 5.0))


def _at_bar() -> tuple[Gig, tuple[Landing, ...]]:
    ears = (_cable("rca-xlr", 3.0), _piece("line-isolator"), _cable("xlr-trs", 3.0))
    landings = _lands(("rack-mic", "rack-line", None, "rack-record"), (_cable("ts-rca", 3.0),), ears)
    return _gig("bar", "Tuesday at the corner bar", 24, "20:00"), landings


def _at_chapel() -> tuple[Gig, tuple[Landing, ...]]:
    ears = (_cable("xlr", 5.0), _piece("adapter-xlr3f-trs6m"))
    landings = _lands(("drop-sl-in-3", "drop-sl-in-1", "drop-sl-in-2", "drop-sl-out-1"), _through_di(), ears)
    return _gig("chapel", "Thursday at Fenwold Chapel", 26, "19:30"), landings


def _at_festival() -> tuple[Gig, tuple[Landing, ...]]:
    ears = (_cable("xlr", 5.0), _piece("adapter-xlr3f-trs6m"))
    landings = _lands(("drop-b-in-7", "drop-b-in-1", "drop-b-in-2", "drop-b-out-1"), _through_di(), ears)
    return _gig("festival", "Saturday at Longmarsh Green", 28, "15:10"), landings


def books(catalogue: Catalogue) -> dict[str, bytes]:
    """Return every sample book as it stands in its file, by file name."""
    made = {f"{name}.loom": sheet_book(name, catalogue) for name in SHEETS}
    made["tour.loom"] = tour_book(catalogue)
    mistakes = [*SIGNAL, *REST]
    made["mistakes.loom"] = planted(mistakes, mended=False)
    made["mistakes-mended.loom"] = planted(mistakes, mended=True)
    return {name: to_bytes(book) for name, book in made.items()}


def main() -> None:
    """Write the sample books."""
    for name, data in books(shipped()).items():
        (SAMPLES / name).write_bytes(data)
        print(f"{SAMPLES / name}: {len(data)} bytes")


if __name__ == "__main__":
    main()
