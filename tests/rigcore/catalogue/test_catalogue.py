"""The shipped tables: complete, joined up, and honest about where their figures come from."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator

import pytest
from pydantic import TypeAdapter

from rigcore import resources
from rigcore.catalogue.carriers import Audio, Carrier, Mains
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType, Port
from rigcore.catalogue.loader import shipped

TABLES = resources.assets() / "catalogue"
SHIPPED = shipped()
GEAR = tuple(SHIPPED.gear.values())
ENDS = {end for cable in SHIPPED.cables.values() for end in (cable.end_a, cable.end_b)}
HAS_NO_LEVEL = ("adapter", "pad", "multicore", "splitter")

RELIED_UPON = {
    "stage-piano-88": "out-l out-r pedal phones midi-in midi-out usb mains",
    "synth-61": "out-l out-r pedal expression midi-in midi-out usb mains",
    "laptop-interface-4": "out-1 out-2 out-3 out-4 mains",
    "tablet": "mains",
    "dynamic-handheld": "out",
    "condenser-handheld": "out",
    "splitter-1x2": "in direct isolated",
    "mixer-small": "mic-1 mic-2 line-1 line-6 main-l main-r monitor phones mains",
    "mixer-in-ear": "mic-1 mic-2 line-1 line-8 main-l main-r phones mains",
    "powered-monitor": "in thru mains",
    "di-passive": "in-1 thru-1 out-1",
    "di-passive-stereo": "in-2 thru-2 out-2",
    "di-passive-4": "in-4 thru-4 out-4",
    "di-passive-6": "in-6 thru-6 out-6",
    "di-active": "in-1 thru-1 out-1",
    "di-active-stereo": "in-2 thru-2 out-2",
    "line-isolator": "in out",
    "wedge-passive": "in",
    "wedge-powered": "in mains",
    "earphones": "in",
    "stage-box-8": "in-1 in-8 out-1 out-4 mains",
    "stage-box-16": "in-16 out-8 mains",
    "stage-box-32": "in-32 out-8 mains",
    "drop-box-12": "in-12",
    "drop-box-8": "in-8 out-1 out-2",
    "ceiling-system": "in-l in-r mains",
    "strip-6": "mains outlet-1 outlet-6",
    "equaliser-15": "in-1 in-2 out-1 out-2",
    "equaliser-31": "in-1 in-2 out-1 out-2",
}


def _ports() -> Iterator[tuple[GearType, Port]]:
    for gear in GEAR:
        for port in gear.ports:
            yield gear, port


def _audio(port: Port) -> Iterator[Audio]:
    for carrier in (port.carrier, port.jack_carrier):
        if isinstance(carrier, Audio):
            yield carrier


def test_there_is_enough_for_every_kind_of_player() -> None:
    assert len(GEAR) >= 110
    families = {gear.family for gear in GEAR}
    assert families >= {"keys", "vocals", "guitars", "bass", "drums", "brass", "strings", "playback", "percussion"}


@pytest.mark.parametrize("gear_id", RELIED_UPON)
def test_gear_that_samples_and_rules_rely_upon(gear_id: str) -> None:
    ports = {port.id for port in SHIPPED.gear_type(gear_id).ports}
    assert set(RELIED_UPON[gear_id].split()) <= ports


@pytest.mark.parametrize(
    "pattern", ["omni", "wide cardioid", "cardioid", "supercardioid", "hypercardioid", "figure-8"]
)
def test_every_pattern_occurs(pattern: str) -> None:
    assert any(gear.pattern == pattern for gear in GEAR if gear.category == "microphone")


def test_every_category_occurs() -> None:
    missing = set(GearType.model_fields["category"].annotation.__args__) - {gear.category for gear in GEAR}
    assert not missing


def test_every_microphone_has_a_pattern_and_a_balanced_output() -> None:
    for gear in GEAR:
        if gear.category == "microphone":
            assert gear.pattern, gear.id
            assert SHIPPED.port(gear.id, "out").connector == "xlr3.m", gear.id


def test_every_connector_has_a_partner() -> None:
    mating = {name for row in SHIPPED.mating.rows for name in (row.plug, row.socket)}
    assert set(SHIPPED.connectors) == mating


@pytest.mark.parametrize("cable_id", SHIPPED.cables)
def test_every_cable_end_goes_into_something(cable_id: str) -> None:
    cable = SHIPPED.cable_type(cable_id)
    for end in (cable.end_a, cable.end_b):
        assert any(SHIPPED.mating.fits(end, other) for other in SHIPPED.connectors), end


def test_every_port_takes_a_cable_or_is_a_plug_itself() -> None:
    for gear, port in _ports():
        is_plug = SHIPPED.connectors[port.connector].side == "male"
        takes = any(SHIPPED.mating.fits(port.connector, end) for end in ENDS)
        assert takes or is_plug, f"{gear.id} {port.id}"


def test_every_audio_port_states_its_levels() -> None:
    for gear, port in _ports():
        for audio in _audio(port):
            if gear.category in HAS_NO_LEVEL:
                continue
            where = f"{gear.id} {port.id}"
            assert audio.nominal_dbu is not None, where
            assert audio.max_dbu is not None, where
            assert audio.nominal_dbu < audio.max_dbu, where
            if port.direction == "in":
                assert audio.weakest_dbu is not None, where
                assert audio.weakest_dbu <= audio.nominal_dbu, where
            assert audio.ohm is not None or port.role == "thru", where


def test_wires_have_no_level_of_their_own() -> None:
    for gear, port in _ports():
        if gear.category in ("adapter", "multicore"):
            assert all(audio.nominal_dbu is None and audio.max_dbu is None for audio in _audio(port)), gear.id


def test_what_the_phantom_supply_would_harm_says_so() -> None:
    for gear, port in _ports():
        if not gear.is_source(port.id):
            continue
        for audio in _audio(port):
            if audio.balance in ("unbalanced", "impedance-balanced"):
                assert audio.phantom == "harmed", f"{gear.id} {port.id}"
            if audio.phantom == "needs":
                assert 0 < audio.phantom_ma <= 10, f"{gear.id} {port.id}"


def test_a_transformer_blocks_48_volts() -> None:
    for gear in GEAR:
        for path in gear.paths:
            if path.kind in ("transformer", "active", "digital"):
                assert not path.passes_phantom, f"{gear.id} {path.source}"


def test_who_switches_48_volts_is_known() -> None:
    for gear, port in _ports():
        if any(audio.phantom == "switchable" for audio in _audio(port)):
            assert gear.phantom_switch, gear.id


def test_powered_gear_has_one_inlet_called_mains() -> None:
    for gear in GEAR:
        inlets = gear.mains_inlets()
        assert [port.id for port in inlets] in ([], ["mains"]), gear.id
        for port in inlets:
            assert isinstance(port.carrier, Mains)
            unearthed = SHIPPED.connectors[port.connector].contacts == 2
            assert not (unearthed and port.carrier.earth_class == 1), f"{gear.id}: class 1 on two contacts"


def test_a_way_leads_through_every_box_in_between() -> None:
    for gear in GEAR:
        if gear.category not in ("di", "splitter", "isolator", "pad", "adapter", "mixer", "equaliser", "multicore"):
            continue
        starts = {path.source for path in gear.paths}
        ends = {path.target for path in gear.paths}
        for port in gear.ports:
            if isinstance(port.carrier, Audio) and port.direction != "both":
                assert port.id in (starts if port.direction == "in" else ends), f"{gear.id} {port.id}"


def test_stereo_pairs_have_a_left_and_a_right() -> None:
    for gear in GEAR:
        for pair in {port.pair for port in gear.ports if port.pair}:
            sides = sorted(port.side for port in gear.ports if port.pair == pair)
            assert sides == ["L", "R"], f"{gear.id} {pair}"


def test_sizes_and_masses_are_those_of_things() -> None:
    for gear in GEAR:
        assert max(gear.width_m, gear.depth_m, gear.height_m) <= 2.0, gear.id
        assert gear.mass_kg <= 400, gear.id
        if gear.rack_u:
            assert gear.height_m == pytest.approx(gear.rack_u * 0.04445, abs=0.007), gear.id


def test_every_figure_names_its_source() -> None:
    for row in (*SHIPPED.connectors.values(), *SHIPPED.mating.rows, *SHIPPED.cables.values()):
        assert row.source.strip(), row
    for cable in SHIPPED.cables.values():
        assert cable.why_longest.strip(), cable.id


def test_no_address_stands_in_the_tables() -> None:
    for path in TABLES.rglob("*.toml"):
        text = path.read_text(encoding="utf-8")
        assert "http" not in text, path.name
        assert "www." not in text, path.name
        assert text.count("\n") <= 500, path.name


def test_every_preset_is_a_carrier() -> None:
    rows = tomllib.loads((TABLES / "carriers.toml").read_text(encoding="utf-8"))["carrier"]
    names = [row.pop("id") for row in rows]
    assert len(names) == len(set(names))
    for name, row in zip(names, rows, strict=True):
        assert TypeAdapter(Carrier).validate_python(row).medium == row["medium"], name


def test_only_635_families_end_in_6() -> None:
    """The combined socket tells its halves apart by that figure."""
    ending = {row.family for row in SHIPPED.connectors.values() if row.family.endswith("6")}
    assert ending == {"ts6", "trs6"}


@pytest.mark.parametrize(
    ("source", "target", "cable"),
    [
        ("stage-piano-88 out-l", "di-passive in-1", "ts"),
        ("stage-piano-88 out-l", "mixer-small line-1", "ts"),
        ("synth-61 out-l", "mixer-small line-1", "trs"),
        ("dynamic-handheld out", "stage-box-8 in-1", "xlr"),
        ("mixer-small main-l", "powered-monitor in", "xlr"),
        ("mixer-small monitor", "line-isolator in", "trs-xlr"),
        ("stage-box-8 out-1", "mixer-in-ear line-7", "xlr-trs"),
        ("player-disc rca-l", "ceiling-system in-l", "rca"),
        ("controller-61 midi-out", "synth-61 midi-in", "midi"),
        ("controller-61 usb", "laptop-interface-4 usb", "usb-a-b"),
        ("bass-head speaker", "bass-cabinet in", "speaker"),
        ("guitar-head speaker", "guitar-cabinet in", "speaker-jack"),
        ("stage-box-8 network", "stage-box-16 network", "network-rugged"),
        ("strip-6 outlet-1", "stage-piano-88 mains", "mains-c7-bs1363"),
        ("strip-6-nema5-15 outlet-1", "synth-61 mains", "mains-c13-nema5-15"),
        ("strip-6-cee7 outlet-1", "tablet mains", "mains-c7-cee7-16"),
        ("pedal-expression-socket out", "synth-61 expression", "pedal"),
    ],
)
def test_the_usual_cable_comes_first(source: str, target: str, cable: str) -> None:
    best = SHIPPED.cables_between(SHIPPED.port(*source.split()), SHIPPED.port(*target.split()))
    assert best[0].id == cable


def test_a_combined_socket_has_two_minds() -> None:
    port = SHIPPED.port("interface-2", "in-1")
    assert SHIPPED.carrier_at(port, "xlr3.m").level == "mic"
    assert SHIPPED.carrier_at(port, "trs6.m").level == "line"
    assert SHIPPED.carrier_at(port, None).level == "mic"


def test_own_gear_wins_over_shipped() -> None:
    own = SHIPPED.gear_type("tablet").model_copy(update={"name": "My tablet"})
    merged: Catalogue = SHIPPED.with_gear([own])
    assert merged.gear_type("tablet").name == "My tablet"
    assert SHIPPED.gear_type("tablet").name == "Tablet"
    assert SHIPPED.with_gear([]) is SHIPPED
