"""The gain list and the ladders of the lines: which there are, in which order, and in which words."""

from __future__ import annotations

import re

import pytest

from rigcore.catalogue.loader import shipped
from rigcore.lists.gain_list import (
    channel_ladders,
    figures_of,
    gain_at,
    gain_list,
    ladders_about,
    signed,
    words_of,
)
from rigcore.patch.build import Node, Patch, build_patch
from rigcore.patch.ladder import gain_plan
from rigcore.rules.rule import Thing
from tests.rule_samples.plan import Plan


def _patch(plan: Plan) -> Patch:
    return build_patch(plan.book, None, shipped())


@pytest.fixture
def plan() -> Plan:
    """A synthesizer through a DI to the house and on to a mixer, a voice into the same mixer."""
    plan = Plan()
    plan.unit("synth", "synth-61", "Synth")
    plan.unit("di", "di-passive", "DI")
    plan.unit("vox", "dynamic-handheld", "Vox")
    plan.unit("mixer", "mixer-in-ear", "Ears")
    plan.link("synth.out-l", "di.in-1", "ts 3")
    plan.link("di.thru-1", "mixer.line-1", "ts 3")
    plan.link("vox.out", "mixer.mic-1", "xlr 5")
    plan.land("di.out-1", "in-3", "xlr 5", name="Synth L")
    return plan


def _titles(patch: Patch, *thing: str) -> list[str]:
    return [one.title for one in ladders_about(patch, Thing(*thing))]  # type: ignore[arg-type]


def test_the_list_holds_the_whole_gain_plan_ours_first(plan: Plan) -> None:
    patch = _patch(plan)
    rows = gain_list(patch)
    assert {row.node for row in rows} == {advice.node for advice in gain_plan(patch)}
    assert [(row.owner, row.number, row.name, row.input) for row in rows] == [
        ("rig", None, "Vox", "Ears Mic 1"),
        ("rig", None, "Synth L/mono", "Ears Line 1"),
        ("house", 3, "Synth L", "Stage box In 3"),
    ]


def test_a_row_gives_levels_gain_and_head_room(plan: Plan) -> None:
    row = gain_list(_patch(plan))[-1]
    assert row.gain_db == pytest.approx(4.0 - row.nominal_dbu, abs=0.05)
    assert row.head_room_db == pytest.approx(10.0 - row.peak_dbu)
    assert (row.gain_words, row.problem, row.is_dialled) == ("+21.7 dB", "", False)


def test_a_dialled_gain_is_known(plan: Plan) -> None:
    node = Node("rig", "mixer", "mic-1")
    row = gain_at(_patch(plan), node)
    assert row is not None
    plan.set("mixer.mic-1", gain_db=row.gain_db)
    again = gain_at(_patch(plan), node)
    assert again is not None
    assert again.is_dialled
    assert again.gain_db == row.gain_db


def test_a_port_without_a_gain_has_none(plan: Plan) -> None:
    assert gain_at(_patch(plan), Node("rig", "synth", "out-l")) is None
    assert gain_at(_patch(plan), Node("rig", "mixer", "mic-2")) is None


def test_landing_hand_off_and_socket_share_the_ladder_down_to_the_house(plan: Plan) -> None:
    patch = _patch(plan)
    hand_off = patch.rig.hand_offs[0].id
    for kind, name in (("landing", hand_off), ("hand-off", hand_off), ("socket", "in-3")):
        [ladder] = ladders_about(patch, Thing(kind, name))  # type: ignore[arg-type]
        assert ladder.title == "Synth L → 3"
        assert ladder.rungs[-1].node == Node("house", "box", "in-3")
        assert ladder == channel_ladders(patch)[0]


