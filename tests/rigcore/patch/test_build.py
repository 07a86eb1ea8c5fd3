"""The patch graph: its nodes, the hops of links and landings, chains, and sockets with two ports."""

from __future__ import annotations

import pytest

from rigcore.book.edits.gigs import change_gig, place_here
from rigcore.book.edits.rebuild import checked
from rigcore.book.gig import Placement, SettingHere
from rigcore.book.rig import PortSetting
from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.loader import shipped
from rigcore.errors import UnknownThing
from rigcore.patch.build import Node, Patch, build_patch
from tests.rule_samples.plan import Plan


def _patch(plan: Plan) -> Patch:
    return build_patch(plan.book, None, shipped())


def _piano_by_di() -> Plan:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.land("piano.out-l", "in-1", "ts 3", "di-passive in-1 out-1", "xlr 5", "xlr 10", name="Piano")
    return plan


def test_every_port_is_a_node() -> None:
    patch = _patch(_piano_by_di())
    wanted = {
        Node(place, unit, port.id)
        for place, unit, gear in (
            ("rig", "piano", "stage-piano-88"), ("house", "box", "stage-box-8"), ("chain", "piano/2", "di-passive"),
        )
        for port in shipped().gear_type(gear).ports
    }
    assert set(patch.graph.nodes) == wanted
    assert next(end.node.place for end in patch.ends()) == "rig"


def test_no_such_gig() -> None:
    with pytest.raises(UnknownThing, match="there is no gig"):
        build_patch(Plan().book, "nowhere", shipped())


def test_a_link_is_a_hop_with_its_cable() -> None:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("amp", "keyboard-amplifier", "Amplifier")
    plan.link("piano.out-l", "amp.line-1", "ts 3")
    (hop,) = _patch(plan).hops
    assert (hop.source.words, hop.target.words) == ("Piano L/mono", "Amplifier Line 1")
    assert hop.plugs == ("ts6.m", "ts6.m")
    assert hop.length_m == 3.0
    assert hop.owners == ("rig",)
    assert hop.link is not None
    assert hop.landing is None


def test_a_bare_link_has_no_plugs() -> None:
    plan = Plan()
    plan.unit("tablet", "tablet", "Tablet")
    plan.unit("ears", "earphones", "Earphones")
    plan.link("tablet.phones", "ears.in")
    (hop,) = _patch(plan).hops
    assert hop.plugs == (None, None)
    assert hop.length_m is None


def test_a_cable_turns_the_way_round_that_fits() -> None:
    """A USB lead is drawn from device to host; its ends follow."""
    plan = Plan()
    plan.unit("keys", "controller-61", "Controller")
    plan.unit("laptop", "laptop", "Laptop")
    plan.link("keys.usb", "laptop.usb-2", "usb-a-b 3")
    (hop,) = _patch(plan).hops
    assert hop.plugs == ("usb-b.m", "usb-a.m")


def test_a_chain_is_cut_into_hops_at_its_boxes_and_joined_cables_are_one_run() -> None:
    patch = _patch(_piano_by_di())
    first, second = patch.hops
    assert first.target.node == Node("chain", "piano/2", "in-1")
    assert (first.piece, first.length_m) == (2, 3.0)
    assert second.source.node == Node("chain", "piano/2", "out-1")
    assert second.target.node == Node("house", "box", "in-1")
    assert [(cable.id, length) for cable, length in second.cables] == [("xlr", 5.0), ("xlr", 10.0)]
    assert second.plugs == ("xlr3.f", "xlr3.m")
    assert (second.piece, second.length_m) == (5, 15.0)
    assert patch.hops_at[second.target.node] == (second,)


def test_an_intended_landing_has_its_distance_and_no_cable() -> None:
    plan = Plan()
    plan.unit("vox", "dynamic-handheld", "Vox mic")
    plan.intend("vox.out", "in-1", 7.0, name="Lead vox")
    (hop,) = _patch(plan).hops
    assert hop.cables == ()
    assert hop.length_m == 7.0


