"""What must not change, and what must change by just so much, whatever the rig: properties on random variations.

The variations start from the shipped books and from random chains of our own.
"""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigcore import resources
from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked, put_rig
from rigcore.book.edits.units import add_unit, move_on_stage
from rigcore.book.file import load
from rigcore.book.rig import Rig, Unit
from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.gear import GearType, Path, Port
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import Node, build_patch
from rigcore.patch.grounds import grounds
from rigcore.patch.stages import Levels, levels
from rigcore.rules.rule import Finding, Thing
from tests.rule_samples.plan import Plan

NAMES = ("piper", "tandem", "ferry", "tour", "mistakes")
BOOKS: dict[str, Book] = {name: load(resources.samples() / f"{name}.loom", shipped())[0] for name in NAMES}
BEFORE: dict[str, tuple[Finding, ...]] = {name: analyse(book, None, shipped()).findings for name, book in BOOKS.items()}
MAINS_FREE = sorted(gear.id for gear in shipped().gear.values() if not gear.mains_inlets())

few = settings(deadline=None, max_examples=25)
some_book = st.sampled_from(NAMES)

Key = tuple[str, str, frozenset[Thing]]


def _keys(findings: tuple[Finding, ...]) -> Counter[Key]:
    return Counter((one.rule, one.severity, frozenset(one.things)) for one in findings)


def _rig(book: Book) -> Rig:
    return book.rig(book.gig().rig)


# -- a pad of x dB lowers every level below it by x ----------------------------------------------------------------


def _box(gear_id: str, kind: str, gain_db: float) -> GearType:
    """Return a box of one way with a balanced input and output, of no category a hand sets."""
    into = Audio(medium="audio", level="line", balance="balanced", ohm=10_000.0, max_dbu=90.0)
    out = Audio(medium="audio", level="line", balance="balanced", ohm=100.0)
    return GearType(
        id=gear_id, name=gear_id, category="other",
        ports=(
            Port(id="in", name="In", direction="in", connector="xlr3.f", carrier=into),
            Port(id="out", name="Out", direction="out", connector="xlr3.m", carrier=out),
        ),
        paths=(Path(source="in", target="out", kind=kind, gain_db=gain_db),),  # type: ignore[arg-type]
        width_m=0.1, depth_m=0.1, height_m=0.1, mass_kg=0.5,
    )  # fmt: skip


def _chain(boxes: list[tuple[str, float]], pad_at: int, pad_db: float) -> Plan:
    """A microphone through boxes of so many dB, with one pad among them, to the house."""
    plan = Plan()
    plan.unit("mic", "dynamic-handheld", "Mic")
    line = [*boxes[:pad_at], ("resistive", -pad_db), *boxes[pad_at:]]
    source = "mic.out"
    for number, (kind, gain_db) in enumerate(line):
        plan.own(_box(f"own-{number}", kind, gain_db))
        plan.unit(f"box-{number}", f"own-{number}", f"Box {number}")
        plan.link(source, f"box-{number}.in", "xlr 5")
        source = f"box-{number}.out"
    plan.land(source, "in-1", "xlr 5", name="Line")
    return plan


def _levels(plan: Plan) -> Levels:
    return levels(build_patch(plan.book, None, shipped()))


@few
@given(
    boxes=st.lists(
        st.tuples(st.sampled_from(["active", "transformer", "resistive"]), st.floats(-30, 30)), max_size=4
    ),
    where=st.integers(0, 4),
    pad_db=st.floats(0, 60),
)
def test_a_pad_lowers_every_level_below_it_by_what_it_takes(
    boxes: list[tuple[str, float]], where: int, pad_db: float
) -> None:
    where = min(where, len(boxes))
    without, with_pad = (_levels(_chain(boxes, where, db)) for db in (0.0, pad_db))
    below = [Node("rig", f"box-{number}", "out") for number in range(where, len(boxes) + 1)]
    for node in (*below, Node("house", "box", "in-1")):
        for part in ("nominal_dbu", "peak_dbu"):
            lower, higher = (getattr(one.level(node), part) for one in (with_pad, without))
            assert lower == pytest.approx(higher - pad_db, abs=1e-9)
    for number in range(where):
        node = Node("rig", f"box-{number}", "out")
        assert with_pad.level(node) == without.level(node)