def test_a_unit_has_every_line_through_it_and_a_port_only_its_own(plan: Plan) -> None:
    patch = _patch(plan)
    assert _titles(patch, "unit", "synth") == ["Synth L → 3", "Synth L/mono → Ears Line 1"]
    assert _titles(patch, "unit", "mixer") == ["Vox → Ears Mic 1", "Synth L/mono → Ears Line 1"]
    assert _titles(patch, "unit", "mixer", "mic-1") == ["Vox → Ears Mic 1"]
    assert _titles(patch, "unit", "synth", "out-r") == []
    assert _titles(patch, "house unit", "box") == ["Synth L → 3"]


def test_a_link_has_the_ladder_down_to_its_target(plan: Plan) -> None:
    patch = _patch(plan)
    link = patch.rig.links[0]
    [ladder] = ladders_about(patch, Thing("link", link.id))
    assert [words_of(rung) for rung in ladder.rungs] == ["Synth L/mono", "DI In"]
    assert ladder.gain is None
    assert ladder.gain_words == ""


def test_a_source_shows_no_clip_of_its_own(plan: Plan) -> None:
    [ladder] = channel_ladders(_patch(plan))
    assert ladder.rungs[0].clip_dbu is None
    assert ladder.tightest is not None
    assert ladder.tightest.node.unit == "di"
    assert min(rung.head_room_db for rung in ladder.rungs[1:]) == pytest.approx(ladder.tightest.head_room_db, abs=0.05)


def test_a_ladder_is_told_in_words(plan: Plan) -> None:
    [ladder] = channel_ladders(_patch(plan))
    assert re.fullmatch(r"Tightest at DI In: peak \+19\.9 dBu, 4\.1 dB under clip\.", ladder.head_room_words)
    assert ladder.gain_words == "Gain to dial at Stage box In 3: +21.7 dB."
    for rung in ladder.rungs:
        assert words_of(rung) in ladder.spoken
        assert all(figure in ladder.spoken for figure in figures_of(rung))


def test_a_stage_that_clips_is_named() -> None:
    plan = Plan()
    plan.unit("synth", "synth-61", "Synth")
    plan.land("synth.out-l", "in-1", "trs-xlr 5", name="Synth")
    [ladder] = channel_ladders(_patch(plan))
    assert ladder.head_room_words.startswith("Stage box In 1 clips: peak +")
    assert ladder.head_room_words.endswith(" over clip.")
    assert ladder.room_figure.startswith("−")
    assert ", but its input clips" in ladder.gain_words


def test_what_nothing_reaches_has_no_ladder() -> None:
    plan = Plan()
    plan.unit("synth", "synth-61", "Synth")
    patch = _patch(plan)
    for thing in (
        Thing("unit", "synth"), Thing("unit", "gone"), Thing("socket", "in-1"), Thing("landing", "gone"),
        Thing("link", "gone"), Thing("gig", "gig"), Thing("house unit", "box"),
    ):
        assert ladders_about(patch, thing) == ()
    assert channel_ladders(patch) == ()
    assert gain_list(patch) == ()


def test_what_the_house_sends_ends_at_our_own_input() -> None:
    plan = Plan()
    plan.unit("mixer", "mixer-in-ear", "Ears")
    plan.land("mixer.line-7", "mix-1", "xlr-trs 5", name="Band", direction="from house")
    patch = _patch(plan)
    [ladder] = ladders_about(patch, Thing("landing", patch.rig.hand_offs[0].id))
    assert ladder.title == "Band → Ears Line 7"
    assert ladder.rungs[-1].node == Node("rig", "mixer", "line-7")


@pytest.mark.parametrize(("gain_db", "words"), [(46.0, "+46.0 dB"), (-5.44, "−5.4 dB"), (-0.01, "0.0 dB")])
def test_gains_carry_sign_and_unit(gain_db: float, words: str) -> None:
    assert signed(gain_db) == words


def test_an_input_that_two_cables_share_says_so(plan: Plan) -> None:
    plan.unit("other", "dynamic-handheld", "Other")
    plan.link("other.out", "mixer.mic-1", "xlr 5")
    row = gain_at(_patch(plan), Node("rig", "mixer", "mic-1"))
    assert row is not None
    assert row.name == "several at once"
