"""The planted mistakes of plugs, levels, loads, balance and 48 V."""

from __future__ import annotations

from typing import Literal

from rigcore.catalogue.carriers import Audio, Loudspeaker
from rigcore.catalogue.gear import GearType, Path, Port
from tests.rigcore.planted import Mistakes
from tests.rule_samples.plan import Plan

SIGNAL = Mistakes()


def own(gear_id: str, name: str, *ports: Port, paths: tuple[Path, ...] = ()) -> GearType:
    """Return a gear type of the book's own, without mains."""
    return GearType(
        id=gear_id, name=name, category="other", ports=ports, paths=paths,
        width_m=0.3, depth_m=0.2, height_m=0.1, mass_kg=2.0,
    )  # fmt: skip


def speaker(port: str, direction: Literal["in", "out"], rated: float | None, minimum: float | None = None) -> Port:
    """Return a loudspeaker port named after its id."""
    carrier = Loudspeaker(medium="loudspeaker", watts=100.0, rated_ohm=rated, minimum_ohm=minimum)
    return Port(id=port, name=port.capitalize(), direction=direction, connector="speaker2.f", carrier=carrier)


@SIGNAL.of("fit.no-mating", "fault", at="link:tablet-phones-to-side", number="3.5 mm TRS socket")
def no_mating(p: Plan, mended: bool) -> None:
    p.unit("tablet", "tablet", "Tablet")
    p.unit("side", "powered-monitor", "Side monitor")
    if not mended:
        p.link("tablet.phones", "side.in", "xlr 3")
        return
    p.unit("break-di", "di-playback", "Playback DI")
    p.link("tablet.phones", "break-di.in-stereo", "trs3-trs3 1.5")
    p.land("break-di.out-1", "in-14", "xlr 5", name="Break music")


@SIGNAL.of("fit.no-cable", "fault", at="landing:second-vox socket:in-2", number="are 7 m apart")
def no_cable(p: Plan, mended: bool) -> None:
    p.unit("second", "dynamic-handheld", "Second vox mic")
    if mended:
        p.land("second.out", "in-2", "xlr 10", name="Second vox")
    else:
        p.intend("second.out", "in-2", 7.0, name="Second vox")


@SIGNAL.of("fit.output-to-output", "fault", at="link:upright-out-l-to-organ", number="Organ L/mono is an output")
def output_to_output(p: Plan, mended: bool) -> None:
    p.unit("upright", "stage-piano-88", "Piano upstage")
    p.unit("organ", "organ-73", "Organ")
    p.unit("organ-amp", "keyboard-amplifier", "Organ amplifier")
    if mended:
        p.link("upright.out-l", "organ-amp.line-1", "ts 3")
        p.link("organ.out-l", "organ-amp.line-2", "trs 3")
    else:
        p.link("upright.out-l", "organ.out-l", "ts 3")


@SIGNAL.of("fit.against-flow", "fault", at="link:floor-in-to-sub-mix", number="Floor monitor In is an input")
def against_flow(p: Plan, mended: bool) -> None:
    p.unit("sub-mix", "mixer-small", "Sub-mixer")
    p.unit("floor", "powered-monitor", "Floor monitor")
    ends = ("sub-mix.main-l", "floor.in") if mended else ("floor.in", "sub-mix.main-l")
    p.link(*ends, "xlr 5")


@SIGNAL.of("fit.ring-shorted", "risk", at="link:keys-mix-main-l-to-keys-amp", number="ring on sleeve")
def ring_shorted(p: Plan, mended: bool) -> None:
    p.unit("keys-mix", "mixer-line-8", "Keyboard mixer")
    p.unit("keys-amp", "keyboard-amplifier", "Keyboard amplifier")
    p.link("keys-mix.main-l", "keys-amp.line-1", "trs 3" if mended else "ts 3")


@SIGNAL.of(
    "fit.occupied", "fault",
    at="unit:keys-mix.line-1-l link:strings-out-l-to-keys-mix link:brass-out-l-to-keys-mix",
    number="2. Brass module L/mono to Keyboard mixer Line 1 L",
)
def occupied(p: Plan, mended: bool) -> None:
    for name in ("strings", "brass"):
        p.unit(name, "sound-module", f"{name.capitalize()} module")
    p.link("strings.out-l", "keys-mix.line-1-l", "trs 3")
    p.link("brass.out-l", "keys-mix.line-2-l" if mended else "keys-mix.line-1-l", "trs 3")


