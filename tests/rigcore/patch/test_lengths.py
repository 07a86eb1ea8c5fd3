"""Cable runs: length by way, slack and height, and that the three rigs worked by hand come out as on paper."""

from __future__ import annotations

import pytest

from rigcore import resources
from rigcore.book.edits.gigs import bind_landing, place_here
from rigcore.book.edits.links import bundle
from rigcore.book.edits.rebuild import checked
from rigcore.book.edits.units import change_unit, move_on_stage
from rigcore.book.file import load
from rigcore.book.gig import Placement
from rigcore.book.house import Riser, Stage
from rigcore.book.rig import Link, Stand
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import Patch, build_patch
from rigcore.patch.lengths import CableRun, cable_runs, has_distances, required_m, way_between
from tests.rule_samples.plan import Plan


def _patch(plan: Plan) -> Patch:
    return build_patch(plan.book, None, shipped())


def _sample(name: str) -> dict[str, CableRun]:
    book, _ = load(resources.samples() / f"{name}.loom", shipped())
    patch = build_patch(book, None, shipped())
    return {run.of.id if isinstance(run.of, Link) else run.of.hand_off: run for run in cable_runs(patch)}


def _pair(first: tuple[float, float], second: tuple[float, float], cable: str = "ts 3") -> Plan:
    plan = Plan()
    plan.house(stage=Stage(width_m=10.0, depth_m=8.0))
    for name, (x, y) in (("one", first), ("two", second)):
        plan.unit(name, "splitter-1x2", name.capitalize())
        plan.book = move_on_stage(plan.book, "rig", name, (x, y, 0.0))
    plan.link("one.direct", "two.in", cable)
    return plan


def _size() -> tuple[float, float]:
    gear = shipped().gear_type("splitter-1x2")
    return gear.width_m, gear.depth_m


def test_way_slack_and_sum() -> None:
    """3 m between the boxes, a tenth more, half a metre at each end: 3 × 1.1 + 1 = 4.3 m."""
    width, _ = _size()
    [run] = cable_runs(_patch(_pair((0.0, 4.0), (3.0 + width, 4.0), "xlr 5")))
    assert run.way is not None
    assert (run.way.plan_m, run.way.rise_m) == (pytest.approx(3.0), 0.0)
    assert run.way.slack_m == pytest.approx(1.3)
    assert (run.required_m, run.assigned_m, run.reaches_by_m) == (4.3, 5.0, 0.7)
    assert run.bare_m == 3.0
    assert run.points == ((width / 2, 4.0), (3.0 + width / 2, 4.0))


def test_short_is_below_zero() -> None:
    width, _ = _size()
    [run] = cable_runs(_patch(_pair((0.0, 4.0), (3.0 + width, 4.0), "xlr 3")))
    assert run.reaches_by_m == -1.3


def test_without_a_place_nothing_is_known() -> None:
    plan = _pair((0.0, 4.0), (3.0, 4.0))
    plan.unit("three", "splitter-1x2", "Three")
    plan.link("one.isolated", "three.in", "xlr 5")
    _, run = cable_runs(_patch(plan))
    assert (run.way, run.required_m, run.bare_m, run.reaches_by_m, run.points) == (None, None, None, None, ())
    assert run.assigned_m == 5.0


def test_a_cable_whose_length_nobody_chose_is_not_judged() -> None:
    plan = _pair((0.0, 4.0), (3.0, 4.0))
    rig = plan.book.rig("rig")
    link = checked(rig.links[0], length_m=None)
    plan.book = checked(plan.book, rigs=(checked(rig, links=(link,)),))
    [run] = cable_runs(_patch(plan))
    assert run.required_m is not None
    assert (run.assigned_m, run.reaches_by_m) == (None, None)


@pytest.mark.parametrize(
    ("second", "riser_m", "stand", "rise_m"),
    [
        ((3.0, 6.0), 0.4, None, 0.0),  # both on the stage's floor
        ((3.0, 2.0), 0.4, None, 0.4),  # the second on the riser
        ((3.0, 2.0), 0.4, "round base", 2.0),  # and the first on a stand of 1.6 m
        ((-3.0, -1.0), 0.4, None, 1.0),  # the second on the floor before a stage of 1 m
    ],
)
def test_heights_count_where_they_are_known(
    second: tuple[float, float], riser_m: float, stand: str | None, rise_m: float
) -> None:
    plan = _pair((-3.0, 6.0), second)
    riser = Riser(id="riser", name="Riser", x_m=3.0, y_m=2.0, width_m=2.0, depth_m=2.0, height_m=riser_m)
    plan.house(stage=Stage(width_m=10.0, depth_m=8.0, height_m=1.0, risers=(riser,)))
    if stand is not None:
        plan.book = change_unit(plan.book, "rig", "one", stand=Stand(kind=stand))  # type: ignore[arg-type]
    [run] = cable_runs(_patch(plan))
    assert run.way is not None
    assert run.way.rise_m == pytest.approx(rise_m)


def test_two_on_one_riser_climb_nothing_and_a_riser_may_be_gear() -> None:
    plan = _pair((-0.5, 4.0), (0.5, 4.0))
    plan.unit("riser", "riser-2x1", "Riser")
    plan.book = move_on_stage(plan.book, "rig", "riser", (0.0, 4.0, 0.0))
    [run] = cable_runs(_patch(plan))
    assert run.way is not None
    assert run.way.rise_m == 0.0
    plan.book = move_on_stage(plan.book, "rig", "two", (3.0, 4.0, 0.0))
    [run] = cable_runs(_patch(plan))
    assert run.way is not None
    assert run.way.rise_m == pytest.approx(0.4)


