"""One unit on the stage plan: its footprint to scale, a plain outline with its name on it.

A unit without a place is a chip in the tray.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.badges import Badge
from app.canvas.far_names import written
from app.canvas.fonts import elided, font, readable
from app.canvas.layout import Box, Point
from app.canvas.painting import kept, steady
from app.canvas.stage_layout import CHIP, footprint_size, on_sheet
from app.canvas.stage_names import HEIGHT, Named
from app.theme import Theme
from rigcore.book.rig import Unit
from rigcore.catalogue.gear import GearType

LEAST = 20.0
"""Least size of what can be taken hold of, in sheet units."""

CHIP_BADGE = 30.0
"""Room at the right end of a chip for the badge of what waits."""

HANDLE = 30.0
HANDLE_RADIUS = 7.0
_AROUND = 60.0
_ARROW = 24.0


class FootState(Struct, frozen=True):
    """What of a footprint is lit or marked at present."""

    selected: bool = False
    focused: bool = False
    hovered: bool = False
    pulsing: bool = False
    handle: bool = False
    badge: Badge | None = None


class FootprintItem(QGraphicsItem):
    """Paints one unit from above."""

    def __init__(self, unit: Unit, gear: GearType, theme: Theme, *, locked: bool = False) -> None:
        super().__init__()
        self.unit = unit
        self.gear = gear
        self.locked = locked
        self.waiting = False
        self.state = FootState()
        self._theme = theme
        self.setZValue(4 if locked else 10)
        if gear.glyph == "riser":
            self.setZValue(3)

    def show_unit(self, unit: Unit, tray: Point | None) -> None:
        """Show the unit where it stands, or waiting at a place in the tray."""
        waiting = unit.x_m is None or unit.y_m is None
        if waiting != self.waiting:
            self.prepareGeometryChange()
        self.unit, self.waiting = unit, waiting
        if unit.x_m is None or unit.y_m is None:
            self.setRotation(0)
            self.setPos(QPointF(*(tray or Point(0, 0))))
        else:
            self.setRotation(unit.rotation_deg)
            self.setPos(QPointF(*on_sheet(unit.x_m, unit.y_m)))
        self.update()

    def lift(self, at: Point) -> None:
        """Show the unit in the hand, at true size, over a place of the sheet."""
        if self.waiting:
            self.prepareGeometryChange()
            self.waiting = False
        self.setPos(QPointF(*at))

    def show_state(self, state: FootState) -> None:
        """Light or mark the footprint differently."""
        if state != self.state:
            self.prepareGeometryChange()
            self.state = state
            self.update()

    def set_theme(self, theme: Theme) -> None:
        """Change colours."""
        self._theme = theme
        self.update()

    @property
    def size(self) -> tuple[float, float]:
        """Width and depth as drawn, in sheet units."""
        return CHIP if self.waiting else footprint_size(self.gear)

    def takes_hold(self, at: QPointF) -> bool:
        """Return whether a place of the sheet lies on the footprint, small ones made easier to hit."""
        local = self.mapFromScene(at)
        width, depth = self.size
        return abs(local.x()) <= max(width, LEAST) / 2 and abs(local.y()) <= max(depth, LEAST) / 2

    def handle_place(self) -> QPointF:
        """Return the centre of the rotation handle on the sheet."""
        return self.mapToScene(QPointF(0, -self.size[1] / 2 - HANDLE))

    def boundingRect(self) -> QRectF:
        width, depth = self.size
        return QRectF(-width / 2, -depth / 2, width, depth).adjusted(-_AROUND, -_AROUND, _AROUND, _AROUND)

    def shape(self) -> QPainterPath:
        width, depth = max(self.size[0], LEAST), max(self.size[1], LEAST)
        path = QPainterPath()
        path.addRect(QRectF(-width / 2, -depth / 2, width, depth))
        return path

    @steady
    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        if self.waiting:
            self._paint_chip(painter, option.levelOfDetailFromTransform(painter.worldTransform()))
        else:
            self._paint_footprint(painter)

    def _paint_chip(self, painter: QPainter, detail: float) -> None:
        theme, state = self._theme, self.state
        rect = QRectF(-CHIP[0] / 2, -CHIP[1] / 2, *CHIP)
        painter.setPen(self._edge())
        painter.setBrush(QColor(theme.card))
        painter.drawRoundedRect(rect, 5, 5)
        if state.focused:
            self._ring(painter, rect)
        painter.setPen(QColor(theme.text))
        upright = Qt.AlignmentFlag.AlignVCenter
        letters = readable(detail)
        if letters > 1:
            self._paint_chip_from_afar(painter, rect, detail, letters)
            return
        room = rect.adjusted(8, 2, -CHIP_BADGE if state.badge is not None else -8, -2)
        painter.setFont(font("glyph"))
        painter.drawText(room.adjusted(0, 1, 0, -16), upright, elided("glyph", self.unit.name, room.width()))
        painter.setPen(QColor(theme.text_soft))
        painter.setFont(font("label"))
        words = f"{self.gear.width_m:g} × {self.gear.depth_m:g} m"
        painter.drawText(room.adjusted(0, 17, 0, -1), upright, words)

    def _paint_chip_from_afar(self, painter: QPainter, rect: QRectF, detail: float, letters: float) -> None:
        """Write only the name, over the whole chip, in letters that can be read."""
        room = rect.adjusted(5, -1, -CHIP_BADGE - 1 if self.state.badge is not None else -4, 1)
        made = written(self.unit.name, (room.width(), room.height()), detail, letters, kinds=("glyph", "narrow"))
        if made is None:
            return
        painter.setFont(font(made.kind, made.scale))
        for n, line in enumerate(made.lines):
            top = room.center().y() + (n - len(made.lines) / 2) * made.line
            flags = Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextDontClip
            painter.drawText(QRectF(room.left(), top, room.width(), made.line), flags, line)

    def _edge(self) -> QPen:
        theme, state = self._theme, self.state
        if state.selected or state.hovered:
            return QPen(QColor(theme.focus), 2.2 if state.selected else 1.5)
        plain = theme.house_edge if self.locked or self.waiting else theme.text
        return QPen(QColor(plain), 1.4)

    def _ring(self, painter: QPainter, rect: QRectF) -> None:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(self._theme.focus), 1.8, Qt.PenStyle.DashLine))
        painter.drawRoundedRect(rect.adjusted(-5, -5, 5, 5), 7, 7)

    def _paint_footprint(self, painter: QPainter) -> None:
        theme, state = self._theme, self.state
        width, depth = self.size
        rect = QRectF(-width / 2, -depth / 2, width, depth)
        if state.pulsing:
            halo = QColor(theme.focus)
            halo.setAlpha(80)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(halo)
            painter.drawRoundedRect(rect.adjusted(-14, -14, 14, 14), 12, 12)
        painter.setPen(self._edge())
        painter.setBrush(QColor(theme.tile_free if self.locked else theme.card))
        _GLYPHS.get(self.gear.glyph, _box)(painter, rect)
        if state.focused:
            self._ring(painter, rect)
        if state.handle:
            self._paint_handle(painter, rect)

    def _paint_handle(self, painter: QPainter, rect: QRectF) -> None:
        colour = QColor(self._theme.focus)
        top = QPointF(0, rect.top())
        knob = QPointF(0, rect.top() - HANDLE)
        painter.setPen(QPen(colour, 1.4))
        painter.drawLine(top, knob)
        painter.setBrush(QColor(self._theme.card))
        painter.drawEllipse(knob, HANDLE_RADIUS, HANDLE_RADIUS)
        painter.drawArc(QRectF(knob.x() - 3.5, knob.y() - 3.5, 7, 7), 30 * 16, 270 * 16)

    def named(self) -> Named:
        """Return the footprint's name with the room it may take, on the sheet."""
        body = self._drawn()
        angle = self.rotation() % 90
        room = None
        if self.gear.glyph != "mic" and min(angle, 90 - angle) < 32:
            clear = QRectF(body)
            if self.gear.glyph == "keys":
                clear.setTop(clear.top() + _key_strip(body).height() + 3)
            middle = self.mapToScene(clear.center())
            lying = 45 < self.rotation() % 180 < 135
            wide, high = (clear.height(), clear.width()) if lying else (clear.width(), clear.height())
            shrink = 1.0 if angle < 1 or angle > 89 else 0.72
            wide, high = wide * shrink - 4, max(high * shrink, HEIGHT if high >= HEIGHT + 4 else 0)
            room = Box(middle.x() - wide / 2, middle.y() - high / 2, middle.x() + wide / 2, middle.y() + high / 2)
        kind: Literal["area", "thing"] = "area" if self.gear.glyph == "riser" else "thing"
        return Named(self.unit.name, self.body(), room, self.locked, self.name_id, kind=kind)

    @property
    def name_id(self) -> str:
        """What its name is known by on the plan."""
        return f"{'house' if self.locked else 'rig'} {self.unit.id}"

    def body(self) -> Box:
        """Return the bounds of what is drawn of the footprint, on the sheet."""
        return _box_of(self.mapToScene(self._drawn()).boundingRect())

    def arrow(self) -> Box | None:
        """Return the bounds of the arrow that shows where a floor monitor faces, on the sheet."""
        if self.gear.glyph != "wedge":
            return None
        return _box_of(self.mapToScene(QRectF(-6, self.size[1] / 2, 12, _ARROW + 1)).boundingRect())

    def _drawn(self) -> QRectF:
        """Return what is drawn of the footprint, its signs included."""
        width, depth = self.size
        if self.gear.glyph == "mic" and not self.waiting:
            return QRectF(-9, -9, 18, 30)
        return QRectF(-width / 2, -depth / 2, width, depth)