@SIGNAL.of("fit.stereo-in-balanced", "fault", at="link:pads-phones-to-pads-amp", number="tip − ring = L − R")
def stereo_in_balanced(p: Plan, mended: bool) -> None:
    p.unit("pads", "synth-61", "Pad synth")
    p.unit("pads-amp", "keyboard-amplifier", "Pad amplifier")
    p.link("pads.out-l" if mended else "pads.phones", "pads-amp.line-1", "trs 3")


SIGNAL.also(
    "level.headphone-as-line", "note", at="link:pads-phones-to-pads-amp", number="5 V × 10000 / (10000 + 120) = 4.94 V"
)


@SIGNAL.of("level.hot", "risk", at="link:bells-out-l-to-bells-di unit:bells-di.in-1", number="11.0 dB too much")
def hot(p: Plan, mended: bool) -> None:
    p.unit("bells", "sound-module", "Bell module")
    p.unit("bells-di", "di-active", "Bell DI")
    p.link("bells.out-l", "bells-di.in-1", "ts 3")
    p.land("bells-di.out-1", "in-3", "xlr 5", name="Bells")
    if mended:
        p.set("bells-di.in-1", pad=True)


@SIGNAL.of("level.weak", "risk", at="link:chat-out-to-keys-mix unit:keys-mix.line-4-l", number="22.0 dB too little")
def weak(p: Plan, mended: bool) -> None:
    p.unit("chat", "dynamic-handheld", "Announcer's mic")
    if mended:
        p.unit("chat-mix", "mixer-in-ear", "Announcer's mixer")
        p.link("chat.out", "chat-mix.mic-1", "xlr 5")
    else:
        p.link("chat.out", "keys-mix.line-4-l", "xlr-trs 5")


@SIGNAL.of(
    "level.loudspeaker-into-line", "fault", at="link:head-speaker-to-side-amp unit:side-amp.line-2",
    number="20.0 V = +28.2 dBu",
)
def loudspeaker_into_line(p: Plan, mended: bool) -> None:
    p.unit("head", "guitar-head", "Guitar head")
    p.unit("side-amp", "keyboard-amplifier", "Side amplifier")
    p.unit("cabinet", "guitar-cabinet", "Guitar cabinet")
    p.link("head.speaker", "cabinet.in" if mended else "side-amp.line-2", "speaker-jack 3")


@SIGNAL.of("level.consumer", "risk", at="link:choir-out-l-to-take-di unit:take-di.in-l", number="= 11.8 dB too much")
def consumer(p: Plan, mended: bool) -> None:
    p.unit("choir", "sound-module", "Choir module")
    if mended:
        p.unit("take-di", "di-passive", "Recording DI")
        p.link("choir.out-l", "take-di.in-1", "ts 3")
        return
    p.unit("take-di", "di-playback", "Recording DI")
    p.link("choir.out-l", "take-di.in-l", "ts-rca 3")


@SIGNAL.of("level.circle", "risk", at="unit:ear-mix.line-8 unit:ear-mix.main-l", number="0 dB or more sustains itself")
def circle(p: Plan, mended: bool) -> None:
    p.unit("ear-mix", "mixer-in-ear", "Ear mixer")
    p.unit("ear-spare", "mixer-in-ear", "Second ear mixer")
    p.link("ear-mix.main-l", "ear-spare.line-8" if mended else "ear-mix.line-8", "trs 1.5")


@SIGNAL.of("load.pickup", "risk", at="unit:bass.out unit:ear-mix.line-1", number="= 20 kΩ, wanted 500 kΩ")
def pickup(p: Plan, mended: bool) -> None:
    p.unit("bass", "bass-passive", "Bass")
    if not mended:
        p.link("bass.out", "ear-mix.line-1", "ts 3")
        return
    p.unit("bass-amp", "acoustic-amplifier", "Bass amplifier")
    p.link("bass.out", "bass-amp.in-1", "ts 3")


