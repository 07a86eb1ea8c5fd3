"""Where everything on the board lies: two columns of rows, lanes of pieces between, and the fan towards the sockets.

Each band runs through its pieces in its own hand-off's row, so that pieces never lie on each other; only lines
cross, and only in the fan. Pure arithmetic on sizes that are handed in.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from statistics import median

from msgspec import Struct, field
from PySide6.QtCore import QPointF, QRectF

from app.fit_sheet.board_rows import Band, Board, HandOffRow

Start = tuple[Band, list[QRectF], QRectF | None, list[QPointF]]
"""A band before it is led to its socket: its boxes, the box of its remark, and the corners so far."""

PAD = 6.0
GAP = 8.0
EDGE = 2.0
CLEAR = 7.0
PLACES = (0.5, 0.68, 0.32, 0.8)
"""Where on a socket a single band may meet it, the best first."""


class Sizes(Struct, frozen=True):
    """What the type takes: heights of the strong and the small line, and the width of small words."""

    strong: float
    small: float
    width: Callable[[str], float]


class Laid(Struct, frozen=True):
    """A band with its place: a box for each piece, one for the remark, and the corners of its line."""

    band: Band
    pills: tuple[QRectF, ...]
    remark: QRectF | None
    corners: tuple[QPointF, ...]


class Plan(Struct):
    """Places of all rows by id, and of all bands, at one width."""

    left: float = 0.0
    lanes: tuple[float, float] = (0.0, 0.0)
    right: float = 0.0
    width: float = 0.0
    height: float = 0.0
    hand_offs: dict[str, QRectF] = field(default_factory=dict)
    sockets: dict[str, QRectF] = field(default_factory=dict)
    bands: list[Laid] = field(default_factory=list)

    def hand_off_at(self, at: QPointF) -> str | None:
        """Return the hand-off whose row, lanes included, lies at a point."""
        if at.x() > self.lanes[1]:
            return None
        return next((name for name, box in self.hand_offs.items() if box.top() <= at.y() < box.bottom()), None)

    def socket_at(self, at: QPointF, *, near: bool = False) -> str | None:
        """Return the socket at a point; ``near`` takes the fan before it too."""
        if at.x() < (self.lanes[1] if near else self.right):
            return None
        return next((name for name, box in self.sockets.items() if box.top() <= at.y() < box.bottom()), None)


def lay(board: Board, width: float, sizes: Sizes) -> Plan:
    """Return the places of a board."""
    column = min(max(0.23 * width, 8.5 * sizes.strong), 16 * sizes.strong, 0.28 * width)
    fan = min(max(0.09 * width, 40.0), 110.0)
    right = width - column - EDGE
    plan = Plan(left=column + EDGE, lanes=(column + EDGE + GAP, right - fan), right=right, width=width)
    starts: list[Start] = []
    below = EDGE
    for socket in board.sockets:
        lines = bool(socket.landed) + bool(socket.proposed)
        tall = sizes.strong + lines * sizes.small + 2 * PAD
        plan.sockets[socket.id] = QRectF(right, below, column, tall)
        below += tall + GAP / 2
    top = EDGE
    for row in board.hand_offs:
        top = _lay_row(plan, row, top, (sizes, starts))
    plan.height = max(top, below) + GAP
    _sink(plan, starts, below - top)
    _fan_out(plan, starts)
    return plan


def _sink(plan: Plan, starts: list[Start], room: float) -> None:
    """Let the shorter column of hand-offs stand beside the sockets they land on, as far as there is room."""
    drops = [plan.sockets[band.socket].top() - plan.hand_offs[band.hand_off].top() for band, *_ in starts]
    down = QPointF(0, min(median(drops), room) if drops else 0)
    if down.y() <= 0:
        return
    plan.hand_offs = {name: box.translated(down) for name, box in plan.hand_offs.items()}
    starts[:] = [
        (band, [box.translated(down) for box in boxes], remark.translated(down) if remark is not None else None,
         [corner + down for corner in corners])
        for band, boxes, remark, corners in starts
    ]  # fmt: skip


def _lay_row(plan: Plan, row: HandOffRow, top: float, into: tuple[Sizes, list[Start]]) -> float:
    """Lay a hand-off with its lanes; return where the next one begins."""
    sizes, starts = into
    tall = sizes.small + 8
    y = top + PAD
    for band in row.bands:
        boxes, remark, corners, y = _flow(band, plan, y, sizes)
        starts.append((band, boxes, remark, corners))
        y += GAP
    # A row without a band keeps room for the words that say so.
    lanes = (y - top if row.bands else tall + 2 * PAD)
    words = sizes.strong + (1 + bool(row.more) + bool(row.short)) * sizes.small + 2 * PAD
    height = max(words, lanes - (GAP - PAD if row.bands else 0))
    plan.hand_offs[row.id] = QRectF(EDGE, top, plan.left - EDGE, height)
    return top + height + GAP


def _flow(
    band: Band, plan: Plan, y: float, sizes: Sizes
) -> tuple[list[QRectF], QRectF | None, list[QPointF], float]:
    """Set the pieces of a band like words of a text, and lead its line through them."""
    begin, end = plan.lanes
    tall = sizes.small + 8
    texts = [pill.words for pill in band.pills] + ([band.remark] if band.remark else [])
    boxes: list[QRectF] = []
    corners = [QPointF(plan.left, y + tall / 2)]
    x = begin
    for text in texts:
        wide = min(sizes.width(text) + 18, end - begin)
        if x + wide > end and x > begin:
            middle, turn = y + tall / 2, y + tall + GAP / 2
            corners += [QPointF(end, middle), QPointF(end, turn), QPointF(begin - GAP / 2, turn)]
            y += tall + GAP
            corners.append(QPointF(begin - GAP / 2, y + tall / 2))
            x = begin
        boxes.append(QRectF(x, y, wide, tall))
        x += wide + GAP
    remark = boxes.pop() if band.remark else None
    corners.append(QPointF(end, y + tall / 2))
    return boxes, remark, corners, y + tall


def _fan_out(plan: Plan, starts: Sequence[Start]) -> None:
    """Lead every band to its socket, each on a track of its own, ordered so that few cross."""
    ends = _ends(plan, starts)
    turns = [(number, corners[-1].y(), ends[number]) for number, (*_, corners) in enumerate(starts)]
    down = sorted((one for one in turns if one[2] > one[1] + 1), key=lambda one: one[1])
    up = sorted((one for one in turns if one[2] < one[1] - 1), key=lambda one: -one[1])
    order = [number for number, *_ in (*down, *up)]
    begin, end = plan.lanes[1], plan.right - 14
    step = (end - begin) / (len(order) + 1)
    tracks = {number: end - step * (place + 1) for place, number in enumerate(order)}
    for number, (band, boxes, remark, corners) in enumerate(starts):
        if number in tracks:
            corners += [QPointF(tracks[number], corners[-1].y()), QPointF(tracks[number], ends[number])]
        corners.append(QPointF(plan.right, ends[number]))
        plan.bands.append(Laid(band, tuple(boxes), remark, tuple(corners)))


def _ends(plan: Plan, starts: Sequence[Start]) -> list[float]:
    """Return the height at which each band meets its socket, side by side where several do."""
    meet: dict[str, list[int]] = defaultdict(list)
    for number, (band, *_) in enumerate(starts):
        meet[band.socket].append(number)
    lanes = [corners[-1].y() for *_, corners in starts]
    found = [0.0] * len(starts)
    for socket, numbers in meet.items():
        box = plan.sockets[socket]
        for place, number in enumerate(numbers, start=1):
            if len(numbers) == 1:
                found[number] = _alone(box, lanes[number], [*lanes[:number], *lanes[number + 1 :]])
            else:
                found[number] = box.top() + box.height() * place / (len(numbers) + 1)
    return found


def _alone(box: QRectF, own: float, others: Sequence[float]) -> float:
    """Return where one band meets a socket: straight on if it can, else not at the height of another's lane."""
    if box.top() + CLEAR <= own <= box.bottom() - CLEAR:
        return own
    tries = [box.top() + box.height() * share for share in PLACES]
    return next((y for y in tries if all(abs(y - other) >= CLEAR for other in others)), box.center().y())
