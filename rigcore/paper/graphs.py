"""The patch for other programs: GraphML and DOT, a node for each port in use, grouped by unit.

Only strings and numbers; every text is escaped, none is read as mark-up. Beside the
cables there is an edge for each way through a unit from one port in use to another.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import TYPE_CHECKING

from rigcore.paper.style import clean
from rigcore.patch.build import Hop, Node, Patch

if TYPE_CHECKING:
    import networkx as nx

About = dict[str, str | int | float | bool]
"""The attributes of a node or an edge."""


def _nodes(patch: Patch) -> dict[Node, About]:
    """Return the ports in use with what is to be told of them; a port of the house with its number."""
    sockets = {Node("house", one.unit, port): one for one in patch.house.sockets for port in one.ports}
    found: dict[Node, About] = {}
    for end in patch.plugged:
        told: About = {
            "unit": end.name, "port": end.port.name, "gear": end.gear.name, "place": end.node.place,
            "owner": end.owner, "direction": end.port.direction, "connector": end.port.connector,
            "medium": end.port.carrier.medium,
        }  # fmt: skip
        socket = sockets.get(end.node)
        if socket is not None:
            told |= {"line": socket.number, "socket": socket.label}
        found[end.node] = {key: clean(value) if isinstance(value, str) else value for key, value in told.items()}
    return found


def _edges(patch: Patch, nodes: dict[Node, About]) -> Iterator[tuple[Node, Node, About]]:
    """Yield the cables first, then the ways through units."""
    for hop in patch.hops:
        yield hop.source.node, hop.target.node, _about(patch, hop)
    for node in nodes:
        for target, step in patch.steps_out_of(node):
            if not isinstance(step, Hop) and target in nodes:
                yield node, target, {"kind": "through", "gain_db": step.gain_db, "path": step.kind}


def _about(patch: Patch, hop: Hop) -> About:
    told: About = {"kind": "cable", "cable": clean(" + ".join(cable.name for cable, _ in hop.cables))}
    if hop.length_m is not None:
        told["length_m"] = hop.length_m
    label = patch.hand_off(hop.landing).name if hop.landing else hop.link.label if hop.link else ""
    return told | ({"label": clean(label)} if label else {})


def graphml_bytes(patch: Patch) -> bytes:
    """Return the patch as GraphML, ids as ``place/unit/port``."""
    import networkx as nx

    stream = io.BytesIO()
    nx.write_graphml(_graph(patch), stream, encoding="utf-8", prettyprint=True)
    return stream.getvalue()


def _graph(patch: Patch) -> nx.MultiDiGraph[str]:
    import networkx as nx

    graph: nx.MultiDiGraph[str] = nx.MultiDiGraph()
    nodes = _nodes(patch)
    for node, about in nodes.items():
        graph.add_node("/".join(node), **about)
    for number, (source, target, about) in enumerate(_edges(patch, nodes)):
        graph.add_edge("/".join(source), "/".join(target), key=f"e{number}", **about)
    return graph


def dot_bytes(patch: Patch) -> bytes:
    """Return the patch in the DOT language: a cluster for each unit, cables solid, ways through a unit dotted."""
    nodes = _nodes(patch)
    units: dict[tuple[str, str], list[Node]] = {}
    for node in nodes:
        units.setdefault(node[:2], []).append(node)
    lines = ["digraph patch {", "  rankdir=LR;", "  node [shape=box];"]
    for number, ports in enumerate(units.values()):
        lines += [f"  subgraph cluster_{number} {{", f"    label={quoted(str(nodes[ports[0]]['unit']))};"]
        lines += [f"    {quoted('/'.join(node))} [label={quoted(_port_words(nodes[node]))}];" for node in ports]
        lines.append("  }")
    for source, target, about in _edges(patch, nodes):
        cable = about["kind"] == "cable"
        style = f"label={quoted(_cable_words(about))}" if cable else "style=dotted"
        lines.append(f"  {quoted('/'.join(source))} -> {quoted('/'.join(target))} [{style}];")
    return ("\n".join([*lines, "}"]) + "\n").encode("utf-8")


def _port_words(about: About) -> str:
    return f"{about['line']} {about['socket']}" if "line" in about else str(about["port"])


def _cable_words(about: About) -> str:
    length = f"{about['length_m']:g} m" if "length_m" in about else ""
    return ", ".join(part for part in (str(about.get("label", "")), str(about["cable"]), length) if part)


def quoted(text: str) -> str:
    r"""Return a text as a quoted string of the DOT language.

    The language knows one escape, that of the quotation mark; but a label reads a
    backslash as the beginning of another, so each is doubled.

    >>> print(quoted('Keys "1" \\N'))
    "Keys \"1\" \\N"
    """
    return '"' + clean(text).replace("\\", "\\\\").replace('"', '\\"') + '"'
