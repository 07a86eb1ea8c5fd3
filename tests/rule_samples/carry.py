"""Samples of the family ``carry``: the weight of a case, the room in a rack, and spares."""

from __future__ import annotations

from rigcore.book.edits.rebuild import checked, put_rig
from rigcore.book.edits.units import change_unit
from rigcore.book.rig import Case
from rigcore.book.stock import StockItem
from tests.rule_samples.plan import Kind, Plan, Samples

SAMPLES = Samples()


def _case(p: Plan, name: str, mass_kg: float, rack_u: float, *units: str) -> None:
    """Pack units in a new case."""
    rig = p.book.rig("rig")
    case = Case(id=f"case-{len(rig.cases) + 1}", name=name, mass_kg=mass_kg, rack_u=rack_u)
    p.book = put_rig(p.book, checked(rig, cases=(*rig.cases, case)))
    for unit in units:
        p.book = change_unit(p.book, "rig", unit, case=case.id)


@SAMPLES.of(
    "carry.over-lift",
    bad="Piano and synthesizer share one case of 28 kg",
    good="Piano and synthesizer travel in two cases",
    near_miss="A piano in its case weighs exactly 25 kg",
)
def over_lift(p: Plan, kind: Kind) -> None:
    p.unit("piano", "stage-piano-88", "Piano")
    if kind == "near_miss":
        _case(p, "Piano case", 13.0, 0.0, "piano")
        return
    p.unit("synth", "synth-61", "Synth")
    if kind == "bad":
        _case(p, "Keys case", 8.0, 0.0, "piano", "synth")
    else:
        _case(p, "Piano case", 8.0, 0.0, "piano")
        _case(p, "Synth case", 4.0, 0.0, "synth")


@SAMPLES.of(
    "carry.rack-full",
    bad="A line mixer and an in-ear mixer of 3 U in a rack of 2 U",
    good="A line mixer and an in-ear mixer of 3 U in a rack of 4 U",
    near_miss="A line mixer and an in-ear mixer of 3 U in a rack of 3 U",
)
def rack_full(p: Plan, kind: Kind) -> None:
    p.unit("mixer", "mixer-line-8", "Line mixer")
    p.unit("ears", "mixer-in-ear", "In-ear mixer")
    _case(p, "Rack", 7.0, {"bad": 2.0, "good": 4.0, "near_miss": 3.0}[kind], "mixer", "ears")


@SAMPLES.of(
    "carry.no-spare",
    bad="A voice that must land goes through the only splitter",
    good="A second splitter is packed for a voice that must land",
    near_miss="A voice that must land goes by a lead and a DI box, which any house lends",
)
def no_spare(p: Plan, kind: Kind) -> None:
    leads = StockItem(kind="cable", type="xlr", length_m=5.0, count=2)
    p.book = checked(p.book, stock=(leads,))
    p.unit("vox", "dynamic-handheld", "Vox mic")
    if kind == "near_miss":
        p.land("vox.out", "in-1", "xlr 5", name="Vox")
        p.unit("piano", "stage-piano-88", "Piano")
        p.land("piano.out-l", "in-2", "ts 3", "di-passive in-1 out-1", "xlr 5", name="Piano")
        return
    p.unit("splitter", "splitter-1x2", "Splitter")
    p.link("vox.out", "splitter.in", "xlr 5")
    p.land("splitter.direct", "in-1", "xlr 5", name="Vox")
    if kind == "good":
        p.book = checked(p.book, stock=(leads, StockItem(kind="gear", type="splitter-1x2", count=2)))
