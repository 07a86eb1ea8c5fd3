"""Samples of the family ``ground``: loops of screens and earths, and where they are opened."""

from __future__ import annotations

from rigcore.book.edits.units import change_unit, move_on_stage
from rigcore.book.house import PowerDrop, Stage
from tests.rule_samples.plan import Kind, Plan, Samples

SAMPLES = Samples()

LEFT = PowerDrop(id="left", name="Left", x_m=3.0, y_m=3.0, outlets=4, circuit="A")
RIGHT = PowerDrop(id="right", name="Right", x_m=-3.0, y_m=3.0, outlets=4, circuit="B")


def _drops(p: Plan, *drops: PowerDrop) -> None:
    p.house(stage=Stage(width_m=8.0, depth_m=5.0, power=drops))
    p.says(circuit="stage left A, stage right B")


def _stand(p: Plan, unit: str, x_m: float) -> None:
    p.book = move_on_stage(p.book, "rig", unit, (x_m, 2.0, 0.0))


@SAMPLES.of(
    "ground.loop-unbalanced",
    bad="An earthed synth goes by an active DI box, its lift closed, to the house's stage box",
    good="The ground lift of the DI box is open",
    near_miss="A double-insulated piano by the same DI box has no earth to close a loop",
)
def loop_unbalanced(p: Plan, kind: Kind) -> None:
    _drops(p, LEFT)
    p.unit("keys", "stage-piano-88" if kind == "near_miss" else "synth-61", "Keys")
    p.unit("di", "di-active", "DI")
    p.link("keys.out-l", "di.in-1", "ts 3")
    p.set("di.in-1", pad=True)
    if kind == "good":
        p.set("di.out-1", lift=True)
    p.land("di.out-1", "in-1", "xlr 5", name="Keys")


@SAMPLES.of(
    "ground.loop-balanced",
    bad="The return of an ear mix joins the earth of the own mixer to that of the stage box",
    good="A pin-1 lift adapter opens the screen of the return at one end",
    near_miss="A transformer stands in the return: both earths stay apart",
)
def loop_balanced(p: Plan, kind: Kind) -> None:
    _drops(p, LEFT)
    p.unit("mixer", "mixer-in-ear", "Ear mixer")
    between = {"good": ["adapter-xlr-lift in out"], "near_miss": ["line-isolator in out"]}.get(kind, [])
    p.land("mixer.line-1", "mix-1", *between, "xlr-trs 5", name="Ear mix")


@SAMPLES.of(
    "ground.charger",
    bad="A laptop on its earthed charger plays into an earthed mixer",
    good="The laptop is noted to run on battery during the set",
    near_miss="A tablet with a double-insulated charger plays into the same mixer",
)
def charger(p: Plan, kind: Kind) -> None:
    _drops(p, LEFT)
    p.unit("mixer", "mixer-in-ear", "Ear mixer")
    if kind == "near_miss":
        p.unit("tablet", "tablet", "Tracks")
        p.unit("lead", "y-lead-trs3-2ts", "Y-lead")
        p.link("tablet.phones", "lead.in")
        p.link("lead.out-1", "mixer.line-1")
        p.link("lead.out-2", "mixer.line-2")
        return
    p.unit("laptop", "laptop-interface-4", "Tracks")
    p.link("laptop.out-1", "mixer.line-1", "trs 3")
    if kind == "good":
        p.book = change_unit(p.book, "rig", "laptop", note="on battery during the set")


@SAMPLES.of(
    "ground.circuits",
    bad="A synth stage left plays into a keyboard amplifier stage right, on another circuit",
    good="Both take their mains stage left, on one circuit",
    near_miss="On two circuits, with a transformer between them",
)
def circuits(p: Plan, kind: Kind) -> None:
    _drops(p, LEFT, RIGHT)
    p.unit("synth", "synth-61", "Synth")
    p.unit("amp", "keyboard-amplifier", "Keyboard amplifier")
    _stand(p, "synth", 0.9)
    _stand(p, "amp", 2.3 if kind == "good" else -0.7)
    if kind != "near_miss":
        p.link("synth.out-l", "amp.line-1", "ts 3")
        return
    p.unit("isolator", "line-isolator", "Isolator")
    p.link("synth.out-l", "isolator.in", "trs-xlr 3")
    p.link("isolator.out", "amp.line-1", "xlr-trs 3")
