"""Samples of the family ``channels``: which line reaches the house where, and as what."""

from __future__ import annotations

from tests.rule_samples.plan import Kind, Plan, Samples

SAMPLES = Samples()


def _voice(p: Plan, socket: str, name: str = "Lead vox", unit: str = "vox") -> None:
    p.unit(unit, "dynamic-handheld", f"{name} mic")
    p.land(f"{unit}.out", socket, "xlr 5", name=name)


def _keys(p: Plan, left: str, right: str = "") -> None:
    """Land a piano by passive DIs, in stereo if there is a right."""
    p.unit("piano", "stage-piano-88", "Piano")
    p.unit("di", "di-passive-stereo", "DI boxes")
    p.link("piano.out-l", "di.in-1", "ts 1")
    if not right:
        p.land("di.out-1", left, "xlr 5", name="Piano")
        return
    p.link("piano.out-r", "di.in-2", "ts 1")
    p.land("di.out-1", left, "xlr 5", name="Piano L", group="piano", side="L")
    p.land("di.out-2", right, "xlr 5", name="Piano R", group="piano", side="R")


@SAMPLES.of(
    "channels.too-many",
    bad="Three lines that must land for two inputs of the house",
    good="The piano falls back to one line: two lines for two inputs",
    near_miss="Two lines for two inputs, and a third that may stay at home",
)
def too_many(p: Plan, kind: Kind) -> None:
    p.lines(2)
    _voice(p, "in-2")
    if kind != "good":
        _keys(p, "in-1")
        p.unit("guest", "dynamic-handheld", "Guest vox mic")
        p.hand_off("guest.out", "Guest vox", importance="must" if kind == "bad" else "nice")
        return
    p.unit("piano", "stage-piano-88", "Piano")
    p.unit("mixer", "mixer-passive-4", "Passive mixer")
    p.link("piano.out-l", "mixer.in-1", "ts 1")
    p.land("mixer.out", "in-1", "ts 1", "di-passive in-1 out-1", "xlr 5", name="Piano mono")
    p.hand_off("piano.out-r", "Piano R", falls_back_to="piano-mono")


@SAMPLES.of(
    "channels.unbound",
    bad="The piano lands nowhere though seven lines are free",
    good="The piano lands on line 1",
    near_miss="The piano's right side lands nowhere, but what it falls back to does",
)
def unbound(p: Plan, kind: Kind) -> None:
    _voice(p, "in-2")
    p.unit("piano", "stage-piano-88", "Piano")
    p.unit("di", "di-passive-stereo", "DI boxes")
    p.link("piano.out-l", "di.in-1", "ts 1")
    if kind == "bad":
        p.hand_off("di.out-1", "Piano")
        return
    p.land("di.out-1", "in-1", "xlr 5", name="Piano")
    if kind == "near_miss":
        p.link("piano.out-r", "di.in-2", "ts 1")
        p.hand_off("di.out-2", "Piano R", falls_back_to="piano")


@SAMPLES.of(
    "channels.two-on-one",
    bad="Lead and second voice are both meant for line 1",
    good="The second voice lands on line 2",
    near_miss="Two voices share line 1 by way of a mixer",
)
def two_on_one(p: Plan, kind: Kind) -> None:
    if kind != "near_miss":
        _voice(p, "in-1")
        _voice(p, "in-1" if kind == "bad" else "in-2", "Second vox", "second")
        return
    p.unit("vox", "dynamic-handheld", "Lead vox mic")
    p.unit("second", "dynamic-handheld", "Second vox mic")
    p.unit("mixer", "mixer-in-ear", "Voice mixer")
    p.link("vox.out", "mixer.mic-1", "xlr 5")
    p.link("second.out", "mixer.mic-2", "xlr 5")
    p.land("mixer.main-l", "in-1", "trs-xlr 5", "pad-20-xlr in out", name="Voices")


@SAMPLES.of(
    "channels.pair-split",
    bad="Left and right of the piano lie on lines 1 and 3",
    good="Left and right of the piano lie on lines 1 and 2",
    near_miss="Left and right of the piano lie on lines 2 and 3: neighbours, if on an even number",
)
def pair_split(p: Plan, kind: Kind) -> None:
    _keys(p, *{"bad": ("in-1", "in-3"), "good": ("in-1", "in-2"), "near_miss": ("in-2", "in-3")}[kind])


