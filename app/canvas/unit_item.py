"""One card of the Patch sheet: tape strip, gear name, faces, labels. Ports are found by arithmetic."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from msgspec import Struct, field
from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.badges import Badge
from app.canvas.faces import RADIUS, Ink, draw_face
from app.canvas.far_names import LEAST_PX, REACH, Written, strip_for, written
from app.canvas.fonts import advance, elided, font, letters_of
from app.canvas.ground import moved
from app.canvas.layout import Box, Spot, label_box
from app.canvas.painting import steady
from app.canvas.placed import AnyCard, PlacedRack
from app.theme import Theme
from rigcore.catalogue.connectors import Connector

FULL, LABELS, MIDDLE = 0.7, 0.5, 0.4
"""Scales from which everything can be read, from which port labels can, and from which faces are drawn."""

FADED = 0.28
"""Strength of what stands back while something else is traced."""

_NEAR_TAPE = 1.3

STACK = 3.0
"""How far each card beneath that of a folded rack is seen."""

_REACH = max(24.0, REACH + 4.0)


class UnitState(Struct, frozen=True):
    """What of a card is lit or marked at present; compared to see whether to paint again."""

    selected: bool = False
    focused: bool = False
    focused_port: str = ""
    hovered_port: str = ""
    pulsing: bool = False
    takers: frozenset[str] = frozenset()
    dimmed: frozenset[str] = frozenset()
    taken: frozenset[str] = frozenset()
    loose: frozenset[str] = frozenset()
    badge: Badge | None = None
    port_badges: Mapping[str, Badge] = field(default_factory=dict)
    faded: bool = False


def rect_of(box: Box) -> QRectF:
    """Return a box as the toolkit's rectangle."""
    return QRectF(box.left, box.top, box.right - box.left, box.bottom - box.top)


def tape_shape(rect: QRectF) -> QPolygonF:
    """Return the outline of a strip of tape: straight along, torn at both ends."""
    teeth = 5
    step = rect.height() / teeth
    right = [QPointF(rect.right() - (2.2 if n % 2 else 0), rect.top() + n * step) for n in range(teeth + 1)]
    left = [QPointF(rect.left() + (2.2 if n % 2 else 0), rect.bottom() - n * step) for n in range(teeth + 1)]
    return QPolygonF([*right, *left])


def tape_words(placed: AnyCard) -> str:
    """Return what is written on the tape of a card: the name, and of a folded rack how many units are inside."""
    if not isinstance(placed, PlacedRack):
        return placed.title
    count = len(placed.members)
    words = "{} · {} units" if count != 1 else "{} · {} unit"
    return QCoreApplication.translate("PatchSheet", words).format(placed.title, count)


