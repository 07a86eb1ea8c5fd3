"""Samples of the family ``cable``: too short for the way, longer than there is, too few, too far for it."""

from __future__ import annotations

from rigcore.book.edits.rebuild import checked
from rigcore.book.edits.units import move_on_stage
from rigcore.book.house import Riser, Stage
from rigcore.book.stock import StockItem
from tests.rule_samples.plan import Kind, Plan, Samples

SAMPLES = Samples()


def _stand(p: Plan, unit: str, x_m: float, y_m: float) -> None:
    p.book = move_on_stage(p.book, "rig", unit, (x_m, y_m, 0.0))


def _own(p: Plan, *stock: tuple[str, float, int]) -> None:
    items = tuple(StockItem(kind="cable", type=name, length_m=length, count=count) for name, length, count in stock)
    p.book = checked(p.book, stock=items)


@SAMPLES.of(
    "cable.does-not-reach",
    bad="A 5 m cable from a splitter on the riser to a box at the other end of the stage",
    good="A 10 m cable for the same way",
    near_miss="The 5 m cable for a splitter that stands 3 m from the box",
)
def does_not_reach(p: Plan, kind: Kind) -> None:
    riser = Riser(id="riser", name="Riser", x_m=-3.0, y_m=4.5, width_m=2.0, depth_m=2.0, height_m=0.4)
    [box] = p.book.houses[0].units
    p.house(stage=Stage(width_m=8.0, depth_m=6.0, risers=(riser,)), units=(checked(box, x_m=2.0, y_m=2.0),))
    p.unit("voice", "dynamic-handheld", "Voice")
    p.unit("splitter", "splitter-1x2", "Splitter")
    _stand(p, "splitter", *((-1.2, 2.0) if kind == "near_miss" else (-3.0, 4.5)))
    p.link("voice.out", "splitter.in", "xlr 5")
    p.land("splitter.direct", "in-1", "xlr 10" if kind == "good" else "xlr 5", name="Lead vox")


@SAMPLES.of(
    "cable.longer-than-stock",
    bad="A voice lands 14 m away, and the longest cable left over is 10 m",
    good="Two of 10 m joined over the same 14 m",
    near_miss="The voice lands 14 m away, and a cable of 20 m is left over",
)
def longer_than_stock(p: Plan, kind: Kind) -> None:
    _own(p, ("xlr", 5.0, 2), ("xlr", 10.0, 2), *([("xlr", 20.0, 1)] if kind == "near_miss" else []))
    p.unit("voice", "dynamic-handheld", "Voice")
    if kind == "bad":
        p.intend("voice.out", "in-1", 14.0, name="Lead vox")
    elif kind == "good":
        p.land("voice.out", "in-1", "xlr 10", "xlr 10", name="Lead vox")
    else:
        p.land("voice.out", "in-1", "xlr 20", name="Lead vox")


@SAMPLES.of(
    "cable.not-enough",
    bad="Three voices on 5 m cables, and two of them are carried",
    good="Three voices on 5 m cables, and three of them are carried",
    near_miss="Three voices on 5 m cables, two of 5 m and one of 10 m carried",
)
def not_enough(p: Plan, kind: Kind) -> None:
    extra = {"bad": [("xlr", 3.0, 1)], "good": [("xlr", 5.0, 1)], "near_miss": [("xlr", 10.0, 1)]}[kind]
    _own(p, ("xlr", 5.0, 2), *extra)
    for number in (1, 2, 3):
        p.unit(f"voice-{number}", "dynamic-handheld", f"Voice {number}")
        p.land(f"voice-{number}.out", f"in-{number}", "xlr 5", name=f"Vox {number}")


@SAMPLES.of(
    "cable.over-run",
    bad="Headphones on an extension of 9 m",
    good="Headphones on an extension of 3 m",
    near_miss="Headphones on an extension of 6 m, the longest that is sensible",
)
def over_run(p: Plan, kind: Kind) -> None:
    p.unit("mixer", "mixer-in-ear", "In-ear mixer")
    p.unit("phones", "headphones-635", "Headphones")
    length = {"bad": 9, "good": 3, "near_miss": 6}[kind]
    p.link("mixer.phones", "phones.in", f"phones-extension {length}")
