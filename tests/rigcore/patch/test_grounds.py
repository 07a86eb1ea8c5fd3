"""Grounds: loops counted three ways, breaks proved fewest by brute force, and the model of units, boxes and outlets."""

from __future__ import annotations

import itertools
from typing import get_args

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigcore import resources
from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked, put_rig
from rigcore.book.edits.units import change_unit, move_on_stage
from rigcore.book.file import load
from rigcore.book.house import PowerDrop, Stage
from rigcore.book.rig import Case
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import build_patch
from rigcore.patch.ground_graph import HOUSE_EARTH, Bond, GroundGraph, Means, Potential
from rigcore.patch.grounds import Grounds, families, grounds, is_unbalanced, spelled
from rigcore.rules.rule import Finding
from tests.rule_samples.plan import Plan

MEANS: tuple[Means | None, ...] = (None, *get_args(Means))
KINDS = ("earth", "screen")
LEFT = PowerDrop(id="left", name="Left", x_m=3.0, y_m=3.0, outlets=4, circuit="A")
RIGHT = PowerDrop(id="right", name="Right", x_m=-3.0, y_m=3.0, outlets=4, circuit="B")


def _unit(number: int) -> Potential:
    return HOUSE_EARTH if number == 0 else Potential("unit", "rig", str(number))


@st.composite
def graphs(draw: st.DrawFn, most_bonds: int = 14) -> GroundGraph:
    """Small multigraphs of any shape, earths and openable bonds mixed."""
    size = draw(st.integers(1, 6))
    bonds = []
    for _ in range(draw(st.integers(0, most_bonds)) if size > 1 else 0):
        one, other = draw(st.lists(st.integers(0, size - 1), min_size=2, max_size=2, unique=True))
        kind = draw(st.sampled_from(KINDS))
        opens = None if kind == "earth" else draw(st.sampled_from(MEANS))
        bonds.append(Bond(_unit(one), _unit(other), kind, opens))  # type: ignore[arg-type]
    return GroundGraph([_unit(number) for number in range(size)], bonds)


def _as_networkx(graph: GroundGraph) -> nx.MultiGraph:
    made = nx.MultiGraph()
    made.add_nodes_from(graph.potentials)
    made.add_edges_from((bond.one, bond.other) for bond in graph.bonds)
    return made


@given(graphs())
def test_loops_are_bonds_minus_potentials_plus_parts(graph: GroundGraph) -> None:
    """m − n + c, and the cycle basis of the simple projection plus one loop for each parallel bond."""
    outside = _as_networkx(graph)
    parts = nx.number_connected_components(outside)
    assert graph.parts() == parts
    assert graph.loops() == outside.number_of_edges() - outside.number_of_nodes() + parts
    simple = nx.Graph(outside)
    parallel = outside.number_of_edges() - simple.number_of_edges()
    assert graph.loops() == len(nx.cycle_basis(simple)) + parallel


@given(graphs(most_bonds=8))
def test_loops_against_brute_force(graph: GroundGraph) -> None:
    """The cycle space has 2 ** loops elements: subsets of bonds that meet every potential an even number of times."""
    even = 0
    for chosen in itertools.product((0, 1), repeat=len(graph.bonds)):
        meets = dict.fromkeys(graph.potentials, 0)
        for taken, bond in zip(chosen, graph.bonds, strict=True):
            meets[bond.one] += taken
            meets[bond.other] += taken
        even += all(number % 2 == 0 for number in meets.values())
    assert even == 2 ** graph.loops()


@given(graphs())
def test_each_ring_closes_and_is_independent_of_the_others(graph: GroundGraph) -> None:
    rings = graph.rings
    assert len(rings) == graph.loops()
    for ring in rings:
        here = ring.starts
        for bond in ring.bonds:
            assert here in (bond.one, bond.other)
            here = bond.beyond(here)
        assert here == ring.starts
        assert len({id(bond) for bond in ring.bonds}) == len(ring.bonds)
        assert sum(any(bond is ring.closes for bond in other.bonds) for other in rings) == 1


def _still_opens_a_loop(graph: GroundGraph, opened: set[int]) -> bool:
    """Whether some openable bond that is left lies on a loop."""
    left = [bond for number, bond in enumerate(graph.bonds) if number not in opened]
    for bond in left:
        if bond.opens is None:
            continue
        rest = nx.MultiGraph()
        rest.add_nodes_from(graph.potentials)
        rest.add_edges_from((one.one, one.other) for one in left if one is not bond)
        if nx.has_path(rest, bond.one, bond.other):
            return True
    return False


