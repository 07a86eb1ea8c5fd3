"""Tracing a signal to the house, and what is laid over the stage plan, on the rig worked by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigcore import resources
from rigcore.analysis import analyse
from rigcore.book.file import load
from rigcore.catalogue.loader import shipped
from rigcore.lists.overlays import KINDS, overlay
from rigcore.patch.build import Node, Patch
from rigcore.patch.stages import levels
from rigcore.patch.trace import trace, trace_socket, trace_unit


@pytest.fixture(scope="module")
def patch() -> Patch:
    catalogue = shipped()
    book, _ = load(Path(resources.samples()) / "ferry.loom", catalogue)
    return analyse(book, book.gigs[0].id, catalogue).patch


def units(nodes: frozenset[Node]) -> set[str]:
    return {node.unit for node in nodes if node.place == "rig"}


def test_a_voice_is_traced_to_the_house_but_not_into_the_ears(patch: Patch) -> None:
    way = trace_unit(patch, "lead-vocal")
    assert way.reaches_house
    assert units(way.nodes) == {"lead-vocal", "splitter"}
    assert {node.place for node in way.nodes} >= {"rig", "house"}
    assert all(way.nominal_dbu[node] == levels(patch).level(node).nominal_dbu for node in way.nominal_dbu)
    assert all(hop.source.node in way.nodes and hop.target.node in way.nodes for hop in way.hops)


def test_what_never_reaches_the_house_is_traced_as_far_as_it_goes(patch: Patch) -> None:
    way = trace_unit(patch, "in-ear-mixer", "phones")
    assert not way.reaches_house
    assert {"in-ear-mixer", "earphones"} <= units(way.nodes)


def test_a_socket_is_traced_back_to_its_source(patch: Patch) -> None:
    landed = patch.gig.landing("lead-vox") or patch.gig.landings[0]
    way = trace_socket(patch, landed.socket)
    hand_off = patch.rig.hand_off(landed.hand_off)
    assert hand_off is not None
    assert Node("rig", hand_off.unit, hand_off.port) in way.nodes


def test_nothing_is_traced_from_nothing(patch: Patch) -> None:
    way = trace(patch, [])
    assert not way.nodes
    assert not way.hops
    assert not trace_unit(patch, "nobody").nodes


def test_the_power_overlay_marks_a_circuit_over_its_breaker() -> None:
    book = load(Path(resources.samples()) / "mistakes.loom", shipped())[0]
    marks = [one for one in overlay(analyse(book, None, shipped()).patch, "power").marks if one.beside]
    over = {mark.words for mark in marks if mark.falls_short}
    assert [words.split(": ")[1] for words in over] == ["Back wall, 10.4 of 10 A"]
    assert len(marks) > len(over)


def test_overlays_tell_every_run_circuit_and_turn_once(patch: Patch) -> None:
    shown = {kind: overlay(patch, kind) for kind in KINDS}
    assert all(one.strokes or one.marks for one in shown.values())
    ways = [min(stroke.points, stroke.points[::-1]) for stroke in shown["runs"].strokes]
    assert len(ways) == len(set(ways)), "runs on one another are drawn once"
    assert all(" A" in mark.words for mark in shown["power"].marks if mark.beside)
    placed = [unit for unit in patch.units.values() if unit.x_m is not None]
    assert [mark.words for mark in shown["order"].marks] == [str(n + 1) for n in range(len(placed))]
    assert "ft" in overlay(patch, "runs", feet=True).strokes[0].words
