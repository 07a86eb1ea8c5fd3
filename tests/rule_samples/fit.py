"""Samples of the family ``fit``: what goes into what, and which way round."""

from __future__ import annotations

from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.gear import GearType, Port
from tests.rule_samples.plan import Kind, Plan, Samples

SAMPLES = Samples()


@SAMPLES.of(
    "fit.no-mating",
    bad="A tablet's 3.5 mm socket meets a loudspeaker's XLR",
    good="The tablet goes through a DI made for playback",
    near_miss="Earphones in the same 3.5 mm socket",
)
def no_mating(p: Plan, kind: Kind) -> None:
    p.unit("tablet", "tablet", "Tablet")
    if kind == "near_miss":
        p.unit("ears", "earphones", "Earphones")
        p.link("tablet.phones", "ears.in")
        return
    p.unit("monitor", "powered-monitor", "Monitor")
    if kind == "bad":
        p.link("tablet.phones", "monitor.in", "xlr 3")
        return
    p.unit("di", "di-playback", "Playback DI")
    p.link("tablet.phones", "di.in-stereo", "trs3-trs3 1.5")
    p.land("di.out-1", "in-1", "xlr 5", name="Break music L", group="break", side="L")
    p.land("di.out-2", "in-2", "xlr 5", name="Break music R", group="break", side="R")


@SAMPLES.of(
    "fit.no-cable",
    bad="A microphone lands 7 m away with no cable between",
    good="A 10 m cable lies between microphone and stage box",
    near_miss="Headphones plugged straight into the piano need no cable",
)
def no_cable(p: Plan, kind: Kind) -> None:
    if kind == "near_miss":
        p.unit("piano", "stage-piano-88", "Piano")
        p.unit("phones", "headphones-635", "Headphones")
        p.link("piano.phones", "phones.in")
        return
    p.unit("vox", "dynamic-handheld", "Lead vox mic")
    if kind == "bad":
        p.intend("vox.out", "in-1", 7.0, name="Lead vox")
    else:
        p.land("vox.out", "in-1", "xlr 10", name="Lead vox")


@SAMPLES.of(
    "fit.gender",
    bad="An old mixer with sockets for outputs meets a cable with sockets",
    good="A turnaround brings pins and sockets together",
    near_miss="A mixer with pins for outputs takes the same cable",
)
def gender(p: Plan, kind: Kind) -> None:
    audio = Audio(medium="audio", level="line", balance="balanced", nominal_dbu=4.0, max_dbu=16.0, ohm=150.0)
    for side in ("f", "m"):
        out = Port(id="out", name="Out", direction="out", connector=f"xlr3.{side}", carrier=audio)
        name = "Old mixer, outputs with sockets" if side == "f" else "Mixer, outputs with pins"
        p.own(GearType(
            id=f"mixer-out-{side}", name=name, category="mixer", ports=(out,), width_m=0.4, depth_m=0.4, height_m=0.1,
            mass_kg=4.0,
        ))
    p.unit("mixer", "mixer-out-m" if kind == "near_miss" else "mixer-out-f", "Mixer")
    p.unit("wedge", "wedge-powered-lock20", "Wedge")
    if kind == "good":
        p.unit("turn", "adapter-xlr-turnaround-mm", "Turnaround")
        p.link("mixer.out", "turn.in")
        p.link("turn.out", "wedge.in", "xlr 3")
    else:
        p.link("mixer.out", "wedge.in", "xlr 3")


