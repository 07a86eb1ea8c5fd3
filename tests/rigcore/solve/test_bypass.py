"""Ways round a failure: each as a player would do it, tried on a copy, and never promising what stays silent."""

from __future__ import annotations

import pytest

from rigcore import resources
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.book.edits.houses import change_house
from rigcore.book.edits.rebuild import checked
from rigcore.book.file import to_bytes
from rigcore.book.gig import CablePiece
from rigcore.book.house import PowerDrop, Stage
from rigcore.book.stock import StockItem
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import Node, Patch, build_patch
from rigcore.patch.lifelines import Lifeline, goals, lifelines
from rigcore.patch.walk import sources
from rigcore.solve.at_hand import at_hand, runs_between, taken, words
from rigcore.solve.bypass import Bypass, bypasses, spare_of
from tests.rule_samples.plan import Plan


def _patch(book: Book, gig: str | None = None) -> Patch:
    return build_patch(book, gig, shipped())


def _stocked(plan: Plan, *items: StockItem) -> None:
    plan.book = checked(plan.book, stock=(*plan.book.stock, *items))


def _cable(kind: str, length_m: float, count: int = 1) -> StockItem:
    return StockItem(kind="cable", type=kind, length_m=length_m, count=count)


def _gear(kind: str, count: int = 1) -> StockItem:
    return StockItem(kind="gear", type=kind, count=count)


def _of(patch: Patch, name: str) -> Lifeline:
    return next(one for one in lifelines(patch) if one.item.name.startswith(name))


def _ways(patch: Patch, name: str, kind: str) -> list[Bypass]:
    return [one for one in bypasses(patch, _of(patch, name)) if one.kind == kind]


def _voice_by_splitter() -> Plan:
    plan = Plan()
    plan.unit("vox", "dynamic-handheld", "Vox mic")
    plan.unit("splitter", "splitter-1x2", "Splitter")
    plan.link("vox.out", "splitter.in", "xlr 5")
    plan.land("splitter.direct", "in-3", "xlr 10", name="Lead vox")
    return plan


def test_splitter_dead_the_microphone_goes_straight_to_the_house_line() -> None:
    plan = _voice_by_splitter()
    patch = _patch(plan.book)
    [way] = bypasses(patch, _of(patch, "Splitter"))
    assert way.kind == "past it"
    assert way.steps == ("unplug Splitter", "Vox mic Output to house 3: XLR cable 5 m + XLR cable 10 m")
    after = _patch(way.apply(plan.book))
    assert after.rig.unit("splitter") is None
    [landing] = after.gig.landings
    assert (landing.hand_off, landing.socket) == ("lead-vox", "in-3")
    assert [one.name for one in sources(after, Node("house", "box", "in-3"))] == ["Vox mic"]


def _piano_by_di() -> Plan:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("di", "di-passive", "DI")
    plan.link("piano.out-l", "di.in-1", "ts 3")
    plan.land("di.out-1", "in-1", "xlr 5", name="Piano")
    return plan


def test_di_dead_without_anything_at_hand_there_is_no_way() -> None:
    patch = _patch(_piano_by_di().book)
    assert bypasses(patch, _of(patch, "DI")) == ()
    assert spare_of(patch, _of(patch, "DI").item) is None


def test_di_dead_the_spare_then_another_kind_then_the_houses() -> None:
    plan = _piano_by_di()
    _stocked(plan, _gear("di-passive", 2))
    patch = _patch(plan.book)
    assert bypasses(patch, _of(patch, "DI"))[0].steps == ("swap it for the spare",)
    assert spare_of(patch, _of(patch, "DI").item) == "rig"

    plan = _piano_by_di()
    _stocked(plan, _gear("di-active"))
    [way] = _ways(_patch(plan.book), "DI", "other kind")
    assert way.steps == ("use our Active DI box instead",)
    unit = way.apply(plan.book).rig("rig").unit("di")
    assert unit is not None
    assert unit.gear == "di-active"

    plan = _piano_by_di()
    plan.book = change_house(plan.book, "house", stock=(_gear("di-passive"),))
    patch = _patch(plan.book)
    assert spare_of(patch, _of(patch, "DI").item) == "house"


def test_mixer_dead_its_sources_go_to_free_lines_of_the_house_voice_first() -> None:
    plan = Plan()
    plan.unit("piano", "stage-piano-88", "Piano")
    plan.unit("vox", "dynamic-handheld", "Vox mic")
    plan.unit("mixer", "mixer-small", "Mixer")
    plan.link("piano.out-l", "mixer.line-1", "ts 3")
    plan.link("vox.out", "mixer.mic-1", "xlr 5")
    plan.land("mixer.main-l", "in-1", "xlr 5", name="All")
    _stocked(plan, _gear("di-passive"), _cable("xlr", 5.0, 2), _cable("xlr", 10.0, 2), _cable("ts", 3.0, 1))
    patch = _patch(plan.book)
    [way] = _ways(patch, "Mixer", "past it")
    assert way.whole
    after = _patch(way.apply(plan.book))
    heard = {goal.ends[0].port: [after.end(one).name for one in goal.sources] for goal in goals(after)}
    assert heard == {"in-1": ["Vox mic"], "in-2": ["Piano"]}