@given(graphs(most_bonds=8))
def test_the_breaks_are_fewest_against_brute_force(graph: GroundGraph) -> None:
    breaks = graph.fewest_breaks()
    numbers = [number for number, bond in enumerate(graph.bonds) if bond.opens is not None]
    fewest = next(
        size
        for size in range(len(numbers) + 1)
        if any(not _still_opens_a_loop(graph, set(some)) for some in itertools.combinations(numbers, size))
    )
    assert len(breaks) == fewest
    opened = {number for number, bond in enumerate(graph.bonds) if any(bond is one for one in breaks)}
    assert not _still_opens_a_loop(graph, opened)


@given(graphs())
def test_their_number_is_the_loops_of_what_is_left_when_the_unopenable_is_drawn_together(graph: GroundGraph) -> None:
    drawn = nx.MultiGraph()
    fixed = nx.Graph()
    fixed.add_nodes_from(graph.potentials)
    fixed.add_edges_from((bond.one, bond.other) for bond in graph.bonds if bond.opens is None)
    part = {node: number for number, nodes in enumerate(nx.connected_components(fixed)) for node in nodes}
    drawn.add_nodes_from(part.values())
    drawn.add_edges_from((part[bond.one], part[bond.other]) for bond in graph.bonds if bond.opens is not None)
    loops = drawn.number_of_edges() - drawn.number_of_nodes() + nx.number_connected_components(drawn)
    assert len(graph.fewest_breaks()) == loops


@given(graphs())
def test_a_protective_earth_is_never_in_a_break(graph: GroundGraph) -> None:
    assert all(bond.kind != "earth" for bond in graph.fewest_breaks())


@pytest.mark.parametrize("means", get_args(Means))
def test_no_bond_can_be_made_that_lifts_an_earth(means: Means) -> None:
    with pytest.raises(ValueError, match="never opened"):
        Bond(HOUSE_EARTH, _unit(1), "earth", means)


def _plan(*drops: PowerDrop) -> Plan:
    plan = Plan()
    plan.house(stage=Stage(width_m=8.0, depth_m=5.0, power=drops or (LEFT,)))
    plan.says(circuit="stage left A, stage right B")
    return plan


def _grounds(plan: Plan) -> Grounds:
    return grounds(build_patch(plan.book, None, shipped()))


def _findings(book: Book) -> list[Finding]:
    return [one for one in analyse(book, None, shipped()).findings if one.rule.startswith("ground")]


def _rules(plan: Plan) -> list[str]:
    return [one.rule for one in _findings(plan.book)]


def _earths(graph: GroundGraph) -> set[tuple[Potential, Potential]]:
    return {(bond.one, bond.other) for bond in graph.bonds if bond.kind == "earth"}


def test_a_loop_is_spelled_out_as_one_follows_it() -> None:
    plan = _plan()
    plan.unit("mixer", "mixer-small", "Mixer")
    plan.land("mixer.main-l", "in-1", "xlr 5", name="Main")
    patch = build_patch(plan.book, None, shipped())
    (family,) = families(patch)
    assert family.kind == "balanced"
    assert spelled(patch, family.loops[0].ring) == (
        "Mixer pin 1 → XLR cable 5 m → Stage box → house earth → outlet Left → Mixer earth"
    )


def test_class_ii_has_no_earth_and_passes_the_screen() -> None:
    """A double-insulated piano between two earthed units carries the loop on: mixer, piano, amplifier."""
    plan = _plan(LEFT, RIGHT)
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("mixer", "mixer-in-ear", "Mixer")
    plan.unit("amp", "keyboard-amplifier", "Amplifier")
    plan.link("piano.out-l", "mixer.line-1", "ts 3")
    plan.book = move_on_stage(plan.book, "rig", "mixer", (2.0, 2.0, 0.0))
    plan.book = move_on_stage(plan.book, "rig", "amp", (-2.0, 2.0, 0.0))
    piano = Potential("unit", "rig", "piano")
    assert all(piano not in pair for pair in _earths(_grounds(plan).graph))
    assert _rules(plan) == []
    plan.link("piano.out-r", "amp.line-1", "ts 3")
    assert _rules(plan) == ["ground.circuits"]


def test_a_transformer_opens_and_so_does_a_lift() -> None:
    for gear, lift, expected in (("di-active", False, 1), ("di-active", True, 0), ("di-passive", False, 0)):
        plan = _plan()
        plan.unit("synth", "synth-61", "Synth")
        plan.unit("di", gear, "DI")
        plan.link("synth.out-l", "di.in-1", "ts 3")
        plan.set("di.out-1", lift=lift)
        plan.land("di.out-1", "in-1", "xlr 5", name="Synth")
        assert _grounds(plan).graph.loops() == expected
        assert len(_rules(plan)) == expected


