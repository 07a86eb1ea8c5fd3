"""Samples of the family ``phantom``: who needs 48 V, who gets it, who must not."""

from __future__ import annotations

from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.gear import GearType, Port
from tests.rule_samples.plan import Kind, Plan, Samples

SAMPLES = Samples()


@SAMPLES.of(
    "phantom.missing",
    bad="A condenser microphone on an own mixer with its 48 V off",
    good="The 48 V of that input is on",
    near_miss="A dynamic microphone on the same input needs none",
)
def missing(p: Plan, kind: Kind) -> None:
    p.unit("vox", "dynamic-handheld" if kind == "near_miss" else "condenser-handheld", "Lead vox mic")
    p.unit("mixer", "mixer-in-ear", "Ear mixer")
    p.link("vox.out", "mixer.mic-1", "xlr 5")
    if kind == "good":
        p.set("mixer.mic-1", phantom=True)


@SAMPLES.of(
    "phantom.harmed",
    bad="A piano on a microphone input with 48 V on",
    good="A passive DI keeps 48 V off the piano",
    near_miss="The jack half of the same kind of input carries no 48 V",
)
def harmed(p: Plan, kind: Kind) -> None:
    p.unit("piano", "stage-piano-88", "Piano")
    p.unit("mixer", "mixer-rack-16", "Rack mixer")
    p.set("mixer.in-1", phantom=True)
    if kind == "bad":
        p.link("piano.out-l", "mixer.in-1", "ts-xlr 3")
    elif kind == "near_miss":
        p.link("piano.out-l", "mixer.in-1", "ts 3")
    else:
        p.unit("di", "di-passive", "DI")
        p.link("piano.out-l", "di.in-1", "ts 3")
        p.link("di.out-1", "mixer.in-1", "xlr 3")


@SAMPLES.of(
    "phantom.global-switch",
    bad="A microphone on a mixer with one 48 V switch for all",
    good="A mixer that switches 48 V for each input",
    near_miss="Only line inputs of the mixer with one switch are used",
)
def global_switch(p: Plan, kind: Kind) -> None:
    p.unit("mixer", "mixer-in-ear" if kind == "good" else "mixer-small", "Mixer")
    if kind == "near_miss":
        p.unit("piano", "stage-piano-88", "Piano")
        p.link("piano.out-l", "mixer.line-1", "ts 3")
        return
    p.unit("vox", "dynamic-handheld", "Lead vox mic")
    p.link("vox.out", "mixer.mic-1", "xlr 5")


@SAMPLES.of(
    "phantom.one-leg",
    bad="A condenser microphone lives from one leg of its splitter, and both legs are plugged",
    good="A dynamic microphone does not mind which leg is which",
    near_miss="Only the direct leg is plugged, to the house",
)
def one_leg(p: Plan, kind: Kind) -> None:
    p.unit("vox", "dynamic-handheld" if kind == "good" else "condenser-handheld", "Lead vox mic")
    p.unit("split", "splitter-1x2", "Splitter")
    p.link("vox.out", "split.in", "xlr 5")
    p.land("split.direct", "in-1", "xlr 5", name="Lead vox")
    if kind != "near_miss":
        p.unit("mixer", "mixer-in-ear", "Ear mixer")
        p.link("split.isolated", "mixer.mic-1", "xlr 1.5")


@SAMPLES.of(
    "phantom.lifted",
    bad="A pin-1 lift stands in the line of a condenser microphone",
    good="The condenser's line has its screen joined at both ends",
    near_miss="The same lift in the line of a dynamic microphone, which needs no 48 V",
)
def lifted(p: Plan, kind: Kind) -> None:
    p.unit("vox", "dynamic-handheld" if kind == "near_miss" else "condenser-handheld", "Lead vox mic")
    lift = () if kind == "good" else ("adapter-xlr-lift in out",)
    p.land("vox.out", "in-1", "xlr 5", *lift, name="Lead vox")


