"""The spreadsheet import: forgiving in form, exact in meaning, and refusing everything at once or nothing."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigcore.book.book import Book
from rigcore.book.gig import CablePiece, GearPiece
from rigcore.book.sheets import import_plan
from rigcore.book.sheets.table import LARGEST_BYTES, MOST_ROWS, Columns, Problems, read_table
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.loader import shipped
from rigcore.errors import ImportRefused

UNITS = """name,gear,owner,x,y,rotation,stand,stand owner,family,note,card x,card y
Piano,stage-piano-88,rig,0,1.5,0,,,keys,,10,20
Vocal,dynamic-handheld,house,0.5,1.5,370,tall boom,,vocals,own ears,,
DI,di-passive-4,rig,1,2,,,,,,,
Mixer,mixer-in-ear,rig,,,,,,,,,
Drop,stage-box-8,house,3,2,,,,,,,
"""
PATCH = """from,from port,to,to port,cable,length,owner,channel,role,ears only,importance,note,loom
Piano,out-l,DI,in-1,ts,3,,,,,,,Keys
Piano,out-r,DI,in-2,ts,3,,,,,,,Keys
DI,out-1,Drop,in-1,xlr,5,house,Keys L,,,,,
DI,out-2,Drop,in-2,xlr,5,,Keys R,,,nice,,
Vocal,out,Drop,in-3,xlr,5,,Lead,talkback,yes,,close,
Drop,out-1,Mixer,line-1,,4.5,,,,,,,
"""


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return shipped()


@pytest.fixture
def take(tmp_path: Path, catalogue: Catalogue) -> Any:
    """Return a function that writes the sheets given and takes them in."""

    def taken(units: str | bytes = UNITS, patch: str | bytes = PATCH, **toml: str) -> Book:
        for name, content in (("units.csv", units), ("patch.csv", patch)):
            (tmp_path / name).write_bytes(content.encode() if isinstance(content, str) else content)
        for name, content in toml.items():
            (tmp_path / f"{name}.toml").write_text(content, encoding="utf-8")
        paths = {name: tmp_path / f"{name}.toml" if name in toml else None for name in ("gear", "house")}
        return import_plan(
            tmp_path / "units.csv", tmp_path / "patch.csv", paths["gear"], paths["house"], catalogue=catalogue
        )

    return taken


def refused(take: Any, *sheets: str | bytes, **toml: str) -> list[str]:
    """Return what an import is refused for."""
    with pytest.raises(ImportRefused) as caught:
        take(*sheets, **toml)
    return list(caught.value.problems)


def test_a_plan_becomes_one_rig_one_house_and_their_gig(take: Any) -> None:
    book = take()
    rig, house, gig = book.rigs[0], book.houses[0], book.gigs[0]
    assert [unit.name for unit in rig.units] == ["Piano", "Vocal", "DI", "Mixer"]
    assert [unit.name for unit in house.units] == ["Drop"]
    assert (gig.rig, gig.house) == (rig.id, house.id)
    piano, vocal = rig.units[:2]
    assert (piano.x_m, piano.y_m, piano.card_x, piano.card_y, piano.family) == (0.0, 1.5, 10.0, 20.0, "keys")
    assert (vocal.owner, vocal.rotation_deg, vocal.note) == ("house", 10.0, "own ears")
    assert vocal.stand is not None
    assert (vocal.stand.kind, vocal.stand.owner) == ("tall boom", "house")


def test_rows_inside_the_rig_are_links(take: Any) -> None:
    rig = take().rigs[0]
    assert [(one.source.port, one.target.port, one.cable, one.length_m) for one in rig.links] == [
        ("out-l", "in-1", "ts", 3.0),
        ("out-r", "in-2", "ts", 3.0),
    ]
    assert [loom.name for loom in rig.looms] == ["Keys"]
    assert {link.loom for link in rig.links} == {rig.looms[0].id}


def test_rows_between_rig_and_house_are_hand_offs_with_landings(take: Any) -> None:
    book = take()
    keys_l, keys_r, lead, ears = book.rigs[0].hand_offs
    assert (keys_l.name, keys_l.direction, keys_l.side, keys_l.order) == ("Keys L", "to house", "L", 1)
    assert (keys_r.side, keys_r.group, keys_r.importance) == ("R", keys_l.group, "nice")
    assert (lead.ears_only, lead.note, lead.group) == (True, "close", None)
    assert (ears.direction, ears.unit, ears.port, ears.order) == ("from house", "mixer", "line-1", 4)
    landing = book.gigs[0].landing(keys_l.id)
    assert landing is not None
    assert landing.chain == (CablePiece(kind="cable", cable="xlr", length_m=5.0, owner="house"),)
    intended = book.gigs[0].landing(ears.id)
    assert intended is not None
    assert (intended.chain, intended.length_m) == ((), 4.5)


def test_a_role_is_kept_at_the_port_under_the_channels_name(take: Any) -> None:
    vocal = take().rigs[0].unit("vocal")
    assert vocal is not None
    assert (vocal.setting("out").role, vocal.setting("out").label) == ("talkback", "Lead")


def test_without_a_house_file_every_line_of_its_boxes_is_a_socket(take: Any) -> None:
    house = take().houses[0]
    ins = [one for one in house.sockets if one.direction == "in"]
    assert [one.number for one in ins] == list(range(1, 9))
    assert [one.number for one in house.sockets if one.direction == "out"] == [1, 2, 3, 4]
    assert not house.facts


@pytest.mark.parametrize(
    "heading",
    [
        "NAME,Gear,Owner,X,Y,Rotation,Stand,Stand Owner,Family,Note,Card X,Card Y",
        "Unit,gear_type,who,x_m,y_m,turn,stand kind,stand-by,plays,Remarks,sheet x,sheet_y",
        " name , GEAR-TYPE ,Supplied by,x (m),y (m),Rotation deg,stand,stand_owner,source-family,Comment,CARD-X,cardY",
    ],
)
def test_headings_are_forgiven(take: Any, heading: str) -> None:
    assert take(UNITS.replace(UNITS.splitlines()[0], heading)) == take()


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_delimiters_and_encodings(take: Any, delimiter: str, encoding: str) -> None:
    units = UNITS.replace("own ears", "naïve – Flügel")
    book = take(*(sheet.replace(",", delimiter).encode(encoding) for sheet in (units, PATCH)))
    assert book.rigs[0].units[1].note == "naïve – Flügel"
    assert len(book.gigs[0].landings) == 4


def test_a_line_that_tells_the_delimiter_is_understood(take: Any) -> None:
    assert take("sep=;\n" + UNITS.replace(",", ";")) == take()


def test_old_and_new_line_ends_and_empty_rows(take: Any) -> None:
    for end in ("\r\n", "\r"):
        assert take(UNITS.replace("\n", end), PATCH.replace("\n", end)) == take()
    assert take("\n\n" + UNITS.replace("\nDI", "\n,,,,\n\nDI") + "\n,,\n") == take()


@pytest.mark.parametrize(
    ("typed", "length_m"),
    [
        ("3", 3.0), ("1,5", 1.5), ("1,5 m", 1.5), ("1.5m", 1.5), ("5 m", 5.0),
        ("15 ft", 4.572), ("150 cm", 1.5), ("10'", 3.048),
    ],
)
def test_lengths_as_people_write_them(take: Any, typed: str, length_m: float) -> None:
    patch = "from;to;cable;length\nPiano;DI;ts;" + typed
    book = take("name;gear;x\nPiano;dynamic-handheld;-0,25\nDI;di-passive;1,5 m", patch)
    assert book.rigs[0].links[0].length_m == length_m
    assert [unit.x_m for unit in book.rigs[0].units] == [-0.25, 1.5]


def test_gear_is_known_by_id_name_or_description(take: Any) -> None:
    catalogue = shipped()
    piano = catalogue.gear_type("stage-piano-88")
    names = [piano.id, piano.name, piano.name.upper(), "Stage_Piano 88", piano.about]
    rows = "".join(f'"K{n}","{name}"\n' for n, name in enumerate(names))
    book = take("name,gear\n" + rows, "from,to\n")
    assert {unit.gear for unit in book.rigs[0].units} == {piano.id}


def test_unknown_gear_is_answered_with_place_and_three_nearest_names(take: Any) -> None:
    problem = refused(take, UNITS.replace("stage-piano-88", "stage-piono-88"))[0]
    assert problem.startswith("units.csv, row 2, column gear: there is no gear type 'stage-piono-88'; nearest: ")
    assert "stage-piano-88" in problem
    assert len(problem.split("nearest: ")[1].split("), ")) == 3


@pytest.mark.parametrize(
    ("old", "new", "place", "words"),
    [
        ("Piano,out-l", "Piano,out-left", "patch.csv, row 2, column from port", "no port 'out-left'; nearest: out-l"),
        ("Drop,in-3", "Drop,in-33", "patch.csv, row 6, column to port", "nearest: in-3"),
        ("DI,in-1", "DJ,in-1", "patch.csv, row 2, column to", "there is no unit 'DJ'; nearest: DI"),
        ("ts,3,,", "tz,3,,", "patch.csv, row 2, column cable", "there is no cable type 'tz'; nearest: ts"),
        ("xlr,5,house", "xlr,5,hause", "patch.csv, row 4, column owner", "'hause' is not known here; nearest: house"),
        ("xlr,5,house", "xlr,five,house", "patch.csv, row 4, column length", "'five' is no length"),
        ("xlr,5,house", "xlr,-5,house", "patch.csv, row 4, column length", "greater than 0"),
        ("talkback", "talkbak", "patch.csv, row 6, column role", "nearest: talkback"),
        (",yes,", ",perhaps,", "patch.csv, row 6, column ears only", "'perhaps' is not known"),
        (",nice,", ",very,", "patch.csv, row 5, column importance", "'very' is not known"),
        ("in-2,ts,3", "in-2,,3", "patch.csv, row 3, column length", "a length but no cable"),
        ("DI,in-2", "DI,in-1", "patch.csv, row 2, column to port", ""),
        ("Vocal,out,Drop,in-3", "Drop,out-2,Drop,in-3", "patch.csv, row 6, column to", "both ends belong to the house"),
        ("DI,out-2,Drop,in-2", "DI,out-1,Drop,in-2", "patch.csv, row 5, column from port", "row 4 connects"),
        ("DI,out-2,Drop,in-2", "DI,out-2,Drop,out-2", "patch.csv, row 5, column from port", "both ends are outputs"),
    ],
)
def test_what_does_not_hold_is_named_with_file_row_and_column(
    take: Any, *, old: str, new: str, place: str, words: str
) -> None:
    assert old in PATCH
    if not words:
        assert take(patch=PATCH.replace(old, new))  # two plugs in one socket: for the rules, not for the import
        return
    problems = refused(take, UNITS, PATCH.replace(old, new, 1))
    assert [one for one in problems if one.startswith(place + ": ") and words in one], problems


@pytest.mark.parametrize(
    ("old", "new", "column", "words"),
    [
        ("rig,0,1.5", "rig,zero,1.5", "x", "'zero' is no length"),
        ("rig,0,1.5", "rig,5000,1.5", "x", "less than or equal to 1000"),
        ("tall boom", "tall bomb", "stand", "nearest: tall boom"),
        ("vocals", "vocalz", "family", "vocals"),
        ("house,0.5", "hose,0.5", "owner", "nearest: house"),
        ("Vocal,", ",", "name", "the name is missing"),
        ("Vocal,", "PIANO,", "name", "stands in row 2 already"),
        ("370", "370 rad", "rotation", "is no number"),
        ("dynamic-handheld", "", "gear", "the gear type is missing"),
    ],
)
def test_units_that_do_not_hold(take: Any, *, old: str, new: str, column: str, words: str) -> None:
    problems = refused(take, UNITS.replace(old, new, 1))
    assert [one for one in problems if f", column {column}: " in one and words in one], problems


def test_all_problems_of_all_files_come_together_and_nothing_is_taken_in(take: Any) -> None:
    problems = refused(
        take,
        UNITS.replace("di-passive-4", "di-passive-44").replace("tall boom", "tall bomb"),
        PATCH.replace("Vocal,out", "Vocal,outt").replace("Mixer,line-1", "Mixer,lime-99"),
        house='[house]\nnmae = "x"\n',
        gear="[[stok]]\ncount = 1\n",
    )
    text = "\n".join(problems)
    for words in (
        "gear.toml, stok: this key is not known; nearest: stock",
        "house.toml, house, nmae: this key is not known; nearest: name",
        "units.csv, row 4, column gear",
        "units.csv, row 3, column stand",
        "patch.csv, row 7, column to port",
    ):
        assert words in text
    assert "no unit 'DI'" not in text, "a unit whose row is at fault is not missed a second time"


def test_a_row_may_be_written_from_either_end(take: Any) -> None:
    turned = PATCH.replace("DI,out-1,Drop,in-1", "Drop,in-1,DI,out-1")
    turned = turned.replace("Piano,out-l,DI,in-1", "DI,in-1,Piano,out-l")
    assert take(patch=turned) == take()


def test_a_port_may_be_left_out_where_there_is_but_one(take: Any) -> None:
    assert take(patch=PATCH.replace("Vocal,out,", "Vocal,,")) == take()
    problems = refused(take, UNITS, PATCH.replace("Piano,out-l", "Piano,"))
    assert "patch.csv, row 2, column from port: the port is missing" in problems[0]


def test_pairs_come_from_the_ports_where_names_say_nothing(take: Any) -> None:
    patch = "from,from port,to,to port,cable\nPiano,out-l,Drop,in-1,\nPiano,out-r,Drop,in-2,\n"
    left, right = take(patch=patch).rigs[0].hand_offs
    assert (left.side, right.side) == ("L", "R")
    assert left.group == right.group
    assert left.group is not None
    (lonely,) = take(patch="\n".join(patch.splitlines()[:2])).rigs[0].hand_offs
    assert (lonely.side, lonely.group) == ("", None)


@pytest.mark.parametrize("names", [("Band L", "Band R"), ("Band left", "BAND RIGHT"), ("Band-l", "Band (R)")])
def test_pairs_come_from_names(take: Any, names: tuple[str, str]) -> None:
    left, right = take(patch=PATCH.replace("Keys L", names[0]).replace("Keys R", names[1])).rigs[0].hand_offs[:2]
    assert (left.side, right.side, left.group) == ("L", "R", right.group)


def test_a_cell_may_hold_several_cables_and_adapters_in_the_order_of_the_row(take: Any) -> None:
    row = "Drop,out-1,Mixer,line-1,xlr 10 m + xlr 5 m + adapter-xlr3f-trs6m,,,,,,,,"
    book = take(patch=PATCH.replace("Drop,out-1,Mixer,line-1,,4.5,,,,,,,", row))
    chain = book.gigs[0].landings[-1].chain
    assert [one.length_m for one in chain if isinstance(one, CablePiece)] == [10.0, 5.0]
    last = chain[-1]
    assert isinstance(last, GearPiece)
    assert (last.enter, last.leave) == ("in", ("out",))
    turned = "Mixer,line-1,Drop,out-1,adapter-xlr3f-trs6m + xlr 5 m + xlr 10 m,,,,,,,,"
    assert take(patch=PATCH.replace("Drop,out-1,Mixer,line-1,,4.5,,,,,,,", turned)).gigs[0].landings[-1].chain == chain
    for cell, words in (
        ("xlr + xlr,5", "write the length of each"),
        ("xlr + adaptor-xlr3f-trs6m,", "there is no cable or adapter"),
        ("xlr 5 furlongs,", "is no length"),
        ("mixer-small,", "has several ways through it"),
        (" + ".join(["xlr"] * 13) + ",", "more than 12 pieces"),
    ):
        problems = refused(take, UNITS, PATCH.replace("line-1,,4.5,", f"line-1,{cell},"))
        assert words in "\n".join(problems)


HOUSE = """
riser = [{ name = "Riser", x_m = 1, y_m = 3, width_m = 2, depth_m = 2 }]
power = [{ name = "SL", x_m = 3, y_m = 1, outlets = 4, connector = "bs1363.f" }]
stock = [{ kind = "cable", type = "xlr", length_m = 10, count = 4 }]
fact = [{ key = "pa", value = "stereo", said_by = "the hall", said_on = 2027-08-01 }]
socket = [
 { unit = "drop", ports = ["in-1"], number = 18, label = "B1", block = "keys" },
 { unit = "Drop", ports = ["In 2"], number = 19 },
 { unit = "Drop", ports = ["in-3"], number = 28 },
 { unit = "Drop", ports = ["out-1"], number = 1, label = "Ears" },
]
[house]
name = "Hall"
kind = "church"
changeover_min = 15
[stage]
width_m = 7
depth_m = 4.5
[rig]
name = "Mine"
[gig]
name = "Evening"
act = "We"
date = 2027-08-20
valid_until = 2027-08-21
order = ["Lead", "Keys L"]
[book]
title = "One evening"
owner = "We"
contact = "we@rigs.example"
"""


def test_the_house_file(take: Any) -> None:
    book = take(house=HOUSE)
    house, gig = book.houses[0], book.gigs[0]
    assert (book.title, book.rigs[0].name, house.name, house.kind, house.changeover_min) == (
        "One evening", "Mine", "Hall", "church", 15,
    )
    assert (house.stage.width_m, house.stage.risers[0].id, house.stage.power[0].outlets) == (7.0, "riser", 4)
    sockets = [(one.label, one.number, one.direction) for one in house.sockets]
    assert sockets[::3] == [("B1", 18, "in"), ("Ears", 1, "out")]
    assert house.facts[0].said_on is not None
    assert house.stock[0].count == 4
    assert gig.order == ("lead", "keys-l")
    assert str(gig.date) == "2027-08-20"


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("depth_m = 4.5", "depht_m = 4.5", "house.toml, stage, depht_m: this key is not known; nearest: depth_m"),
        ('label = "B1"', 'lable = "B1"', "house.toml, socket, number 1, lable: this key is not known; nearest: label"),
        ('unit = "drop"', 'unit = "dorp"', "house.toml, socket, number 1, unit: the house has no unit 'dorp'"),
        ('"in-1"', '"in-99"', "house.toml, socket, number 1, ports: "),
        ('ports = ["in-1"]', 'ports = ["in-1"], direction = "out"', "house.toml, socket, number 1, direction: "),
        ("said_on = 2027-08-01", 'said_on = "soon"', "house.toml, fact, number 1, said_on: "),
        ('key = "pa"', 'key = "weather"', "house.toml, fact, number 1, key: "),
        ("date = 2027-08-20", "date = 2027-08-20T20:00:00", "house.toml, gig, date: "),
        ("width_m = 7\n", "width_m = inf\n", "house.toml, stage, width_m: "),
        ("width_m = 7\n", 'width_m = "7"\n', "house.toml, stage, width_m: "),
        ("number = 28", "number = -1", "house.toml, socket, number 3, number: "),
        ('type = "xlr"', 'type = "xlrr"', "house.toml, stock, number 1, type: there is no cable type 'xlrr'"),
        ('"bs1363.f"', '"bs1363"', "house.toml, power, number 1, connector: there is no 'bs1363'; nearest: bs1363"),
        ('"Lead", ', '"Lead vocal", ', "house.toml, gig, order: there is no channel 'Lead vocal'"),
        ('kind = "church"', 'kind = "barn"', "house.toml, house, kind: "),
        ("[house]", "[house", "house.toml: is not TOML"),
        ('ports = ["in-3"]', 'ports = ["in-4"]', "patch.csv, row 6, column to port: the house has no socket at Drop"),
        ("[house]", "[hause]", "house.toml, hause: this key is not known; nearest: house"),
    ],
)
def test_a_house_file_that_does_not_hold(take: Any, old: str, new: str, words: str) -> None:
    problems = refused(take, UNITS, PATCH, house=HOUSE.replace(old, new, 1))
    assert [one for one in problems if one.startswith(words)], problems


def test_own_gear_and_stock(take: Any) -> None:
    gear = """