def test_a_strip_hands_its_earth_on() -> None:
    """Mains links are protective earths: two units on one strip meet there, and their loop stays at one outlet."""
    plan = _plan(LEFT, RIGHT)
    plan.unit("strip", "strip-6", "Strip")
    for name, gear in (("synth", "synth-61"), ("mixer", "mixer-in-ear")):
        plan.unit(name, gear, name.title())
        number = 1 if name == "synth" else 2
        plan.link(f"strip.outlet-{number}", f"{name}.mains", "mains-c13-bs1363 2")
    plan.book = move_on_stage(plan.book, "rig", "synth", (-2.0, 2.0, 0.0))
    plan.book = move_on_stage(plan.book, "rig", "strip", (2.0, 2.0, 0.0))
    plan.link("synth.out-l", "mixer.line-1", "ts 3")
    made = _grounds(plan)
    strip = Potential("unit", "rig", "strip")
    assert (Potential("unit", "rig", "synth"), strip) in _earths(made.graph)
    assert {where.unit for one, where in made.point.items() if one.place == "rig"} == {"left"}
    assert made.graph.loops() == 1
    assert _rules(plan) == []


def test_units_bolted_into_one_rack_are_one_piece_of_metal() -> None:
    plan = _plan()
    plan.unit("mixer", "mixer-in-ear", "Mixer")
    plan.unit("eq", "equaliser-31", "Equaliser")
    assert _grounds(plan).graph.loops() == 0
    rig = checked(plan.book.rig("rig"), cases=(Case(id="rack", name="Rack"),))
    plan.book = put_rig(plan.book, rig)
    for name in ("mixer", "eq"):
        plan.book = change_unit(plan.book, "rig", name, case="rack")
    graph = _grounds(plan).graph
    assert graph.loops() == 1
    assert graph.fewest_breaks() == ()


def test_usb_joins_and_plain_network_cable_does_not() -> None:
    plan = _plan()
    plan.unit("laptop", "laptop", "Laptop")
    plan.unit("mixer", "mixer-12", "Mixer")
    plan.link("laptop.usb-2", "mixer.usb", "usb-a-b 2")
    assert _grounds(plan).graph.loops() == 1
    assert _rules(plan) == ["ground.charger"]
    plan = _plan()
    plan.unit("mixer", "mixer-rack-16", "Mixer")
    plan.unit("switch", "network-switch", "Switch")
    plan.link("mixer.network", "switch.network-1", "network 3")
    assert _grounds(plan).graph.loops() == 0


def test_optical_and_midi_do_not_join() -> None:
    plan = _plan()
    plan.unit("one", "interface-8", "One")
    plan.unit("two", "interface-8", "Two")
    plan.link("one.optical-out", "two.optical-in", "optical 2")
    plan.link("one.midi-out", "two.midi-in", "midi 3")
    assert _grounds(plan).graph.loops() == 0
    plan.link("one.wordclock", "two.wordclock", "bnc 1")
    assert _grounds(plan).graph.loops() == 1


def test_a_stereo_pair_is_one_finding_and_one_remedy_opens_both() -> None:
    plan = _plan()
    plan.unit("synth", "synth-61", "Synth")
    for side, number in (("l", 1), ("r", 2)):
        plan.unit(f"di-{side}", "di-active", f"DI {side}")
        plan.link(f"synth.out-{side}", f"di-{side}.in-1", "ts 3")
        plan.land(f"di-{side}.out-1", f"in-{number}", "xlr 5", name=f"Synth {side}")
    (finding,) = _findings(plan.book)
    assert len(finding.things) == 2
    assert _findings(finding.remedies[0].apply(plan.book)) == []


def test_an_isolator_goes_into_the_chain_at_the_receiving_end() -> None:
    plan = _plan()
    plan.bar_system()
    plan.unit("mixer", "mixer-small", "Mixer")
    chain = ("xlr 10", "adapter-xlr3f-rcam in out", "adapter-rca-y in out-1 out-2")
    plan.land("mixer.main-l", "bar", *chain, name="Bar feed")
    (finding,) = _findings(plan.book)
    assert finding.rule == "ground.loop-unbalanced"
    assert "isolator into Bar feed" in finding.sentence
    mended = finding.remedies[0].apply(plan.book)
    pieces = [getattr(piece, "gear", "cable") for piece in mended.gig().landings[0].chain]
    assert pieces == ["cable", "line-isolator", "adapter-xlr3f-rcam", "adapter-rca-y"]
    assert _findings(mended) == []