@SAMPLES.of(
    "channels.pair-on-even",
    bad="The piano's pair starts on line 2",
    good="The piano's pair starts on line 1",
    near_miss="Two voices, no pair, on lines 2 and 3",
)
def pair_on_even(p: Plan, kind: Kind) -> None:
    if kind == "near_miss":
        _voice(p, "in-2")
        _voice(p, "in-3", "Second vox", "second")
        return
    _keys(p, *{"bad": ("in-2", "in-3"), "good": ("in-1", "in-2")}[kind])


@SAMPLES.of(
    "channels.mono-house",
    bad="A piano in stereo for a house whose loudspeakers are mono",
    good="One side of the piano for the mono house",
    near_miss="A piano in stereo for a house in stereo",
)
def mono_house(p: Plan, kind: Kind) -> None:
    p.says(pa="stereo" if kind == "near_miss" else "mono")
    _keys(p, "in-1", "" if kind == "good" else "in-2")


@SAMPLES.of(
    "channels.stereo-summed",
    bad="Both sides of a piano go to the house through one monitor send",
    good="Only the left side of the piano goes through the monitor send",
    near_miss="Both sides of the piano go to the house through both sides of the mixer",
)
def stereo_summed(p: Plan, kind: Kind) -> None:
    p.unit("piano", "stage-piano-88", "Piano")
    p.unit("mixer", "mixer-small", "Mixer")
    p.link("piano.out-l", "mixer.line-1", "ts 3")
    if kind != "good":
        p.link("piano.out-r", "mixer.line-2", "ts 3")
    if kind == "near_miss":
        for side, socket in (("L", "in-1"), ("R", "in-2")):
            pieces = ("xlr 5", "pad-20-xlr in out")
            p.land(f"mixer.main-{side.lower()}", socket, *pieces, name=f"Keys {side}", group="keys", side=side)
    else:
        p.land("mixer.monitor", "in-1", "trs-xlr 5", "pad-20-xlr in out", name="Keys")


@SAMPLES.of(
    "channels.unnamed",
    bad="A channel that is only called 'Ch 3'",
    good="The channel is called after who sings",
    near_miss="A name with a number in it, 'Vox 3'",
)
def unnamed(p: Plan, kind: Kind) -> None:
    _voice(p, "in-3", {"bad": "Ch 3", "good": "Lead vox", "near_miss": "Vox 3"}[kind])


@SAMPLES.of(
    "channels.no-dry-voice",
    bad="The voice reaches the house only through a processor",
    good="A dry line first, the processed one beside it",
    near_miss="The voice is processed for the ears only and reaches the house dry",
)
def no_dry_voice(p: Plan, kind: Kind) -> None:
    p.unit("vox", "dynamic-handheld", "Lead vox mic")
    p.unit("fx", "vocal-processor-dry", "Vocal processor")
    p.link("vox.out", "fx.mic", "xlr 5")
    if kind != "bad":
        p.land("fx.dry", "in-1", "xlr 5", name="Lead vox dry")
    if kind == "near_miss":
        p.unit("mixer", "mixer-in-ear", "Ear mixer")
        p.link("fx.out", "mixer.mic-1", "xlr 1.5")
    else:
        p.land("fx.out", "in-2", "xlr 5", name="Lead vox wet")


@SAMPLES.of(
    "channels.voice-dry",
    bad="At a festival the voice comes dry, and the sheet says so",
    good="At a festival one line of the voice is processed: nothing to say that all is dry",
    near_miss="The same dry voice at a club, where nobody asks",
)
def voice_dry(p: Plan, kind: Kind) -> None:
    if kind != "near_miss":
        p.house(kind="festival", name="Millrace Meadow, stage 2")
    if kind != "good":
        _voice(p, "in-1")
        return
    no_dry_voice(p, "good")