@SAMPLES.of(
    "fit.output-to-output",
    bad="A piano is plugged into an output of a synthesizer",
    good="Piano and synthesizer each have an input of a mixer",
    near_miss="The thru output of a DI goes into an input",
)
def output_to_output(p: Plan, kind: Kind) -> None:
    p.unit("piano", "stage-piano-88", "Piano")
    if kind == "near_miss":
        p.unit("di", "di-passive", "DI")
        p.unit("amp", "keyboard-amplifier", "Keyboard amplifier")
        p.link("piano.out-l", "di.in-1", "ts 3")
        p.link("di.thru-1", "amp.line-1", "ts 3")
        return
    p.unit("synth", "synth-61", "Synthesizer")
    if kind == "bad":
        p.link("piano.out-l", "synth.out-l", "ts 3")
        return
    p.unit("amp", "keyboard-amplifier", "Keyboard amplifier")
    p.link("piano.out-l", "amp.line-1", "ts 3")
    p.link("synth.out-l", "amp.line-2", "trs 3")


@SAMPLES.of(
    "fit.input-to-input",
    bad="The input of a monitor is plugged into the input of another",
    good="The mixer feeds the monitor",
    near_miss="The thru output of one monitor feeds the next",
)
def input_to_input(p: Plan, kind: Kind) -> None:
    p.unit("left", "powered-monitor", "Monitor")
    if kind == "good":
        p.unit("mixer", "mixer-small", "Mixer")
        p.link("mixer.main-l", "left.in", "xlr 5")
        return
    p.unit("right", "powered-monitor", "Second monitor")
    p.link("left.in" if kind == "bad" else "left.thru", "right.in", "xlr 5")


@SAMPLES.of(
    "fit.against-flow",
    bad="The cable is drawn from the monitor to the mixer",
    good="The cable is drawn from the mixer to the monitor",
    near_miss="A USB cable may be drawn from either end",
)
def against_flow(p: Plan, kind: Kind) -> None:
    if kind == "near_miss":
        p.unit("keys", "controller-61", "Controller")
        p.unit("laptop", "laptop", "Laptop")
        p.link("keys.usb", "laptop.usb-2", "usb-a-b 3")
        return
    p.unit("mixer", "mixer-small", "Mixer")
    p.unit("monitor", "powered-monitor", "Monitor")
    ends = ("monitor.in", "mixer.main-l") if kind == "bad" else ("mixer.main-l", "monitor.in")
    p.link(*ends, "xlr 5")


@SAMPLES.of(
    "fit.medium",
    bad="A MIDI output with a 3.5 mm socket goes into an audio input",
    good="The synthesizer's audio output goes into an audio input",
    near_miss="MIDI goes to MIDI over an audio lead of the same plugs",
)
def medium(p: Plan, kind: Kind) -> None:
    p.unit("synth", "synth-monophonic-37", "Synthesizer")
    if kind == "bad":
        p.unit("di", "di-playback", "Playback DI")
        p.link("synth.midi-out", "di.in-stereo", "trs3-trs3 1.5")
    elif kind == "good":
        p.unit("di", "di-passive", "DI")
        p.link("synth.out", "di.in-1", "ts 3")
        p.land("di.out-1", "in-1", "xlr 5", name="Synth bass")
    else:
        p.unit("second", "synth-monophonic-37", "Second synthesizer")
        p.link("synth.midi-out", "second.midi-in", "trs3-trs3 1.5")


@SAMPLES.of(
    "fit.ring-shorted",
    bad="A two-contact lead shorts one leg of a balanced output",
    good="A three-contact lead takes both legs",
    near_miss="The same two-contact lead on an impedance-balanced output",
)
def ring_shorted(p: Plan, kind: Kind) -> None:
    p.unit("amp", "keyboard-amplifier", "Keyboard amplifier")
    if kind == "near_miss":
        p.unit("synth", "synth-61", "Synthesizer")
        p.link("synth.out-l", "amp.line-1", "ts 3")
        return
    p.unit("mixer", "mixer-line-8", "Keyboard mixer")
    p.link("mixer.main-l", "amp.line-1", "ts 3" if kind == "bad" else "trs 3")


