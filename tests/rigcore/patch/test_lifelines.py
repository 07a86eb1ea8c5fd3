"""Lifelines: what falls silent with each thing, against taking it out of the book and building the patch again."""

from __future__ import annotations

import pytest

from rigcore import resources
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.book.edits.gigs import unbind_landing
from rigcore.book.edits.links import remove_links
from rigcore.book.edits.units import remove_units
from rigcore.book.gig import Landing
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import Node, Patch, build_patch
from rigcore.patch.feeding import feeds, kept_alive_by
from rigcore.patch.lifelines import Goal, Item, Lifeline, goals, items, lifelines
from rigcore.patch.walk import downstream
from tests.rule_samples.plan import Plan

BOOKS = ("piper", "tandem", "ferry", "tour", "mistakes", "mistakes-mended")


def _patch(book: Book, gig: str | None = None) -> Patch:
    return build_patch(book, gig, shipped())


def _sample(name: str) -> Book:
    return book_file.load(resources.samples() / f"{name}.loom", shipped())[0]


def _silent(patch: Patch) -> dict[str, str]:
    return {one.item.name: one.words for one in lifelines(patch)}


def _without(patch: Patch, item: Item) -> Book:
    """Return the book without a thing; a piece takes its landing with it, because a line with a hole is none."""
    if item.kind == "unit":
        return remove_units(patch.book, patch.rig.id, [item.unit])
    if item.link:
        return remove_links(patch.book, patch.rig.id, [item.link])
    return unbind_landing(patch.book, patch.gig.id, item.hand_off)


def _key(goal: Goal) -> str:
    return goal.hand_off.id if goal.hand_off is not None else goal.name


def _heard(wanted: Patch, patch: Patch) -> set[tuple[str, Node]]:
    """Return which sources of the goals of one patch are still heard there in another, by following it downstream."""
    found = set()
    for goal in goals(wanted):
        ends = set(goal.ends)
        if goal.hand_off is not None:
            landing = patch.gig.landing(goal.hand_off.id)
            ends &= set(downstream(patch, _begin(patch, landing))) if landing is not None else set()
        for source in goal.sources:
            there = any(end.node == source for end in patch.ends())
            if there and ends & set(downstream(patch, source)):
                found.add((_key(goal), source))
    return found


def _begin(patch: Patch, landing: Landing) -> Node:
    hand_off, socket = patch.hand_off(landing), patch.socket(landing)
    if hand_off.direction == "to house":
        return Node("rig", hand_off.unit, hand_off.port)
    return Node("house", socket.unit, socket.ports[0])


@pytest.mark.parametrize("name", BOOKS)
def test_equals_taking_it_out_and_building_again(name: str) -> None:
    """For every unit, cable and piece that feeds nothing else: lost is what is not heard in the book without it."""
    book = _sample(name)
    looked_at = 0
    for gig in book.gigs:
        patch = _patch(book, gig.id)
        found = {one.item: one for one in lifelines(patch)}
        fed = {feed.hop.link.id for feed in feeds(patch) if feed.hop is not None and feed.hop.link is not None}
        for item in items(patch):
            if item.link in fed or (item.kind == "unit" and kept_alive_by(patch, ("rig", item.unit))):
                continue
            after = _patch(_without(patch, item), gig.id)
            losses = found[item].losses if item in found else ()
            lost = {(_key(loss.goal), one) for loss in losses for one in loss.sources}
            assert lost == _heard(patch, patch) - _heard(patch, after), item.name
            looked_at += 1
    assert looked_at > 8


def test_tandem_as_read_off_the_plan() -> None:
    found = _silent(_patch(_sample("tandem")))
    assert found["DI 4-way"] == "Synth, Tracks"
    assert found["Splitter"] == found["Vocal"] == "Lead vox"
    assert found["House DI 1"] == "Piano L"
    assert found["In-ear mixer"] == found["Earphones"] == "Ears"
    assert found["XLR cable 5 m, Ears L"] == "Ears L"
    assert "Tablet" not in found
    assert not [name for name in found if "Click" in name], "nothing that must land hangs on the click"


