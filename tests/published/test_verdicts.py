"""The eighteen published verdicts BX-01 to BX-18, each put to the program as a player would: plugged in and checked.

Each test names its source. Verdicts the program cannot give yet stand in ``NOT_YET``
with the reason; a test keeps count, so that none is left out unseen. None of the
eighteen rests on memory alone; where a part does, the test says "from memory".
"""

from __future__ import annotations

import re
import sys

import pytest

from rigcore.analysis import analyse
from rigcore.book.house import PowerDrop, Stage
from rigcore.catalogue.carriers import Audio, Mains, Midi
from rigcore.catalogue.connectors import Consequence
from rigcore.catalogue.gear import GearType, Path, Port
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import build_patch
from rigcore.patch.ground_graph import HOUSE_EARTH, Bond, Potential
from rigcore.patch.grounds import grounds
from rigcore.patch.joints import contacts, joints
from rigcore.quantities.loudspeaker import amplifier_bears
from rigcore.quantities.mains import carries, continuous_limit_a
from rigcore.rules import basis
from rigcore.rules.rule import Finding
from tests.rigcore.planted_signal import own, speaker
from tests.rule_samples.control import MIDI_Y
from tests.rule_samples.plan import Plan

NOT_YET = {
    "BX-16": "AES59 channel 5 on +18, −6, screen 19: the catalogue knows the connector, not its map of contacts",
}


def _findings(plan: Plan, *families: str) -> dict[str, Finding]:
    """Return what the rules of some families say, by rule."""
    found = analyse(plan.book, None, shipped()).findings
    return {one.rule: one for one in found if not families or one.rule.partition(".")[0] in families}


def _faults(plan: Plan) -> set[str]:
    return {rule for rule, one in _findings(plan).items() if one.severity == "fault"}


def _gear(gear_id: str, *ports: Port) -> GearType:
    return GearType(
        id=gear_id, name=gear_id.replace("-", " ").capitalize(), category="other", ports=ports,
        width_m=0.3, depth_m=0.2, height_m=0.1, mass_kg=2.0,
    )  # fmt: skip


def test_every_verdict_is_given_or_said_to_be_missing() -> None:
    given = {
        f"BX-{name.split('_')[2]}"
        for name in vars(sys.modules[__name__])
        if re.fullmatch(r"test_bx_\d\d_\w+", name)
    }
    assert given | set(NOT_YET) == {f"BX-{number:02}" for number in range(1, 19)}
    assert not given & set(NOT_YET)


def test_bx_01_pins_to_sockets() -> None:
    """BX-01: outputs carry pins and inputs sockets, so a female-to-male cable and no adapter.

    Source: AES14-1992 part 1, "XLR-type polarity and gender"; IEC 60268-12.
    """
    plan = Plan()
    plan.unit("mic", "dynamic-handheld", "Mic")
    plan.land("mic.out", "in-1", "xlr 5", name="Vox")
    assert _findings(plan) == {}
    [hop] = build_patch(plan.book, None, shipped()).hops
    assert hop.plugs == ("xlr3.f", "xlr3.m")


def _reversed_unit() -> GearType:
    carrier = Audio(medium="audio", level="line", balance="balanced", nominal_dbu=4.0, max_dbu=22.0, ohm=10_000.0)
    return _gear("old-unit", Port(id="in", name="In", direction="in", connector="xlr3.m", carrier=carrier))


def test_bx_02_pins_to_pins() -> None:
    """BX-02: an old unit with pins for its input needs a gender adapter.

    Source: AES14-1992 part 1; old equipment may be reversed.
    """
    for turned in (False, True):
        plan = Plan()
        plan.own(_reversed_unit())
        plan.unit("mixer", "mixer-small", "Mixer")
        plan.unit("old", "old-unit", "Old unit")
        if turned:
            plan.unit("turn", "adapter-xlr-turnaround-ff", "Turn-round")
            plan.link("mixer.main-l", "turn.in", "xlr 3")
            plan.link("turn.out", "old.in")
        else:
            plan.link("mixer.main-l", "old.in", "xlr 3")
        assert ("fit.gender" in _findings(plan)) is not turned


