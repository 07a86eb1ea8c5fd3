"""Samples of the family ``power``: outlets, strips, circuits, plugs, voltages, low-voltage supplies.

The house gives mains at one corner, British outlets, unless a case says otherwise.
"""

from __future__ import annotations

from typing import Any

from rigcore.book.edits.links import bundle
from rigcore.book.edits.units import move_on_stage
from rigcore.book.house import PowerDrop, Stage
from rigcore.catalogue.carriers import Dc, Mains
from rigcore.catalogue.gear import GearType, Port
from tests.rule_samples.plan import Kind, Plan, Samples

SAMPLES = Samples()


def _corner(p: Plan, outlets: int = 2, **fields: Any) -> None:
    """Give the house one power drop at its corner."""
    drop = PowerDrop(
        **{"id": "corner", "name": "Corner", "x_m": -2.0, "y_m": 3.0, "outlets": outlets, "connector": "bs1363.f",
           **fields}
    )  # fmt: skip
    p.house(stage=Stage(power=(drop,)))


def _stand(p: Plan, unit: str, x_m: float, y_m: float) -> None:
    p.book = move_on_stage(p.book, "rig", unit, (x_m, y_m, 0.0))


def _units(p: Plan, *gear: str) -> None:
    """Bring units named after their gear, numbered."""
    for number, one in enumerate(gear, start=1):
        p.unit(f"u{number}", one, f"{one.replace('-', ' ').capitalize()} ({number})")


def mains_gear(gear_id: str, name: str, connector: str = "c14", **mains: Any) -> GearType:
    """Return a gear type that does nothing but draw mains."""
    carrier = Mains(**{"medium": "mains", "low_v": 220.0, "high_v": 240.0, **mains})
    port = Port(id="mains", name="Mains", direction="in", connector=connector, carrier=carrier)
    return GearType(
        id=gear_id, name=name, category="other", ports=(port,), width_m=0.4, depth_m=0.3, height_m=0.2, mass_kg=4.0
    )


def dc_gear(gear_id: str, name: str, connector: str, dc: Dc) -> GearType:
    """Return a gear type that does nothing but draw a low voltage."""
    port = Port(id="dc", name="DC in", direction="in", connector=connector, carrier=dc)
    return GearType(
        id=gear_id, name=name, category="pedal", ports=(port,), width_m=0.1, depth_m=0.1, height_m=0.05, mass_kg=0.4
    )


@SAMPLES.of(
    "power.outlets",
    bad="Three plugs at a corner with two outlets",
    good="A strip makes three plugs of one outlet",
    near_miss="Two plugs at a corner with two outlets",
)
def outlets(p: Plan, kind: Kind) -> None:
    _corner(p)
    _units(p, "stage-piano-88", "tablet")
    if kind != "near_miss":
        p.unit("mixer", "mixer-small", "Mixer")
    if kind == "good":
        p.unit("strip", "strip-6", "Strip")


@SAMPLES.of(
    "power.one-strip",
    bad="Piano, synthesizer, mixer and tablet hang on one strip",
    good="Two strips share piano, synthesizer, mixer and tablet",
    near_miss="Three units hang on one strip",
)
def one_strip(p: Plan, kind: Kind) -> None:
    _corner(p)
    p.unit("strip", "strip-6", "Strip")
    p.unit("piano", "stage-piano-88", "Piano")
    p.unit("di", "di-passive", "DI")
    p.link("piano.out-l", "di.in-1", "ts 3")
    p.land("di.out-1", "in-1", "xlr 5", name="Piano")
    _units(p, "mixer-small", "tablet")
    if kind != "near_miss":
        p.unit("synth", "synth-61", "Synthesizer")
    if kind == "good":
        p.unit("strip-2", "strip-6", "Strip 2")


