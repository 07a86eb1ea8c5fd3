"""The planted mistakes of grounds, control, mains and channels."""

from __future__ import annotations

from rigcore.book.edits.links import bundle
from rigcore.book.edits.units import change_unit, move_on_stage
from rigcore.catalogue.carriers import Dc, FootSwitch, Mains, Midi
from rigcore.catalogue.gear import Path, Port
from tests.rigcore.planted import Mistakes
from tests.rigcore.planted_signal import own
from tests.rule_samples.plan import Plan

REST = Mistakes()


def _stand(p: Plan, unit: str, x_m: float, y_m: float) -> None:
    p.book = move_on_stage(p.book, "rig", unit, (x_m, y_m, 0.0))


@REST.of(
    "ground.loop-unbalanced", "risk", at="unit:lead-di.out-1",
    number="Stage box → house earth → outlet Stage left → Lead synth earth",
)
def loop_unbalanced(p: Plan, mended: bool) -> None:
    p.unit("lead-synth", "synth-61", "Lead synth")
    p.unit("lead-di", "di-passive" if mended else "di-active", "Lead synth DI")
    p.link("lead-synth.out-l", "lead-di.in-1", "ts 3")
    p.set("lead-di.in-1", pad=True)
    p.land("lead-di.out-1", "in-7", "xlr 5", name="Lead synth")


@REST.of(
    "ground.circuits", "risk", at="link:far-synth-out-l-to-far-amp",
    number="Far amplifier → outlet Stage right → house earth → outlet Stage left",
)
def circuits(p: Plan, mended: bool) -> None:
    p.unit("far-synth", "synth-61", "Far synth")
    p.unit("far-amp", "keyboard-amplifier", "Far amplifier")
    _stand(p, "far-synth", 0.9, 3.0)
    _stand(p, "far-amp", 2.3 if mended else -0.7, 3.0)
    p.link("far-synth.out-l", "far-amp.line-1", "ts 3")


@REST.of("ground.charger", "risk", at="unit:tracks", number="outlet Stage left → Tracks earth")
def charger(p: Plan, mended: bool) -> None:
    p.unit("tracks", "laptop-interface-4", "Tracks")
    p.link("tracks.out-1", "ear-mix.line-4", "trs 3")
    if mended:
        p.book = change_unit(p.book, "rig", "tracks", note="on battery during the set")


@REST.of(
    "cable.does-not-reach", "fault", at="link:loft-mic-out-to-loft-split", number="cable 1.5 m − 5.1 m: 3.6 m short"
)
def does_not_reach(p: Plan, mended: bool) -> None:
    p.unit("loft-mic", "dynamic-handheld", "Loft microphone")
    p.unit("loft-split", "splitter-1x2", "Loft splitter")
    _stand(p, "loft-mic", -2.0, 6.5)
    _stand(p, "loft-split", 1.8 if not mended else -1.8, 6.5)
    p.link("loft-mic.out", "loft-split.in", "xlr 1.5")


@REST.of(
    "control.pedal-polarity", "fault", at="link:chapel-pedal-out-to-chapel unit:chapel-pedal.out",
    number="contact open; expected: contact closed",
)
def pedal_polarity(p: Plan, mended: bool) -> None:
    carrier = FootSwitch(medium="footswitch", rest="closed")
    socket = Port(id="pedal", name="Pedal", direction="in", connector="trs6.f", carrier=carrier)
    p.own(own("chapel-organ", "Chapel organ", socket))
    p.unit("chapel", "chapel-organ", "Chapel organ")
    p.unit("chapel-pedal", "pedal-sustain-closed" if mended else "pedal-sustain-open", "Sustain pedal")
    p.link("chapel-pedal.out", "chapel.pedal")


@REST.of("control.too-long", "risk", at="link:master-midi-out-to-module", number="16 m − 15 m = 1 m over")
def too_long(p: Plan, mended: bool) -> None:
    p.unit("master", "controller-61", "Master keyboard")
    p.unit("module", "sound-module", "Module at the desk")
    p.link("master.midi-out", "module.midi-in", "midi 10" if mended else "midi 16")


