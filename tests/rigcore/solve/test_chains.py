"""Adapter chains: exhaustive search over small stocks, the three rigs worked by hand, and what each state refuses."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator, Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigcore import resources
from rigcore.book import file as book_file
from rigcore.book.edits.gigs import bind_landing
from rigcore.book.gig import GearPiece
from rigcore.catalogue.gear import Port
from rigcore.catalogue.loader import shipped
from rigcore.catalogue.record import changed
from rigcore.patch.build import Patch, build_patch
from rigcore.rules.run import run_rules
from rigcore.solve.chain import Chain, Cost
from rigcore.solve.chain_ahead import Ahead, Certain, Spot
from rigcore.solve.chain_parts import Box, Lead, Parts
from rigcore.solve.chain_state import Goal, Signal, arriving, signal_of, through_box, through_lead
from rigcore.solve.chains import MOST_BOXES, TOGETHER_M, chains_between, chains_to, cheapest
from rigcore.solve.stockroom import Item, Supply, supply

CATALOGUE = shipped()

SOURCES = [
    ("stage-piano-88", "out-l"), ("synth-61", "out-l"), ("dynamic-handheld", "out"), ("condenser-handheld", "out"),
    ("mixer-small", "main-l"), ("mixer-small", "monitor"), ("laptop-interface-4", "out-1"), ("tablet", "phones"),
]  # fmt: skip
TARGETS = [
    ("stage-box-8", "in-1"), ("mixer-small", "mic-1"), ("mixer-small", "line-1"), ("powered-monitor", "in"),
    ("ceiling-system", "in-l"), ("mixer-rack-16", "in-1"), ("earphones", "in"),
]  # fmt: skip
XLR_5, TS_3 = Item("cable", "xlr", 5.0, "rig"), Item("cable", "ts", 3.0, "rig")
THINGS = [
    XLR_5, Item("cable", "xlr", 10.0, "rig"), TS_3,
    Item("cable", "trs", 3.0, "rig"), Item("cable", "xlr", 10.0, "house"), Item("cable", "trs-xlr", 3.0, "rig"),
    Item("cable", "ts-rca", 3.0, "rig"), Item("gear", "di-passive", 0.0, "rig"),
    Item("gear", "di-active", 0.0, "house"),
    Item("gear", "line-isolator", 0.0, "rig"), Item("gear", "adapter-xlr3f-trs6m", 0.0, "rig"),
    Item("gear", "adapter-trs6m-xlr3m", 0.0, "rig"), Item("gear", "adapter-xlr3f-rcam", 0.0, "rig"),
    Item("gear", "pad-20-xlr", 0.0, "rig"), Item("gear", "adapter-rcam-ts6f", 0.0, "rig"),
]  # fmt: skip


def port(gear: str, name: str) -> Port:
    return CATALOGUE.port(gear, name)


def exhaustive(source: Port, goal: Goal, stock: Supply, length_m: float) -> Cost | None:
    """Return the cheapest cost over every sequence of at most four boxes with a lead or none between each two."""
    parts = Parts(CATALOGUE, stock, source.carrier.medium, length_m=length_m, buy=False)
    best: Cost | None = None
    for count in range(MOST_BOXES + 1):
        for boxes in itertools.permutations(parts.boxes, count):
            if any(times > stock[item] for item, times in Counter(box.item for box in boxes).items()):
                continue
            for cost in _costs(parts, signal_of(source), goal, (boxes, length_m)):
                if best is None or cost < best:
                    best = cost
    return best


def _costs(parts: Parts, begin: Signal, goal: Goal, laid: tuple[Sequence[Box], float]) -> Iterator[Cost]:
    boxes, length_m = laid
    leads: list[list[tuple[Lead | None, bool]]] = []
    for _ in range(len(boxes) + 1):
        some: list[tuple[Lead | None, bool]] = [(None, False)]
        some += [(lead, False) for lead in parts.short_leads] + [(lead, True) for lead in parts.long_leads]
        leads.append(some)
    yield from _walk(parts, begin, (goal, tuple(boxes), leads), (Cost(0, 0.0, 0.0, 0, 0.0), Counter(), length_m))


def _walk(parts: Parts, signal: Signal, ahead: tuple, so_far: tuple) -> Iterator[Cost]:
    goal, boxes, leads = ahead
    cost, used, missing_m = so_far
    for lead, is_long in leads[0]:
        here, now, taken = signal, cost, used
        if lead is not None:
            if is_long and missing_m <= TOGETHER_M:
                continue
            passed = through_lead(CATALOGUE, signal, lead)
            taken = used + Counter(lead.items)
            if passed is None or any(times > parts.supply[item] for item, times in taken.items()):
                continue
            here, now = passed.signal, _plus(cost, passed, lead.mass_kg, len(lead.items))
        left_m = 0.0 if is_long else missing_m
        if boxes:
            passed = through_box(CATALOGUE, here, boxes[0])
            if passed is not None:
                grown = _plus(now, passed, boxes[0].mass_kg, 1)
                yield from _walk(parts, passed.signal, (goal, boxes[1:], leads[1:]), (grown, taken, left_m))
        elif left_m <= TOGETHER_M:
            passed = arriving(CATALOGUE, here, goal)
            if passed is not None:
                yield _plus(now, passed, 0.0, 0)


def _plus(cost: Cost, passed: object, mass_kg: float, pieces: int) -> Cost:
    return Cost(
        cost.faults + len(passed.faults), 0.0, round(cost.mass_kg + mass_kg, 4), cost.pieces + pieces,
        round(cost.loss_db + passed.loss_db, 2), cost.risks + len(passed.risks),
    )  # fmt: skip


@settings(max_examples=300, deadline=None)
@given(
    source=st.sampled_from(SOURCES), target=st.sampled_from(TARGETS),
    things=st.lists(st.sampled_from(THINGS), min_size=1, max_size=6),
    length_m=st.sampled_from([0.0, 2.0, 3.7, 5.0, 12.0]), feeds=st.sampled_from(["no", "may", "on"]),
)  # fmt: skip
def test_it_finds_what_exhaustive_search_finds(source, target, things, *, length_m, feeds) -> None:
    begin, end = port(*source), port(*target)
    stock = dict(Counter(things))
    goal = Goal((end,), end.carrier.medium, feeds)
    found = cheapest(CATALOGUE, signal_of(begin), goal, stock, length_m=length_m, buy=False)
    wanted = exhaustive(begin, goal, stock, length_m) if begin.carrier.medium == end.carrier.medium else None
    assert (found[0].cost if found else None) == wanted
    for chain in found:
        assert chain.cost == wanted
        assert all(count <= stock[item] for item, count in chain.needs.items())
    assert len({chain.pieces for chain in found}) == len(found)


def sample(name: str, gig: str | None = None) -> Patch:
    return build_patch(book_file.load(resources.samples() / f"{name}.loom", CATALOGUE)[0], gig, CATALOGUE)


def best(patch: Patch, hand_off: str, length_m: float) -> Chain:
    landing = patch.gig.landing(hand_off)
    assert landing is not None
    stock = supply(patch.book.stock, patch.house.stock, patch.rig)
    return chains_to(patch, patch.hand_off(landing), patch.socket(landing), stock, length_m=length_m)[0]


def test_piper_three_adapters_an_isolator_and_two_joined_cables() -> None:
    """The bar's phono pair 12 m away, worked by hand: three adapters to get, own isolator, two own 10 m cables."""
    chain = best(sample("piper"), "ceiling-feed", 12.0)
    assert chain.needs == Counter({
        Item("gear", "adapter-trs6m-xlr3m", 0.0, "buy"): 1, Item("gear", "adapter-xlr3f-rcam", 0.0, "buy"): 1,
        Item("gear", "adapter-rca-y", 0.0, "buy"): 1, Item("gear", "line-isolator", 0.0, "rig"): 1,
        Item("cable", "xlr", 10.0, "rig"): 2,
    })  # fmt: skip
    assert chain.cost.faults == 0
    last = chain.pieces[-1]
    assert isinstance(last, GearPiece)
    assert last.leave == ("out-1", "out-2")