def test_a_lead_is_taken_from_a_lesser_line() -> None:
    plan = _voice_by_splitter()
    plan.unit("amb", "condenser-pencil", "Room mic")
    plan.land("amb.out", "in-8", "xlr 10", name="Room", importance="nice")
    [way] = _ways(_patch(plan.book), "XLR cable 10 m, Lead vox", "from a lesser line")
    assert way.steps == ("take the XLR cable 10 m from Room",)
    assert [one.hand_off for one in way.apply(plan.book).gig().landings] == ["lead-vox"]


def test_another_kind_of_lead_with_an_adapter_in_a_landing() -> None:
    plan = Plan()
    plan.unit("mixer", "mixer-in-ear", "Mixer")
    plan.unit("ears", "earphones", "Earphones")
    plan.unit("adapter", "adapter-trs6m-trs3f", "Adapter")
    plan.link("mixer.phones", "adapter.in", "")
    plan.link("adapter.out", "ears.in", "")
    plan.land("mixer.line-1", "mix-1", "xlr-trs 3", name="Ears")
    _stocked(plan, _cable("xlr", 5.0), _gear("adapter-xlr3f-trs6m"))
    [way] = _ways(_patch(plan.book), "XLR female to", "other kind")
    chain = way.apply(plan.book).gig().landings[0].chain
    assert words(shipped(), chain) == "XLR cable 5 m + Adapter, XLR female to 6.35 mm TRS plug"


@pytest.mark.parametrize(("outlets", "saved"), [(8, 3), (2, 2), (1, 1)])
def test_strip_dead_what_matters_most_gets_the_outlets_there_are(outlets: int, saved: int) -> None:
    plan = Plan()
    drop = PowerDrop(id="corner", name="Corner", x_m=-2.0, y_m=3.0, outlets=outlets, connector="bs1363.f")
    plan.house(stage=Stage(power=(drop,)))
    plan.unit("strip", "strip-6", "Strip")
    for number in (1, 2, 3):
        plan.unit(f"synth-{number}", "synth-61", f"Synth {number}")
        plan.land(f"synth-{number}.out-l", f"in-{number}", "trs-xlr 5", name=f"Synth {number}", order=number)
    patch = _patch(plan.book)
    [way] = _ways(patch, "Strip", "into the wall")
    assert (way.restored, way.lost) == (saved, 3)
    after = _patch(way.apply(plan.book))
    assert [unit.id for unit in after.rig.units] == [f"synth-{number}" for number in range(1, saved + 1)]


@pytest.mark.parametrize("name", ["piper", "tandem", "ferry", "tour", "mistakes-mended"])
def test_every_way_restores_what_it_promises_and_leaves_the_book_alone(name: str) -> None:
    book = book_file.load(resources.samples() / f"{name}.loom", shipped())[0]
    before, seen = to_bytes(book), 0
    for gig in book.gigs:
        patch = _patch(book, gig.id)
        for one in lifelines(patch):
            for way in bypasses(patch, one):
                seen += 1
                assert 0 < way.restored <= way.lost == sum(len(loss.sources) for loss in one.losses)
                after = _patch(way.apply(book), gig.id)
                there = {source for goal in goals(after) for source in goal.sources}
                lost = {source for loss in one.losses for source in loss.sources}
                assert len(lost & there) >= 1
                if way.whole:
                    assert lost <= there
    assert seen
    assert to_bytes(book) == before


def test_a_run_takes_no_more_than_is_at_hand_and_is_long_enough() -> None:
    plan = _voice_by_splitter()
    _stocked(plan, _cable("xlr", 5.0, 3), _cable("xlr", 10.0, 2))
    patch = _patch(plan.book)
    kit = at_hand(patch)
    ends = (patch.end(Node("rig", "vox", "out")).port, patch.end(Node("house", "box", "in-5")).port)
    for length_m, wanted in ((4.0, ["XLR cable 5 m"]), (10.0, ["XLR cable 10 m"]), (15.0, [])):
        runs = runs_between(patch.catalogue, ends, kit, length_m)
        assert all(sum(one.length_m for one in run if isinstance(one, CablePiece)) >= length_m for run in runs)
        assert [words(shipped(), run) for run in runs if len(run) == 1][: len(wanted)] == wanted
        for run in runs:
            assert sum(taken(kit, run).values()) == sum(kit.values()) - len(run)
    assert runs_between(patch.catalogue, ends, kit, 20.1) == ()
