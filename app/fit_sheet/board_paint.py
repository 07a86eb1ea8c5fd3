"""How the board is painted, in a theme. Reads a board and its plan, decides nothing."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF

from app.fit_sheet.board_plan import PAD, Laid, Plan
from app.fit_sheet.board_rows import Board, HandOffRow, Pill, SocketRow, words
from app.theme import Theme

RADIUS = 6.0
LINE = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft


class Held(Struct, frozen=True):
    """What the hand is at: the chosen hand-off, the socket aimed at, the pointer of a drag, whether keys go here."""

    chosen: str | None = None
    aimed: str | None = None
    is_moving: bool = False
    pointer: QPointF | None = None
    has_focus: bool = False


class BoardPainter:
    """Paints one frame."""

    def __init__(self, painter: QPainter, theme: Theme, fonts: tuple[QFont, QFont], held: Held) -> None:
        self.painter, self.theme, self.held = painter, theme, held
        self.strong, self.small = fonts
        self.strong_metrics, self.small_metrics = QFontMetricsF(self.strong), QFontMetricsF(self.small)

    def paint(self, board: Board, plan: Plan) -> None:
        """Paint bands, then rows."""
        self.painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for laid in sorted(plan.bands, key=lambda one: one.band.hand_off == self.held.chosen):
            self._band(laid)
        rows = {one.id: one for one in board.hand_offs}
        for name, box in plan.hand_offs.items():
            self._hand_off(rows[name], box, plan)
        for socket in board.sockets:
            self._socket(socket, plan.sockets[socket.id], rows.get(self.held.chosen or ""))
        self._drag(plan)

    def heads(self, plan: Plan, words: tuple[str, str, str], height: float) -> None:
        """Paint what stands above the columns and the lanes between."""
        begin = plan.lanes[0]
        boxes = (
            QRectF(2, 0, plan.left - 2, height), QRectF(begin, 0, plan.right - begin - PAD, height),
            QRectF(plan.right, 0, plan.width - plan.right, height),
        )  # fmt: skip
        for text, box in zip(words, boxes, strict=True):
            self._say(text, box, self.small, self.theme.text_soft)

    # -- parts -------------------------------------------------------------------------------

    def _hand_off(self, row: HandOffRow, box: QRectF, plan: Plan) -> None:
        is_chosen = row.id == self.held.chosen
        self._card(box, is_chosen=is_chosen)
        inside = box.adjusted(PAD + 2, PAD, -PAD, -PAD)
        y = inside.y()
        for text, font, colour in (
            (row.name, self.strong, self.theme.text), (row.about, self.small, self.theme.text_soft),
            (row.more, self.small, self.theme.text_soft), (row.short, self.small, self.theme.risk),
        ):
            if text:
                tall = (self.strong_metrics if font is self.strong else self.small_metrics).height()
                self._say(text, QRectF(inside.x(), y, inside.width(), tall), font, colour)
                y += tall
        if not row.bands:
            lane = QRectF(plan.lanes[0], box.top(), plan.lanes[1] - plan.lanes[0], box.height())
            self._say(row.lane, lane, self.small, self.theme.text_soft)

    def _socket(self, row: SocketRow, box: QRectF, chosen: HandOffRow | None) -> None:
        takes = chosen is not None and row.id in chosen.takers
        is_off = self.held.is_moving and not takes
        fill = self.theme.tile if row.landed else self.theme.tile_free
        self._card(box, is_chosen=self.held.is_moving and row.id == self.held.aimed, fill=fill)
        colour = self.theme.text_soft if is_off else self.theme.text
        tall, small = self.strong_metrics.height(), self.small_metrics.height()
        wide = max(self.strong_metrics.horizontalAdvance("000"), self.strong_metrics.horizontalAdvance(row.number)) + 6
        y = box.y() + PAD
        self._say(row.number, QRectF(box.x() + PAD, y, wide, tall), self.strong, colour, centre=True)
        x = box.x() + PAD + wide + 4
        room = box.right() - PAD - x
        kind = words("in") if row.is_in else words("out")
        beside = words("other way") if is_off else "" if row.landed else words("free")
        wide = self.small_metrics.horizontalAdvance(beside) + 4 if beside else 0.0
        self._say(f"{row.label} · {kind}", QRectF(x, y, room - wide, tall), self.strong, colour)
        self._say(beside, QRectF(x + room - wide, y, wide, tall), self.small, self.theme.text_soft)
        y += tall
        for text, tone in ((row.landed, colour), (row.proposed, self.theme.taker)):
            if text:
                self._say(text, QRectF(x, y, room, small), self.small, tone)
                y += small

    def _card(self, box: QRectF, *, is_chosen: bool, fill: str | None = None) -> None:
        edge = self.theme.focus if is_chosen else self.theme.card_edge
        self.painter.setPen(QPen(QColor(edge), 2.5 if is_chosen and self.held.has_focus else 1.2))
        self.painter.setBrush(QColor(fill or self.theme.card))
        self.painter.drawRoundedRect(box.adjusted(1, 1, -1, -1), 5, 5)

    def _band(self, laid: Laid) -> None:
        is_chosen = laid.band.hand_off == self.held.chosen
        is_new = laid.band.state == "proposed"
        colour = self.theme.taker if is_new else self.theme.focus if is_chosen else self.theme.loom
        pen = QPen(QColor(colour), 3.0 if is_chosen else 2.0)
        if is_new:
            pen.setDashPattern([4, 3])
        self.painter.setPen(pen)
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        self.painter.drawPath(rounded(laid.corners))
        self._tip(laid, colour)
        for pill, box in zip(laid.band.pills, laid.pills, strict=True):
            self._pill(pill, box)
        if laid.remark is not None:
            self.painter.fillRect(laid.remark.adjusted(0, 2, 0, -2), QColor(self.theme.pane))
            inside = laid.remark.adjusted(5, 0, -2, 0)
            self._say(laid.band.remark, inside, self.small, self.theme.text_soft)

    def _tip(self, laid: Laid, colour: str) -> None:
        """An arrow the way the signal goes."""
        forward = laid.band.is_forward
        at = laid.corners[-1] if forward else laid.corners[0]
        tip, back = (at.x(), at.x() - 9) if forward else (at.x(), at.x() + 9)
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(QColor(colour))
        self.painter.drawPolygon(QPolygonF([
            QPointF(tip, at.y()), QPointF(back, at.y() - 5), QPointF(back, at.y() + 5),
        ]))  # fmt: skip

    def _pill(self, pill: Pill, box: QRectF) -> None:
        """A piece: a plain edge for ours, a double one for the house's, a dotted one for what is to be bought."""
        self.painter.setBrush(QColor(self.theme.field))
        pen = QPen(QColor(self.theme.risk if pill.whose == "buy" else self.theme.text_soft), 1.3)
        if pill.whose == "buy":
            pen.setStyle(Qt.PenStyle.DotLine)
            pen.setWidthF(1.8)
        self.painter.setPen(pen)
        radius = box.height() / 2
        self.painter.drawRoundedRect(box.adjusted(0.7, 0.7, -0.7, -0.7), radius, radius)
        if pill.whose == "house":
            self.painter.drawRoundedRect(box.adjusted(3.2, 3.2, -3.2, -3.2), radius - 3, radius - 3)
        self._say(pill.words, box.adjusted(8, 0, -6, 0), self.small, self.theme.text)

    def _drag(self, plan: Plan) -> None:
        held = self.held
        if held.pointer is None or held.chosen not in plan.hand_offs:
            return
        box = plan.hand_offs[held.chosen]
        pen = QPen(QColor(self.theme.focus), 2.5)
        self.painter.setPen(pen)
        self.painter.drawLine(QPointF(box.right(), box.center().y()), held.pointer)
        self.painter.setBrush(QColor(self.theme.focus))
        self.painter.drawEllipse(held.pointer, 5, 5)

    def _say(self, text: str, box: QRectF, font: QFont, colour: str, *, centre: bool = False) -> None:
        metrics = self.strong_metrics if font is self.strong else self.small_metrics
        self.painter.setFont(font)
        self.painter.setPen(QColor(colour))
        where = Qt.AlignmentFlag.AlignCenter if centre else LINE
        self.painter.drawText(box, int(where), metrics.elidedText(text, Qt.TextElideMode.ElideRight, box.width()))


def rounded(corners: Sequence[QPointF]) -> QPainterPath:
    """Return a line through corners, turning with small radii."""
    path = QPainterPath(corners[0])
    for before, at, after in zip(corners, corners[1:], corners[2:], strict=False):
        path.lineTo(_towards(at, before))
        path.quadTo(at, _towards(at, after))
    path.lineTo(corners[-1])
    return path


def _towards(at: QPointF, other: QPointF) -> QPointF:
    length = max(abs(other.x() - at.x()), abs(other.y() - at.y()))
    share = min(RADIUS, length / 2) / length if length else 0.0
    return at + (other - at) * share
