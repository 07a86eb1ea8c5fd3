"""Samples of the families ``level`` and ``balance``: how much arrives, and over what length."""

from __future__ import annotations

from tests.rule_samples.plan import Kind, Plan, Samples

SAMPLES = Samples()


@SAMPLES.of(
    "level.loudspeaker-into-line",
    bad="The loudspeaker output of a guitar head goes into a mixer",
    good="The loudspeaker output goes into its cabinet",
    near_miss="A DI made for loudspeaker level stands between head and cabinet",
)
def loudspeaker_into_line(p: Plan, kind: Kind) -> None:
    p.unit("head", "guitar-head", "Guitar head")
    if kind == "bad":
        p.unit("amp", "keyboard-amplifier", "Keyboard amplifier")
        p.link("head.speaker", "amp.line-1", "speaker-jack 3")
        return
    p.unit("cabinet", "guitar-cabinet", "Cabinet")
    if kind == "good":
        p.link("head.speaker", "cabinet.in", "speaker-jack 3")
        return
    p.unit("di", "di-speaker", "Loudspeaker DI")
    p.link("head.speaker", "di.in-1", "speaker-jack 3")
    p.link("di.thru-1", "cabinet.in", "speaker-jack 3")
    p.land("di.out-1", "in-1", "xlr 5", name="Guitar")


@SAMPLES.of(
    "level.line-into-loudspeaker",
    bad="A piano is plugged into a passive cabinet",
    good="The piano goes into a keyboard amplifier",
    near_miss="An amplifier's loudspeaker output in the same cabinet",
)
def line_into_loudspeaker(p: Plan, kind: Kind) -> None:
    if kind == "near_miss":
        p.unit("head", "guitar-head", "Guitar head")
        p.unit("cabinet", "guitar-cabinet", "Cabinet")
        p.link("head.speaker", "cabinet.in", "speaker-jack 3")
        return
    p.unit("piano", "stage-piano-88", "Piano")
    if kind == "bad":
        p.unit("cabinet", "guitar-cabinet", "Cabinet")
        p.link("piano.out-l", "cabinet.in", "ts 3")
    else:
        p.unit("amp", "keyboard-amplifier", "Keyboard amplifier")
        p.link("piano.out-l", "amp.line-1", "ts 3")


@SAMPLES.of(
    "level.hot",
    bad="A synthesizer of +20 dBu overdrives an active DI that takes +9 dBu",
    good="The pad of the active DI is in",
    near_miss="Peaks of +18 dBu exactly reach the clip level of a delay",
)
def hot(p: Plan, kind: Kind) -> None:
    if kind == "near_miss":
        p.unit("tracks", "laptop-interface-4", "Tracks")
        p.unit("delay", "pedal-delay-stereo", "Delay")
        p.link("tracks.out-1", "delay.in-l", "ts 3")
        return
    p.unit("synth", "synth-61", "Synthesizer")
    p.unit("di", "di-active", "Active DI")
    p.link("synth.out-l", "di.in-1", "ts 3")
    p.land("di.out-1", "in-1", "xlr 5", name="Synth")
    if kind == "good":
        p.set("di.in-1", pad=True)


@SAMPLES.of(
    "level.weak",
    bad="A microphone in a line input",
    good="The microphone in a microphone input",
    near_miss="A guitar of -20 dBu exactly reaches what the line input brings up",
)
def weak(p: Plan, kind: Kind) -> None:
    p.unit("mixer", "mixer-in-ear", "Ear mixer")
    if kind == "near_miss":
        p.unit("guitar", "electric-guitar", "Guitar")
        p.link("guitar.out", "mixer.line-1", "ts 3")
        return
    p.unit("vox", "dynamic-handheld", "Lead vox mic")
    if kind == "bad":
        p.link("vox.out", "mixer.line-1", "xlr-trs 5")
    else:
        p.link("vox.out", "mixer.mic-1", "xlr 5")


