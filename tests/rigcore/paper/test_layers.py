"""The layout of the patch: boxes never overlap, wires run square and miss every box they do not belong to."""

from __future__ import annotations

from itertools import combinations, pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from rigcore.paper.layers import Box, Wire, columns_of, lay_out


@st.composite
def plans(draw: st.DrawFn) -> tuple[list[Box], list[Wire]]:
    """Draw some boxes with three ports on each side, and wires between any of them, circles included."""
    count = draw(st.integers(1, 8))
    boxes = [
        Box(n, draw(st.floats(20, 90)), 60.0, {f"{way}{p}": 15.0 + 15 * p for way in "io" for p in range(3)},
            last=draw(st.booleans()) if n else False)
        for n in range(count)
    ]  # fmt: skip
    ends = st.tuples(st.integers(0, count - 1), st.integers(0, 2))
    pairs = draw(st.lists(st.tuples(ends, ends), max_size=14))
    return boxes, [Wire((a, f"o{p}"), (b, f"i{q}"), 20.0) for (a, p), (b, q) in pairs]


@settings(deadline=None)
@given(plans())
def test_boxes_lie_apart_and_wires_run_square(plan: tuple[list[Box], list[Wire]]) -> None:
    boxes, wires = plan
    layout = lay_out(boxes, wires)
    rooms = {box.key: (*layout.at[box.key], layout.at[box.key][0] + box.width, layout.at[box.key][1] + box.height)
             for box in boxes}
    for one, other in combinations(rooms.values(), 2):
        assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
    by_key = {box.key: box for box in boxes}
    for wire, bends in zip(wires, layout.bends, strict=True):
        source, target = rooms[wire.source[0]], rooms[wire.target[0]]
        assert bends[0] == (source[2], source[1] + by_key[wire.source[0]].ports[wire.source[1]])
        assert bends[-1] == (target[0], target[1] + by_key[wire.target[0]].ports[wire.target[1]])
        for (x1, y1), (x2, y2) in pairwise(bends):
            assert abs(x1 - x2) < 0.02 or abs(y1 - y2) < 0.02
            for left, top, right, low in rooms.values():
                across = min(x1, x2) < right - 0.01 and max(x1, x2) > left + 0.01
                down = min(y1, y2) < low - 0.01 and max(y1, y2) > top + 0.01
                assert not (across and down), "a wire runs through a box"


def test_a_chain_lies_in_columns_and_a_late_source_beside_what_it_feeds() -> None:
    boxes = [Box(name, 10, 30, {"i": 10.0, "o": 20.0}) for name in "abcd"]
    wires = [Wire(("a", "o"), ("b", "i")), Wire(("b", "o"), ("c", "i")), Wire(("d", "o"), ("c", "i"))]
    assert columns_of(boxes, wires) == {"a": 0, "b": 1, "c": 2, "d": 1}


def test_no_two_bends_share_a_lane() -> None:
    boxes = [Box(key, 10, 100, {f"{way}{n}": 10.0 * n for n in range(8)}) for key, way in ("ao", "bi")]
    wires = [Wire(("a", f"o{n}"), ("b", f"i{7 - n}")) for n in range(8)]
    lanes = [bends[1][0] for bends in lay_out(boxes, wires).bends if len(bends) > 2]
    assert len(lanes) == len(set(lanes)) == 8
