"""How much the whole check of a gig costs beside the bare construction of the same networkx graph.

Run ``python tests/bench/analysis.py``. Prints medians of nine runs and their
ratios, at 30, 300 and 3,000 units with 34 links to ten units (so 300 units have
1,020), all in one process. Times are those of the process (``time.process_time``),
so that what else the machine does counts little; what is loaded for good is
frozen out of the search for garbage, as the window does. Nothing is asserted.
"""

from __future__ import annotations

import gc
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import networkx as nx

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))

from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.edits.houses import new_plan
from rigcore.book.rig import Link, Rig, Unit
from rigcore.catalogue.loader import shipped
from rigcore.catalogue.record import changed
from rigcore.patch.build import build_patch

RUNS = 9


def big_book(groups: int) -> Book:
    """Return a book of so many groups of ten units and 34 links: keys, a DI, mixers, a voice, a splitter, a strip."""
    units: list[Unit] = []
    links: list[Link] = []
    for group in range(groups):
        _group(group, units, links)
    book = new_plan(shipped())
    return changed(book, rigs=(changed(book.rig("rig"), units=tuple(units), links=tuple(links)),))


def _group(group: int, units: list[Unit], links: list[Link]) -> None:
    kinds = {
        "keys": "stage-piano-88", "synth": "synth-61", "tracks": "laptop-interface-4", "di": "di-passive-6",
        "mixer": "mixer-rack-16", "vox": "dynamic-handheld", "split": "splitter-1x2", "ears": "mixer-in-ear",
        "left": "powered-monitor", "strip": "strip-6",
    }  # fmt: skip
    for name, gear in kinds.items():
        units.append(Unit(id=f"{name}-{group}", name=f"{name} {group}", gear=gear))
    pairs = [
        ("keys.out-l", "di.in-1", "ts"), ("keys.out-r", "di.in-2", "ts"), ("synth.out-l", "di.in-3", "ts"),
        ("synth.out-r", "di.in-4", "ts"), ("tracks.out-1", "di.in-5", "ts"), ("tracks.out-2", "di.in-6", "ts"),
        ("vox.out", "split.in", "xlr"), ("split.isolated", "ears.mic-1", "xlr"), ("split.direct", "mixer.in-7", "xlr"),
        ("tracks.out-3", "ears.line-8", "ts"), ("tracks.out-4", "mixer.in-8", "trs-xlr"),
        ("ears.main-l", "left.in", "trs"), ("left.thru", "mixer.in-9", "xlr"),
        *[(f"di.thru-{n}", f"ears.line-{n}", "ts") for n in range(1, 7)],
        *[(f"di.out-{n}", f"mixer.in-{n}", "xlr") for n in range(1, 7)],
        ("keys.midi-out", "synth.midi-in", "midi"), ("synth.midi-out", "keys.midi-in", "midi"),
        ("tracks.usb", "mixer.usb", "usb-a-b"),
        ("strip.outlet-1", "keys.mains", "mains-c7-bs1363"), ("strip.outlet-2", "synth.mains", "mains-c13-bs1363"),
        ("strip.outlet-3", "tracks.mains", "mains-c5-bs1363"), ("strip.outlet-4", "mixer.mains", "mains-c13-bs1363"),
        ("strip.outlet-5", "ears.mains", "mains-c13-bs1363"), ("strip.outlet-6", "left.mains", "mains-c13-bs1363"),
    ]  # fmt: skip
    for source, target, cable in pairs:
        one, _, out = source.partition(".")
        other, _, into = target.partition(".")
        links.append(
            Link(
                id=f"{one}-{out}-{group}",
                source={"unit": f"{one}-{group}", "port": out},  # type: ignore[arg-type]
                target={"unit": f"{other}-{group}", "port": into},  # type: ignore[arg-type]
                cable=cable,
                length_m=3.0,
            )
        )


def bare_graph(nodes: list[Any], edges: list[Any]) -> nx.MultiDiGraph:
    """Build a graph of nodes and edges with networkx alone, data included."""
    graph = nx.MultiDiGraph()
    for node, data in nodes:
        graph.add_node(node, **data)
    for one, other, data in edges:
        graph.add_edge(one, other, **data)
    return graph


def seconds(work: Callable[[], object]) -> float:
    """Return the seconds of one run; letting go of what it made is not counted."""
    start = time.process_time()
    kept = work()
    taken = time.process_time() - start
    del kept
    return taken


def measured(book: Book) -> tuple[float, float, float]:
    """Return the median seconds of graph, patch and whole check, taken by turns so that a busy moment meets all."""
    graph = build_patch(book, None, shipped()).graph
    nodes, edges = list(graph.nodes(data=True)), list(graph.edges(data=True))
    works: tuple[Callable[[], object], ...] = (
        lambda: bare_graph(nodes, edges),
        lambda: build_patch(book, None, shipped()),
        lambda: analyse(book, None, shipped()),
    )
    # As the window does once it is up: what is loaded for good need not be searched for garbage.
    gc.collect()
    gc.freeze()
    rounds = [[seconds(work) for work in works] for _ in range(RUNS)]
    floor, built, checked = (statistics.median(column) for column in zip(*rounds, strict=True))
    return floor, built, checked


def main() -> None:
    """Print the table."""
    print("units  links  ports   graph ms  build ms  check ms  check/graph  check us/unit")
    for groups in (3, 30, 300):
        book = big_book(groups)
        floor, built, checked = measured(book)
        rig: Rig = book.rig("rig")
        ports = sum(1 for _ in build_patch(book, None, shipped()).ends())
        print(
            f"{len(rig.units):5}  {len(rig.links):5}  {ports:5}  {floor * 1e3:9.1f} {built * 1e3:9.1f} "
            f"{checked * 1e3:9.1f}  {checked / floor:11.1f}  {checked / len(rig.units) * 1e6:13.0f}"
        )


if __name__ == "__main__":
    main()