def _box_of(rect: QRectF) -> Box:
    return Box(rect.left(), rect.top(), rect.right(), rect.bottom())


def _box(painter: QPainter, rect: QRectF) -> None:
    painter.drawRoundedRect(rect, 3, 3)


def _keys(painter: QPainter, rect: QRectF) -> None:
    """Draw a keyboard: its keys lie upstage, where the player stands."""
    painter.drawRoundedRect(rect, 3, 3)
    strip = _key_strip(rect)
    painter.drawRect(strip)
    pen = QPen(painter.pen())
    pen.setWidthF(0.7)
    painter.setPen(pen)
    count = max(2, int(strip.width() // 6))
    for n in range(1, count):
        x = strip.left() + strip.width() * n / count
        painter.drawLine(QPointF(x, strip.top()), QPointF(x, strip.bottom()))


def _key_strip(rect: QRectF) -> QRectF:
    return QRectF(rect.left() + 5, rect.top() + 3, rect.width() - 10, max(rect.height() * 0.3, 6))


def _mic(painter: QPainter, rect: QRectF) -> None:
    """Draw a microphone on its stand: a disc, its head pointing where it faces."""
    painter.drawEllipse(QPointF(0, 0), 7, 7)
    painter.drawLine(QPointF(0, 7), QPointF(0, 15))
    painter.drawEllipse(QPointF(0, 17), 3, 3)


def _wedge(painter: QPainter, rect: QRectF) -> None:
    """Draw a floor monitor: wide in front, narrow behind, an arrow where it faces."""
    inset = rect.width() * 0.16
    corners = [
        rect.bottomLeft(),
        rect.bottomRight(),
        rect.topRight() - QPointF(inset, 0),
        rect.topLeft() + QPointF(inset, 0),
    ]
    painter.drawPolygon(QPolygonF(corners))
    tip = QPointF(0, rect.bottom() + _ARROW)
    painter.drawLine(QPointF(0, rect.bottom()), tip)
    painter.drawPolyline(QPolygonF([tip + QPointF(-5, -7), tip, tip + QPointF(5, -7)]))


def _drums(painter: QPainter, rect: QRectF) -> None:
    """Draw a drum kit: drums in a ring inside its area."""
    pen = QPen(painter.pen())
    with kept(painter):
        dashed = QPen(pen)
        dashed.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(dashed)
        painter.drawRoundedRect(rect, 8, 8)
    unit = min(rect.width(), rect.height())
    for x, y, size in (
        (0, 0.2, 0.17),
        (-0.26, -0.02, 0.1),
        (0.24, -0.04, 0.12),
        (-0.1, -0.14, 0.09),
        (0.1, -0.14, 0.09),
    ):
        painter.drawEllipse(QPointF(x * unit, y * unit), size * unit, size * unit)


def _amp(painter: QPainter, rect: QRectF) -> None:
    """Draw an amplifier: its grille faces the audience."""
    painter.drawRoundedRect(rect, 2, 2)
    y = rect.bottom() - min(7.0, rect.height() * 0.25)
    painter.drawLine(QPointF(rect.left() + 3, y), QPointF(rect.right() - 3, y))


def _laptop(painter: QPainter, rect: QRectF) -> None:
    """Draw a laptop: its screen stands downstage of its keys."""
    painter.drawRoundedRect(rect, 2, 2)
    y = rect.bottom() - rect.height() * 0.22
    painter.drawLine(QPointF(rect.left(), y), QPointF(rect.right(), y))


def _person(painter: QPainter, rect: QRectF) -> None:
    """Draw a player from above: shoulders and head."""
    painter.drawEllipse(rect.adjusted(0, rect.height() * 0.2, 0, -rect.height() * 0.2))
    painter.drawEllipse(QPointF(0, 0), rect.height() * 0.26, rect.height() * 0.26)


def _power(painter: QPainter, rect: QRectF) -> None:
    """Draw a power strip: a box with the mark of mains."""
    painter.drawRoundedRect(rect, 2, 2)
    draw_tilde(painter, rect.center(), min(6.0, rect.height() * 0.3))


def _riser(painter: QPainter, rect: QRectF) -> None:
    pen = QPen(painter.pen())
    pen.setStyle(Qt.PenStyle.DashLine)
    painter.setPen(pen)
    painter.drawRect(rect)


def draw_tilde(painter: QPainter, centre: QPointF, size: float) -> None:
    """Draw the sign of alternating current."""
    path = QPainterPath(centre + QPointF(-size, 0))
    path.cubicTo(
        centre + QPointF(-size / 2, -size * 1.2), centre + QPointF(size / 2, size * 1.2), centre + QPointF(size, 0)
    )
    with kept(painter):
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(path)


_GLYPHS: dict[str, Callable[[QPainter, QRectF], None]] = {
    "box": _box,
    "keys": _keys,
    "mic": _mic,
    "wedge": _wedge,
    "drums": _drums,
    "amp": _amp,
    "laptop": _laptop,
    "person": _person,
    "power": _power,
    "riser": _riser,
}