def test_a_strip_silences_all_that_is_on_it_but_not_what_is_passive() -> None:
    """Ferry's strip feeds both keyboards, the tracks, the mixer of the ears and the tablet; voice and bass go on."""
    [strip] = [one for one in lifelines(_patch(_sample("ferry"))) if one.item.name == "Riser strip"]
    assert strip.silent == ("Keys 1", "Keys 2", "Tracks", "Band line")


def test_without_the_house_own_loudspeakers_are_the_goal() -> None:
    found = _silent(_patch(_sample("piper")))
    assert found["Mixer"] == "everything"
    assert found["Speaker L"] == "Speaker L"
    assert found["Vocal"] == "Vocal"
    assert found["6.35 mm TS lead 3 m, Piano R to Mixer Line 2"] == "Piano R"


def _fed_pedal() -> Plan:
    plan = Plan()
    plan.unit("guitar", "electric-guitar", "Guitar")
    plan.unit("drive", "pedal-overdrive", "Overdrive")
    plan.unit("supply", "dc-supply-9v", "Supply")
    plan.link("guitar.out", "drive.in", "ts 3")
    plan.link("supply.dc-1", "drive.dc", "dc21 0.6")
    plan.land("drive.out", "in-1", "ts 3", "di-passive in-1 out-1", "xlr 5", name="Guitar line")
    return plan


def test_an_external_supply_and_its_lead_are_lifelines() -> None:
    found = {one.item.kind + " " + one.item.type for one in lifelines(_patch(_fed_pedal().book))}
    assert {"unit dc-supply-9v", "cable dc21", "box di-passive", "unit pedal-overdrive"} <= found


def test_a_strip_behind_a_strip_and_the_supply_on_it() -> None:
    plan = _fed_pedal()
    for name in ("first", "second"):
        plan.unit(name, "strip-6", name.capitalize())
    plan.link("first.outlet-1", "second.mains", "")
    plan.link("second.outlet-1", "supply.mains", "mains-c7-bs1363 2")
    patch = _patch(plan.book)
    assert [key[1] for key in kept_alive_by(patch, ("rig", "first"))] == ["second", "supply", "drive"]
    assert {"First", "Second", "Supply"} <= set(_silent(patch))


def test_bus_power_is_a_lifeline() -> None:
    plan = Plan()
    plan.unit("laptop", "laptop", "Laptop")
    plan.unit("sound", "interface-2", "Interface")
    laptop = shipped().gear_type("laptop")
    host = next(port.id for port in laptop.ports if port.carrier.medium == "usb")
    device = next(port.id for port in shipped().gear_type("interface-2").ports if port.carrier.medium == "usb")
    out = next(port.id for port in shipped().gear_type("interface-2").ports if port.direction == "out")
    plan.link(f"laptop.{host}", f"sound.{device}", "usb-c-c 1")
    plan.land(f"sound.{out}", "in-1", "trs-xlr 5", name="Tracks")
    assert {"Laptop", "Interface"} <= set(_silent(_patch(plan.book)))


def test_a_second_way_is_no_single_point() -> None:
    """One keyboard into two channels of the mixer: either lead may fail, the mixer and its landing may not."""
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("y", "y-lead-ts", "Y-lead")
    plan.unit("mixer", "mixer-in-ear", "Mixer")
    y = shipped().gear_type("y-lead-ts")
    [first, second] = [port.id for port in y.ports if port.direction == "out"]
    [entry] = [port.id for port in y.ports if port.direction == "in"]
    plan.link("piano.out-l", f"y.{entry}", "")
    plan.link(f"y.{first}", "mixer.line-1", "")
    plan.link(f"y.{second}", "mixer.line-2", "ts 3")
    plan.land("mixer.main-l", "in-1", "trs-xlr 5", name="Mix")
    found: list[Lifeline] = list(lifelines(_patch(plan.book)))
    assert {one.item.name for one in found} == {
        "Piano", "Y-lead", "Mixer", "6.35 mm TRS plug to XLR male 5 m, Mix",
    }  # fmt: skip