[[gear]]
id = "singing-saw"
name = "Singing saw"
category = "other"
width_m = 0.1
depth_m = 0.8
height_m = 0.1
mass_kg = 1
ports = [{ id = "out", name = "Out", direction = "out", connector = "xlr3.m", carrier = "mic-out-dynamic" }]
[[stock]]
kind = "gear"
type = "singing-saw"
count = 2
"""
    book = take(UNITS + "Saw,Singing Saw\n", PATCH + "Saw,out,Drop,in-4,xlr,\n", gear=gear)
    assert [one.id for one in book.gear] == ["singing-saw"]
    assert book.stock[0].count == 2
    assert book.gigs[0].landings[-1].chain[0].length_m == 5.0


@pytest.mark.parametrize(
    ("gear", "words"),
    [
        ("gear = 3", "[[gear]] must be a list of tables"),
        ("stock = 3", "[[stock]] must be a list of tables"),
        ("[[gear]]\nports = 5", "'ports' must be a list of tables"),
        ("[[gear]]\nports = [1]", "'ports' must be a list of tables"),
        ("[[gear]]\nports = [{ id = \"a\", carrier = { like = [1] } }]", "'like' must name a preset"),
        ("[[gear]]\nid = \"a\"", "gear.toml, gear 1 (a), field name"),
        ("[[gear]]\nid = \"a\"\nports = [{ carrier = \"no-such\" }]", "no preset"),
        ("[[stock]]\nkind = \"cable\"\ntype = \"xlr\"", "a cable needs its length"),
        ("[[stock]]\nkind = \"gear\"\ntype = \"xlr\"", "there is no gear type 'xlr'"),
        ("[[stock]]\nkind = \"gear\"\ntype = \"di-active\"\ncolour = \"red\"", "colour: this key is not known"),
        ("a = " + "[" * 3000, "gear.toml: is "),
    ],
)
def test_a_gear_file_that_does_not_hold(take: Any, gear: str, words: str) -> None:
    assert words in "\n".join(refused(take, UNITS, PATCH, gear=gear))


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "units.csv: is empty"),
        (b"\n\n , ,\n", "units.csv: is empty"),
        (b"PK\x03\x04\x00\x00", "units.csv: is not a table in plain text"),
        (b"name,gear\nPiano,stage\x00piano\n", "is not a table in plain text (line 2)"),
        (bytes(range(256)) * 40, "is not a table in plain text"),
        (b"name,gear\n\x81\x8d\x8f,a\n", "is not a table in plain text"),
        (b'name,gear\n"Piano,stage-piano-88\nDI,di-active\n', "its quotation marks do not match"),
        (b"name,gear\nPiano,di-active,,1\n", "units.csv, row 2: has more cells than the first row"),
        (b"name,colour\nPiano,red\n", "units.csv, row 1, column 'colour': there is no such column here; nearest: "),
        (b"name,owner\nPiano,rig\n", "units.csv, row 1: the column 'gear' is missing"),
        (b"name,gear,unit\nPiano,di-active,DI\n", "'name' stands there twice"),
        (b"name,gear\n" + b"a,di-active\n" * (MOST_ROWS + 1), "has more than 20,000 rows"),
        (b"name,gear\n" + b"a" * 200_000 + b",di-active\n", "its quotation marks do not match"),
        (b"name,gear\n" + b"a" * 121 + b",di-active\n", "units.csv, row 2, column name: "),
        (b"name,gear,note\nA,di-active," + b"a" * 2001 + b"\n", "units.csv, row 2, column note: "),
        (b"name,gear\n" + b"x" * LARGEST_BYTES, "units.csv: is too large (5 MB; at most 5 MB)"),
    ],
)
def test_hostile_files_are_refused_in_one_sentence(take: Any, data: bytes, words: str) -> None:
    problems = refused(take, data, "from,to\n")
    assert words in problems[0]
    assert len(problems) < 4


def test_missing_files_and_folders(tmp_path: Path, catalogue: Catalogue) -> None:
    with pytest.raises(ImportRefused) as caught:
        import_plan(tmp_path / "no.csv", tmp_path, tmp_path / "no.toml", None, catalogue=catalogue)
    assert [one.split(": ", 1)[1] for one in caught.value.problems] == [
        "cannot be read (No such file or directory)", "cannot be read (No such file or directory)", "is not a file",
    ]


def test_many_faults_do_not_take_long(take: Any) -> None:
    rows = "".join(f"Unit {n},nothing-like-{n}\n" for n in range(2000))
    problems = refused(take, "name,gear\n" + rows, "from,to\n")
    assert len(problems) == 2000
    assert "nearest" in problems[0]
    assert "nearest" not in problems[-1]


def test_an_apostrophe_that_keeps_a_cell_from_being_computed_is_taken_off(take: Any) -> None:
    assert take(UNITS.replace("own ears", "'=own ears")).rigs[0].units[1].note == "=own ears"


CELL = st.text(
    st.characters(exclude_categories=["Cc", "Cs"], exclude_characters="\xa0\u2028\u2029\x85"), max_size=20
).map(str.strip)


@settings(max_examples=150, deadline=None)
@given(
    rows=st.lists(st.tuples(CELL, CELL, CELL), max_size=8),
    delimiter=st.sampled_from([",", ";", "\t"]),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
    end=st.sampled_from(["\n", "\r\n"]),
)
def test_simple_tables_come_back_as_they_were_written(
    rows: list[tuple[str, str, str]], delimiter: str, encoding: str, end: str
) -> None:
    text = io.StringIO()
    writer = csv.writer(text, delimiter=delimiter, lineterminator=end, quoting=csv.QUOTE_ALL)
    writer.writerows([("name", "gear", "note"), *rows])
    columns = Columns({"name": (), "gear": (), "note": ("remark",)}, ("name",))
    problems = Problems()
    table = read_table(text.getvalue().encode(encoding), "t.csv", columns, problems)
    assert problems.sentences == []
    assert table is not None
    came = [tuple(row.cells[column] for column in ("name", "gear", "note")) for row in table.rows]
    wanted = [tuple(cell[1:] if cell[:2] in ("'=", "'+", "'-", "'@") else cell for cell in row) for row in rows]
    assert came == [row for row in wanted if any(row)]


@settings(max_examples=100, deadline=None)
@given(data=st.binary(max_size=400))
def test_any_bytes_make_a_table_or_a_problem(data: bytes) -> None:
    problems = Problems()
    table = read_table(data, "t.csv", Columns({"name": ()}, ("name",)), problems)
    assert (table is None) <= bool(problems.sentences)