def test_a_line_that_needs_48_v_is_not_to_be_isolated() -> None:
    """The XLR cable of an active DI box carries 48 V: only the lift of the box is a lawful break."""
    plan = _plan()
    plan.unit("synth", "synth-61", "Synth")
    plan.unit("di", "di-active", "DI")
    plan.link("synth.out-l", "di.in-1", "ts 3")
    plan.land("di.out-1", "in-1", "xlr 5", name="Synth")
    graph = _grounds(plan).graph
    (line,) = [bond for bond in graph.bonds if bond.hop is not None and bond.hop.landing is not None]
    assert line.opens is None
    assert [bond.opens for bond in graph.fewest_breaks()] == ["lift"]


def test_what_only_a_charger_closes_is_said_of_the_charger_alone() -> None:
    plan = _plan()
    plan.unit("laptop", "laptop-interface-4", "Tracks")
    plan.unit("di", "di-active", "DI")
    plan.link("laptop.out-1", "di.in-1", "ts 3")
    plan.set("di.in-1", pad=True)
    plan.land("di.out-1", "in-1", "xlr 5", name="Tracks")
    (finding,) = _findings(plan.book)
    assert finding.rule == "ground.charger"
    mended = finding.remedies[0].apply(plan.book)
    assert mended.rig("rig").units[0].note == "on battery during the set"
    assert _findings(mended) == []


def test_two_outlets_of_one_circuit_are_not_two_circuits() -> None:
    plan = _plan(LEFT, checked(RIGHT, circuit="A"))
    plan.unit("synth", "synth-61", "Synth")
    plan.unit("amp", "keyboard-amplifier", "Amplifier")
    plan.link("synth.out-l", "amp.line-1", "ts 3")
    plan.book = move_on_stage(plan.book, "rig", "synth", (2.0, 2.0, 0.0))
    plan.book = move_on_stage(plan.book, "rig", "amp", (-2.0, 2.0, 0.0))
    assert _rules(plan) == ["ground.loop-unbalanced"]
    patch = build_patch(plan.book, None, shipped())
    assert all(is_unbalanced(patch, loop) for family in families(patch) for loop in family.loops)


def test_gear_of_the_house_among_itself_is_left_to_the_house() -> None:
    plan = _plan()
    plan.unit("wedge", "wedge-powered", "Wedge")
    plan.land("wedge.in", "mix-1", "xlr 5", name="Mix")
    assert _rules(plan) == ["ground.loop-balanced"]
    plan.book = change_unit(plan.book, "rig", "wedge", owner="house")
    assert _rules(plan) == []


@given(st.lists(st.tuples(st.floats(-4, 4), st.floats(0, 5)), min_size=4, max_size=4))
def test_a_unit_moved_to_another_circuit_keeps_its_earth(places: list[tuple[float, float]]) -> None:
    plan = _plan(LEFT, RIGHT)
    for name in ("synth-61", "mixer-in-ear", "keyboard-amplifier", "stage-piano-88"):
        plan.unit(name, name, name)
    before = _grounds(plan)
    for unit, (x_m, y_m) in zip(plan.book.rig("rig").units, places, strict=True):
        plan.book = move_on_stage(plan.book, "rig", unit.id, (x_m, y_m, 0.0))
    after = _grounds(plan)
    assert set(before.point) == set(after.point)
    assert sum(bond.kind == "earth" for bond in after.graph.bonds) == len(_earths(before.graph))


SAMPLE_BOOKS = ("piper", "tandem", "ferry", "tour")


@given(st.sampled_from(SAMPLE_BOOKS), st.randoms(use_true_random=False))
def test_the_order_of_units_and_links_in_the_file_does_not_matter(name: str, chance: object) -> None:
    book, _ = load(resources.samples() / f"{name}.loom", shipped())
    rig = book.rigs[0]
    units, links = list(rig.units), list(rig.links)
    chance.shuffle(units)  # type: ignore[attr-defined]
    chance.shuffle(links)  # type: ignore[attr-defined]
    shuffled = put_rig(book, checked(rig, units=tuple(units), links=tuple(links)))
    for gig in book.gigs:
        before, after = (
            {one for one in analyse(some, gig.id, shipped()).findings if one.rule.startswith("ground")}
            for some in (book, shuffled)
        )
        assert before == after


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("piper", ["ground.loop-unbalanced"]),
        ("tandem", ["ground.loop-unbalanced", "ground.charger", "ground.loop-balanced"]),
        ("ferry", ["ground.loop-unbalanced", "ground.charger", "ground.loop-balanced"]),
    ],
)
def test_the_rigs_worked_by_hand(name: str, expected: list[str]) -> None:
    """Piper 3; Tandem 5, 6 and 9; Ferry's bass DI, laptop and band line, which its list does not name."""
    book, _ = load(resources.samples() / f"{name}.loom", shipped())
    assert [one.rule for one in _findings(book)] == expected
    for finding in _findings(book):
        assert "protective earth" in " ".join(finding.working) or "charger itself stays" in " ".join(finding.working)
