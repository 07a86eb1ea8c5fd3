"""What ports say to each other: every refusal, and what is possible though not taken."""

from __future__ import annotations

import pytest

from rigcore.catalogue.carriers import Dc, Usb
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import Port
from rigcore.catalogue.loader import shipped
from rigcore.patch.meeting import MEDIUM_WORDS, meets


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return shipped()


def port(catalogue: Catalogue, gear: str, direction: str, medium: str) -> Port:
    return next(
        one for one in catalogue.gear[gear].ports if one.direction == direction and one.carrier.medium == medium
    )


def test_a_microphone_goes_into_a_stage_box(catalogue: Catalogue) -> None:
    mic = port(catalogue, "dynamic-handheld", "out", "audio")
    line = port(catalogue, "stage-box-8", "in", "audio")
    assert meets(catalogue, mic, line).takes
    assert meets(catalogue, line, mic) == meets(catalogue, mic, line)


def test_two_outputs_do_not_meet(catalogue: Catalogue) -> None:
    mic = port(catalogue, "dynamic-handheld", "out", "audio")
    keys = port(catalogue, "stage-piano-88", "out", "audio")
    answer = meets(catalogue, mic, keys)
    assert (answer.takes, answer.why, answer.possible) == (False, "both are outputs", False)


def test_media_do_not_mix(catalogue: Catalogue) -> None:
    pedal = port(catalogue, "pedal-sustain-open", "out", "footswitch")
    line = port(catalogue, "stage-box-8", "in", "audio")
    assert meets(catalogue, pedal, line).why == "takes analogue audio, not a foot switch"


def test_supplies_of_other_volts_are_refused(catalogue: Catalogue) -> None:
    barrel = next(name for name, row in catalogue.connectors.items() if row.group == "dc" and row.side == "male")
    nine = Port(
        id="a", name="9 V", direction="out", connector=barrel, carrier=Dc(medium="dc", volts=9.0, current_ma=500.0)
    )
    socket = barrel.replace(".m", ".f")
    twelve = Port(
        id="b", name="In", direction="in", connector=socket, carrier=Dc(medium="dc", volts=12.0, current_ma=90.0)
    )
    assert meets(catalogue, nine, twelve).why == "wants 12 V, not 9 V"


def test_two_hosts_are_refused(catalogue: Catalogue) -> None:
    host = Port(id="a", name="USB", direction="both", connector="usb-a.f", carrier=Usb(medium="usb", role="host"))
    assert meets(catalogue, host, host).why == "both are USB hosts"


def test_every_medium_has_words(catalogue: Catalogue) -> None:
    media = {port.carrier.medium for gear in catalogue.gear.values() for port in gear.ports}
    assert media <= set(MEDIUM_WORDS)


def test_what_no_cable_joins_is_possible_though_not_taken(catalogue: Catalogue) -> None:
    ports = [one for gear in catalogue.gear.values() for one in gear.ports if one.carrier.medium == "audio"]
    outs = [one for one in ports if one.direction == "out"]
    ins = [one for one in ports if one.direction == "in"]
    answers = {(a.connector, b.connector): meets(catalogue, a, b) for a in outs for b in ins[:40]}
    unjoined = [one for one in answers.values() if not one.takes]
    assert unjoined
    assert all(one.why and one.possible for one in unjoined)