@pytest.mark.parametrize("ear", ["ears-l", "ears-r"])
def test_tandem_one_adapter_to_get_for_each_ear_return(ear: str) -> None:
    chain = best(sample("tandem"), ear, 4.5)
    assert [item[:3] for item in chain.items] == [("cable", "xlr", 5.0), ("gear", "adapter-xlr3f-trs6m", 0.0)]
    assert chain.cost.price == 1.0


@pytest.mark.parametrize(
    ("gig", "hand_off", "length_m", "kinds"),
    [
        ("chapel", "keys-l", 4.3, ["ts", "di-passive", "xlr"]),
        ("festival", "keys-r", 2.5, ["ts", "di-passive", "xlr"]),
        ("chapel", "ear-feed", 3.5, ["xlr", "adapter-xlr3f-trs6m"]), ("chapel", "lead-vox", 3.3, ["xlr"]),
        ("bar", "keys-l", 1.7, ["ts-rca"]),
    ],
)  # fmt: skip
def test_the_tour_lands_by_what_is_owned(gig: str, hand_off: str, length_m: float, kinds: list[str]) -> None:
    chain = best(sample("tour", gig), hand_off, length_m)
    assert [item.type for item in chain.items] == kinds
    assert (chain.cost.faults, chain.cost.price) == (0, 0.0)