@SAMPLES.of(
    "power.circuit",
    bad="Two amplifiers of 1,200 W on a circuit of 10 A at 230 V",
    good="The two amplifiers on a circuit of 16 A",
    near_miss="1,920 W at 120 V: exactly 80 % of 20 A",
)
def circuit(p: Plan, kind: Kind) -> None:
    if kind == "near_miss":
        p.house(mains_v=120.0)
        _corner(p, connector="nema5-20.f", circuit_a=20.0)
        p.own(mains_gear("rack-120", "Rack, 120 V", low_v=110.0, high_v=127.0, watts=960.0))
        _units(p, "rack-120", "rack-120")
        return
    _corner(p, circuit_a=10.0 if kind == "bad" else 16.0)
    _units(p, "power-amplifier-2", "power-amplifier-2")
    for number in (1, 2):
        _stand(p, f"u{number}", 4.0 * number - 5.0, 2.0)


@SAMPLES.of(
    "power.rating",
    bad="Three amplifiers of 1,200 W on a strip with a 13 A plug",
    good="Two strips share three amplifiers of 1,200 W",
    near_miss="2,990 W on a strip with a 13 A plug: exactly 13 A",
)
def rating(p: Plan, kind: Kind) -> None:
    _corner(p, circuit_a=32.0)
    p.unit("strip", "strip-6", "Strip")
    if kind == "near_miss":
        _units(p, *["power-amplifier-2"] * 2, "bass-combo", "wedge-powered", "stage-piano-73")
        return
    _units(p, *["power-amplifier-2"] * 3)
    if kind == "good":
        p.unit("strip-2", "strip-6", "Strip 2")


@SAMPLES.of(
    "power.wrong-plug",
    bad="A British strip at an American outlet",
    good="An American strip at an American outlet",
    near_miss="A plug for 15 A in an American outlet for 20 A",
)
def wrong_plug(p: Plan, kind: Kind) -> None:
    p.house(mains_v=120.0)
    _corner(p, connector="nema5-20.f" if kind == "near_miss" else "nema5-15.f")
    p.unit("strip", "strip-6" if kind == "bad" else "strip-6-nema5-15", "Strip")
    p.unit("tablet", "tablet", "Tablet")


@SAMPLES.of(
    "power.wrong-voltage",
    bad="An organ for 120 V at a house of 230 V",
    good="The organ for 120 V hangs on a step-down transformer",
    near_miss="An amplifier for 220 to 240 V at a house of 240 V",
)
def wrong_voltage(p: Plan, kind: Kind) -> None:
    _corner(p)
    if kind == "near_miss":
        p.house(mains_v=240.0)
        p.unit("amp", "keyboard-amplifier", "Keyboard amplifier")
        return
    p.own(mains_gear("organ-120", "Organ, 120 V", low_v=110.0, high_v=127.0, watts=60.0))
    p.unit("organ", "organ-120", "Organ")
    if kind == "good":
        p.unit("step", "isolating-transformer", "Transformer")
        p.link("step.outlet-1", "organ.mains", "mains-c13-nema5-15 2")


@SAMPLES.of(
    "power.dc-wrong",
    bad="A pedal for 9 V, centre negative, on a supply of 12 V, centre positive",
    good="The pedal on a supply of 9 V, centre negative",
    near_miss="A module for 12 V, centre positive, on a supply of 12 V, centre positive",
)
def dc_wrong(p: Plan, kind: Kind) -> None:
    if kind == "good":
        p.unit("supply", "dc-supply-9v", "Supply")
    else:
        p.unit("supply", "dc-supply-12v", "Supply")
    if kind == "near_miss":
        p.own(dc_gear("module-12v", "Module", "dc25.f", Dc(medium="dc", volts=12.0, current_ma=800.0)))
        p.unit("module", "module-12v", "Module")
        p.link("supply.dc-1", "module.dc", "dc25 1")
        return
    p.unit("pedal", "pedal-overdrive", "Overdrive")
    p.link("supply.dc-1", "pedal.dc", "dc21-25 1" if kind == "bad" else "dc21 1")


@SAMPLES.of(
    "power.dc-overdrawn",
    bad="A pedal of 500 mA on an output of 300 mA",
    good="The pedal of 500 mA on a supply of 1,000 mA",
    near_miss="A delay of 300 mA on an output of 300 mA",
)
def dc_overdrawn(p: Plan, kind: Kind) -> None:
    p.unit("supply", "dc-supply-9v" if kind == "good" else "dc-supply-pedals", "Supply")
    if kind == "near_miss":
        p.unit("pedal", "pedal-delay-stereo", "Delay")
    else:
        wants = Dc(medium="dc", volts=9.0, current_ma=500.0, centre="negative")
        p.own(dc_gear("pedal-large", "Large pedal", "dc21.f", wants))
        p.unit("pedal", "pedal-large", "Reverb")
    p.link("supply.dc-1", "pedal.dc", "dc21 1")