def test_round_gear_that_stands_there_but_not_round_a_small_box() -> None:
    width, _ = _size()
    straight = required_m(_patch(_pair((-2.0, 4.0), (2.0, 4.0))), ("rig", "one"), ("rig", "two"))
    for gear, goes_round in (("di-passive", False), ("powered-monitor", True)):
        plan = _pair((-2.0, 4.0), (2.0, 4.0))
        plan.unit("there", gear, "There")
        plan.book = move_on_stage(plan.book, "rig", "there", (0.0, 4.0, 0.0))
        found = required_m(_patch(plan), ("rig", "one"), ("rig", "two"))
        assert found is not None
        assert straight is not None
        assert (found > straight) == goes_round
    assert width > 0


def test_positions_are_those_of_the_gig() -> None:
    plan = _pair((0.0, 4.0), (3.0, 4.0))
    before = required_m(_patch(plan), ("rig", "one"), ("rig", "two"))
    plan.book = place_here(plan.book, "gig", Placement(unit="two", x_m=1.0, y_m=4.0))
    after = required_m(_patch(plan), ("rig", "one"), ("rig", "two"))
    assert before is not None
    assert after is not None
    assert before - after == pytest.approx(2.0 * 1.1)


def test_a_hand_off_and_any_socket_both_ways_round() -> None:
    plan = _pair((0.0, 4.0), (1.0, 4.0))
    [box] = plan.book.houses[0].units
    assert required_m(_patch(plan), ("rig", "one"), ("house", "box")) is None
    plan.house(units=(checked(box, x_m=-4.0, y_m=2.0),))
    patch = _patch(plan)
    there, back = (way_between(patch, *pair) for pair in (
        (("rig", "one"), ("house", "box")), (("house", "box"), ("rig", "one")),
    ))  # fmt: skip
    assert there is not None
    assert back is not None
    assert there.points == back.points[::-1]
    assert there.required_m == back.required_m == required_m(patch, ("house", "box"), ("rig", "one"))


def test_a_landing_counts_all_cables_of_its_chain_and_a_stated_distance_stands() -> None:
    plan = Plan()
    plan.unit("keys", "stage-piano-88", "Keys")
    plan.land("keys.out-l", "in-1", "ts 3", "di-passive in-1 out-1", "xlr 5", name="Keys")
    [run] = cable_runs(_patch(plan))
    assert (run.assigned_m, run.required_m) == (8.0, None)
    [landing] = plan.book.gig().landings
    plan.book = bind_landing(plan.book, "gig", checked(landing, length_m=9.0), shipped())
    patch = _patch(plan)
    [run] = cable_runs(patch)
    assert has_distances(patch)
    assert (run.required_m, run.bare_m, run.reaches_by_m) == (9.0, 9.0, -1.0)


def test_a_loom_shares_one_way() -> None:
    """Two keyboards apart into one mixer: dressed together, both go by the way of the further one."""
    plan = Plan()
    plan.house(stage=Stage(width_m=12.0, depth_m=10.0))
    for name, gear, x, y in (
        ("left", "di-passive", -3.0, 5.0), ("right", "di-passive", -2.0, 6.5), ("mixer", "mixer-in-ear", 3.0, 5.0),
    ):
        plan.unit(name, gear, name)
        plan.book = move_on_stage(plan.book, "rig", name, (x, y, 0.0))
    plan.link("left.out-1", "mixer.mic-1", "xlr 10")
    plan.link("right.out-1", "mixer.mic-2", "xlr 10")
    apart = cable_runs(_patch(plan))
    plan.book = bundle(plan.book, "rig", [link.id for link in plan.book.rig("rig").links], "Loom")
    other, trunk = cable_runs(_patch(plan))
    assert trunk.way == apart[1].way
    assert other.points[-1] == trunk.points[-1]
    assert set(trunk.points[1:]) <= set(other.points)
    assert other.way is not None
    assert apart[0].way is not None
    assert other.way.plan_m >= apart[0].way.plan_m


# -- the rigs worked by hand (worked examples of our own) -------------------------------------------------------


def test_tandem_reaches_the_drop_with_leads_of_5_m() -> None:
    """On paper the drop is 3.5 m away, with 1 m of slack 4.5 m; the plan says the same to within 0.3 m."""
    runs = _sample("tandem")
    drop = [runs[name].required_m for name in ("synth-l", "synth-r", "tracks-l", "tracks-r")]
    assert drop == [pytest.approx(4.5, abs=0.3)] * 4
    assert all(run.reaches_by_m >= 0 for run in runs.values() if run.reaches_by_m is not None)
    iso = runs["splitter-isolated-to-in-ear-mixer"]
    assert iso.assigned_m == 1.5
    assert iso.required_m is not None
    assert iso.required_m <= 1.5


def test_piper_keeps_the_12_m_it_was_told() -> None:
    """9 m along the floor and 1.5 m up at each end: 12 m of cable."""
    run = _sample("piper")["ceiling-feed"]
    assert (run.way, run.stated_m, run.required_m, run.assigned_m) == (None, 12.0, 12.0, None)


@pytest.mark.parametrize("name", ["piper", "tandem", "ferry"])
def test_everything_planned_on_paper_reaches(name: str) -> None:
    known = [run.reaches_by_m for run in _sample(name).values() if run.reaches_by_m is not None]
    assert len(known) >= 5
    assert min(known) >= 0.0
