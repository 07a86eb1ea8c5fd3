"""Connectors and mating against published standards. Each test names its source."""

from __future__ import annotations

import pytest

from rigcore.catalogue.connectors import Consequence
from rigcore.catalogue.loader import shipped

CATALOGUE = shipped()
CONNECTORS = CATALOGUE.connectors
MATING = CATALOGUE.mating


def test_outputs_are_male_and_inputs_female() -> None:
    """AES14-1992 part 1, "XLR-type polarity and gender"; IEC 60268-12: outputs have pins, inputs sockets."""
    boxes = [gear for gear in CATALOGUE.gear.values() if gear.category != "adapter"]
    for gear in boxes:
        for port in gear.ports:
            if port.connector in ("xlr3.m", "xlr3.f") and port.carrier.medium == "audio":
                assert port.connector == ("xlr3.m" if port.direction == "out" else "xlr3.f"), f"{gear.id} {port.id}"


def test_a_cable_is_female_at_the_source_and_male_at_the_load() -> None:
    """AES14-1992: follows from the gender of outputs and inputs."""
    cable = CATALOGUE.cable_type("xlr")
    assert (cable.end_a, cable.end_b) == ("xlr3.f", "xlr3.m")
    for row in CATALOGUE.cables.values():
        if row.medium == "audio":
            assert row.end_a != "xlr3.m", row.id
            assert row.end_b != "xlr3.f", row.id


@pytest.mark.parametrize(("family", "contacts"), [("xlr3", 3), ("xlr4", 4), ("xlr5", 5)])
def test_contacts_of_xlr(family: str, contacts: int) -> None:
    """IEC 60268-12; AES14-1992 for the 3-pin form."""
    for side in ("m", "f"):
        assert CONNECTORS[f"{family}.{side}"].contacts == contacts


def test_midi_is_a_five_pin_connector() -> None:
    """IEC 63035:2017 cl. 4.1: 5-pin DIN of 180 degrees."""
    assert CONNECTORS["din5.f"].contacts == 5
    assert CATALOGUE.cable_type("midi").longest_m == 15


def test_lengths_of_data_links() -> None:
    """USB 2.0 delay budget 5 m; ANSI/TIA-568-C channel 100 m; AES3-4:2009 about 100 m; MIDI RP-054 2 m."""
    longest = {name: CATALOGUE.cable_type(name).longest_m for name in ("usb-a-b", "network", "aes3", "midi-trs")}
    assert longest == {"usb-a-b": 5, "network": 100, "aes3": 100, "midi-trs": 2}


@pytest.mark.parametrize(
    ("connector", "inlet", "rated_a"),
    [
        ("c5", "c6", 2.5), ("c7", "c8", 2.5), ("c13", "c14", 10),
        ("c15", "c16", 10), ("c17", "c18", 10), ("c19", "c20", 16),
    ],
)
def test_appliance_couplers(connector: str, inlet: str, rated_a: float) -> None:
    """IEC 60320: pairs and international ratings; odd numbers are connectors, even ones inlets."""
    assert MATING.consequence(connector, inlet) is Consequence.FITS
    for name, side in ((connector, "female"), (inlet, "male")):
        assert CONNECTORS[name].rated_a == rated_a
        assert CONNECTORS[name].side == side


@pytest.mark.parametrize(("inlet", "rated_a"), [("c14", 15), ("c16", 15), ("c20", 20)])
def test_north_american_ratings(inlet: str, rated_a: float) -> None:
    """North American ratings of IEC 60320 couplers: 15 A for C13 to C16, 20 A for C19/C20."""
    assert CONNECTORS[inlet].north_american_a == rated_a


@pytest.mark.parametrize(("inlet", "rated_a"), [("c6", 2.5), ("c8", 10)])
def test_north_american_ratings_from_memory(inlet: str, rated_a: float) -> None:
    """From memory: C5/C6 2.5 A; C7/C8 10 A, for which one list prints 2.5 A."""
    assert CONNECTORS[inlet].north_american_a == rated_a
    assert "from memory" in CONNECTORS[inlet].source


def test_an_unearthed_coupler_has_two_contacts() -> None:
    """IEC 60320: C7/C8 and C17/C18 are class II, the others class I."""
    two = {name for name, row in CONNECTORS.items() if row.source.startswith("IEC 60320") and row.contacts == 2}
    assert two == {"c7", "c8", "c17", "c18"}


def test_hot_connector_into_cold_inlet_only() -> None:
    """IEC 60320 (vector BX-14): a C15 enters a C14 inlet, a C13 does not enter a C16 inlet."""
    assert MATING.consequence("c15", "c14") is Consequence.FITS
    assert MATING.consequence("c13", "c16") is Consequence.DOES_NOT_FIT


