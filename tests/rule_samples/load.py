"""Samples of the family ``load``, and of the level rules that look through the whole chain."""

from __future__ import annotations

from rigcore.catalogue.carriers import Audio, Loudspeaker
from rigcore.catalogue.gear import GearType, Path, Port
from rigcore.catalogue.loader import shipped
from tests.rule_samples.plan import Kind, Plan, Samples

SAMPLES = Samples()


def _box(gear_id: str, name: str, ports: tuple[Port, ...], paths: tuple[Path, ...] = ()) -> GearType:
    return GearType(
        id=gear_id, name=name, category="other", ports=ports, paths=paths,
        width_m=0.2, depth_m=0.2, height_m=0.1, mass_kg=1.0,
    )  # fmt: skip


def _out(name: str, ohm: float, *, level: str = "line", highest: float | None = 10.0) -> Port:
    carrier = Audio(
        medium="audio", level=level, balance="unbalanced", nominal_dbu=-2.0, max_dbu=highest, ohm=ohm  # type: ignore[arg-type]
    )
    return Port(id="out", name=name, direction="out", connector="ts6.f", carrier=carrier)


def _in(name: str, ohm: float, *, highest: float = 20.0) -> Port:
    carrier = Audio(
        medium="audio", level="line", balance="unbalanced", nominal_dbu=-2.0, max_dbu=highest,
        weakest_dbu=-40.0, ohm=ohm,
    )  # fmt: skip
    return Port(id="in", name=name, direction="in", connector="ts6.f", carrier=carrier)


@SAMPLES.of(
    "load.bridging",
    bad="An organ of 1 kΩ drives an old delay of 600 Ω",
    good="The organ drives a line input of 20 kΩ",
    near_miss="A load of exactly ten times the source",
)
def bridging(p: Plan, kind: Kind) -> None:
    p.own(_box("own-organ", "Old organ", (_out("Out", 1000.0),)))
    p.own(_box("own-delay", "Old delay", (_in("In", {"bad": 600.0, "good": 20000.0, "near_miss": 10000.0}[kind]),)))
    p.unit("organ", "own-organ", "Organ")
    p.unit("delay", "own-delay", "Delay")
    p.link("organ.out", "delay.in", "ts 3")


@SAMPLES.of(
    "load.pickup",
    bad="A passive bass in a line input of 20 kΩ",
    good="The passive bass in an active DI of 1 MΩ",
    near_miss="An active bass in the same line input",
)
def pickup(p: Plan, kind: Kind) -> None:
    p.unit("bass", "bass-active" if kind == "near_miss" else "bass-passive", "Bass")
    if kind == "good":
        p.unit("di", "di-active", "Active DI")
        p.link("bass.out", "di.in-1", "ts 3")
    else:
        p.unit("mixer", "mixer-in-ear", "Ear mixer")
        p.link("bass.out", "mixer.line-1", "ts 3")


@SAMPLES.of(
    "load.roll-off",
    bad="A pickup of 100 kΩ behind 3 m of cable: 5.9 kHz",
    good="The same pickup behind 1 m of cable: 17.5 kHz",
    near_miss="A pickup of 50 kΩ behind the 3 m: 11.1 kHz",
)
def roll_off(p: Plan, kind: Kind) -> None:
    ohm = 50_000.0 if kind == "near_miss" else 100_000.0
    p.own(_box("own-pickup", "Contact pickup", (_out("Out", ohm, level="instrument", highest=0.0),)))
    p.unit("pickup", "own-pickup", "Contact pickup")
    p.unit("di", "di-active", "Active DI")
    p.link("pickup.out", "di.in-1", "ts 1" if kind == "good" else "ts 3")


