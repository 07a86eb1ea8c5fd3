"""An analysis made upon an earlier one is the one made from nothing, whatever came between.

The reference is the plain analysis of the same book: no outside source has a say in it.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigcore.analysis import Analysis, analyse
from rigcore.book.book import Book
from rigcore.book.edits.gear import put_gear
from rigcore.book.edits.gigs import change_gig
from rigcore.book.edits.links import plug, remove_links, set_cable
from rigcore.book.edits.units import move_cards, remove_units, rename_unit, set_port
from rigcore.book.file import load
from rigcore.book.gig import Placement
from rigcore.book.ids import PortRef
from rigcore.book.rig import PortSetting
from rigcore.catalogue.loader import shipped
from rigcore.catalogue.record import changed
from rigcore.errors import LoomwrightError
from rigcore.patch.build import Node, build_patch
from rigcore.patch.levels import behind_wires, level_out
from rigcore.patch.loads import loadings
from rigcore.patch.plugs import plugs
from rigcore.patch.renew import renew
from rigcore.patch.stages import levels
from tests.bench.analysis import big_book

TOP = Path(__file__).resolve().parents[3]
SAMPLES = sorted((TOP / "samples").rglob("*.loom"))
TOUR = TOP / "samples" / "tour.loom"


def told(analysis: Analysis) -> tuple[object, ...]:
    """Return everything an analysis says that a reader could compare."""
    patch = analysis.patch
    loads = [
        (node, one.source_ohm, one.loss_db, one.cable_pf, [(load.end.words, load.ohm) for load in one.loads])
        for node, one in loadings(patch).items()
    ]
    mains = [(key, one.name, one.up, one.drop, one.load_va, one.supply_v) for key, one in plugs(patch).items()]
    remedies = [[remedy.words for remedy in finding.remedies] for finding in analysis.findings]
    return (
        analysis.findings, remedies, analysis.accepted, analysis.lapsed, analysis.inputs, analysis.outputs,
        analysis.counts, levels(patch), loads, mains,
    )  # fmt: skip


def test_samples_in_any_order() -> None:
    gigs = [(load(path, shipped())[0], path) for path in SAMPLES]
    cases = [(book, gig.id, path) for book, path in gigs for gig in book.gigs]
    random.Random(1).shuffle(cases)
    before = None
    for book, gig_id, path in cases:
        upon = analyse(book, gig_id, shipped(), before)
        assert told(upon) == told(analyse(book, gig_id, shipped())), path
        before = upon


def _edited(book: Book, draw: st.DataObject) -> Book:
    """Return the book after one edit drawn; impossible ones change nothing."""
    rig = book.rigs[0]
    unit = draw.draw(st.sampled_from(rig.units))
    link = draw.draw(st.sampled_from(rig.links))
    ports = [port.id for port in book.with_catalogue(shipped()).gear_type(unit.gear).ports]
    port = PortRef(unit=unit.id, port=draw.draw(st.sampled_from(ports)))
    setting = PortSetting(port=port.port, pad=True, phantom=True, lift=draw.draw(st.booleans()))
    edits = {
        "cut": lambda: remove_links(book, rig.id, [link.id]),
        "length": lambda: set_cable(book, rig.id, link.id, (link.cable, 9.0), catalogue=shipped()),
        "plug": lambda: plug(book, rig.id, (link.source, port), shipped()),
        "rename": lambda: rename_unit(book, rig.id, unit.id, "Another"),
        "move": lambda: move_cards(book, rig.id, {unit.id: (40.0, 40.0)}),
        "set": lambda: set_port(book, rig.id, unit.id, setting, catalogue=shipped()),
        "remove": lambda: remove_units(book, rig.id, [unit.id]),
        "own type": lambda: put_gear(book, changed(shipped().gear_type(unit.gear), name="Mine"), shipped()),
    }
    try:
        return edits[draw.draw(st.sampled_from(sorted(edits)))]()
    except LoomwrightError:
        return book


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_edits_in_any_order(data: st.DataObject) -> None:
    book = load(TOUR, shipped())[0]
    gig_id = data.draw(st.sampled_from(book.gigs)).id
    before = analyse(book, gig_id, shipped())
    for _ in range(data.draw(st.integers(1, 6))):
        book = _edited(book, data)
        upon = analyse(book, gig_id, shipped(), before)
        assert told(upon) == told(analyse(book, gig_id, shipped()))
        before = upon


def test_only_the_net_of_a_cut_cable_is_stale() -> None:
    book = big_book(2)
    before = build_patch(book, None, shipped())
    known = level_out(before, Node("rig", "di-1", "out-1")), behind_wires(before, Node("rig", "ears-1", "line-1"))
    level_out(before, Node("rig", "di-0", "out-1"))
    after = build_patch(remove_links(book, "rig", ["keys-out-l-0"]), None, shipped(), before)
    renew(after, before)
    assert after.stale is not None
    assert Node("rig", "keys-0", "out-l") in after.stale
    assert Node("rig", "mixer-0", "in-1") in after.stale  # through the transformer of the DI
    assert Node("rig", "mixer-0", "main-l") not in after.stale  # electronics lie between
    assert not [node for node in after.stale if node.unit.endswith("-1")]
    kept = after.of_nets[level_out.__wrapped__]  # type: ignore[attr-defined]
    assert kept[Node("rig", "di-1", "out-1")] is known[0]
    assert Node("rig", "di-0", "out-1") not in kept
    assert after.end(known[1].node) is known[1]


def test_what_is_left_alone_is_taken_as_it_is() -> None:
    book = big_book(2)
    before = build_patch(book, None, shipped())
    after = build_patch(rename_unit(book, "rig", "keys-0", "Grand"), None, shipped(), before)
    assert after.ends_of["rig", "di-0"] is before.ends_of["rig", "di-0"]
    assert after.ends_of["rig", "keys-0"][0].name == "Grand"
    anew = {hop.link.id for hop in set(after.hops) - set(before.hops) if hop.link is not None}
    assert anew == {link.id for link in book.rig("rig").links if "keys-0" in (link.source.unit, link.target.unit)}


def test_a_place_at_this_gig_moves_the_mains_plug() -> None:
    book = load(TOP / "samples" / "mistakes.loom", shipped())[0]
    gig = book.gigs[0]
    drops = book.house(gig.house).stage.power
    found = plugs(build_patch(book, gig.id, shipped()))
    unit = next(key[1] for key, one in found.items() if key[0] == "rig" and one.hop is None and one.up is None)
    before = analyse(book, gig.id, shipped())
    fed_from = set()
    for drop in drops:
        here = Placement(unit=unit, x_m=drop.x_m, y_m=drop.y_m)
        placed = change_gig(book, gig.id, placements=(here,))
        upon = analyse(placed, gig.id, shipped(), before)
        fed_from.add(plugs(upon.patch)["rig", unit].drop)
        assert told(upon) == told(analyse(placed, gig.id, shipped()))
    assert fed_from == set(drops)


@pytest.mark.parametrize("before", [None, build_patch(big_book(1), None, shipped())])
def test_order_of_the_book_is_kept(before: object) -> None:
    book = big_book(2)
    rig = book.rig("rig")
    book = changed(book, rigs=(changed(rig, units=tuple(reversed(rig.units))),))
    patch = build_patch(book, None, shipped(), before)  # type: ignore[arg-type]
    assert [end.node for end in patch.ends()] == [end.node for end in build_patch(book, None, shipped()).ends()]


def test_no_sieve_is_made_on_the_spot() -> None:
    """Its answers are kept under the function: one made anew at each call would never be found again."""
    made = [path for path in (TOP / "rigcore").rglob("*.py") if "_where(lambda" in path.read_text("utf-8")]
    assert not made
