"""Following a signal up and down the patch."""

from __future__ import annotations

from rigcore.catalogue.loader import shipped
from rigcore.patch.build import Node, Patch, build_patch
from rigcore.patch.walk import downstream, line_up, origin, sources, upstream
from tests.rule_samples.plan import Plan

BOX = Node("house", "box", "in-1")


def _patch(plan: Plan) -> Patch:
    return build_patch(plan.book, None, shipped())


def _piano_by_di() -> Patch:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("di", "di-passive", "DI")
    plan.link("piano.out-l", "di.in-1", "ts 3")
    plan.land("di.out-1", "in-1", "xlr 5", name="Piano")
    return _patch(plan)


def _two_in_a_mixer() -> Patch:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("vox", "dynamic-handheld", "Vox mic")
    plan.unit("mixer", "mixer-small", "Mixer")
    plan.link("piano.out-l", "mixer.line-1", "ts 3")
    plan.link("vox.out", "mixer.mic-1", "xlr 5")
    plan.land("mixer.main-l", "in-1", "xlr 5", name="All")
    return _patch(plan)


def test_a_line_is_followed_to_its_origin() -> None:
    patch = _piano_by_di()
    ports = [(node.unit, node.port) for node, _ in line_up(patch, BOX)]
    assert ports == [("box", "in-1"), ("di", "out-1"), ("di", "in-1"), ("piano", "out-l")]
    assert origin(patch, BOX).name == "Piano"
    assert [end.words for end in sources(patch, BOX)] == ["Piano L/mono"]


def test_a_mix_ends_the_line_but_not_the_sources() -> None:
    patch = _two_in_a_mixer()
    assert origin(patch, BOX).words == "Mixer Main L"
    assert [end.name for end in sources(patch, BOX)] == ["Piano", "Vox mic"]


def test_nothing_plugged_is_its_own_origin() -> None:
    patch = _piano_by_di()
    empty = Node("house", "box", "in-2")
    assert line_up(patch, empty) == ((empty, None),)
    assert sources(patch, empty) == ()


def test_up_and_down_are_each_other_s_reverse() -> None:
    patch = _two_in_a_mixer()
    for node in patch.graph.nodes:
        for above in upstream(patch, node):
            assert node in downstream(patch, above)
    assert upstream(patch, BOX)[0] == BOX


def test_steps_are_those_of_the_graph() -> None:
    """Steps are made when first asked for; the graph is made from them, both ways alike."""
    plan = Plan()
    plan.unit("vox", "dynamic-handheld", "Vox")
    plan.unit("mixer", "mixer-in-ear", "Ears")
    plan.link("vox.out", "mixer.mic-1", "xlr 5")
    patch = _patch(plan)
    for node in patch.graph.nodes:
        assert [one for one, _ in patch.steps_into(node)] == list(patch.graph.predecessors(node))
        assert [one for one, _ in patch.steps_out_of(node)] == list(patch.graph.successors(node))


def test_upstream_of_several_is_all_of_them() -> None:
    plan = Plan()
    for name in ("one", "two"):
        plan.unit(name, "dynamic-handheld", name)
    plan.unit("mixer", "mixer-in-ear", "Ears")
    plan.link("one.out", "mixer.mic-1", "xlr 5")
    plan.link("two.out", "mixer.mic-2", "xlr 5")
    patch = _patch(plan)
    inputs = [Node("rig", "mixer", port) for port in ("mic-1", "mic-2")]
    assert set(upstream(patch, *inputs)) == {node for one in inputs for node in upstream(patch, one)}


def test_a_loop_ends() -> None:
    plan = Plan()
    plan.unit("one", "adapter-xlr-polarity", "One")
    plan.unit("two", "adapter-xlr-polarity", "Two")
    plan.link("one.out", "two.in", "xlr 1.5")
    plan.link("two.out", "one.in", "xlr 1.5")
    patch = _patch(plan)
    assert len(line_up(patch, Node("rig", "one", "in"))) == 4
    assert set(upstream(patch, Node("rig", "one", "in"))) == {
        Node("rig", unit, port) for unit in ("one", "two") for port in ("in", "out")
    }