@SAMPLES.of(
    "fit.half-lost",
    bad="A two-contact lead takes only the left side of a headphone output",
    good="A Y-lead takes both sides of the headphone output",
    near_miss="Earphones in a headset socket lose only the microphone, and have none",
)
def half_lost(p: Plan, kind: Kind) -> None:
    if kind == "near_miss":
        p.unit("laptop", "laptop", "Laptop")
        p.unit("ears", "earphones", "Earphones")
        p.link("laptop.phones", "ears.in")
        return
    p.unit("piano", "stage-piano-88", "Piano")
    p.unit("amp", "keyboard-amplifier", "Keyboard amplifier")
    if kind == "bad":
        p.link("piano.phones", "amp.line-1", "ts 3")
        return
    p.unit("y", "y-lead-trs-2ts", "Y-lead")
    p.link("piano.phones", "y.in")
    p.link("y.out-1", "amp.line-1")
    p.link("y.out-2", "amp.line-2")


@SAMPLES.of(
    "fit.one-to-many",
    bad="One piano output feeds two amplifiers by two plugs",
    good="The thru output of a DI feeds the second amplifier",
    near_miss="Left and right of the piano feed one amplifier each",
)
def one_to_many(p: Plan, kind: Kind) -> None:
    p.unit("piano", "stage-piano-88", "Piano")
    p.unit("amp", "keyboard-amplifier", "Keyboard amplifier")
    if kind == "good":
        p.unit("di", "di-passive", "DI")
        p.link("piano.out-l", "di.in-1", "ts 3")
        p.link("di.thru-1", "amp.line-1", "ts 3")
        p.land("di.out-1", "in-1", "xlr 5", name="Piano")
        return
    p.unit("second", "keyboard-amplifier", "Second amplifier")
    p.link("piano.out-l", "amp.line-1", "ts 3")
    p.link("piano.out-l" if kind == "bad" else "piano.out-r", "second.line-1", "ts 3")


@SAMPLES.of(
    "fit.occupied",
    bad="Piano and organ want the same input of a mixer",
    good="Piano and organ each have an input of the mixer",
    near_miss="Left and right of the piano on two inputs of a pair",
)
def occupied(p: Plan, kind: Kind) -> None:
    p.unit("mixer", "mixer-line-8", "Keyboard mixer")
    p.unit("piano", "stage-piano-88", "Piano")
    p.link("piano.out-l", "mixer.line-1-l", "ts 3")
    if kind == "near_miss":
        p.link("piano.out-r", "mixer.line-1-r", "ts 3")
        return
    p.unit("organ", "organ-73", "Organ")
    p.link("organ.out-l", "mixer.line-1-l" if kind == "bad" else "mixer.line-2-l", "trs 3")


@SAMPLES.of(
    "fit.stereo-in-balanced",
    bad="The stereo plug of a headphone output in one balanced input",
    good="A Y-lead brings left and right to two inputs",
    near_miss="The same lead from a balanced mono output",
)
def stereo_in_balanced(p: Plan, kind: Kind) -> None:
    p.unit("amp", "keyboard-amplifier", "Keyboard amplifier")
    p.unit("synth", "synth-61", "Synthesizer")
    if kind == "good":
        p.unit("y", "y-lead-trs-2ts", "Y-lead")
        p.link("synth.phones", "y.in")
        p.link("y.out-1", "amp.line-1")
        p.link("y.out-2", "amp.line-2")
        return
    p.link("synth.phones" if kind == "bad" else "synth.out-l", "amp.line-1", "trs 3")


@SAMPLES.of(
    "fit.balanced-in-stereo",
    bad="Headphones in the balanced monitor output of a mixer",
    good="Headphones in the headphone output of the mixer",
    near_miss="The balanced monitor output feeds a balanced input",
)
def balanced_in_stereo(p: Plan, kind: Kind) -> None:
    p.unit("mixer", "mixer-small", "Mixer")
    if kind == "near_miss":
        p.unit("amp", "keyboard-amplifier", "Keyboard amplifier")
        p.link("mixer.monitor", "amp.line-1", "trs 3")
        return
    p.unit("phones", "headphones-635", "Headphones")
    p.link("mixer.monitor" if kind == "bad" else "mixer.phones", "phones.in")
