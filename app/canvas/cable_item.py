"""One cable of the Patch sheet: a dressed way with small radii, its stroke, its badge, its inserted pieces."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPainterPathStroker, QPen
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.badges import Badge
from app.canvas.drawn_item import DrawnItem
from app.canvas.far_names import LEAST_PX
from app.canvas.fonts import advance, elided, font
from app.canvas.ground import around, middle
from app.canvas.layout import LABEL_CHAR, Box, Point
from app.canvas.looks import CableLook
from app.canvas.painting import steady
from app.canvas.routes import Way
from app.canvas.trunks import Drawn, Fan
from app.theme import Theme

BEND = 8.0
FAR = 0.4
"""Scale below which a cable is a plain line."""

_TAG_HEIGHT = 18.0
_TAG_WIDEST = 150.0
_TAG_CLEAR = 4.0
_TAG_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
_AROUND = 16.0


class CableState(Struct, frozen=True):
    """What of a cable is lit or marked at present."""

    selected: bool = False
    hovered: bool = False
    dimmed: bool = False
    pulsing: bool = False
    badge: Badge | None = None


def way_path(way: Sequence[Point]) -> QPainterPath:
    """Return a way as a path with rounded bends."""
    path = QPainterPath()
    if not way:
        return path
    path.moveTo(*way[0])
    for before, here, after in zip(way, way[1:], way[2:], strict=False):
        first = abs(here.x - before.x) + abs(here.y - before.y)
        second = abs(after.x - here.x) + abs(after.y - here.y)
        bend = min(BEND, first / 2, second / 2)
        path.lineTo(_towards(here, before, bend))
        path.quadTo(QPointF(*here), _towards(here, after, bend))
    path.lineTo(*way[-1])
    return path


def _towards(here: Point, there: Point, distance: float) -> QPointF:
    length = abs(there.x - here.x) + abs(there.y - here.y)
    share = distance / length if length else 0.0
    return QPointF(here.x + (there.x - here.x) * share, here.y + (there.y - here.y) * share)


def longest_middle(way: Sequence[Point]) -> tuple[Point, bool]:
    """Return the middle of the longest stretch of a way, and whether that stretch stands upright."""
    pairs = list(itertools.pairwise(way))
    a, b = max(pairs, key=lambda pair: abs(pair[0].x - pair[1].x) + abs(pair[0].y - pair[1].y))
    return Point((a.x + b.x) / 2, (a.y + b.y) / 2), abs(a.x - b.x) < abs(a.y - b.y)


def far_to(way: Sequence[Point], x: float, y: float) -> float:
    """Return how far a place is from a way."""
    best = 1e9
    for a, b in itertools.pairwise(way):
        across = max(min(a.x, b.x) - x, 0.0, x - max(a.x, b.x))
        along = max(min(a.y, b.y) - y, 0.0, y - max(a.y, b.y))
        best = min(best, (across**2 + along**2) ** 0.5)
    return best


def tag_box(pieces: Sequence[str], way: Sequence[Point], bodies: Sequence[Box] = ()) -> Box:
    """Return about the room of the sleeve on which the pieces tied into a cable are written.

    It lies on the middle of the longest stretch, else further along or on a shorter one, where no card hides it.
    """
    width = min(len(" + ".join(pieces)) * (LABEL_CHAR + 0.5) + 14, _TAG_WIDEST)
    usual = around(longest_middle(way)[0], width, _TAG_HEIGHT)
    pairs = sorted(itertools.pairwise(way), key=lambda pair: -math.dist(*pair))
    spots = ((a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share) for a, b in pairs for share in _TAG_SHARES)
    boxes = itertools.chain((usual,), (around(spot, width, _TAG_HEIGHT) for spot in spots))
    return next((box for box in boxes if not any(box.grown(_TAG_CLEAR).meets(body) for body in bodies)), usual)


def stroke_path(painter: QPainter, path: QPainterPath, look: CableLook, theme: Theme) -> None:
    """Draw a path in a cable's colour, weight and stroke."""
    colour = QColor(getattr(theme, look.colour))
    pen = QPen(colour, look.width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap, Qt.PenJoinStyle.RoundJoin)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if look.stroke == "dashed":
        faint = QColor(colour)
        faint.setAlpha(95)
        painter.setPen(QPen(faint, max(1.0, look.width * 0.5)))
        painter.drawPath(path)
        pen.setDashPattern([9 / look.width, 4.5 / look.width])
    elif look.stroke == "dotted":
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        pen.setDashPattern([0.01, 2.3])
    painter.setPen(pen)
    painter.drawPath(path)
    if look.stroke == "double":
        painter.setPen(QPen(QColor(theme.sheet), look.width * 0.4))
        painter.drawPath(path)