def _y_lead(p: Plan) -> None:
    """Split a condenser microphone by a Y-lead to the house."""
    p.unit("vox", "condenser-handheld", "Lead vox mic")
    p.unit("y", "y-lead-xlr", "Y-lead")
    p.link("vox.out", "y.in", "xlr 5")
    p.land("y.out-2", "in-1", "xlr 5", name="Lead vox")


@SAMPLES.of(
    "phantom.two-supplies",
    bad="A condenser on a Y-lead, fed by the own mixer and by the house",
    good="The transformer leg of a splitter keeps the two supplies apart",
    near_miss="The same Y-lead at a house without 48 V: one supply",
)
def two_supplies(p: Plan, kind: Kind) -> None:
    p.unit("mixer", "mixer-rack-16", "Rack mixer")
    p.set("mixer.in-1", phantom=True)
    if kind != "good":
        p.says(phantom="none" if kind == "near_miss" else "per channel")
        _y_lead(p)
        p.link("y.out-1", "mixer.in-1")
        return
    p.unit("vox", "condenser-handheld", "Lead vox mic")
    p.unit("split", "splitter-1x2", "Splitter")
    p.link("vox.out", "split.in", "xlr 5")
    p.link("split.direct", "mixer.in-1", "xlr 1.5")
    p.land("split.isolated", "in-1", "xlr 5", name="Lead vox")


@SAMPLES.of(
    "phantom.through-split",
    bad="48 V of the house passes a Y-lead into a recorder's line input",
    good="The recorder hangs on the transformer leg of a splitter",
    near_miss="The same Y-lead with a dynamic microphone: no 48 V is on",
)
def through_split(p: Plan, kind: Kind) -> None:
    p.unit("recorder", "equaliser-15", "Recorder channel")
    vox = "dynamic-handheld" if kind == "near_miss" else "condenser-handheld"
    p.unit("vox", vox, "Lead vox mic")
    to_house, beside = ("direct", "isolated") if kind == "good" else ("out-2", "out-1")
    p.unit("split", "splitter-1x2" if kind == "good" else "y-lead-xlr", "Split")
    p.link("vox.out", "split.in", "xlr 5")
    p.link(f"split.{beside}", "recorder.in-1", "xlr 3")
    p.land(f"split.{to_house}", "in-1", "xlr 5", name="Lead vox")


@SAMPLES.of(
    "phantom.draw",
    bad="A microphone that draws 12 mA on an input that gives 10 mA",
    good="A microphone that draws 4 mA on the same input",
    near_miss="A microphone that draws 10 mA, exactly what P48 allows",
)
def draw(p: Plan, kind: Kind) -> None:
    draw_ma = {"bad": 12.0, "good": 4.0, "near_miss": 10.0}[kind]
    carrier = Audio(
        medium="audio", level="mic", balance="balanced", nominal_dbu=-36.0, max_dbu=-10.0, ohm=150.0,
        phantom="needs", phantom_ma=draw_ma,
    )  # fmt: skip
    out = Port(id="out", name="Output", direction="out", connector="xlr3.m", carrier=carrier)
    p.own(GearType(
        id="own-condenser", name="Condenser microphone with a valve stage", category="microphone", ports=(out,),
        width_m=0.06, depth_m=0.06, height_m=0.2, mass_kg=0.5,
    ))  # fmt: skip
    p.unit("vox", "own-condenser", "Lead vox mic")
    p.land("vox.out", "in-1", "xlr 5", name="Lead vox")


@SAMPLES.of(
    "phantom.unasked",
    bad="A condenser microphone at a house that has not said how it gives 48 V",
    good="The house says that it switches 48 V for each channel",
    near_miss="The same silent house with a dynamic microphone",
)
def unasked(p: Plan, kind: Kind) -> None:
    if kind != "good":
        p.house(facts=tuple(fact for fact in p.book.houses[0].facts if fact.key != "phantom"))
    p.unit("vox", "dynamic-handheld" if kind == "near_miss" else "condenser-handheld", "Lead vox mic")
    p.land("vox.out", "in-1", "xlr 5", name="Lead vox")
