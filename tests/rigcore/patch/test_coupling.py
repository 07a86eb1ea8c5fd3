"""What all hops of one kind have in common: worked out once, asked once, and never from one unit's settings."""

from __future__ import annotations

import pytest

from rigcore.catalogue.connectors import Consequence
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import End, Hop, Node, Patch, build_patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.joints import with_cable
from rigcore.patch.ladder import ladder
from rigcore.patch.levels import clip_dbu
from rigcore.patch.once import once_a_kind
from tests.rule_samples.plan import Plan


def _two_pianos() -> Patch:
    """Return two pianos in one mixer, the left outputs by the same kind of lead, one right output by another."""
    plan = Plan()
    plan.unit("mixer", "mixer-rack-16", "Mixer")
    for name, into in (("one", "in-1"), ("two", "in-1")):
        plan.unit(name, "stage-piano-88", name)
        plan.unit(f"di-{name}", "di-passive", f"DI {name}")
        plan.link(f"{name}.out-l", f"di-{name}.{into}", "ts 3")
    plan.link("one.out-r", "mixer.in-2", "trs-xlr 3")
    return build_patch(plan.book, None, shipped())


def test_hops_of_one_kind_share_what_they_come_to() -> None:
    one, two, other = _two_pianos().hops
    assert one.coupling is two.coupling
    assert other.coupling is not one.coupling
    assert one is not two
    assert one != two


def test_each_kind_is_asked_once_and_the_order_of_the_book_stays() -> None:
    patch = _two_pianos()
    asked: list[Coupling] = []

    def suits(one: Coupling) -> bool:
        asked.append(one)
        return one.cables[0].wiring == "unbalanced"

    assert patch.along_where(suits) == patch.hops[:2]
    assert len(asked) == len(set(asked)) == 2
    assert patch.along_where(lambda _: False) == ()


def test_a_lead_lies_the_way_round_it_fits() -> None:
    plan = Plan()
    for number in (1, 2):
        plan.unit(f"tracks-{number}", "laptop-interface-4", "Tracks")
        plan.unit(f"mixer-{number}", "mixer-rack-16", "Mixer")
    plan.link("tracks-1.usb", "mixer-1.usb", "usb-a-b 3")
    plan.link("mixer-2.usb", "tracks-2.usb", "usb-a-b 3")
    there, back = build_patch(plan.book, None, shipped()).hops
    assert there.plugs == back.plugs[::-1]
    assert there.plugs[0] != there.plugs[1]
    for hop in (there, back):
        assert set(hop.coupling.consequences) == {Consequence.FITS}
        assert hop.plugs == (hop.cables[0][0].end_a, hop.cables[0][0].end_b)


def test_another_lead_makes_another_kind_of_it() -> None:
    plan = Plan()
    plan.unit("vox", "dynamic-handheld", "Vox mic")
    plan.unit("mixer", "mixer-rack-16", "Mixer")
    plan.link("vox.out", "mixer.in-2", "xlr 5")
    patch = build_patch(plan.book, None, shipped())
    exchanged = with_cable(patch, patch.hops[0], shipped().cable_type("ts"))
    assert not exchanged.coupling.goes_together
    assert patch.hops[0].coupling.is_sound


def test_of_one_type_only_one_end_is_asked() -> None:
    patch = _two_pianos()
    asked: list[str] = []

    @once_a_kind
    def name(of: Patch, end: End) -> str:
        asked.append(end.node.unit)
        return end.port.name

    ends = [patch.end(Node("rig", unit, port)) for unit in ("one", "two") for port in ("out-l", "out-r")]
    assert [name(patch, end) for end in ends] == [end.port.name for end in ends]
    assert asked == ["one", "one"]


@pytest.mark.parametrize(("cable", "half"), [("xlr 5", "carrier"), ("xlr-trs 5", "jack_carrier")])
def test_the_plug_in_a_combined_socket_says_where_it_clips(cable: str, half: str) -> None:
    plan = Plan()
    plan.unit("monitor", "mixer-in-ear", "Ear mixer")
    plan.unit("mixer", "mixer-rack-16", "Mixer")
    plan.unit("split", "splitter-1x2", "Splitter")
    plan.unit("vox", "dynamic-handheld", "Vox mic")
    plan.link("vox.out", "mixer.in-1", cable)
    patch = build_patch(plan.book, None, shipped())
    (hop,) = patch.hops
    wanted = getattr(hop.target.port, half).max_dbu
    assert hop.target.port.carrier.max_dbu != hop.target.port.jack_carrier.max_dbu  # type: ignore[union-attr]
    assert clip_dbu(hop.target, hop) == wanted
    assert ladder(patch, hop.target.node)[-1].clip_dbu == wanted


def test_a_hop_is_equal_to_itself_alone() -> None:
    (one, two, _) = _two_pianos().hops
    twin = Hop(one.source, one.target, one.coupling, one.cables, one.length_m, link=one.link, owners=one.owners)
    assert twin != one
    assert len({one, two, twin}) == 3