class CableItem(DrawnItem):
    """Paints one link or landing."""

    def __init__(self, cable: Drawn, way: Way, theme: Theme, fan: Fan | None = None) -> None:
        super().__init__(theme, 5)
        self.cable = cable
        self.way: Way = ()
        self.fan: Fan | None = None
        self.state = CableState()
        self._path = QPainterPath()
        self.sleeve_at: Point | None = None
        self.show_way(cable, way, fan)

    def show_way(self, cable: Drawn, way: Way, fan: Fan | None = None) -> None:
        """Show the cable lying otherwise; ``fan`` are the ends of a trunk."""
        if way != self.way:
            self.prepareGeometryChange()
            self.way = way
            self.sleeve_at = None
            self._path = way_path(way)
            around = max(_AROUND, _TAG_WIDEST / 2) if cable.pieces else _AROUND
            self._bounds = self._path.boundingRect().adjusted(-around, -_AROUND, around, _AROUND)
        self.cable = cable
        self.update()

    def clear_sleeve(self, bodies: Sequence[Box]) -> None:
        """Let the sleeve lie where no card hides it."""
        if self.cable.pieces and len(self.way) > 1:
            at = middle(tag_box(self.cable.pieces, self.way, bodies))
            if at != self.sleeve_at:
                self.sleeve_at = at
                self.update()

    def show_state(self, state: CableState) -> None:
        """Light or mark the cable differently."""
        if state != self.state:
            self.state = state
            self.setZValue(6 if state.selected or state.hovered else 5)
            self.update()

    def shape(self) -> QPainterPath:
        stroker = QPainterPathStroker()
        stroker.setWidth(10)
        return stroker.createStroke(self._path)

    def points(self) -> tuple[Point, ...]:
        """Return the corners of its way."""
        return self.way

    def distance_to(self, x: float, y: float) -> float:
        """Return how far a place is from the cable."""
        return far_to(self.way, x, y)

    @steady
    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        if len(self.way) < 2:
            return
        detail = option.levelOfDetailFromTransform(painter.worldTransform())
        look, state, theme = self.cable.look, self.state, self._theme
        if state.dimmed:
            painter.setOpacity(0.35)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if state.selected or state.pulsing:
            glow = QColor(theme.focus)
            glow.setAlpha(110 if state.selected else 70)
            painter.setPen(QPen(glow, look.width + (7 if state.selected else 12)))
            painter.drawPath(self._path)
        elif detail >= FAR:
            painter.setPen(QPen(QColor(theme.sheet), look.width + 4, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
            painter.drawPath(self._path)
        if detail < FAR:
            painter.setPen(QPen(QColor(getattr(theme, look.colour)), min(look.width, 2.8) / max(detail, 0.15) * 0.4))
            painter.drawPath(self._path)
        else:
            shown = CableLook(look.colour, look.width + 0.8, look.stroke) if state.hovered else look
            stroke_path(painter, self._path, shown, theme)
        if self.cable.pieces and detail >= FAR:
            self._paint_tag(painter, written=font("label").pixelSize() * detail >= LEAST_PX)

    def _paint_tag(self, painter: QPainter, *, written: bool) -> None:
        """Write what is tied into the cable on a small sleeve around it."""
        theme = self._theme
        at = self.sleeve_at or longest_middle(self.way)[0]
        if not written:
            painter.setPen(QPen(QColor(getattr(theme, self.cable.look.colour)), 2))
            painter.setBrush(QColor(theme.card))
            painter.drawRoundedRect(QRectF(at.x - 10, at.y - 10, 20, 20), 5, 5)
            return
        words = elided("label", " + ".join(self.cable.pieces), _TAG_WIDEST - 14)
        width = advance("label", words) + 14
        sleeve = QRectF(at.x - width / 2, at.y - _TAG_HEIGHT / 2, width, _TAG_HEIGHT)
        painter.setPen(QPen(QColor(getattr(theme, self.cable.look.colour)), 1.2))
        painter.setBrush(QColor(theme.card))
        painter.drawRoundedRect(sleeve, 4, 4)
        painter.setPen(QColor(theme.text))
        painter.setFont(font("label"))
        painter.drawText(sleeve, Qt.AlignmentFlag.AlignCenter, words)