def test_bx_03_tip_to_2_ring_to_3() -> None:
    """BX-03: a TRS output into an XLR input: tip on 2, ring on 3, sleeve on 1.

    Source: AES14-1992 for the pins; IEC 60603-11 and makers' manuals for the plug (standard number from memory).
    Decided: three contacts go to three, balanced all the way, and both are named hot; the catalogue keeps no contact
    numbers.
    """
    plan = Plan()
    plan.unit("mixer", "mixer-line-8", "Mixer")
    plan.unit("wedge", "wedge-powered-lock20", "Wedge")
    plan.link("mixer.main-l", "wedge.in", "trs-xlr 3")
    patch = build_patch(plan.book, None, shipped())
    [hop] = patch.hops
    assert hop.coupling.is_balanced
    assert contacts(patch, hop) == 3
    assert [joint.consequence for joint in joints(patch, hop)] == [Consequence.FITS, Consequence.FITS]
    assert "pin 2 is hot" in basis.AES14
    assert _findings(plan) == {}


def test_bx_04_an_unbalanced_output_on_an_adapter_with_48_v_on() -> None:
    """BX-04: it fails: 48 V through 6.8 kohm, 7.06 mA, flows into the source.

    Source: a mixer manual's chart of what may be plugged where 48 V is on; Ohm's law on the feed of IEC 61938:2018.
    """
    plan = Plan()
    plan.says(phantom="always on")
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.land("piano.out-l", "in-1", "adapter-ts6m-xlr3m in out", "xlr 5", name="Piano")
    assert _faults(plan) == {"phantom.harmed"}


@pytest.mark.parametrize(("leg", "faults"), [("isolated", {"phantom.missing"}), ("direct", set())])
def test_bx_05_a_condenser_and_the_isolated_leg(leg: str, faults: set[str]) -> None:
    """BX-05: a desk on the isolated leg only leaves a condenser microphone unpowered.

    Source: abstract of a technical paper on splitters; two live-sound articles on splitting microphones.
    """
    plan = Plan()
    plan.says(phantom="always on")
    plan.unit("mic", "condenser-handheld", "Mic")
    plan.unit("split", "splitter-1x2", "Splitter")
    plan.link("mic.out", "split.in", "xlr 5")
    plan.land(f"split.{leg}", "in-1", "xlr 5", name="Vox")
    assert _faults(plan) == faults


def _active_di(*between: str) -> Plan:
    plan = Plan()
    plan.unit("guitar", "electric-guitar", "Guitar")
    plan.unit("di", "di-active", "DI")
    plan.link("guitar.out", "di.in-1", "ts 3")
    plan.land("di.out-1", "in-1", "xlr 5", *between, name="Guitar")
    return plan


def test_bx_06_an_active_di_behind_an_open_pin_1() -> None:
    """BX-06: without a battery it is unpowered: 48 V goes out on pins 2 and 3 and returns on pin 1.

    Source: trade pages on 48 V and an article on direct boxes.
    """
    assert _faults(_active_di()) == set()
    plan = _active_di("adapter-xlr-lift in out")
    assert _faults(plan) == {"phantom.lifted"}
    assert "0 mA flow" in _findings(plan)["phantom.lifted"].working[1]


def test_bx_07_a_passive_di_with_48_v_on() -> None:
    """BX-07: all right: it needs no supply, and its transformer passes no DC to the instrument.

    Source: articles on direct boxes; that it keeps 48 V off follows from a transformer.
    """
    plan = Plan()
    plan.says(phantom="always on")
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.land("piano.out-l", "in-1", "ts 3", "di-passive in-1 out-1", "xlr 5", name="Piano")
    assert _faults(plan) == set()