@SIGNAL.of("load.roll-off", "risk", at="unit:contact.out", number="f = 1 / (2π × 90.9 kΩ × 300 pF) = 5.8 kHz")
def roll_off(p: Plan, mended: bool) -> None:
    carrier = Audio(
        medium="audio", level="instrument", balance="unbalanced", nominal_dbu=-20.0, max_dbu=0.0, ohm=100_000.0
    )
    p.own(own("contact-pickup", "Contact pickup", Port(
        id="out", name="Out", direction="out", connector="ts6.f", carrier=carrier
    )))  # fmt: skip
    p.unit("contact", "contact-pickup", "Contact pickup")
    p.unit("contact-amp", "acoustic-amplifier", "Acoustic amplifier")
    p.link("contact.out", "contact-amp.in-1", "ts 1" if mended else "ts 3")


@SIGNAL.of(
    "load.amplifier-minimum", "fault", at="unit:valve.speaker unit:box-1.in unit:box-2.in",
    number="1 / (1/8 + 1/8) = 4.00 Ω",
)
def amplifier_minimum(p: Plan, mended: bool) -> None:
    p.own(own("valve-head", "Valve head", speaker("speaker", "out", None, 8.0)))
    ports = (speaker("in", "in", 8.0), speaker("thru", "out", None))
    p.own(own("valve-box", "Valve cabinet", *ports, paths=(Path(source="in", target="thru", kind="wire"),)))
    p.unit("valve", "valve-head", "Valve head")
    for number in (1, 2):
        p.unit(f"box-{number}", "valve-box", f"Valve cabinet {number}")
    p.link("valve.speaker", "box-1.in", "speaker 3")
    if not mended:
        p.link("box-1.thru", "box-2.in", "speaker 3")


@SIGNAL.of("load.bridging", "risk", at="unit:reed.out unit:echo.in", number="600 Ω / 1000 Ω = 0.6, wanted 10 or more")
def bridging(p: Plan, mended: bool) -> None:
    def line(port: str, direction: Literal["in", "out"], ohm: float) -> Port:
        carrier = Audio(
            medium="audio", level="line", balance="unbalanced", nominal_dbu=-2.0, max_dbu=10.0, ohm=ohm,
            weakest_dbu=-40.0 if direction == "in" else None,
        )  # fmt: skip
        return Port(id=port, name=port.capitalize(), direction=direction, connector="ts6.f", carrier=carrier)

    p.own(own("reed-organ", "Reed organ pickup", line("out", "out", 1000.0)))
    p.own(own("tape-echo", "Tape echo", line("in", "in", 20000.0 if mended else 600.0)))
    p.unit("reed", "reed-organ", "Reed organ")
    p.unit("echo", "tape-echo", "Tape echo")
    p.link("reed.out", "echo.in", "ts 3")


@SIGNAL.of(
    "balance.unbalanced-run", "fault", at="link:strap-out-l-to-strap-adapter link:strap-adapter-out-to-ear-mix",
    number="4 + 5 = 9 m",
)
def unbalanced_run(p: Plan, mended: bool) -> None:
    p.unit("strap", "keyboard-strap", "Strap-on keyboard")
    if mended:
        p.unit("strap-di", "di-passive", "Strap-on DI")
        p.link("strap.out-l", "strap-di.in-1", "ts 3")
        p.link("strap-di.out-1", "ear-mix.mic-1", "xlr 10")
        return
    p.unit("strap-adapter", "adapter-trs6f-xlr3m", "Adapter to XLR")
    p.link("strap.out-l", "strap-adapter.in", "ts 4")
    p.link("strap-adapter.out", "ear-mix.line-3", "xlr-trs 5")


@SIGNAL.of("balance.unbalanced-into-mic", "risk", at="link:ukulele-out-to-ear-mix", number="= 7.06 mA would flow")
def unbalanced_into_mic(p: Plan, mended: bool) -> None:
    p.unit("ukulele", "ukulele-electric", "Ukulele")
    if mended:
        p.link("ukulele.out", "bass-amp.in-2", "ts 3")
    else:
        p.link("ukulele.out", "ear-mix.mic-2", "ts-xlr 3")


@SIGNAL.of("balance.leg-lost", "note", at="link:sub-mix-main-r-to-rotary", number="20 log(1 / 2) = −6.02 dB")
def leg_lost(p: Plan, mended: bool) -> None:
    p.unit("rotary", "rotary-cabinet", "Rotary cabinet")
    if not mended:
        p.link("sub-mix.main-r", "rotary.in", "xlr-ts 3")
        return
    p.unit("rotary-iso", "line-isolator", "Isolator at the rotary cabinet")
    p.link("sub-mix.main-r", "rotary-iso.in", "xlr 3")
    p.link("rotary-iso.out", "rotary.in", "xlr-ts 1.5")