@SAMPLES.of(
    "level.consumer",
    bad="A mixer at +4 dBu feeds the bar's phono pair",
    good="A 12 dB pad stands before the bar's phono pair",
    near_miss="A tablet, at home with phono inputs, feeds the bar",
)
def consumer(p: Plan, kind: Kind) -> None:
    p.bar_system()
    if kind == "near_miss":
        p.unit("tablet", "tablet", "Tablet")
        p.land("tablet.phones", "bar", "y-lead-trs3-2rca in out-1 out-2", name="Break music")
        return
    p.unit("mixer", "mixer-small", "Mixer")
    iso = ("line-isolator in out", "adapter-xlr3f-rcam in out", "adapter-rca-y in out-1 out-2")
    pad = ("pad-12-xlr in out",) if kind == "good" else ()
    p.land("mixer.main-l", "bar", "xlr 10", *pad, *iso, name="Bar feed")


@SAMPLES.of(
    "level.headphone-as-line",
    bad="The headphone output of a piano feeds an amplifier",
    good="The line outputs of the piano feed the amplifier",
    near_miss="Headphones in the headphone output",
)
def headphone_as_line(p: Plan, kind: Kind) -> None:
    p.unit("piano", "stage-piano-88", "Piano")
    if kind == "near_miss":
        p.unit("phones", "headphones-635", "Headphones")
        p.link("piano.phones", "phones.in")
        return
    p.unit("amp", "keyboard-amplifier", "Keyboard amplifier")
    if kind == "good":
        p.link("piano.out-l", "amp.line-1", "ts 3")
        p.link("piano.out-r", "amp.line-2", "ts 3")
        return
    p.unit("y", "y-lead-trs-2ts", "Y-lead")
    p.link("piano.phones", "y.in")
    p.link("y.out-1", "amp.line-1")
    p.link("y.out-2", "amp.line-2")


@SAMPLES.of(
    "balance.unbalanced-run",
    bad="A piano runs unbalanced over 6.1 m",
    good="The piano runs balanced from a DI beside it",
    near_miss="A piano runs unbalanced over 3.0 m",
)
def unbalanced_run(p: Plan, kind: Kind) -> None:
    p.unit("piano", "stage-piano-88", "Piano")
    p.unit("di", "di-passive", "DI")
    p.link("piano.out-l", "di.in-1", {"bad": "ts 6.1", "good": "ts 1", "near_miss": "ts 3.0"}[kind])
    p.land("di.out-1", "in-1", "xlr 10", name="Piano")


@SAMPLES.of(
    "balance.unbalanced-into-mic",
    bad="A guitar goes into a microphone input without a DI",
    good="The guitar goes through a DI",
    near_miss="The guitar goes into an instrument input",
)
def unbalanced_into_mic(p: Plan, kind: Kind) -> None:
    p.unit("guitar", "electric-guitar", "Guitar")
    if kind == "near_miss":
        p.unit("amp", "acoustic-amplifier", "Amplifier")
        p.link("guitar.out", "amp.in-1", "ts 3")
        return
    p.unit("mixer", "mixer-in-ear", "Ear mixer")
    if kind == "bad":
        p.link("guitar.out", "mixer.mic-1", "ts-xlr 3")
        return
    p.unit("di", "di-passive", "DI")
    p.link("guitar.out", "di.in-1", "ts 3")
    p.link("di.out-1", "mixer.mic-1", "xlr 3")


@SAMPLES.of(
    "balance.leg-lost",
    bad="A balanced main output goes by a lead with pin 3 open into an unbalanced input",
    good="A transformer between turns both legs into one without loss",
    near_miss="An impedance-balanced output, of which only one leg is driven, by the same kind of lead",
)
def leg_lost(p: Plan, kind: Kind) -> None:
    p.unit("cabinet", "rotary-cabinet", "Rotary cabinet")
    if kind == "near_miss":
        p.unit("organ", "organ-73", "Organ")
        p.link("organ.out-l", "cabinet.in", "ts 3")
        return
    p.unit("mixer", "mixer-small", "Mixer")
    if kind == "bad":
        p.link("mixer.main-l", "cabinet.in", "xlr-ts 3")
        return
    p.unit("iso", "line-isolator", "Isolator")
    p.link("mixer.main-l", "iso.in", "xlr 3")
    p.link("iso.out", "cabinet.in", "xlr-ts 1.5")
