"""Mains: what is fed from where, what each strip and circuit bears, and what the rules make of it."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.edits.gigs import change_gig
from rigcore.book.edits.links import bundle
from rigcore.book.edits.rebuild import checked, put_rig
from rigcore.book.edits.units import move_on_stage
from rigcore.book.gig import Placement
from rigcore.book.house import PowerDrop, Socket, Stage
from rigcore.book.rig import Unit
from rigcore.book.stock import StockItem
from rigcore.catalogue.carriers import Dc, Mains
from rigcore.catalogue.gear import GearType, Path, Port
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import Patch, build_patch
from rigcore.patch.dc import dc_draws
from rigcore.patch.mains_run import ways
from rigcore.patch.plugs import plugs
from rigcore.patch.power import drop_of, hanging_on, loads, places
from rigcore.rules.rule import Finding
from tests.rule_samples.plan import Plan
from tests.rule_samples.power import mains_gear


def _drop(name: str, x_m: float, **fields: Any) -> PowerDrop:
    given_ = {"id": name.lower().replace(" ", "-"), "name": name, "x_m": x_m, "y_m": 3.0, "outlets": 4,
              "connector": "bs1363.f", **fields}  # fmt: skip
    return PowerDrop(**given_)


def _plan(*drops: PowerDrop) -> Plan:
    plan = Plan()
    plan.house(stage=Stage(width_m=10.0, depth_m=6.0, power=drops))
    return plan


def _patch(plan: Plan) -> Patch:
    return build_patch(plan.book, None, shipped())


def _unit(plan: Plan, unit: str, gear: str, x_m: float | None = None) -> None:
    plan.unit(unit, gear, unit.capitalize())
    if x_m is not None:
        plan.book = move_on_stage(plan.book, "rig", unit, (x_m, 2.0, 0.0))


def _found(book: Book, family: str = "power.") -> dict[str, Finding]:
    return {one.rule: one for one in analyse(book, None, shipped()).findings if one.rule.startswith(family)}


def _wall_unit(plan: Plan, gear: str = "outlet-quad", **place: Any) -> None:
    """Give the house a numbered outlet of its own."""
    outlet = Unit(id="wall", name=place.pop("name", "Wall"), gear=gear, owner="house", **place)
    house = plan.book.houses[0]
    socket = Socket(id="wall-1", unit="wall", ports=("outlet-1",), direction="out", number=1, label="Outlet 1")
    plan.house(units=(*house.units, outlet), sockets=(*house.sockets, socket))


def test_what_has_no_link_is_fed_from_the_nearest_drop() -> None:
    plan = _plan(_drop("Left", -3.0), _drop("Right", 3.0))
    _unit(plan, "piano", "stage-piano-88", -2.0)
    _unit(plan, "synth", "synth-61", 2.0)
    _unit(plan, "tablet", "tablet")
    patch = _patch(plan)
    names = [drop_of(patch, patch.units[one]) for one in ("piano", "synth", "tablet")]
    assert [drop.name for drop in names if drop] == ["Left", "Right", "Left"]
    assert [(one.name, len(one.in_wall)) for one in places(patch)] == [("Left", 2), ("Right", 1)]


def test_links_lead_to_the_wall_of_the_strip_not_of_the_unit() -> None:
    plan = _plan(_drop("Left", -3.0), _drop("Right", 3.0))
    _unit(plan, "strip", "strip-6", -3.0)
    _unit(plan, "synth", "synth-61", 3.0)
    plan.link("strip.outlet-1", "synth.mains", "mains-c13-bs1363 5")
    patch = _patch(plan)
    assert drop_of(patch, patch.units["synth"]) is patch.house.stage.power[0]
    strip = plugs(patch)["rig", "strip"]
    assert (strip.load_va, strip.load_a) == (30.0, pytest.approx(30 / 230))
    assert [one.name for one in hanging_on(patch, strip)] == ["Synth"]


def test_a_landing_through_a_protective_adapter_leads_to_the_house() -> None:
    plan = _plan(_drop("Left", -3.0), _drop("Right", 3.0))
    _wall_unit(plan, x_m=3.0, y_m=3.0)
    _unit(plan, "strip", "strip-6", -3.0)
    _unit(plan, "synth", "synth-61", -3.0)
    chain = ("rcd-adapter mains outlet-1", "extension-bs1363 10")
    plan.land("strip.mains", "wall-1", *chain, name="Mains in", direction="from house")
    patch = _patch(plan)
    assert [(one.name, [plug.name for plug in one.in_wall]) for one in places(patch)] == [
        ("Left", ["Synth"]), ("Right", ["30 mA RCD in-line, BS 1363"]),
    ]  # fmt: skip
    assert plugs(patch)["rig", "strip"].up == ("chain", "mains-in/1")
    assert not [one for one in _found(plan.book, "") if one.startswith("fit")]


def test_a_house_outlet_named_as_a_drop_belongs_to_it() -> None:
    plan = _plan(_drop("Left", -3.0), _drop("Right", 3.0))
    _wall_unit(plan, name="right")
    _unit(plan, "strip", "strip-6", -3.0)
    plan.land("strip.mains", "wall-1", name="Mains in", direction="from house")
    patch = _patch(plan)
    drop = drop_of(patch, patch.units["strip"])
    assert drop is not None
    assert drop.name == "Right"


def test_a_strip_takes_the_largest_first_and_leaves_the_rest_to_the_wall() -> None:
    plan = _plan(_drop("Left", -3.0))
    _unit(plan, "strip", "strip-6")
    for number in range(6):
        _unit(plan, f"synth{number}", "synth-61")
    _unit(plan, "tablet", "tablet")
    (place,) = places(_patch(plan))
    assert [one.name for one in place.in_wall if one.unit] == ["Strip", "Tablet"]
    assert (len(place.loads), place.on_strips) == (7, 6)


def test_strips_in_a_circle_come_to_an_end() -> None:
    plan = _plan(_drop("Left", -3.0))
    for one in ("a", "b"):
        _unit(plan, one, "strip-6")
    plan.link("a.outlet-1", "b.mains")
    plan.link("b.outlet-1", "a.mains")
    _unit(plan, "synth", "synth-61")
    patch = _patch(plan)
    assert sum(one.own_va for one in plugs(patch).values()) == 30.0
    assert len(places(patch)[0].in_wall) == 1


def test_a_transformer_hands_down_its_own_voltage() -> None:
    plan = _plan(_drop("Left", -3.0))
    plan.own(mains_gear("organ-120", "Organ", low_v=110.0, high_v=127.0, watts=60.0))
    _unit(plan, "organ", "organ-120")
    assert "power.wrong-voltage" in _found(plan.book)
    _unit(plan, "step", "isolating-transformer")
    plan.link("step.outlet-1", "organ.mains", "mains-c13-nema5-15 2")
    patch = _patch(plan)
    organ, step = plugs(patch)["rig", "organ"], plugs(patch)["rig", "step"]
    assert (organ.supply_v, organ.load_a, step.supply_v, step.load_va) == (120.0, 0.5, 230.0, 80.0)
    assert ways(patch)["rig", "organ"].drop.supply_v == 120.0
    assert _found(plan.book) == {}


def test_what_the_house_brings_is_its_own_affair_unless_the_rig_feeds_it() -> None:
    plan = _plan(_drop("Left", -3.0))
    plan.book = put_rig(
        plan.book,
        checked(plan.book.rigs[0], units=(Unit(id="wedge", name="Wedge", gear="wedge-powered", owner="house"),)),
    )
    assert plugs(_patch(plan)) == {}
    _unit(plan, "strip", "strip-6")
    plan.link("strip.outlet-1", "wedge.mains", "mains-c13-bs1363 5")
    assert plugs(_patch(plan))["rig", "strip"].load_va == 250.0


def test_a_house_that_says_nothing_has_two_outlets() -> None:
    plan = Plan()
    for one in ("piano", "synth", "tablet"):
        _unit(plan, one, {"piano": "stage-piano-88", "synth": "synth-61", "tablet": "tablet"}[one])
    found = _found(plan.book)["power.outlets"]
    assert found.sentence.startswith("3 outlets needed on stage at Millrace Hall, 2 given")
    assert found.assumed == ("outlets",)
    for remedy in found.remedies:
        assert _found(remedy.apply(plan.book)) == {}
    plan.says(outlets="plenty")
    assert _found(plan.book) == {}


def test_outlets_the_house_has_numbered_are_counted() -> None:
    plan = Plan()
    _wall_unit(plan, "outlet-single")
    _unit(plan, "piano", "stage-piano-88")
    _unit(plan, "synth", "synth-61")
    found = _found(plan.book)["power.outlets"]
    assert (found.assumed, len(found.remedies)) == ((), 1)
    assert _found(found.remedies[0].apply(plan.book)) == {}


def test_a_strip_cannot_help_where_there_is_no_outlet_at_all() -> None:
    plan = _plan(_drop("Left", -3.0, outlets=0))
    _unit(plan, "piano", "stage-piano-88")
    found = _found(plan.book)["power.outlets"]
    assert [one.words for one in found.remedies] == ["Agree 1 outlet at Left with the house"]


def test_so_many_strips_as_it_takes_stand_beside_their_units() -> None:
    plan = _plan(_drop("Left", -3.0, outlets=2), _drop("Right", 3.0))
    for number in range(9):
        _unit(plan, f"synth{number}", "synth-61", -2.0)
    plan.book = change_gig(
        plan.book, "gig", placements=tuple(Placement(unit=f"synth{n}", x_m=-4.0, y_m=5.9) for n in range(9))
    )
    found = _found(plan.book)["power.outlets"]
    assert found.remedies[0].words == "Bring 6-way power strip, BS 1363, 2 of them"
    mended = found.remedies[0].apply(plan.book)
    assert "power.outlets" not in _found(mended)
    patch = build_patch(mended, None, shipped())
    new = [unit for unit in patch.units.values() if unit.gear == "strip-6"]
    assert [(unit.x_m, unit.y_m) for unit in new] == [(-4.0, 5.9)] * 2
    assert [(unit.x_m, unit.y_m) for unit in patch.rig.units if unit.gear == "strip-6"] == [(-2.0, 2.0)] * 2


def test_one_strip_needs_four_units_a_must_and_no_spare() -> None:
    plan = _plan(_drop("Left", -3.0, outlets=1))
    _unit(plan, "strip", "strip-6")
    _unit(plan, "piano", "stage-piano-88")
    plan.unit("di", "di-passive", "DI")
    plan.link("piano.out-l", "di.in-1", "ts 3")
    plan.land("di.out-1", "in-1", "xlr 5", name="Piano", importance="nice")
    for one in ("synth-61", "tablet", "laptop"):
        _unit(plan, one, one)
    assert _found(plan.book) == {}
    plan.book = change_must(plan.book)
    found = _found(plan.book)["power.one-strip"]
    assert [one.words for one in found.remedies] == ["Carry a spare 6-way power strip, BS 1363"]
    mended = found.remedies[0].apply(plan.book)
    assert mended.stock == (StockItem(kind="gear", type="strip-6", count=2, note="one of them spare"),)
    assert _found(mended) == {}


def change_must(book: Book) -> Book:
    """Return the book with every hand-off a must."""
    rig = book.rigs[0]
    return put_rig(book, checked(rig, hand_offs=tuple(checked(one, importance="must") for one in rig.hand_offs)))


def test_of_two_strips_in_line_the_inner_one_is_named() -> None:
    plan = _plan(_drop("Left", -3.0))
    _unit(plan, "outer", "strip-6")
    _unit(plan, "inner", "strip-6")
    plan.link("outer.outlet-1", "inner.mains")
    gear = {"piano": "stage-piano-88", "synth": "synth-61", "mixer": "mixer-small", "laptop": "laptop"}
    leads = {"piano": "mains-c7-bs1363 2", "laptop": "mains-c5-bs1363 2"}
    for number, (unit, kind) in enumerate(gear.items(), start=1):
        _unit(plan, unit, kind)
        plan.link(f"inner.outlet-{number}", f"{unit}.mains", leads.get(unit, "mains-c13-bs1363 2"))
    plan.land("mixer.main-l", "in-1", "xlr 5", name="Mix")
    found = _found(plan.book)
    assert found["power.one-strip"].things[0].id == "inner"
    assert len(found["power.one-strip"].remedies) == 1


def test_eighty_per_cent_is_asked_in_north_america_only() -> None:
    rules = {}
    for volts, connector in ((120.0, "nema5-20.f"), (230.0, "bs1363.f")):
        plan = _plan(_drop("Left", -3.0, connector=connector, circuit_a=20.0))
        plan.house(mains_v=volts)
        plan.own(mains_gear("rack", "Rack", low_v=100.0, high_v=240.0, watts=volts * 8.5))
        _unit(plan, "r1", "rack", -2.5)
        _unit(plan, "r2", "rack", 1.0)
        rules[volts] = _found(plan.book)
    assert rules[230.0] == {}
    found = rules[120.0]["power.circuit"]
    assert found.severity == "risk"
    assert "17 A, over 80 % of its 20 A" in found.sentence
    assert [one.words for one in found.remedies] == [
        "Ask for a second circuit near R2", "Ask for a 30 A circuit at Left",
    ]  # fmt: skip


def test_an_unknown_breaker_is_taken_as_its_outlet_and_stays_a_risk() -> None:
    plan = _plan(_drop("Left", -3.0))
    for one in ("a", "b", "c"):
        _unit(plan, one, "power-amplifier-2")
    found = _found(plan.book)["power.circuit"]
    assert (found.severity, found.assumed) == ("risk", ("circuit",))
    assert "circuit taken as 13 A, the rating of its outlet: 120 % of it" in found.working


def test_a_house_without_drops_has_no_circuit_to_judge() -> None:
    plan = Plan()
    for one in ("a", "b"):
        _unit(plan, one, "power-amplifier-2")
    plan.says(circuit="6 A", sound_limiter="90 dB")
    found = _found(plan.book)
    assert set(found) == {"power.circuit", "power.sound-limiter"}
    assert found["power.circuit"].remedies == ()
    assert "power.sound-limiter" not in _found(found["power.sound-limiter"].remedies[0].apply(plan.book))


@pytest.mark.parametrize(("connector", "load_w", "part", "cures"), [
    ("c14", 2500.0, "Heater Mains (IEC 60320 C14", 0),
    ("c20", 2500.0, "", 0),
    ("as3112.m", 2200.0, "", 0),
])  # fmt: skip
def test_a_plug_behind_a_link_is_over_its_rating_too(connector: str, load_w: float, part: str, cures: int) -> None:
    plan = _plan(_drop("Left", -3.0, circuit_a=32.0))
    plan.own(mains_gear("heater", "Heater", connector, watts=load_w))
    _unit(plan, "strip", "strip-6-as3112" if connector.startswith("as") else "strip-6")
    _unit(plan, "heater", "heater")
    leads = {"c14": "mains-c13-bs1363 3", "c20": "mains-c19-bs1363 3"}
    plan.link("strip.outlet-1", "heater.mains", leads.get(connector, ""))
    found = _found(plan.book)
    if not part:
        assert "power.rating" not in found
        return
    assert found["power.rating"].sentence.startswith(f"Heater draws 10.87 A through {part}")
    assert len(found["power.rating"].remedies) == cures


def test_a_thin_lead_is_exchanged_for_a_stronger_one() -> None:
    thin = shipped().cable_type("mains-c19-bs1363")
    assert thin.conductor_mm2 == 1.5
    plan = _plan(_drop("Left", -3.0, circuit_a=32.0))
    plan.own(mains_gear("heater", "Heater", "c20", watts=2500.0))
    _unit(plan, "strip", "strip-6")
    _unit(plan, "heater", "heater")
    plan.link("strip.outlet-1", "heater.mains", "mains-c7-bs1363 3")
    found = _found(plan.book)["power.rating"]
    assert "2.5 A is what it may carry" in found.sentence
    assert [one.words for one in found.remedies] == ["Use mains lead, BS 1363 to C19, 3 m"]
    assert "power.rating" not in _found(found.remedies[0].apply(plan.book))


def test_a_flat_plug_fits_and_a_strip_from_home_is_exchanged_with_its_leads() -> None:
    plan = _plan(_drop("Left", -3.0, connector="cee7-4.f"))
    _unit(plan, "tablet", "tablet")
    assert _found(plan.book) == {}
    _unit(plan, "strip", "strip-6")
    _unit(plan, "synth", "synth-61")
    plan.link("strip.outlet-1", "synth.mains", "mains-c13-bs1363 5")
    found = _found(plan.book)["power.wrong-plug"]
    mended = found.remedies[0].apply(plan.book)
    assert mended.rigs[0].unit("strip").gear == "strip-6-cee7"  # type: ignore[union-attr]
    assert mended.rigs[0].links[0].cable == "mains-c13-cee7-7"
    assert not [one for one in analyse(mended, None, shipped()).findings if one.severity == "fault"]


def test_a_daisy_chain_draws_from_the_first_output() -> None:
    dc = {"medium": "dc", "volts": 9.0, "centre": "negative"}
    ports = (
        Port(id="in", name="In", direction="in", connector="dc21.f", carrier=Dc(current_ma=200.0, **dc)),
        Port(id="out", name="Out", direction="out", connector="dc21.f", carrier=Dc(current_ma=2000.0, **dc)),
    )
    pedal = GearType(
        id="pedal-thru", name="Pedal", category="pedal", ports=ports, width_m=0.1, depth_m=0.1, height_m=0.05,
        mass_kg=0.3, paths=(Path(source="in", target="out", kind="wire"),),
    )  # fmt: skip
    plan = Plan()
    plan.own(pedal)
    _unit(plan, "supply", "dc-supply-pedals")
    _unit(plan, "one", "pedal-thru")
    _unit(plan, "two", "pedal-thru")
    plan.link("supply.dc-1", "one.in", "dc21 1")
    assert _found(plan.book) == {}
    plan.link("one.out", "two.in", "dc21 1")
    assert [len(runs) for runs in dc_draws(_patch(plan)).values()] == [2]
    found = _found(plan.book)["power.dc-overdrawn"]
    assert "One and Two draw 400 mA" in found.sentence
    assert _found(found.remedies[0].apply(plan.book)) == {}


def test_balanced_lines_beside_mains_are_a_note() -> None:
    plan = _plan(_drop("Left", -3.0))
    _unit(plan, "strip", "strip-6")
    _unit(plan, "mixer", "mixer-small")
    _unit(plan, "speaker", "powered-monitor")
    plan.link("mixer.main-l", "speaker.in", "xlr 5")
    plan.link("strip.outlet-1", "speaker.mains", "mains-c13-bs1363 5")
    plan.book = bundle(plan.book, "rig", [one.id for one in plan.book.rigs[0].links], "Left")
    found = _found(plan.book)["power.mains-in-loom"]
    assert found.severity == "note"
    mended = found.remedies[0].apply(plan.book)
    assert _found(mended) == {}
    assert [one.name for one in mended.rigs[0].looms] == ["Left"]


def test_the_long_lead_to_the_house_is_left_where_there_is_an_outlet() -> None:
    plan = _plan(_drop("Left", -3.0, circuit_a=16.0))
    _wall_unit(plan, name="Left")
    _unit(plan, "strip", "strip-6", 3.0)
    _unit(plan, "amp", "power-amplifier-2", 3.0)
    plan.link("strip.outlet-1", "amp.mains", "mains-c19-bs1363 2")
    plan.land("strip.mains", "wall-1", "extension-bs1363 60", name="Mains in", direction="from house")
    found = _found(plan.book)["power.voltage-drop"]
    assert found.severity == "note"
    mended = found.remedies[0].apply(plan.book)
    assert _found(mended) == {}
    assert [drop.name for drop in mended.houses[0].stage.power] == ["Left", "At Strip"]


GEAR = ("stage-piano-88", "synth-61", "tablet", "powered-monitor", "strip-6", "bass-combo", "power-amplifier-2")
RIGS = st.lists(st.tuples(st.sampled_from(GEAR), st.floats(-5, 5), st.floats(0, 6)), min_size=1, max_size=14)


def _random(units: list[tuple[str, float, float]], order: list[int] | None = None) -> Book:
    plan = _plan(
        _drop("Left", -3.0, circuit_a=16.0, outlets=2), _drop("Right", 3.0, circuit_a=10.0, shared_with="a bar"),
        _drop("Back", 0.0, outlets=1, rcd_ma=10.0),
    )  # fmt: skip
    made = [
        Unit(id=f"u{n}", name=f"U{n}", gear=gear, x_m=x_m, y_m=y_m) for n, (gear, x_m, y_m) in enumerate(units)
    ]
    rig = plan.book.rigs[0]
    return put_rig(plan.book, checked(rig, units=tuple(made[n] for n in order or range(len(made)))))


@settings(max_examples=60, deadline=None)
@given(RIGS, st.integers(0, 99), st.floats(-5, 5))
def test_moving_a_unit_to_another_circuit_never_changes_the_total(
    units: list[tuple[str, float, float]], which: int, x_m: float
) -> None:
    before = _random(units)
    after = move_on_stage(before, "rig", f"u{which % len(units)}", (x_m, 3.0, 0.0))
    sums = []
    for book in (before, after):
        patch = build_patch(book, None, shipped())
        sums.append((sum(one.load_va for one in loads(patch)), sum(one.leakage_ma for one in loads(patch))))
        assert sum(len(one.loads) for one in places(patch)) == sum(gear != "strip-6" for gear, _, _ in units)
        assert sums[-1][0] == pytest.approx(sum(one.load_va for one in plugs(patch).values() if one.up is None))
    assert sums[0] == pytest.approx(sums[1])


@settings(max_examples=60, deadline=None)
@given(RIGS.flatmap(lambda units: st.tuples(st.just(units), st.permutations(range(len(units))))))
def test_the_order_of_units_does_not_matter(drawn: tuple[list[tuple[str, float, float]], list[int]]) -> None:
    units, order = drawn
    seen = []
    for book in (_random(units), _random(units, order)):
        found = analyse(book, None, shipped()).findings
        patch = build_patch(book, None, shipped())
        feeds = {key: (one.up, one.into.node if one.into else None, one.load_va) for key, one in plugs(patch).items()}
        seen.append((feeds, {(one.rule, one.severity, frozenset(one.things)) for one in found}))
    assert seen[0] == seen[1]


@settings(max_examples=25, deadline=None)
@given(RIGS)
def test_every_remedy_of_a_random_rig_settles_its_finding(units: list[tuple[str, float, float]]) -> None:
    book = _random(units)
    for finding in _found(book).values():
        for remedy in finding.remedies:
            after = analyse(remedy.apply(book), None, shipped()).findings
            assert (finding.things, finding.rule) not in [(one.things, one.rule) for one in after], remedy.words


def test_a_supply_of_its_own_type_is_what_mains_asks_for() -> None:
    """A carrier with a power factor below 1 draws more VA than W."""
    plan = _plan(_drop("Left", -3.0))
    plan.own(mains_gear("lamp", "Lamp", watts=200.0, power_factor=0.5))
    _unit(plan, "lamp", "lamp")
    plug = plugs(_patch(plan))["rig", "lamp"]
    assert isinstance(plug.inlet.port.carrier, Mains)
    assert plug.own_va == 400.0