def test_a_y_feeds_both_ports_of_a_socket() -> None:
    plan = Plan()
    plan.bar_system()
    plan.unit("tablet", "tablet", "Tablet")
    plan.land("tablet.phones", "bar", "y-lead-trs3-2rca in out-1 out-2", name="Break music")
    patch = _patch(plan)
    assert [hop.target.node.port for hop in patch.hops] == ["in", "in-l", "in-r"]
    assert [hop.leg for hop in patch.hops] == [0, 0, 1]
    assert patch.runs == patch.hops[:2]


def test_without_a_y_only_the_first_port_of_a_socket_is_fed() -> None:
    plan = Plan()
    plan.bar_system()
    plan.unit("mixer", "mixer-small", "Mixer")
    plan.land("mixer.main-l", "bar", "xlr-rca 3", name="Bar feed")
    assert [hop.target.node.port for hop in _patch(plan).hops] == ["in-l"]


def test_from_the_house_the_signal_runs_the_other_way() -> None:
    plan = Plan()
    plan.unit("mixer", "mixer-in-ear", "Ear mixer")
    plan.land("mixer.line-1", "mix-1", "xlr 5", "adapter-xlr3f-trs6m in out", name="Band mix")
    first, second = _patch(plan).hops
    assert first.source.node == Node("house", "box", "out-1")
    assert first.target.node == Node("chain", "band-mix/2", "in")
    assert second.target.node == Node("rig", "mixer", "line-1")


def test_settings_and_places_of_the_gig_win() -> None:
    plan = _piano_by_di()
    plan.unit("mixer", "mixer-in-ear", "Ear mixer")
    plan.set("mixer.mic-1", phantom=True)
    here = SettingHere(unit="mixer", setting=PortSetting(port="mic-1", gain_db=30.0))
    book = change_gig(plan.book, "gig", settings=(here,))
    book = place_here(book, "gig", Placement(unit="piano", x_m=1.5, y_m=2.0, rotation_deg=90.0))
    patch = build_patch(book, "gig", shipped())
    assert patch.end(Node("rig", "mixer", "mic-1")).setting == here.setting
    assert (patch.units["piano"].x_m, patch.units["piano"].rotation_deg) == (1.5, 90.0)
    assert book.rig("rig").units[0].x_m is None


def test_settings_of_a_piece_in_a_chain() -> None:
    plan = _piano_by_di()
    landing = plan.book.gig().landings[0]
    piece = checked(landing.chain[1], settings=(PortSetting(port="in-1", pad=True),))
    landing = checked(landing, chain=(landing.chain[0], piece, *landing.chain[2:]))
    patch = build_patch(change_gig(plan.book, "gig", landings=(landing,)), None, shipped())
    assert patch.end(Node("chain", "piano/2", "in-1")).setting.pad


@pytest.mark.parametrize(("cable", "level"), [("xlr 5", "mic"), ("xlr-trs 5", "line")])
def test_a_combined_socket_takes_what_the_plug_says(cable: str, level: str) -> None:
    plan = Plan()
    plan.unit("vox", "dynamic-handheld", "Vox mic")
    plan.unit("mixer", "mixer-rack-16", "Mixer")
    plan.link("vox.out", "mixer.in-1", cable)
    patch = _patch(plan)
    carrier = patch.hops[0].coupling.arrives
    assert isinstance(carrier, Audio)
    assert carrier.level == level


def test_runs_by_media_and_what_lies_wrong() -> None:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("synth", "synth-61", "Synth")
    plan.link("piano.midi-out", "synth.midi-in", "midi 3")
    plan.link("piano.out-l", "synth.out-l", "ts 3")
    patch = _patch(plan)
    midi, audio = patch.runs
    assert patch.runs_between == {("midi", "midi"): (midi,), ("audio", "audio"): (audio,)}
    assert patch.misplaced == (audio,)
    assert patch.along == (midi,)