@pytest.mark.parametrize("di", ["di-passive", "di-active"])
def test_the_pad_of_a_di_takes_what_its_type_states(di: str) -> None:
    plan = Plan()
    plan.unit("keys", "stage-piano-88", "Keys")
    plan.unit("di", di, "DI")
    plan.link("keys.out-l", "di.in-1", "ts 3")
    plan.land("di.out-1", "in-1", "xlr 5", name="Keys")
    before = _levels(plan)
    plan.set("di.in-1", pad=True)
    after = _levels(plan)
    for node in (Node("rig", "di", "out-1"), Node("house", "box", "in-1")):
        assert after.level(node).nominal_dbu == pytest.approx(before.level(node).nominal_dbu - 20.0)


# -- what must not change ------------------------------------------------------------------------------------------


@few
@given(name=some_book, data=st.data())
def test_swapping_two_identical_cables_changes_no_finding(name: str, data: st.DataObject) -> None:
    book, rig = BOOKS[name], _rig(BOOKS[name])
    alike: dict[tuple[str | None, float | None], list[str]] = {}
    for link in rig.links:
        alike.setdefault((link.cable, link.length_m), []).append(link.id)
    ids = data.draw(st.sampled_from([group for group in alike.values() if len(group) > 1]))
    one, other = data.draw(st.permutations(ids))[:2]
    swap = {one: other, other: one}
    links = tuple(checked(link, id=swap.get(link.id, link.id)) for link in rig.links)
    after = analyse(put_rig(book, checked(rig, links=links)), None, shipped()).findings
    back = Counter(
        (found.rule, found.severity, frozenset(
            Thing(thing.kind, swap.get(thing.id, thing.id), thing.port) if thing.kind == "link" else thing
            for thing in found.things
        ))
        for found in after
    )  # fmt: skip
    assert back == _keys(BEFORE[name])
    assert Counter(found.sentence for found in after) == Counter(found.sentence for found in BEFORE[name])


@few
@given(name=some_book, data=st.data())
def test_the_order_of_units_and_links_in_the_file_does_not_matter(name: str, data: st.DataObject) -> None:
    book, rig = BOOKS[name], _rig(BOOKS[name])
    units = tuple(data.draw(st.permutations(rig.units)))
    links = tuple(data.draw(st.permutations(rig.links)))
    after = analyse(put_rig(book, checked(rig, units=units, links=links)), None, shipped()).findings
    assert _keys(after) == _keys(BEFORE[name])


@few
@given(name=some_book, data=st.data())
def test_renaming_units_changes_no_rule(name: str, data: st.DataObject) -> None:
    book, rig = BOOKS[name], _rig(BOOKS[name])
    new = data.draw(st.lists(
        st.text(st.characters(categories=("Lu", "Ll", "Nd")), min_size=1, max_size=12),
        min_size=len(rig.units), max_size=len(rig.units), unique=True,
    ))  # fmt: skip
    units = tuple(checked(unit, name=said) for unit, said in zip(rig.units, new, strict=True))
    after = analyse(put_rig(book, checked(rig, units=units)), None, shipped()).findings
    assert _keys(after) == _keys(BEFORE[name])


@few
@given(name=some_book, gear=st.sampled_from(MAINS_FREE))
def test_a_spare_that_is_not_plugged_in_adds_no_fault(name: str, gear: str) -> None:
    """Gear without mains: what has a mains plug is taken to be plugged in, and its load counts."""
    book = BOOKS[name]
    spare = add_unit(book, _rig(book).id, Unit(id="the-spare", name="The spare", gear=gear), shipped())
    after = analyse(spare, None, shipped()).findings
    added = _keys(after) - _keys(BEFORE[name])
    assert [key for key in added if key[1] == "fault"] == []


@few
@given(
    name=st.sampled_from([name for name in NAMES if BOOKS[name].house(BOOKS[name].gig().house).stage.power]),
    data=st.data(),
)
def test_a_unit_moved_to_another_circuit_never_loses_its_earth(name: str, data: st.DataObject) -> None:
    book, rig = BOOKS[name], _rig(BOOKS[name])
    stage = book.house(book.gig().house).stage
    unit = data.draw(st.sampled_from(rig.units))
    drop = data.draw(st.sampled_from(stage.power))
    moved = move_on_stage(book, rig.id, unit.id, (drop.x_m, drop.y_m, 0.0))
    assert _earthed(moved) == _earthed(book)


def _earthed(book: Book) -> set[tuple[str, str]]:
    """Return every unit with a protective earth, by place and id."""
    graph = grounds(build_patch(book, None, shipped())).graph
    return {
        (end.place, end.unit)
        for bond in graph.bonds
        if bond.kind == "earth"
        for end in (bond.one, bond.other)
        if end.kind == "unit"
    }
