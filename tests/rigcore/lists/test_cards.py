"""Set-up card, labels and monitor list: the order of plugging, numbers that occur once, pairs as one row."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import get_args

import pytest

from rigcore.book.file import load
from rigcore.catalogue.loader import shipped
from rigcore.lists.label_list import label_list
from rigcore.lists.monitor_list import monitor_list
from rigcore.lists.set_up_card import LOUD, Phase, set_up_card, switch_on_order
from rigcore.patch.build import Patch, build_patch
from rigcore.quantities.numbering import colours_of
from rigcore.resources import samples
from tests.rigcore.paper.conftest import ferry_book
from tests.rule_samples.plan import Plan

BOOKS = sorted(samples().glob("*.loom"))


def _patches(path: Path) -> list[Patch]:
    book, _ = load(path, shipped())
    return [build_patch(book, gig.id, shipped()) for gig in book.gigs]


@pytest.fixture(scope="module")
def ferry() -> Patch:
    return build_patch(ferry_book(shipped()), None, shipped())


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)
def test_the_card_follows_the_order_of_the_trade_and_forgets_nothing(path: Path) -> None:
    for patch in _patches(path):
        steps = set_up_card(patch)
        phases = list(dict.fromkeys(step.phase for step in steps))
        assert [phase for phase in get_args(Phase) if phase in phases] == phases
        order = [step.units[0] for step in steps if step.words.startswith("Switch on ")]
        assert order == [unit.id for unit in switch_on_order(patch)]
        linked = [hop for hop in patch.runs if hop.link is not None and hop.is_audio and hop.facing == "along"
                  and "rig" in (hop.source.owner, hop.target.owner)]
        assert sum(step.phase == "audio loom" for step in steps) >= len(linked)


def test_leads_to_boxes_the_house_supplies_are_laid_too() -> None:
    [patch] = _patches(next(path for path in BOOKS if path.stem == "tandem"))
    laid = [step.words for step in set_up_card(patch) if step.phase == "audio loom"]
    assert {"Piano L/mono → House DI 1 In", "House DI 1 Thru → In-ear mixer Line 1"} <= set(laid)
    assert len(laid) == 15


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)
def test_loudspeakers_are_last_on_and_first_off(path: Path) -> None:
    for patch in _patches(path):
        loud = [patch.catalogue.gear_type(unit.gear).category in LOUD for unit in switch_on_order(patch)]
        assert loud == sorted(loud)
        off = [step for step in set_up_card(patch) if step.words.startswith("Switch off")]
        on = [unit.name for unit in switch_on_order(patch)]
        assert [step.words for step in off] == ([f"Switch off: {', '.join(reversed(on))}"] if on else [])


def test_a_pedal_that_is_read_at_switch_on_gets_a_foot_off_step() -> None:
    piano = shipped().gear_type("stage-piano-88")
    port = next(port for port in piano.ports if port.carrier.medium == "footswitch")
    pedal = next(gear for gear in shipped().gear.values() if gear.category == "pedal"
                 and any(one.carrier.medium == "footswitch" and one.direction == "out" for one in gear.ports))
    out = next(one for one in pedal.ports if one.carrier.medium == "footswitch" and one.direction == "out")
    plan = Plan()
    plan.unit("keys", "stage-piano-88", "Piano")
    plan.unit("pedal", pedal.id, "Sustain pedal")
    plan.unit("monitor", "powered-monitor", "Own monitor")
    plan.link(f"pedal.{out.id}", f"keys.{port.id}")
    plan.link("keys.out-l", "monitor.in", "ts 3")
    steps = set_up_card(build_patch(plan.book, None, shipped()))
    words = [(step.phase, step.words, step.mind) for step in steps]
    senses = bool(getattr(port.carrier, "senses", False))
    assert any(phase == "pedals" for phase, _, _ in words)
    assert (("supplies on", "Switch on Piano", "Foot off Sustain pedal.") in words) is senses
    assert words.index(("supplies on", "Switch on Own monitor", "Last, at its lowest level.")) > words.index(
        next(one for one in words if one[1] == "Switch on Piano")
    )
    assert words[0] == ("levels down", "Turn down: Own monitor", "Muted until the monitor test.")


def test_strips_are_tested_before_anything_is_plugged(ferry: Patch) -> None:
    steps = set_up_card(ferry)
    power = [place for place, step in enumerate(steps) if step.phase == "power"]
    plugged = next(place for place, step in enumerate(steps) if step.words.startswith("Plug in: "))
    assert power
    assert max(power) < plugged
    assert "strip" in steps[power[0]].words


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)
def test_every_cable_of_ours_has_a_number_of_its_own(path: Path) -> None:
    for patch in _patches(path):
        labels = label_list(patch)
        marks = [label.mark for label in labels]
        assert len(set(marks)) == len(marks)
        ours = sum(owner == "rig" for hop in patch.runs for owner in hop.owners[:len(hop.cables)])
        assert len(labels) == ours
        assert all(label.colours == colours_of(label.number) for label in labels)
        assert [label.number for label in labels] == sorted(label.number for label in labels)


def test_cables_on_a_channel_bear_its_number_in_the_order_they_are_plugged(ferry: Patch) -> None:
    by_mark = {label.mark: label for label in label_list(ferry)}
    first, second = by_mark["2a"], by_mark["2b"]
    assert (first.line, second.line) == ("Keys 1 L", "Keys 1 L")
    assert first.one_end.startswith("Keys 1 ")
    assert second.other_end == "B1, Drop B, centre stage"
    assert "9" in by_mark, "one cable on a line needs no letter"
    after = [label for label in label_list(ferry) if not label.line]
    assert [label.number for label in after] == list(range(10, 10 + len(after)))
    assert all(one.number < other.number for one, other in pairwise(after))


def test_a_stereo_pair_is_one_row_with_both_numbers() -> None:
    book, _ = load(samples() / "tandem.loom", shipped())
    rows = monitor_list(build_patch(book, None, shipped()))
    pairs = [row for row in rows if row.layout == "stereo"]
    assert pairs
    assert all(len(row.numbers) == len(row.sockets) == 2 for row in pairs)
    numbers = [row.numbers[0] for row in rows]
    assert numbers == sorted(numbers)


def test_the_monitor_list_says_where_and_what(ferry: Patch) -> None:
    first, second = monitor_list(ferry)
    assert (first.numbers, first.goes_to, first.place, first.kind, first.layout, first.supplier) == (
        (1,), "Wedge", "downstage right", "wedge", "mono", "house"
    )
    assert second.wanted == "everything but lead vox and keys, plus talkback"