@REST.of(
    "control.midi-split", "fault",
    at="unit:lower.midi-out link:midi-split-out-1-to-voice-1 link:midi-split-out-2-to-voice-2",
    number="5 mA loop / 2 inputs = 2.5 mA",
)
def midi_split(p: Plan, mended: bool) -> None:
    midi = Midi(medium="midi")
    ports = [
        Port(id=name, name=name, direction=way, connector="din5.m", carrier=midi)  # type: ignore[arg-type]
        for name, way in (("in", "in"), ("out-1", "out"), ("out-2", "out"))
    ]
    ways = tuple(Path(source="in", target=f"out-{n}", kind="wire") for n in (1, 2))
    p.own(own("midi-y", "MIDI Y-lead", *ports, paths=ways))
    p.unit("lower", "controller-88", "Lower manual")
    for number in (1, 2):
        p.unit(f"voice-{number}", "sound-module", f"Voice module {number}")
    if mended:
        p.link("lower.midi-out", "voice-1.midi-in", "midi 3")
        p.link("voice-1.midi-thru", "voice-2.midi-in", "midi 3")
        return
    p.unit("midi-split", "midi-y", "MIDI split")
    p.link("lower.midi-out", "midi-split.in")
    for number in (1, 2):
        p.link(f"midi-split.out-{number}", f"voice-{number}.midi-in")


@REST.of(
    "control.midi-wiring", "fault",
    at="link:mono-synth-midi-out-to-pocket unit:mono-synth.midi-out unit:pocket.midi-in",
    number="type B: tip DIN 4, ring DIN 5",
)
def midi_wiring(p: Plan, mended: bool) -> None:
    carrier = Midi(medium="midi", wiring="type-a" if mended else "type-b")
    p.own(own("pocket-synth", "Pocket synth", Port(
        id="midi-in", name="MIDI in", direction="in", connector="trs3.f", carrier=carrier
    )))  # fmt: skip
    p.unit("mono-synth", "synth-monophonic-37", "Monophonic synth")
    p.unit("pocket", "pocket-synth", "Pocket synth")
    p.link("mono-synth.midi-out", "pocket.midi-in", "midi-trs 1.5")


@REST.of("power.circuit", "fault", at="unit:power-1 unit:power-2 gig:gig", number="2400 VA / 230 V = 10.43 A")
def circuit(p: Plan, mended: bool) -> None:
    for number in (1, 2):
        p.unit(f"power-{number}", "power-amplifier-2", f"Power amplifier {number}")
        _stand(p, f"power-{number}", float(number) - 1.5, 8.5)
    if mended:
        _stand(p, "power-2", -3.5, 4.0)


@REST.of("power.wrong-voltage", "fault", at="unit:travel", number="230 − 127 = 103 V too much")
def wrong_voltage(p: Plan, mended: bool) -> None:
    low, high = (220.0, 240.0) if mended else (110.0, 127.0)
    carrier = Mains(medium="mains", low_v=low, high_v=high, watts=60.0, earth_class=1, leakage_ma=0.75)
    inlet = Port(id="mains", name="Mains", direction="in", connector="c14", carrier=carrier)
    p.own(own("travel-organ", "Travel organ", inlet))
    p.unit("travel", "travel-organ", "Travel organ")


@REST.of(
    "power.dc-wrong", "fault", at="link:drive-supply-dc-1-to-drive unit:drive.dc", number="gives 12 V, centre positive"
)
def dc_wrong(p: Plan, mended: bool) -> None:
    p.unit("drive-supply", "dc-supply-9v" if mended else "dc-supply-12v", "Overdrive's supply")
    p.unit("drive", "pedal-overdrive", "Overdrive")
    p.link("drive-supply.dc-1", "drive.dc", "dc21 1" if mended else "dc21-25 1")