@SIGNAL.of("phantom.missing", "fault", at="unit:over.out", number="wanted: 48 V, 4 mA")
def missing(p: Plan, mended: bool) -> None:
    p.unit("rack", "mixer-rack-16", "Rack mixer")
    p.unit("over", "condenser-pencil", "Overhead mic")
    p.link("over.out", "rack.in-1", "xlr 5")
    if mended:
        p.set("rack.in-1", phantom=True)


@SIGNAL.of("phantom.harmed", "fault", at="unit:ribbon.out unit:rack.in-2", number="48 V / 6.8 kΩ = 7.1 mA")
def harmed(p: Plan, mended: bool) -> None:
    p.unit("ribbon", "ribbon-figure-8", "Ribbon mic")
    p.link("ribbon.out", "rack.in-2", "xlr 5")
    p.set("rack.in-2", phantom=not mended)


@SIGNAL.of("phantom.lifted", "fault", at="unit:lead.out landing:lead-vox house_unit:box.in-1", number="0 mA flow")
def lifted(p: Plan, mended: bool) -> None:
    p.unit("lead", "condenser-handheld", "Lead vox mic")
    p.land("lead.out", "in-1", "xlr 5", *(() if mended else ("adapter-xlr-lift in out",)), name="Lead vox")


@SIGNAL.of(
    "phantom.two-supplies", "risk", at="unit:rack.in-3 house_unit:box.in-4 unit:guest-split.in",
    number="2 × 14.1 mA = 28.2 mA",
)
def two_supplies(p: Plan, mended: bool) -> None:
    p.unit("guest", "condenser-handheld", "Guest vox mic")
    p.set("rack.in-3", phantom=not mended)
    if mended:
        p.land("guest.out", "in-4", "xlr 5", name="Guest vox")
        return
    p.unit("guest-split", "y-lead-xlr", "Guest split")
    p.link("guest.out", "guest-split.in", "xlr 5")
    p.link("guest-split.out-1", "rack.in-3", "xlr 3")
    p.land("guest-split.out-2", "in-4", "xlr 5", name="Guest vox")


@SIGNAL.of(
    "phantom.through-split", "risk", at="house_unit:box.in-5 unit:lobby.mic unit:hall-split.in",
    number="48 V / 6.8 kΩ = 7.06 mA",
)
def through_split(p: Plan, mended: bool) -> None:
    p.unit("hall", "condenser-omni", "Hall mic")
    p.unit("lobby", "speaker-column-powered", "Lobby loudspeaker")
    if mended:
        p.land("hall.out", "in-5", "xlr 5", name="Hall")
        return
    p.unit("hall-split", "y-lead-xlr", "Hall split")
    p.link("hall.out", "hall-split.in", "xlr 5")
    p.link("hall-split.out-1", "lobby.mic", "xlr 3")
    p.land("hall-split.out-2", "in-5", "xlr 5", name="Hall")


SIGNAL.also(
    "ground.loop-balanced", "note", at="link:guest-split-out-1-to-rack link:hall-split-out-1-to-lobby",
    number="Stage box → house earth → outlet Stage left → Rack mixer earth",
)


@SIGNAL.of(
    "phantom.draw", "risk", at="unit:valve-mic.out house_unit:box.in-6", number="48 V − 12 mA × 3.4 kΩ = 7.2 V"
)
def draw(p: Plan, mended: bool) -> None:
    carrier = Audio(
        medium="audio", level="mic", balance="balanced", nominal_dbu=-36.0, max_dbu=-10.0, ohm=150.0,
        phantom="needs", phantom_ma=4.0 if mended else 12.0,
    )  # fmt: skip
    out = Port(id="out", name="Output", direction="out", connector="xlr3.m", carrier=carrier)
    p.own(own("valve-condenser", "Condenser microphone with a valve stage", out))
    p.unit("valve-mic", "valve-condenser", "Valve mic")
    p.land("valve-mic.out", "in-6", "xlr 5", name="Accordion")