def test_what_it_lays_the_rules_do_not_fault() -> None:
    """Each chain put into its landing brings no fault of plugs, levels, length or 48 V."""
    for name in ("piper", "tandem", "tour"):
        patch = sample(name)
        for landing in patch.gig.landings:
            chain = best(patch, landing.hand_off, landing.length_m or 3.0)
            book = bind_landing(patch.book, patch.gig.id, changed(landing, chain=chain.pieces), CATALOGUE)
            after = run_rules(build_patch(book, patch.gig.id, CATALOGUE))
            about = [
                one for one in after
                if one.severity == "fault" and any(thing.id == landing.hand_off for thing in one.things)
                and one.rule.partition(".")[0] in ("fit", "level", "balance", "phantom")
            ]  # fmt: skip
            assert about == [], (name, landing.hand_off)


def test_a_passive_di_takes_21_6_db_and_the_loads_on_it() -> None:
    """12:1 transformer, 20 log 12 = 21.6 dB. Source: music-technology articles on direct boxes."""
    stock = dict(Counter([TS_3, Item("gear", "di-passive", 0.0, "rig"), XLR_5]))
    chain = chains_between(
        CATALOGUE, port("stage-piano-88", "out-l"), port("stage-box-8", "in-1"), stock, length_m=4.0, buy=False
    )[0]
    into_di = 0.06  # 20 log((140000 + 1000) / 140000)
    into_box = 0.63  # 20 log((2000 + 150) / 2000)
    assert chain.cost.loss_db == pytest.approx(21.6 + into_di + into_box, abs=0.02)
    assert chain.steps[1].startswith("Passive DI box: floating")


def test_a_hot_source_gets_the_pad_of_an_active_di() -> None:
    """+10 dBu into a box that clips at +9: its 20 dB pad is switched in; a hotter one than that is a fault."""
    stock = dict(Counter([TS_3, Item("gear", "di-active", 0.0, "rig"), XLR_5]))
    target = port("stage-box-8", "in-1")
    goal = Goal((target,), "audio", "may")
    piano = signal_of(port("stage-piano-88", "out-l"))
    chain = cheapest(CATALOGUE, piano, goal, stock, length_m=4.0, buy=False)[0]
    assert [s.pad for piece in chain.pieces if isinstance(piece, GearPiece) for s in piece.settings] == [True]
    dead = cheapest(CATALOGUE, piano, Goal((target,), "audio", "no"), stock, length_m=4.0, buy=False)[0]
    assert "needs 48 V and gets none" in dead.why


