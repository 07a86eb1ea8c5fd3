"""The house line: the strip that closes the Patch sheet, one tile for each house socket."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field
from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.badges import Badge
from app.canvas.faces import RADIUS, Ink, draw_face
from app.canvas.far_names import LEAST_PX, written
from app.canvas.fonts import elided, font, letters_of, metrics, readable
from app.canvas.house_layout import FOOT, NUMBER_LEFT, HouseRows, Tile
from app.canvas.layout import Box
from app.canvas.painting import steady
from app.canvas.unit_item import MIDDLE, rect_of, tape_shape
from app.theme import Theme

FULL = 0.72
"""Scale from which everything on a tile is drawn."""

CAPITALS = 0.85
"""Share of the height of a line that capitals take, with a little room."""

BEYOND = 6000.0
"""How far the strip runs on past its tiles, so that it closes the sheet at any zoom."""


class SocketFace(Struct, frozen=True):
    """What is drawn of a house socket: face, side, and which way it runs."""

    face: str
    male: bool
    to_house: bool


class HouseState(Struct, frozen=True):
    """What of the line is lit or marked at present; keys are socket ids."""

    selected: frozenset[str] = frozenset()
    focused: str = ""
    hovered: str = ""
    pulsing: frozenset[str] = frozenset()
    takers: frozenset[str] = frozenset()
    dimmed: frozenset[str] = frozenset()
    badges: Mapping[str, Badge] = field(default_factory=dict)
    only: frozenset[str] | None = None


class HouseLine(QGraphicsItem):
    """Paints the whole line; tiles are found by arithmetic."""

    def __init__(self, rows: HouseRows, theme: Theme) -> None:
        super().__init__()
        self.rows = rows
        self.state = HouseState()
        self._faces: Mapping[str, SocketFace] = {}
        self._name = ""
        self._theme = theme
        self.setZValue(2)
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)

    def show_rows(self, rows: HouseRows, faces: Mapping[str, SocketFace], name: str) -> None:
        """Show another state of the line."""
        if (rows, faces, name) == (self.rows, self._faces, self._name):
            return
        self.prepareGeometryChange()
        self.rows, self._faces, self._name = rows, faces, name
        self.update()

    def show_state(self, state: HouseState) -> None:
        """Light or mark tiles differently."""
        if state != self.state:
            self.state = state
            self.update()

    def set_theme(self, theme: Theme) -> None:
        """Change colours."""
        self._theme = theme
        self.update()

    def boundingRect(self) -> QRectF:
        return rect_of(self.rows.strip).adjusted(-BEYOND, -RADIUS - 6, BEYOND, BEYOND)

    @steady
    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        detail = option.levelOfDetailFromTransform(painter.worldTransform())
        theme, strip = self._theme, rect_of(self.rows.strip)
        ground = option.exposedRect.intersected(self.boundingRect())
        ground.setTop(max(ground.top(), strip.top()))
        painter.fillRect(ground, QColor(theme.house_line))
        edge = QPen(QColor(theme.house_edge), 2)
        painter.setPen(edge)
        painter.drawLine(QPointF(ground.left(), strip.top()), QPointF(ground.right(), strip.top()))
        for tile in self.rows.tiles:
            if rect_of(tile.box).adjusted(-14, -14, 14, 14).intersects(option.exposedRect):
                self._paint_tile(painter, tile, detail)
        self._paint_foot(painter, strip, detail)

    def _paint_foot(self, painter: QPainter, strip: QRectF, detail: float) -> None:
        """Name the strip at its foot; from afar in larger letters beside the tiles, where these leave room."""
        title = QCoreApplication.translate("HouseLine", "HOUSE LINE")
        audience = QCoreApplication.translate("HouseLine", "AUDIENCE")
        whole = f"{title} · {self._name}"
        for scale in (readable(detail, 9.0), letters_of("edge", LEAST_PX / detail)):
            measure = metrics("edge", scale)
            foot, room = self._foot(strip, scale, measure.horizontalAdvance(audience))
            if measure.horizontalAdvance(whole) <= room:
                break
        if room < measure.horizontalAdvance(title) or foot.height() > strip.height():
            return
        painter.setPen(QColor(self._theme.text_soft))
        painter.setFont(font("edge", scale))
        words = whole if measure.horizontalAdvance(whole) <= room else title
        upright = Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextDontClip
        painter.drawText(foot, Qt.AlignmentFlag.AlignLeft | upright, words)
        painter.drawText(foot, Qt.AlignmentFlag.AlignRight | upright, audience)

    def _foot(self, strip: QRectF, scale: float, right: float) -> tuple[QRectF, float]:
        """Return the room of the words at the foot, and how wide the left ones may be where the right ones are."""
        high, side = metrics("edge", scale).height() * CAPITALS, 14.0
        foot = QRectF(strip.left() + side, strip.bottom() - max(FOOT, high), strip.width() - 2 * side, max(FOOT, high))
        if high <= FOOT:
            return foot, foot.width() - right - 30
        last = [tile.box for tile in self.rows.tiles if tile.row == self.rows.tiles[-1].row]
        clear = (last[0].left if last else strip.center().x()) - foot.left() - 10
        return foot, clear if clear >= right else 0.0

    def _paint_tile(self, painter: QPainter, tile: Tile, detail: float) -> None:
        theme, state, socket = self._theme, self.state, tile.text.socket
        rect = rect_of(tile.box)
        landed = bool(tile.text.name)
        if socket in state.dimmed or (state.only is not None and socket not in state.only):
            painter.setOpacity(0.35)
        if socket in state.pulsing or socket in state.takers:
            glow = QColor(theme.focus if socket in state.pulsing else theme.taker)
            glow.setAlpha(70)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(glow)
            painter.drawRoundedRect(rect.adjusted(-4, -4, 4, 4), 6, 6)
        painter.setPen(QPen(QColor(theme.house_edge), 0.9))
        painter.setBrush(QColor(theme.tile if landed else theme.tile_free))
        painter.drawPolygon(tape_shape(rect))
        self._paint_ring(painter, rect, socket)
        self._paint_words(painter, tile, rect, detail)
        face = self._faces.get(socket)
        if face is not None and detail >= MIDDLE:
            line = QColor(theme.taker if socket in state.takers else theme.text)
            ink = Ink(line, QColor(theme.tile if landed else theme.house_line))
            draw_face(painter, face.face, QPointF(*tile.face), male=face.male, ink=ink)
            if detail >= FULL:
                self._paint_arrow(painter, rect, to_house=face.to_house)
        painter.setOpacity(1.0)

    def _paint_ring(self, painter: QPainter, rect: QRectF, socket: str) -> None:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        colour = QColor(self._theme.focus)
        if socket in self.state.selected:
            painter.setPen(QPen(colour, 2.2))
            painter.drawRoundedRect(rect.adjusted(-1, -1, 1, 1), 3, 3)
        if socket == self.state.hovered:
            painter.setPen(QPen(colour, 1.4))
            painter.drawRoundedRect(rect, 3, 3)
        if socket == self.state.focused:
            painter.setPen(QPen(colour, 1.8, Qt.PenStyle.DashLine))
            painter.drawRoundedRect(rect.adjusted(-4, -4, 4, 4), 5, 5)

    def _paint_words(self, painter: QPainter, tile: Tile, rect: QRectF, detail: float) -> None:
        theme, text = self._theme, tile.text
        soft, strong = QColor(theme.text_soft), QColor(theme.text)
        centre = Qt.AlignmentFlag.AlignCenter
        painter.setPen(soft)
        if detail < FULL:
            self._paint_far_words(painter, tile, rect, detail)
            return
        number = QRectF(rect.left() + NUMBER_LEFT, rect.top() + 4, rect.width() - 2 * NUMBER_LEFT, 15)
        painter.setFont(font("number"))
        painter.drawText(number, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, text.number)
        words, kind = (text.name, "tile") if text.name else (text.label, "free")
        if not words:
            return
        line = QRectF(rect.left() + 4, rect.bottom() - 22, rect.width() - 8, 18)
        painter.setPen(strong if text.name else soft)
        painter.setFont(font(kind))
        painter.drawText(line, centre, elided(kind, words, line.width()))

    def _paint_far_words(self, painter: QPainter, tile: Tile, rect: QRectF, detail: float) -> None:
        """Write number and name larger and closer, so that they can be read from further off; else only one of them."""
        text, upper = tile.text, rect.center().y() + 1
        name = None
        if text.name and detail >= MIDDLE:
            lower = QRectF(rect.left() - 1, upper - 1, rect.width() + 2, rect.bottom() - upper + 1)
            most = readable(detail, 1.75)
            words = text.name.replace(" ", "\u00a0")
            name = written(words, (lower.width(), lower.height()), detail, most, kinds=("label",))
        if name is None:
            self._paint_far_number(painter, rect.adjusted(2, 8 if detail >= MIDDLE else 1, -2, 0), text.number, detail)
            return
        painter.setFont(font("label", letters_of("label", LEAST_PX / detail)))
        left = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(QRectF(rect.left() + 5, rect.top() + 1, 40, upper - rect.top() - 1), left, text.number)
        painter.setPen(QColor(self._theme.text))
        painter.setFont(font(name.kind, name.scale))
        painter.drawText(lower, Qt.AlignmentFlag.AlignCenter, name.lines[0])

    def _paint_far_number(self, painter: QPainter, room: QRectF, number: str, detail: float) -> None:
        size = (room.width(), room.height())
        made = written(number, size, detail, readable(detail, 9.0), kinds=("number", "label"))
        if made is not None and made.lines == (number,):
            painter.setFont(font(made.kind, made.scale))
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter, number)

    def _paint_arrow(self, painter: QPainter, rect: QRectF, *, to_house: bool) -> None:
        """Show which way the line runs: down to the house or up to the stage."""
        x, y = rect.right() - 11, rect.top() + 11.5
        way = 1 if to_house else -1
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self._theme.text_soft))
        corners = [QPointF(x - 3.6, y - 2.4 * way), QPointF(x + 3.6, y - 2.4 * way), QPointF(x, y + 3 * way)]
        painter.drawPolygon(QPolygonF(corners))


def foot_boxes(strip: Box) -> tuple[Box, Box]:
    """Return about the room of the words at the foot of the strip."""
    top, bottom = strip.bottom - 22, strip.bottom - 2
    return Box(strip.left + 14, top, strip.left + 330, bottom), Box(strip.right - 130, top, strip.right - 14, bottom)
