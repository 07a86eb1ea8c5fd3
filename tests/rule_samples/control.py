"""Samples of the family ``control``: pedals, MIDI, USB, clocks. Gear the catalogue lacks is the book's own."""

from __future__ import annotations

from typing import Literal

from rigcore.catalogue.carriers import Carrier, DigitalAudio, Expression, FootSwitch, Midi, Usb, WordClock
from rigcore.catalogue.gear import Category, GearType, Path, Port
from tests.rule_samples.plan import Kind, Plan, Samples

SAMPLES = Samples()


def port(port_id: str, direction: Literal["in", "out", "both"], connector: str, carrier: Carrier) -> Port:
    """Return a port named after its id."""
    return Port(
        id=port_id, name=port_id.capitalize().replace("-", " "), direction=direction, connector=connector,
        carrier=carrier,
    )


def gear(gear_id: str, category: Category, *ports: Port, paths: tuple[Path, ...] = ()) -> GearType:
    """Return a small gear type of the book's own."""
    name = gear_id.capitalize().replace("-", " ")
    return GearType(
        id=gear_id, name=name, category=category, ports=ports, paths=paths,
        width_m=0.3, depth_m=0.2, height_m=0.1, mass_kg=1.0,
    )


def _switch_keys(rest: Literal["open", "closed", "either"], *, senses: bool = False) -> GearType:
    carrier = FootSwitch(medium="footswitch", rest=rest, senses=senses)
    return gear("plain-organ", "keys", port("pedal", "in", "trs6.f", carrier))


@SAMPLES.of(
    "control.pedal-polarity",
    bad="A sustain pedal that rests open in an organ that expects closed",
    good="A pedal that rests closed in the same organ",
    near_miss="The open pedal in a stage piano that learns which it is",
)
def pedal_polarity(p: Plan, kind: Kind) -> None:
    p.own(_switch_keys("closed"))
    p.unit("keys", "stage-piano-88" if kind == "near_miss" else "plain-organ", "Organ")
    p.unit("pedal", "pedal-sustain-closed" if kind == "good" else "pedal-sustain-open", "Sustain pedal")
    p.link("pedal.out", "keys.pedal")


@SAMPLES.of(
    "control.pedal-switch",
    bad="A pedal with its own polarity switch in an organ that expects closed",
    good="A pedal that rests closed by itself in the same organ",
    near_miss="The pedal with the switch in a piano that takes either",
)
def pedal_switch(p: Plan, kind: Kind) -> None:
    p.own(_switch_keys("closed"))
    p.unit("keys", "stage-piano-88" if kind == "near_miss" else "plain-organ", "Organ")
    p.unit("pedal", "pedal-sustain-closed" if kind == "good" else "pedal-sustain-either", "Sustain pedal")
    p.link("pedal.out", "keys.pedal")


@SAMPLES.of(
    "control.pedal-senses",
    bad="A piano reads its sustain pedal when it is switched on",
    good="An organ takes either pedal and does not read it at switch-on",
    near_miss="The piano that reads at switch-on has no pedal plugged in",
)
def pedal_senses(p: Plan, kind: Kind) -> None:
    p.own(_switch_keys("either"))
    p.unit("keys", "plain-organ" if kind == "good" else "stage-piano-88", "Keys")
    p.unit("pedal", "pedal-sustain-closed", "Sustain pedal")
    if kind != "near_miss":
        p.link("pedal.out", "keys.pedal")


@SAMPLES.of(
    "control.expression-wiring",
    bad="A swell pedal with its wiper on the ring in an organ that reads the tip",
    good="A swell pedal with its wiper on the tip in the same organ",
    near_miss="The pedal with its wiper on the ring in a synth that can be set to either",
)
def expression_wiring(p: Plan, kind: Kind) -> None:
    carrier = Expression(medium="expression", wiper="tip", ohm=10000.0)
    p.own(gear("tip-organ", "keys", port("expression", "in", "trs6.f", carrier)))
    p.unit("keys", "synth-61" if kind == "near_miss" else "tip-organ", "Organ")
    p.unit("pedal", "pedal-expression-tip" if kind == "good" else "pedal-expression-ring", "Swell pedal")
    p.link("pedal.out", "keys.expression")


MIDI = Midi(medium="midi")

MIDI_Y = gear(
    "midi-y-lead", "adapter", port("in", "in", "din5.m", MIDI), port("out-1", "out", "din5.m", MIDI),
    port("out-2", "out", "din5.m", MIDI),
    paths=(Path(source="in", target="out-1", kind="wire"), Path(source="in", target="out-2", kind="wire")),
)


@SAMPLES.of(
    "control.midi-split",
    bad="A passive Y-lead brings one MIDI output to two sound modules",
    good="A thru box with electronics brings it to both",
    near_miss="The Y-lead with only one of its ends plugged in",
)
def midi_split(p: Plan, kind: Kind) -> None:
    p.own(MIDI_Y)
    p.unit("keys", "controller-61", "Controller")
    for number in (1, 2):
        p.unit(f"module-{number}", "sound-module", f"Module {number}")
    if kind == "good":
        p.unit("thru", "midi-thru-box-4", "Thru box")
        p.link("keys.midi-out", "thru.midi-in", "midi 3")
        for number in (1, 2):
            p.link(f"thru.midi-thru-{number}", f"module-{number}.midi-in", "midi 1.5")
        return
    p.unit("split", "midi-y-lead", "Y-lead")
    p.link("keys.midi-out", "split.in")
    p.link("split.out-1", "module-1.midi-in")
    if kind == "bad":
        p.link("split.out-2", "module-2.midi-in")