def test_12_m_never_run_unbalanced_where_it_can_be_balanced() -> None:
    """3 to 6 m at most. Source: live-sound articles on unbalanced leads."""
    chain = chains_between(
        CATALOGUE, port("stage-piano-88", "out-l"), port("stage-box-8", "in-1"), {}, length_m=12.0
    )[0]
    assert chain.cost.faults == 0
    assert [item.type for item in chain.items][-1] == "xlr"


def test_no_way_is_no_chain() -> None:
    assert chains_between(CATALOGUE, port("stage-piano-88", "midi-out"), port("stage-box-8", "in-1"), {}) == ()
    assert chains_between(CATALOGUE, port("stage-piano-88", "out-l"), port("stage-box-8", "in-1"), {}, buy=False) == ()


@pytest.mark.parametrize("target", TARGETS)
@pytest.mark.parametrize("source", SOURCES)
def test_with_everything_for_sale_a_way_is_found_and_never_below_what_is_certain(source, target) -> None:
    begin, end = port(*source), port(*target)
    goal = Goal((end,), end.carrier.medium, "may")
    parts = Parts(CATALOGUE, {}, "audio", length_m=5.0, buy=True)
    ahead = Ahead(parts, (end.connector,))
    place = signal_of(begin), Spot(begin.connector, after_lead=False, is_far=False)
    found = cheapest(CATALOGUE, signal_of(begin), goal, {}, length_m=5.0, buy=True)
    assert found
    assert Certain(ahead, goal).faults(place, MOST_BOXES) <= found[0].cost.faults
    to_go = ahead.to_go(place[1])
    assert to_go is not None
    if not found[0].cost.faults:
        assert (to_go.price, to_go.mass_kg) <= (found[0].cost.price + 1e-9, found[0].cost.mass_kg + 1e-9)


def test_a_microphone_into_a_line_input_is_known_to_be_too_weak_from_the_start() -> None:
    end = port("mixer-small", "line-1")
    goal = Goal((end,), "audio", "may")
    ahead = Ahead(Parts(CATALOGUE, {}, "audio", length_m=12.0, buy=True), (end.connector,))
    signal = signal_of(port("dynamic-handheld", "out"))
    assert Certain(ahead, goal).faults((signal, Spot(signal.connector, False, False)), MOST_BOXES) == 1
    chain = cheapest(CATALOGUE, signal, goal, {}, length_m=12.0, buy=True)[0]
    assert [why.rpartition(" dB ")[2] for why in chain.why] == ["too weak"]


def test_a_pad_does_not_end_the_need_of_48_v() -> None:
    pads = [one for one in Parts(CATALOGUE, {}, "audio", length_m=1.0, buy=True).boxes if one.gear.id == "pad-20-xlr"]
    signal = signal_of(port("condenser-handheld", "out"))._replace(is_panel=False)
    passed = through_box(CATALOGUE, signal, pads[0])
    assert passed is not None
    assert passed.signal.needs_48 == pads[0].path.passes_phantom


@pytest.mark.parametrize(("source", "target"), [(SOURCES[0], TARGETS[2]), (SOURCES[4], TARGETS[3])])
def test_kept_chains_follow_the_cheapest_and_take_other_things(source, target) -> None:
    ends = CATALOGUE, port(*source), port(*target)
    first = chains_between(*ends, {}, length_m=5.0)
    more = chains_between(*ends, {}, length_m=5.0, keep=5)
    assert len(more) >= 5
    assert more[0].cost == first[0].cost
    assert {chain.pieces for chain in first} <= {chain.pieces for chain in more}
    assert [chain.cost for chain in more] == sorted(chain.cost for chain in more)
    assert not any(one.needs < other.needs for one, other in itertools.permutations(more, 2))


def test_equal_lengths_of_lead_answer_alike() -> None:
    """Between two lengths of lead that are made, every distance has the same chains."""
    ends = CATALOGUE, port("mixer-small", "main-l"), port("stage-box-8", "in-1")
    costs = [chains_between(*ends, {XLR_5: 3}, length_m=one)[0].cost for one in (3.1, 4.0, 5.0, 5.1)]
    assert costs[0] == costs[1] == costs[2] != costs[3]
