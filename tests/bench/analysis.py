"""How much the whole check of a gig costs beside the bare construction of the same networkx graph.

Run ``python tests/bench/analysis.py``. Prints medians of several runs and their
ratios, at 30, 300 and 3,000 units, all in one process. Nothing is asserted.
"""

from __future__ import annotations

import gc
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import networkx as nx

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))

from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.edits.houses import new_plan
from rigcore.book.rig import Link, Rig, Unit
from rigcore.catalogue.loader import shipped
from rigcore.catalogue.record import changed
from rigcore.patch.build import build_patch

RUNS = 7


def big_book(groups: int) -> Book:
    """Return a book of so many groups of ten units and 33 links: keys, DIs, a mixer, voices, splitters."""
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
        "left": "powered-monitor", "right": "powered-monitor",
    }  # fmt: skip
    for name, gear in kinds.items():
        units.append(Unit(id=f"{name}-{group}", name=f"{name} {group}", gear=gear))
    pairs = [
        ("keys.out-l", "di.in-1", "ts"), ("keys.out-r", "di.in-2", "ts"), ("synth.out-l", "di.in-3", "ts"),
        ("synth.out-r", "di.in-4", "ts"), ("tracks.out-1", "di.in-5", "ts"), ("tracks.out-2", "di.in-6", "ts"),
        ("vox.out", "split.in", "xlr"), ("split.isolated", "ears.mic-1", "xlr"), ("tracks.out-3", "ears.line-8", "ts"),
        ("ears.main-l", "left.in", "trs"), ("ears.main-r", "right.in", "trs"),
        *[(f"di.thru-{n}", f"ears.line-{n}", "ts") for n in range(1, 7)],
    ]  # fmt: skip
    catalogue = shipped()
    rack = [port.id for port in catalogue.gear_type("mixer-rack-16").ports if port.direction == "in"]
    pairs += [(f"di.out-{n}", f"mixer.{port}", "xlr") for n, port in zip(range(1, 7), rack, strict=False)]
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


def bare_graph(book: Book) -> nx.MultiDiGraph:
    """Build the same nodes and edges with networkx alone, data included."""
    patch = build_patch(book, None, shipped())
    nodes = list(patch.graph.nodes(data=True))
    edges = list(patch.graph.edges(data=True))
    start = time.perf_counter()
    graph = nx.MultiDiGraph()
    for node, data in nodes:
        graph.add_node(node, **data)
    for one, other, data in edges:
        graph.add_edge(one, other, **data)
    bare_graph.seconds = time.perf_counter() - start  # type: ignore[attr-defined]
    return graph


def median(work: Callable[[], object]) -> float:
    """Return the median seconds of several runs."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    """Print the table."""
    print("units  links  ports   graph ms  build ms  check ms  check/graph  check us/unit")
    for groups in (3, 30, 300):
        book = big_book(groups)
        # As the window does once it is up: what is loaded for good need not be searched for garbage.
        gc.collect()
        gc.freeze()
        floors = []
        for _ in range(RUNS):
            graph = bare_graph(book)
            floors.append(bare_graph.seconds)  # type: ignore[attr-defined]
        floor = statistics.median(floors)
        built = median(lambda book=book: build_patch(book, None, shipped()))
        checked = median(lambda book=book: analyse(book, None, shipped()))
        rig: Rig = book.rig("rig")
        print(
            f"{len(rig.units):5}  {len(rig.links):5}  {len(graph):5}  {floor * 1e3:9.1f} {built * 1e3:9.1f} "
            f"{checked * 1e3:9.1f}  {checked / floor:11.1f}  {checked / len(rig.units) * 1e6:13.0f}"
        )


if __name__ == "__main__":
    main()