@pytest.mark.parametrize("phantom", ["always on", "none"])
def test_bx_08_a_ribbon_through_a_trs_patch_point(phantom: str) -> None:
    """BX-08: with 48 V on it fails: a plug half in, or a pin-1 short, puts the voltage across the ribbon.

    Source: notes of ribbon makers and a note on patch bays: do not switch 48 V on.
    """
    plan = Plan()
    plan.says(phantom=phantom)
    plan.unit("ribbon", "ribbon-figure-8", "Ribbon")
    chain = ("xlr 5", "adapter-xlr3f-trs6f in out", "trs-xlr 3")
    plan.land("ribbon.out", "in-1", *chain, name="Ribbon")
    assert _faults(plan) == ({"phantom.harmed"} if phantom == "always on" else set())


def test_bx_09_one_midi_output_into_two_inputs() -> None:
    """BX-09: it fails by a passive Y: one output drives exactly one input, a 5 mA loop. Source: IEC 63035:2017."""
    plan = Plan()
    plan.own(MIDI_Y)
    plan.unit("keys", "controller-61", "Keys")
    plan.unit("split", "midi-y-lead", "Y-lead")
    plan.link("keys.midi-out", "split.in")
    for number in (1, 2):
        plan.unit(f"module-{number}", "sound-module", f"Module {number}")
        plan.link(f"split.out-{number}", f"module-{number}.midi-in")
    assert "control.midi-split" in _faults(plan)


def test_bx_10_type_a_to_type_b_over_a_straight_lead() -> None:
    """BX-10: it fails; swap tip and ring. Source: MIDI RP-054."""
    plan = Plan()
    for name, wiring, way in (("one", "type-a", "out"), ("two", "type-b", "in")):
        carrier = Midi(medium="midi", wiring=wiring)  # type: ignore[arg-type]
        plan.own(_gear(name, Port(id="midi", name="MIDI", direction=way, connector="trs3.f", carrier=carrier)))  # type: ignore[arg-type]
        plan.unit(name, name, name.capitalize())
    plan.link("one.midi", "two.midi", "midi-trs 1.5")
    found = _findings(plan)["control.midi-wiring"]
    assert found.severity == "fault"
    assert "swap tip and ring" in found.sentence


def test_bx_11_hum_is_never_cured_by_removing_a_protective_earth() -> None:
    """BX-11: refused always. Source: HSE leaflet INDG247; NEC 250.6(D), 250.114 and 250.4(A)(5)."""
    for means in ("lift", "open screen", "isolator"):
        with pytest.raises(ValueError, match="protective earth"):
            Bond(Potential("unit", "rig", "amp"), HOUSE_EARTH, "earth", means)  # type: ignore[arg-type]


def test_bx_12_one_open_end_of_a_balanced_line() -> None:
    """BX-12: accepted, with a note. Source: text after HSE leaflet INDG247; AES48-2005 joins both ends otherwise."""
    plan = Plan()
    plan.house(stage=Stage(power=(PowerDrop(id="left", name="Left", x_m=2.0, y_m=2.0, outlets=4),)))
    plan.unit("mixer", "mixer-in-ear", "Mixer")
    plan.land("mixer.line-1", "mix-1", "xlr-trs 5", name="Ears")
    note = _findings(plan)["ground.loop-balanced"]
    assert note.severity == "note"
    after = analyse(note.remedies[0].apply(plan.book), None, shipped()).findings
    assert not [one for one in after if one.rule.startswith("ground") or one.severity == "fault"]


def test_bx_13_one_open_end_of_a_line_with_48_v() -> None:
    """BX-13: refused: not proposed, and a fault where it is done. Source: trade pages on 48 V: pin 1 is its return."""
    plan = Plan()
    plan.unit("mic", "condenser-handheld", "Mic")
    plan.land("mic.out", "in-1", "xlr 5", name="Vox")
    [bond] = [one for one in grounds(build_patch(plan.book, None, shipped())).graph.bonds if one.kind == "screen"]
    assert bond.opens is None
    opened = Plan()
    opened.unit("mic", "condenser-handheld", "Mic")
    opened.land("mic.out", "in-1", "xlr 5", "adapter-xlr-lift in out", name="Vox")
    assert _faults(opened) == {"phantom.lifted"}