@REST.of(
    "power.dc-overdrawn", "fault", at="unit:reverb-supply.dc-1 link:reverb-supply-dc-1-to-reverb",
    number="500 − 300 = 200 mA too much",
)
def dc_overdrawn(p: Plan, mended: bool) -> None:
    wants = Dc(medium="dc", volts=9.0, current_ma=500.0, centre="negative")
    p.own(own("large-reverb", "Large reverb", Port(
        id="dc", name="DC in", direction="in", connector="dc21.f", carrier=wants
    )))  # fmt: skip
    p.unit("reverb-supply", "dc-supply-9v" if mended else "dc-supply-pedals", "Reverb's supply")
    p.unit("reverb", "large-reverb", "Reverb")
    p.link("reverb-supply.dc-1", "reverb.dc", "dc21 1")


@REST.of(
    "power.mains-in-loom", "risk", at="link:bv-out-to-bv-mix link:loom-strip-outlet-1-to-bv-mix",
    number="mains leads: 1; audio: 1, of microphone level",
)
def mains_in_loom(p: Plan, mended: bool) -> None:
    p.unit("loom-strip", "strip-6", "Strip in the loom")
    p.unit("bv", "dynamic-handheld", "Backing vox mic")
    p.unit("bv-mix", "mixer-in-ear", "Backing singer's mixer")
    p.link("bv.out", "bv-mix.mic-1", "xlr 5")
    p.link("loom-strip.outlet-1", "bv-mix.mains", "mains-c13-bs1363 2")
    if not mended:
        p.book = bundle(p.book, "rig", [link.id for link in p.book.rig("rig").links[-2:]], "Stage left")


@REST.of("channels.unbound", "fault", at="hand-off:shout", number="house inputs free: 4 of 16")
def unbound(p: Plan, mended: bool) -> None:
    p.unit("shout", "dynamic-handheld", "Shout mic")
    if mended:
        p.land("shout.out", "in-8", "xlr 5", name="Shout")
    else:
        p.hand_off("shout.out", "Shout")


@REST.of("channels.two-on-one", "fault", at="socket:in-9 landing:snare landing:tom", number="Tom lands on 9")
def two_on_one(p: Plan, mended: bool) -> None:
    for number, name in enumerate(("Snare", "Tom")):
        p.unit(name.lower(), "dynamic-instrument", f"{name} mic")
        p.land(f"{name.lower()}.out", f"in-{9 + number * mended}", "xlr 5", name=name)


@REST.of("channels.pair-split", "risk", at="landing:piano-l landing:piano-r", number="14 − 11 = 3, wanted 1")
def pair_split(p: Plan, mended: bool) -> None:
    p.unit("grand", "stage-piano-88", "Piano")
    p.unit("grand-di", "di-passive-stereo", "Piano DI boxes")
    for number, side in ((1, "L"), (2, "R")):
        p.link(f"grand.out-{side.lower()}", f"grand-di.in-{number}", "ts 1")
        line = {"L": 11, "R": 12 if mended else 14}[side]
        p.land(f"grand-di.out-{number}", f"in-{line}", "xlr 5", name=f"Piano {side}", group="piano", side=side)


@REST.of("channels.click-to-house", "fault", at="landing:click", number="house line 13")
def click_to_house(p: Plan, mended: bool) -> None:
    p.unit("click", "metronome", "Metronome")
    p.unit("click-di", "di-passive", "Click DI")
    p.link("click.out", "click-di.in-1", "ts 3")
    p.land("click-di.out-1", "in-13", "xlr 5", name="Click", ears_only=mended)


@REST.of("channels.no-dry-voice", "risk", at="unit:robot.out", number="no line to the house is free")
def no_dry_voice(p: Plan, mended: bool) -> None:
    p.unit("robot", "dynamic-handheld", "Effect vox mic")
    p.unit("robot-fx", "vocal-processor-dry", "Vocal processor")
    p.link("robot.out", "robot-fx.mic", "xlr 5")
    if mended:
        p.land("robot-fx.dry", "in-16", "xlr 5", name="Effect vox dry")
    p.land("robot-fx.out", "in-15", "xlr 5", name="Effect vox wet")
