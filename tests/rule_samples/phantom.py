"""Samples of the family ``phantom``: who needs 48 V, who gets it, who must not."""

from __future__ import annotations

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