@SAMPLES.of(
    "power.leakage",
    bad="Ten earthed supplies of 1 mA before one 30 mA device",
    good="Ten earthed supplies on two circuits, each with its device",
    near_miss="Nine earthed supplies: 9 mA, exactly 30 % of 30 mA",
)
def leakage(p: Plan, kind: Kind) -> None:
    _corner(p, outlets=10)
    _units(p, *["mixer-small"] * (9 if kind == "near_miss" else 10))
    for number in range(1, 10 if kind == "near_miss" else 11):
        _stand(p, f"u{number}", 0.5 * number - 2.5, 2.5)
    if kind == "good":
        left = p.book.houses[0].stage.power[0]
        right = PowerDrop(id="right", name="Right", x_m=2.0, y_m=3.0, outlets=10, connector="bs1363.f")
        p.house(stage=Stage(power=(left, right)))


@SAMPLES.of(
    "power.voltage-drop",
    bad="Two amplifiers at the end of 45 m of 1.5 mm²",
    good="Two amplifiers at the end of 10 m of 1.5 mm²",
    near_miss="Two amplifiers at the end of 23 m of 1.5 mm²: 2.9 %",
)
def voltage_drop(p: Plan, kind: Kind) -> None:
    _corner(p, circuit_a=16.0)
    p.unit("near", "strip-6", "Strip at the wall")
    p.unit("far", "strip-6", "Strip at the amplifiers")
    _stand(p, "far", 2.0, 1.0)
    length_m = {"bad": 45, "good": 10, "near_miss": 23}[kind]
    p.link("near.outlet-1", "far.mains", f"extension-bs1363 {length_m}")
    _units(p, "power-amplifier-2", "power-amplifier-2")
    for number in (1, 2):
        p.link(f"far.outlet-{number}", f"u{number}.mains", "mains-c19-bs1363 2")


@SAMPLES.of(
    "power.shared-circuit",
    bad="The corner's circuit is shared with a wine cooler",
    good="The corner has a circuit of its own",
    near_miss="The house says that the circuit is not shared",
)
def shared_circuit(p: Plan, kind: Kind) -> None:
    said = {"bad": "bar circuit, shared with a wine cooler", "good": "stage", "near_miss": "16 A, not shared"}
    _corner(p, circuit=said[kind])
    p.unit("piano", "stage-piano-88", "Piano")


@SAMPLES.of(
    "power.sound-limiter",
    bad="A piano on outlets that a sound limiter cuts",
    good="A house without a sound limiter",
    near_miss="A house with a sound limiter that leaves the corner's outlets alone",
)
def sound_limiter(p: Plan, kind: Kind) -> None:
    _corner(p, limiter=False if kind == "near_miss" else None)
    p.says(sound_limiter="none" if kind == "good" else "95 dB, cuts outlets")
    p.unit("piano", "stage-piano-88", "Piano")


@SAMPLES.of(
    "power.mains-in-loom",
    bad="A microphone cable is tied to a mains lead",
    good="Microphone cable and mains lead lie apart",
    near_miss="Two mains leads lie in one loom",
)
def mains_in_loom(p: Plan, kind: Kind) -> None:
    p.unit("strip", "strip-6", "Strip")
    p.unit("mixer", "mixer-in-ear", "Ear mixer")
    p.unit("vox", "dynamic-handheld", "Lead vox mic")
    p.unit("tablet", "tablet", "Tablet")
    p.link("vox.out", "mixer.mic-1", "xlr 5")
    p.link("strip.outlet-1", "mixer.mains", "mains-c13-bs1363 2")
    p.link("strip.outlet-2", "tablet.mains", "mains-c7-bs1363 2")
    vox, mixer, tablet = (link.id for link in p.book.rig("rig").links)
    if kind != "good":
        tied = {"bad": (vox, mixer), "near_miss": (mixer, tablet)}[kind]
        p.book = bundle(p.book, "rig", tied, "Stage left")