def _trs_synth(wiring: Literal["type-a", "type-b"]) -> GearType:
    carrier = Midi(medium="midi", wiring=wiring)
    return gear("small-synth", "keys", port("midi-in", "in", "trs3.f", carrier))


@SAMPLES.of(
    "control.midi-wiring",
    bad="A drum machine wired type A plays a small synth wired type B over a straight lead",
    good="Both are wired type A on 3.5 mm sockets",
    near_miss="A synth with the round 5-pin plug has only one wiring",
)
def midi_wiring(p: Plan, kind: Kind) -> None:
    if kind == "near_miss":
        p.unit("drums", "synth-61", "Drums")
        p.unit("synth", "sound-module", "Synth")
        p.link("drums.midi-out", "synth.midi-in", "midi 3")
        return
    p.own(_trs_synth("type-b" if kind == "bad" else "type-a"))
    p.unit("drums", "drum-machine", "Drums")
    p.unit("synth", "small-synth", "Synth")
    p.link("drums.midi-out", "synth.midi-in", "midi-trs 1.5")


@SAMPLES.of(
    "control.too-long",
    bad="A controller is 16 m of MIDI cable away from its sound module",
    good="6 m of MIDI cable lie between them",
    near_miss="Exactly 15 m of MIDI cable lie between them",
)
def too_long(p: Plan, kind: Kind) -> None:
    p.unit("keys", "controller-61", "Controller")
    p.unit("module", "sound-module", "Module")
    p.link("keys.midi-out", "module.midi-in", {"bad": "midi 16", "good": "midi 6", "near_miss": "midi 15"}[kind])


USB_DEVICE = Usb(medium="usb", role="device", current_ma=100.0)

CLIP_LAMP = gear(
    "chain-lamp", "other",
    port("usb", "in", "usb-b.f", Usb(medium="usb", role="device", current_ma=200.0)),
)
HUB = gear(
    "small-hub", "other", port("up", "in", "usb-b.f", USB_DEVICE),
    *(port(f"down-{n}", "out", "usb-a.f", Usb(medium="usb", role="host", current_ma=500.0)) for n in (1, 2)),
)


@SAMPLES.of(
    "control.usb-roles",
    bad="A controller is plugged into a piano by USB, and both are devices",
    good="The controller is plugged into a laptop by USB",
    near_miss="The controller plays the piano by MIDI, which has no hosts",
)
def usb_roles(p: Plan, kind: Kind) -> None:
    p.unit("keys", "controller-61", "Controller")
    p.unit("other", "laptop" if kind == "good" else "stage-piano-88", "Laptop" if kind == "good" else "Piano")
    if kind == "near_miss":
        p.link("keys.midi-out", "other.midi-in", "midi 3")
    elif kind == "good":
        p.link("other.usb-2", "keys.usb", "usb-a-b 2")
    else:
        p.own(gear("plain-controller", "controller", port("usb", "both", "usb-a.f", USB_DEVICE)))
        p.unit("third", "plain-controller", "Pads")
        p.link("third.usb", "other.usb", "usb-a-b 2")


@SAMPLES.of(
    "control.usb-power",
    bad="A hub without a supply feeds a controller and a lamp from one port of a laptop",
    good="The lamp hangs on a port of its own",
    near_miss="Two small lamps on the hub draw exactly what the port gives",
)
def usb_power(p: Plan, kind: Kind) -> None:
    p.own(HUB)
    p.own(CLIP_LAMP)
    p.unit("laptop", "laptop", "Laptop")
    p.unit("hub", "small-hub", "Hub")
    p.link("laptop.usb-2", "hub.up", "usb-a-b 1")
    p.unit("lamp", "chain-lamp", "Lamp")
    p.link("hub.down-2", "lamp.usb", "usb-a-b 1")
    if kind == "near_miss":
        p.unit("second", "chain-lamp", "Second lamp")
        p.link("hub.down-1", "second.usb", "usb-a-b 1")
        return
    p.unit("keys", "controller-61", "Controller")
    if kind == "bad":
        p.link("hub.down-1", "keys.usb", "usb-a-b 2")
    else:
        p.link("laptop.usb-1", "keys.usb", "usb-c-b 2")


def clocked(gear_id: str, role: Literal["master", "follower", "either"]) -> GearType:
    """Return an interface of the book's own with one word clock socket."""
    clock = WordClock(medium="wordclock", role=role)
    digital = DigitalAudio(medium="optical")
    return gear(
        gear_id, "processor", port("wordclock", "both", "bnc.f", clock), port("optical-in", "in", "f05.f", digital)
    )


@SAMPLES.of(
    "control.word-clock",
    bad="A converter and a recorder are both clock masters, joined by word clock",
    good="The converter is master and the recorder follows",
    near_miss="An interface that can be either follows the one master",
)
def word_clock(p: Plan, kind: Kind) -> None:
    p.own(clocked("converter", "master"))
    p.own(clocked("recorder", "master" if kind == "bad" else "follower"))
    p.unit("converter", "converter", "Converter")
    p.unit("recorder", "interface-8" if kind == "near_miss" else "recorder", "Recorder")
    p.link("converter.wordclock", "recorder.wordclock", "bnc 3")