@SAMPLES.of(
    "channels.click-to-house",
    bad="A click lands on a house line like any other",
    good="The click stays in the player's own mixer",
    near_miss="The click lands at the house, marked for ears only",
)
def click_to_house(p: Plan, kind: Kind) -> None:
    p.unit("click", "metronome", "Click")
    if kind == "good":
        p.unit("mixer", "mixer-in-ear", "Ear mixer")
        p.link("click.out", "mixer.line-1", "ts 3")
        return
    p.unit("di", "di-passive", "DI")
    p.link("click.out", "di.in-1", "ts 3")
    p.land("di.out-1", "in-1", "xlr 5", name="Click", ears_only=kind == "near_miss")


@SAMPLES.of(
    "channels.one-ear",
    bad="Headphones in a mono line output sound on one side",
    good="Headphones in the headphone output sound on both",
    near_miss="The mono line output feeds a mono input",
)
def one_ear(p: Plan, kind: Kind) -> None:
    p.unit("piano", "stage-piano-88", "Piano")
    if kind == "near_miss":
        p.unit("amp", "keyboard-amplifier", "Keyboard amplifier")
        p.link("piano.out-l", "amp.line-1", "ts 3")
        return
    p.unit("phones", "headphones-635", "Headphones")
    p.link("piano.out-l" if kind == "bad" else "piano.phones", "phones.in")


@SAMPLES.of(
    "channels.block-full",
    bad="Both lines of the drop are used",
    good="One line of three is left over",
    near_miss="A drop of one line is used, as it must be",
)
def block_full(p: Plan, kind: Kind) -> None:
    p.lines({"bad": 2, "good": 3, "near_miss": 1}[kind], block="Drop SL")
    if kind != "near_miss":
        _keys(p, "in-1")
    _voice(p, "in-1" if kind == "near_miss" else "in-2")


@SAMPLES.of(
    "channels.own-mixer-full",
    bad="Two of the laptop's outputs find no input in the player's mixer",
    good="All outputs of the laptop are in the player's mixer",
    near_miss="One output of the laptop is missing in the mixer, but one input is free",
)
def own_mixer_full(p: Plan, kind: Kind) -> None:
    p.unit("tracks", "laptop-interface-4", "Tracks")
    p.unit("mixer", "mixer-passive-4", "Passive mixer")
    p.unit("di", "di-passive-stereo", "DI boxes")
    wired = {"bad": 2, "good": 4, "near_miss": 3}[kind]
    for number in range(1, wired + 1):
        p.link(f"tracks.out-{number}", f"mixer.in-{number}", "ts 1")
    if kind == "bad":
        p.unit("piano", "stage-piano-88", "Piano")
        p.link("piano.out-l", "mixer.in-3", "ts 3")
        p.link("piano.out-r", "mixer.in-4", "ts 3")
    for line, number in enumerate(range(wired + 1, 5), start=1):
        p.link(f"tracks.out-{number}", f"di.in-{line}", "ts 1")
        p.land(f"di.out-{line}", f"in-{line}", "xlr 5", name=f"Tracks {'AB'[line - 1]}")


@SAMPLES.of(
    "channels.order-differs",
    bad="The voice lies before the piano at the house, after it in the act's order",
    good="The act numbers its channels as the house does",
    near_miss="House lines 1 and 5: gaps, but in the act's order",
)
def order_differs(p: Plan, kind: Kind) -> None:
    _voice(p, "in-5" if kind == "near_miss" else "in-1")
    _keys(p, "in-1" if kind == "near_miss" else "in-2")
    if kind == "good":
        p.order("lead-vox", "piano")


@SAMPLES.of(
    "channels.ear-feed",
    bad="A mix of the house comes into the player's own mixer",
    good="A mix of the house goes straight to a wireless in-ear transmitter",
    near_miss="A mix of the house feeds a wedge",
)
def ear_feed(p: Plan, kind: Kind) -> None:
    if kind == "bad":
        p.unit("mixer", "mixer-in-ear", "Ear mixer")
        p.land("mixer.line-1", "mix-1", "xlr-trs 5", name="Band mix")
    elif kind == "good":
        p.unit("ears", "in-ear-wireless", "In-ear transmitter")
        p.land("ears.in-l", "mix-1", "xlr 5", name="Band mix")
    else:
        p.unit("wedge", "wedge-powered", "Wedge")
        p.land("wedge.in", "mix-1", "xlr 5", name="Band mix")