class UnitItem(QGraphicsItem):
    """Paints one unit, or one folded rack; has no children."""

    def __init__(self, placed: AnyCard, connectors: Mapping[str, Connector], theme: Theme) -> None:
        super().__init__()
        self.placed = placed
        self.state = UnitState()
        self._connectors = connectors
        self._theme = theme
        self.room: Callable[[str], Box | None] | None = None
        self.setPos(*placed.place)
        self.setZValue(10)

    def show_card(self, placed: AnyCard) -> None:
        """Show another state of the same card."""
        if placed.card is not self.placed.card:
            self.prepareGeometryChange()
        self.placed = placed
        self.setPos(*placed.place)
        self.update()

    def show_state(self, state: UnitState) -> None:
        """Light or mark the card differently."""
        if state != self.state:
            self.state = state
            self.update()

    def set_theme(self, theme: Theme) -> None:
        """Change colours."""
        self._theme = theme
        self.update()

    def boundingRect(self) -> QRectF:
        card = self.placed.card
        return QRectF(-_REACH, -_REACH, card.width + 2 * _REACH, card.height + 2 * _REACH)

    def shape(self) -> QPainterPath:
        path = QPainterPath()
        path.addRect(QRectF(0, 0, self.placed.card.width, self.placed.card.height))
        return path

    @steady
    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        detail = option.levelOfDetailFromTransform(painter.worldTransform())
        if self.state.faded:
            painter.setOpacity(FADED)
        self._paint_body(painter)
        if detail < MIDDLE:
            self._paint_dots(painter, lit=False)
        self._paint_tape(painter, detail)
        if detail >= FULL:
            self._paint_gear_name(painter)
        if detail >= LABELS:
            self._paint_groups(painter, detail)
        if detail >= MIDDLE:
            for spot in self.placed.card.spots:
                self._paint_port(painter, spot)
            if detail >= LABELS:
                self._paint_labels(painter, detail)
        else:
            self._paint_dots(painter, lit=True)

    def _paint_body(self, painter: QPainter) -> None:
        card, theme, state = self.placed.card, self._theme, self.state
        body = QRectF(0, 0, card.width, card.height)
        if isinstance(self.placed, PlacedRack):
            self._paint_stack(painter, body)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.card_edge))
        painter.drawRoundedRect(body.translated(0, 2), 7, 7)
        if state.pulsing:
            halo = QColor(theme.focus)
            halo.setAlpha(70)
            painter.setBrush(halo)
            painter.drawRoundedRect(body.adjusted(-12, -12, 12, 12), 15, 15)
        edge = QPen(QColor(theme.card_edge), 1.2)
        if self.placed.is_lent:
            edge = QPen(QColor(theme.house_edge), 1.4, Qt.PenStyle.DashLine)
        painter.setPen(edge)
        painter.setBrush(QColor(theme.card))
        painter.drawRoundedRect(body, 7, 7)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if state.selected:
            painter.setPen(QPen(QColor(theme.focus), 2.2))
            painter.drawRoundedRect(body.adjusted(-1, -1, 1, 1), 8, 8)
        if state.focused:
            painter.setPen(QPen(QColor(theme.focus), 1.8, Qt.PenStyle.DashLine))
            painter.drawRoundedRect(body.adjusted(-5, -5, 5, 5), 11, 11)

    def _paint_stack(self, painter: QPainter, body: QRectF) -> None:
        """Show that there are cards beneath this one."""
        painter.setPen(QPen(QColor(self._theme.card_edge).darker(112), 1.0))
        painter.setBrush(QColor(self._theme.card))
        for step in (2, 1):
            painter.drawRoundedRect(body.translated(step * STACK, step * STACK), 7, 7)

    def _paint_tape(self, painter: QPainter, detail: float) -> None:
        """Draw the strip of tape with the name on it; from afar over the card's edges where the name needs it."""
        theme, name = self._theme, tape_words(self.placed)
        if detail < MIDDLE:
            box, made = strip_for(*self._own_and_room(), name, detail)
            rect = rect_of(box)
        else:
            rect = self._tape(detail)
            most = min(1.0 / max(detail, 0.2), _NEAR_TAPE if detail >= FULL else 9.0)
            made = written(name, (rect.width() - 6, rect.height()), detail, most)
        painter.setPen(QPen(QColor(theme.tape).darker(112), 0.8))
        painter.setBrush(QColor(theme.tape))
        painter.drawPolygon(tape_shape(rect))
        painter.setPen(QColor(theme.text))
        if made is not None:
            _write(painter, rect, made)

    def strip(self, detail: float) -> Box:
        """Return the strip of tape as drawn at a scale, on the sheet."""
        if detail < MIDDLE:
            box = strip_for(*self._own_and_room(), tape_words(self.placed), detail)[0]
        else:
            rect = self._tape(detail)
            box = Box(rect.left(), rect.top(), rect.right(), rect.bottom())
        return moved(box, (self.pos().x(), self.pos().y()))

    def _own_and_room(self) -> tuple[Box, Box]:
        """Return the card, and how far its tape may reach, both as the card sees them."""
        own = Box(0.0, 0.0, self.placed.card.width, self.placed.card.height)
        room = self.room(self.placed.name) if self.room is not None else None
        return own, own if room is None else moved(room, (-self.pos().x(), -self.pos().y()))

    def _tape(self, detail: float) -> QRectF:
        """Return the strip of tape, larger for reading from further off."""
        card = self.placed.card
        if detail >= FULL:
            return rect_of(card.tape)
        if detail >= LABELS:
            return rect_of(card.tape).united(rect_of(card.gear_line))
        sides = {spot.side for spot in card.spots}
        left, right = (RADIUS + 4 if side in sides else 5.0 for side in ("left", "right"))
        return QRectF(left, card.height * 0.24, card.width - left - right, card.height * 0.52)

    def _paint_gear_name(self, painter: QPainter) -> None:
        if self.placed.about == self.placed.title:
            return
        rect = rect_of(self.placed.card.gear_line)
        painter.setPen(QColor(self._theme.text_soft))
        painter.setFont(font("gear"))
        text = elided("gear", self.placed.about, rect.width())
        painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, text)

    def _paint_groups(self, painter: QPainter, detail: float) -> None:
        """Write the names that stand for several ports, each under a line as long as they are."""
        scale = letters_of("label", LEAST_PX / detail)
        painter.setFont(font("label", scale))
        for words, box in self.placed.card.groups:
            upper = box.top < self.placed.card.tape.top
            edge = box.top if upper else box.bottom
            painter.setPen(QPen(QColor(self._theme.card_edge).darker(108), 1.2))
            painter.drawLine(QPointF(box.left, edge), QPointF(box.right, edge))
            painter.setPen(QColor(self._theme.text))
            text = elided("label", words, box.right - box.left, scale)
            painter.drawText(rect_of(box), Qt.AlignmentFlag.AlignCenter, text)

    def _paint_port(self, painter: QPainter, spot: Spot) -> None:
        theme, state = self._theme, self.state
        port = self.placed.port(spot.port)
        if port is None:
            return
        connector = self._connectors.get(port.connector)
        at = QPointF(*spot.at)
        dimmed = spot.port in state.dimmed
        if dimmed:
            painter.setOpacity(min(painter.opacity(), 0.3))
        self._paint_rings(painter, spot, at)
        line = QColor(theme.taker if spot.port in state.takers else theme.text)
        ground = QColor(theme.card if spot.port in state.taken else theme.field)
        male = connector is not None and connector.side == "male"
        draw_face(painter, connector.face if connector else "", at, male=male, ink=Ink(line, ground))
        if spot.port in state.loose:
            self._paint_pennant(painter, spot, at)
        if dimmed:
            painter.setOpacity(FADED if state.faded else 1.0)

    def _paint_labels(self, painter: QPainter, detail: float) -> None:
        """Write the names of the ports; from afar only of those sides where all fit in letters that can be read."""
        scale = letters_of("label", LEAST_PX / detail)
        more = 4 if detail < FULL else 30
        labels = [(spot, self.placed.label(spot)) for spot in self.placed.card.spots]
        tight = {spot.side for spot, words in labels if advance("label", words, scale) > spot.room + more}
        usual = painter.opacity()
        for spot, words in labels:
            if scale == 1.0 or spot.side not in tight:
                painter.setOpacity(min(usual, 0.3) if spot.port in self.state.dimmed else usual)
                self._paint_label(painter, spot, words, scale)
        painter.setOpacity(usual)

    def _paint_rings(self, painter: QPainter, spot: Spot, at: QPointF) -> None:
        theme, state = self._theme, self.state
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if spot.port in state.takers:
            glow = QColor(theme.taker)
            glow.setAlpha(60)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(glow)
            painter.drawEllipse(at, RADIUS + 6, RADIUS + 6)
            painter.setBrush(Qt.BrushStyle.NoBrush)
        if spot.port == state.hovered_port:
            painter.setPen(QPen(QColor(theme.focus), 1.6))
            painter.drawEllipse(at, RADIUS + 3.5, RADIUS + 3.5)
        if spot.port == state.focused_port:
            painter.setPen(QPen(QColor(theme.focus), 2.4))
            painter.drawEllipse(at, RADIUS + 4.5, RADIUS + 4.5)

    def _paint_pennant(self, painter: QPainter, spot: Spot, at: QPointF) -> None:
        """Mark a hand-off that lands nowhere yet: a small flag beside its face."""
        foot = at + QPointF(RADIUS * 0.72, -RADIUS * 0.72)
        flag = QPolygonF([foot, foot + QPointF(0, -9), foot + QPointF(8, -6.4), foot + QPointF(0, -3.8)])
        painter.setPen(QPen(QColor(self._theme.risk), 1.3))
        painter.setBrush(QColor(self._theme.risk))
        painter.drawPolygon(flag)

    def _paint_label(self, painter: QPainter, spot: Spot, words: str, scale: float) -> None:
        box = rect_of(label_box(self.placed.card, spot, words))
        room, across = spot.room + 4, Qt.AlignmentFlag.AlignHCenter
        if spot.side == "left":
            box.setWidth(room)
            across = Qt.AlignmentFlag.AlignLeft
        elif spot.side == "right":
            box.setLeft(box.right() - room)
            across = Qt.AlignmentFlag.AlignRight
        else:
            box = QRectF(spot.at.x - room / 2, box.top(), room, box.height())
        painter.setPen(QColor(self._theme.text_soft))
        painter.setFont(font("label", scale))
        painter.drawText(box, across | Qt.AlignmentFlag.AlignVCenter, elided("label", words, room, scale))

    def _paint_dots(self, painter: QPainter, *, lit: bool) -> None:
        """Stand in for the faces where they would be too small to tell apart; those lit lie on the tape."""
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self._theme.taker if lit else self._theme.text_soft))
        size = 9.0 if lit else 5.0
        for spot in self.placed.card.spots:
            if lit == (spot.port in self.state.takers):
                painter.drawEllipse(QPointF(*spot.at), size, size)


def _write(painter: QPainter, room: QRectF, made: Written) -> None:
    """Write words about the middle of a room."""
    painter.setFont(font(made.kind, made.scale))
    for n, line in enumerate(made.lines):
        top = room.center().y() + (n - len(made.lines) / 2) * made.line
        flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextDontClip
        painter.drawText(QRectF(room.left(), top, room.width(), made.line), flags, line)
