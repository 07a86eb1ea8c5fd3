"""The patch as GraphML, read back by networkx, and as DOT, read back by a small reader of its grammar."""

from __future__ import annotations

import io
import re

import networkx as nx
import pytest
from hypothesis import given, settings

from rigcore.analysis import Analysis
from rigcore.paper.graphs import dot_bytes, graphml_bytes, quoted
from rigcore.paper.style import clean
from rigcore.patch.build import Hop
from tests.rigcore.paper.hostile import hostile, texts

STRING = r'"(?:[^"\\]|\\.)*"'
ATTRIBUTES = rf"\[(?:label={STRING}|style=dotted)\]"
STATEMENT = re.compile(
    rf"digraph patch \{{|rankdir=LR;|node \[shape=box\];|subgraph cluster_\d+ \{{|label={STRING};|\}}"
    rf"|(?P<node>{STRING}) {ATTRIBUTES};|(?P<from>{STRING}) -> (?P<to>{STRING}) {ATTRIBUTES};"
)
"""The statements of the DOT language used here, after the grammar its makers publish."""


def read_dot(data: bytes) -> tuple[set[str], list[tuple[str, str]]]:
    """Return the nodes and edges of a DOT text of which every line is a statement and the braces match."""
    depth, nodes, edges = 0, set(), []
    for line in data.decode("utf-8").splitlines():
        found = STATEMENT.fullmatch(line.strip())
        assert found, line
        depth += line.endswith("{")
        depth -= line.strip() == "}"
        if found["node"]:
            nodes.add(found["node"])
        elif found["from"]:
            edges.append((found["from"], found["to"]))
    assert depth == 0
    return nodes, edges


def test_graphml_holds_every_cable(ferry: Analysis) -> None:
    graph = nx.read_graphml(io.BytesIO(graphml_bytes(ferry.patch)), force_multigraph=True)
    cables = [(a, b) for a, b, about in graph.edges(data=True) if about["kind"] == "cable"]
    assert sorted(cables) == sorted(("/".join(h.source.node), "/".join(h.target.node)) for h in ferry.patch.hops)
    for _, about in graph.nodes(data=True):
        assert all(isinstance(value, str | int | float) for value in about.values())
    lines = {about["line"] for _, about in graph.nodes(data=True) if "line" in about}
    assert {row.house for row in ferry.inputs} <= lines


def test_ways_through_units_are_edges_too(ferry: Analysis) -> None:
    graph = nx.read_graphml(io.BytesIO(graphml_bytes(ferry.patch)), force_multigraph=True)
    through = [(a, b) for a, b, about in graph.edges(data=True) if about["kind"] == "through"]
    wanted = [
        ("/".join(a), "/".join(b)) for a in ferry.patch.hops_at for b, step in ferry.patch.steps_out_of(a)
        if not isinstance(step, Hop) and b in ferry.patch.hops_at
    ]  # fmt: skip
    assert sorted(through) == sorted(wanted)
    assert wanted


def test_dot_holds_the_same_graph(ferry: Analysis) -> None:
    graph = nx.read_graphml(io.BytesIO(graphml_bytes(ferry.patch)), force_multigraph=True)
    nodes, edges = read_dot(dot_bytes(ferry.patch))
    assert {one.strip('"') for one in nodes} == set(graph.nodes)
    assert sorted((a.strip('"'), b.strip('"')) for a, b in edges) == sorted(graph.edges())


@settings(max_examples=30, deadline=None)
@given(texts)
def test_hostile_text_stays_text(text: str) -> None:
    patch = hostile(text).patch
    graph = nx.read_graphml(io.BytesIO(graphml_bytes(patch)))
    names = {about["unit"] or "" for _, about in graph.nodes(data=True) if about["place"] == "rig"}
    assert names == {clean(text.strip() or "x")}
    nodes, edges = read_dot(dot_bytes(patch))
    assert len(nodes) == graph.number_of_nodes()
    assert len(edges) >= len(patch.hops)


@pytest.mark.parametrize("text", ['"', "\\", '\\"', 'a\\', '"];x[label="'])
def test_quotation_marks_and_backslashes_end_no_string(text: str) -> None:
    made = quoted(text)
    assert re.fullmatch(STRING, made)
    assert re.sub(r"\\(.)", r"\1", made[1:-1]) == text