@SAMPLES.of(
    "load.amplifier-minimum",
    bad="Two cabinets of 8 Ω on a head made for 8 Ω",
    good="One cabinet of 8 Ω on that head",
    near_miss="Two cabinets of 16 Ω: exactly 8 Ω",
)
def amplifier_minimum(p: Plan, kind: Kind) -> None:
    def speaker(port: str, direction: str, *, rated: float | None, minimum: float | None) -> Port:
        carrier = Loudspeaker(medium="loudspeaker", watts=100.0, rated_ohm=rated, minimum_ohm=minimum)
        return Port(
            id=port, name=port.capitalize(), direction=direction, connector="speaker2.f", carrier=carrier  # type: ignore[arg-type]
        )

    p.own(_box("own-head", "Valve head", (speaker("speaker", "out", rated=None, minimum=8.0),)))
    rated = 16.0 if kind == "near_miss" else 8.0
    ports = (speaker("in", "in", rated=rated, minimum=None), speaker("thru", "out", rated=None, minimum=None))
    p.own(_box("own-cabinet", "Cabinet", ports, (Path(source="in", target="thru", kind="wire"),)))
    p.unit("head", "own-head", "Valve head")
    p.unit("one", "own-cabinet", "Cabinet 1")
    p.link("head.speaker", "one.in", "speaker 3")
    if kind != "good":
        p.unit("two", "own-cabinet", "Cabinet 2")
        p.link("one.thru", "two.in", "speaker 3")


@SAMPLES.of(
    "load.split",
    bad="A voice split to four inputs by three splitters",
    good="The voice split to two inputs",
    near_miss="The voice split to three inputs",
)
def split(p: Plan, kind: Kind) -> None:
    p.unit("vox", "dynamic-handheld", "Voice")
    p.unit("split", "splitter-1x3", "Splitter")
    p.link("vox.out", "split.in", "xlr 5")
    outs = [one.id for one in _splitter_outs()]
    for number, port in enumerate(outs[: 2 if kind == "good" else 3], start=1):
        if kind == "bad" and number == 3:
            p.unit("more", "splitter-1x2", "Second splitter")
            p.link(f"split.{port}", "more.in", "xlr 5")
            p.land("more.direct", "in-3", "xlr 5", name="Voice to a third desk")
            p.land("more.isolated", "in-4", "xlr 5", name="Voice to a fourth desk")
        else:
            p.land(f"split.{port}", f"in-{number}", "xlr 5", name=f"Voice, desk {number}")


def _splitter_outs() -> list[Port]:
    return [port for port in shipped().gear_type("splitter-1x3").ports if port.direction == "out"]


@SAMPLES.of(
    "level.head-room",
    bad="A sampler of unknown peaks, 10 dB under the clip of its input",
    good="The same sampler into an input with 20 dB of room",
    near_miss="Exactly 12 dB of room",
)
def head_room(p: Plan, kind: Kind) -> None:
    p.own(_box("own-sampler", "Old sampler", (_out("Out", 0.001, highest=None),)))
    highest = {"bad": 8.0, "good": 18.0, "near_miss": 10.0}[kind]
    p.own(_box("own-input", "Recorder", (_in("In", 20000.0, highest=highest),)))
    p.unit("sampler", "own-sampler", "Sampler")
    p.unit("recorder", "own-input", "Recorder")
    p.link("sampler.out", "recorder.in", "ts 3")


@SAMPLES.of(
    "level.splitter-clip",
    bad="A synthesizer of +20 dBu through a passive DI at a festival",
    good="The pad of the DI is in",
    near_miss="The house says its splitter clips at +10 dBu",
)
def splitter_clip(p: Plan, kind: Kind) -> None:
    p.house(kind="festival")
    if kind == "near_miss":
        p.says(splitter_clip_dbu="10")
    p.unit("synth", "synth-61", "Synthesizer")
    p.unit("di", "di-passive", "Passive DI")
    p.link("synth.out-l", "di.in-1", "ts 3")
    p.land("di.out-1", "in-1", "xlr 5", name="Synth")
    if kind == "good":
        p.set("di.in-1", pad=True)


@SAMPLES.of(
    "level.circle",
    bad="A mixer's main output in one of its own inputs",
    good="The main output goes to the house",
    near_miss="The main output goes into a second mixer that goes nowhere",
)
def circle(p: Plan, kind: Kind) -> None:
    p.unit("mixer", "mixer-in-ear", "Ear mixer")
    if kind == "bad":
        p.link("mixer.main-l", "mixer.line-8", "trs 1.5")
    elif kind == "good":
        p.unit("iso", "line-isolator", "Isolator")
        p.link("mixer.main-l", "iso.in", "trs-xlr 3")
        p.land("iso.out", "in-1", "xlr 5", name="Mix")
    else:
        p.unit("other", "mixer-in-ear", "Second mixer")
        p.link("mixer.main-l", "other.line-8", "trs 1.5")
