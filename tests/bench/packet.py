"""Times a packet against a bare canvas that draws the same strings and lines. Run it; it is no test.

    python tests/bench/packet.py
"""

from __future__ import annotations

import datetime as dt
import io
import runpy
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from statistics import median
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from reportlab.pdfgen.canvas import Canvas  # noqa: E402

from rigcore.analysis import Analysis  # noqa: E402
from rigcore.catalogue.loader import shipped  # noqa: E402
from rigcore.paper.packet import HOUSE_PAGES, packet_bytes  # noqa: E402

ISSUED = dt.date(2026, 7, 31)
RECORDED = ("drawString", "setFont", "setFillGray", "setStrokeGray", "setLineWidth", "setDash", "line", "rect",
            "roundRect", "circle", "drawPath", "saveState", "restoreState", "translate", "rotate", "showPage")
SIX_PAGES = ("inputs", "plot", "monitors", "power", "supply", "gain")
Call = tuple[str, tuple[Any, ...], dict[str, Any]]


def recorded(analysis: Analysis, pages: Sequence[str]) -> list[Call]:
    """Return every call a packet makes on its canvas."""
    calls: list[Call] = []
    originals = {name: getattr(Canvas, name) for name in RECORDED}

    def wrapped(name: str) -> Callable[..., Any]:
        def call(self: Canvas, *args: Any, **words: Any) -> Any:
            calls.append((name, args, words))
            return originals[name](self, *args, **words)

        return call

    for name in RECORDED:
        setattr(Canvas, name, wrapped(name))
    try:
        packet_bytes(analysis, issued=ISSUED, pages=pages)
    finally:
        for name, original in originals.items():
            setattr(Canvas, name, original)
    return calls


def bare(calls: list[Call]) -> bytes:
    """Draw the same again with nothing around it."""
    stream = io.BytesIO()
    canvas = Canvas(stream, pageCompression=1, invariant=1)
    for name, args, words in calls:
        getattr(canvas, name)(*args, **words)
    canvas.save()
    return stream.getvalue()


def seconds(work: Callable[[], object]) -> float:
    """Return the time of one run."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main() -> None:
    """Print the ratio for a packet of six pages, a small act and 32 and 96 channels: medians of 15, interleaved.

    The lists of a gig are asked for once before, as in the program, where they are on the screen already.
    """
    books = runpy.run_path(str(ROOT / "tests" / "rigcore" / "paper" / "conftest.py"))
    small = books["ferry_book"](shipped())
    acts = [("9 channels, six pages", small, SIX_PAGES), ("9 channels, for the house", small, HOUSE_PAGES)]
    for count in (32, 96):
        book = books["rows_book"]([f"Voice {n}" for n in range(1, count + 1)], shipped())
        acts.append((f"{count} channels, for the house", book, HOUSE_PAGES))
    for name, book, pages in acts:
        analysis = books["analysis_of"](book)
        calls = recorded(analysis, pages)
        pairs = [
            (
                seconds(lambda: packet_bytes(analysis, issued=ISSUED, pages=pages)),  # noqa: B023
                seconds(lambda: bare(calls)),  # noqa: B023
            )
            for _ in range(15)
        ]
        ours, floor = (median(column) for column in zip(*pairs, strict=True))
        data = packet_bytes(analysis, issued=ISSUED, pages=pages)
        sheets = sum(call[0] == "showPage" for call in calls)
        times = f"packet {ours * 1e3:.0f} ms, bare canvas {floor * 1e3:.0f} ms, ratio {ours / floor:.2f}"
        print(f"{name}: {sheets} sheets, {times}, {len(data) / 1000:.0f} kB")


if __name__ == "__main__":
    main()