def test_nema_t_slot() -> None:
    """NEMA 5-15 and 5-20: 125 V, 15 and 20 A; the T slot takes both plugs, the 15 A outlet only its own."""
    assert (CONNECTORS["nema5-15.f"].rated_a, CONNECTORS["nema5-20.f"].rated_a) == (15, 20)
    assert {CONNECTORS[f"nema5-{n}.f"].rated_v for n in (15, 20)} == {125}
    assert MATING.fits("nema5-15.m", "nema5-20.f")
    assert not MATING.fits("nema5-20.m", "nema5-15.f")


def test_plugs_into_cee_7_4() -> None:
    """CEE 7/4 and 7/7 16 A 250 V; CEE 7/16 2.5 A 250 V, class II only, enters CEE 7/4 too."""
    assert MATING.fits("cee7-7.m", "cee7-4.f")
    assert MATING.fits("cee7-16.m", "cee7-4.f")
    assert (CONNECTORS["cee7-4.f"].rated_a, CONNECTORS["cee7-7.m"].rated_a) == (16, 16)
    assert (CONNECTORS["cee7-16.m"].rated_a, CONNECTORS["cee7-16.m"].rated_v) == (2.5, 250)
    for cable in CATALOGUE.cables.values():
        if cable.end_a == "cee7-16.m":
            assert cable.end_b == "c7", "a flat plug has no earth to give"


@pytest.mark.parametrize(
    ("outlet", "rated_a"),
    [("bs1363.f", 13), ("as3112.f", 10), ("iec60309-16.f", 16), ("iec60309-32.f", 32)],
)
def test_ratings_of_outlets(outlet: str, rated_a: float) -> None:
    """BS 1363 13 A; AS/NZS 3112 10 A; IEC 60309 16 and 32 A."""
    assert CONNECTORS[outlet].rated_a == rated_a


def test_loudspeaker_poles() -> None:
    """Digital Sound and Music, ch. 1: a 2-pole plug enters a 4-pole panel on 1+/1-, a 4-pole plug no 2-pole panel."""
    assert MATING.consequence("speaker2.m", "speaker4.f") is Consequence.HALF_THE_CONTACTS
    assert MATING.consequence("speaker4.m", "speaker2.f") is Consequence.DOES_NOT_FIT


@pytest.mark.parametrize(("mm2", "ohm_per_km"), [(0.75, 26.0), (1.0, 19.5), (1.5, 13.3), (2.5, 7.98), (4.0, 4.95)])
def test_resistance_of_mains_leads(mm2: float, ohm_per_km: float) -> None:
    """IEC 60228 class 5, plain copper at 20 degrees C, highest values."""
    leads = [row for row in CATALOGUE.cables.values() if row.medium == "mains" and row.conductor_mm2 == mm2]
    assert leads
    for lead in leads:
        assert lead.ohm_per_m == pytest.approx(ohm_per_km / 1000), lead.id


def test_bx_01_male_output_to_female_input() -> None:
    """Vector BX-01 (AES14-1992): a female-to-male cable, no adapter."""
    source = CATALOGUE.port("dynamic-handheld", "out")
    target = CATALOGUE.port("stage-box-8", "in-1")
    assert (source.connector, target.connector) == ("xlr3.m", "xlr3.f")
    best = CATALOGUE.cables_between(source, target)[0]
    assert best.id == "xlr"
    assert CATALOGUE.ends_at(best, source, target) == ("xlr3.f", "xlr3.m")


def test_bx_02_two_male_ends_need_a_turn_round() -> None:
    """Vector BX-02 (AES14-1992: old equipment may be reversed): no cable fits, a turn-round does."""
    source = CATALOGUE.port("dynamic-handheld", "out")
    reversed_unit = source.model_copy(update={"direction": "in"})
    assert CATALOGUE.cables_between(source, reversed_unit) == ()
    adapter = CATALOGUE.gear_type("adapter-xlr-turnaround-ff")
    assert all(MATING.fits("xlr3.m", port.connector) for port in adapter.ports)


def test_phantom_of_a_microphone_keeps_to_the_standard() -> None:
    """IEC 61938:2018, P48: 10 mA at most."""
    for gear in CATALOGUE.gear.values():
        for port in gear.ports:
            if port.carrier.medium == "audio" and port.carrier.phantom == "needs":
                assert 0 < port.carrier.phantom_ma <= 10, gear.id


def test_leakage_keeps_to_the_standard() -> None:
    """IEC 60335-1 cl. 13.2: class II 0.25 mA; IEC 60950-1 Table 5A: pluggable class I 3.5 mA."""
    for gear in CATALOGUE.gear.values():
        for port in gear.mains_inlets():
            limit = 0.25 if port.carrier.earth_class == 2 else 3.5
            assert port.carrier.leakage_ma <= limit, gear.id