def test_bx_14_cords_and_hot_inlets() -> None:
    """BX-14: a C13 does not enter a C16 inlet, a C15 enters a C14. Source: IEC 60320."""
    mating = shipped().mating
    assert mating.consequence("c13", "c16") is Consequence.DOES_NOT_FIT
    assert mating.consequence("c15", "c14") is Consequence.FITS


def _drawing(load_a: float, supply_v: float, inlet: str, *, outlet: str, breaker_a: float) -> Plan:
    """One unit that draws so many A at an outlet on a circuit of its own."""
    plan = Plan()
    drop = PowerDrop(id="wall", name="Wall", x_m=0.0, y_m=3.0, outlets=2, connector=outlet, circuit_a=breaker_a)
    plan.house(mains_v=supply_v, stage=Stage(power=(drop,)))
    carrier = Mains(medium="mains", low_v=100.0, high_v=250.0, watts=load_a * supply_v)
    plan.own(_gear("heavy-load", Port(id="mains", name="Mains", direction="in", connector=inlet, carrier=carrier)))
    plan.unit("load", "heavy-load", "Load")
    return plan


def test_bx_15_eleven_amperes_on_a_c14() -> None:
    """BX-15: refused in Europe (inlet 10 A), accepted in the USA: inlet 15 A, 12 A continuous on a circuit of 15 A.

    Source: IEC 60320; NEC 210.19(A), 210.20(A), and 400.5(A) for the cord of 16 AWG.
    """
    assert continuous_limit_a(15.0) == 12.0
    america = _drawing(11.0, 120.0, "c14", outlet="nema5-15.f", breaker_a=15.0)
    assert _faults(america) == set()
    assert "power.rating" in _faults(_drawing(11.0, 230.0, "c14", outlet="cee7-4.f", breaker_a=16.0))


def test_bx_17_two_boxes_of_4_ohm_on_an_amplifier_for_4_ohm() -> None:
    """BX-17: refused: 2 ohm. Source: amplifier manuals: loads side by side stay at or above the lowest load."""
    assert not amplifier_bears([4.0, 4.0], 4.0)
    for boxes, faults in ((1, set()), (2, {"load.amplifier-minimum"})):
        plan = Plan()
        plan.own(own("amplifier", "Amplifier", speaker("out", "out", None, 4.0)))
        ways = (Path(source="in", target="thru", kind="wire"),)
        plan.own(own("four-ohm-box", "Box", speaker("in", "in", 4.0), speaker("thru", "out", None), paths=ways))
        plan.unit("amplifier", "amplifier", "Amplifier")
        before = "amplifier.out"
        for number in range(boxes):
            plan.unit(f"box-{number}", "four-ohm-box", f"Box {number}")
            plan.link(before, f"box-{number}.in", "speaker 3")
            before = f"box-{number}.thru"
        assert _faults(plan) == faults


def test_bx_18_sixteen_amperes_through_a_plug_of_13_a() -> None:
    """BX-18: refused. Source: BS 1363 with the fuses of BS 1362."""
    assert not carries(16.0, [13.0])
    assert "power.rating" in _faults(_drawing(16.0, 230.0, "c20", outlet="bs1363.f", breaker_a=32.0))


def test_no_source_is_an_address_or_a_file() -> None:
    for name, one in vars(sys.modules[__name__]).items():
        if name.startswith("test_bx_"):
            said = one.__doc__ or ""
            assert name[5:10].upper().replace("_", "-") in said
            assert not re.search(r"https?:|www\.|\[seen|\bS\d\d|\.md", said)
