"""The stage itself on the Stage sheet: floor, grid, directions, risers, power drops, tray, scale bar."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.fonts import elided, font, readable
from app.canvas.footprint_item import draw_tilde
from app.canvas.ground import around
from app.canvas.layout import Box, Point
from app.canvas.painting import kept, steady
from app.canvas.stage_layout import (
    AROUND,
    FEET_IN_GRID,
    SCALE,
    TRAY_HEAD,
    grid_lines,
    on_sheet,
    stage_box,
    tray_box,
)
from app.canvas.stage_names import Named, Surroundings
from app.canvas.unit_item import rect_of
from app.theme import Theme
from rigcore.book.house import PowerDrop, Riser, Stage
from rigcore.quantities.geometry import METRES_PER_FOOT, length_words

_MARK = 15.0
"""Half the size of the mark of a power drop."""


class StageFloor(QGraphicsItem):
    """Paints everything of the house that does not move."""

    def __init__(self, stage: Stage, theme: Theme) -> None:
        super().__init__()
        self.stage = stage
        self.feet = False
        self.waiting = 0
        self._theme = theme
        self._letters = 1.0
        self.setZValue(0)

    def show_stage(self, stage: Stage, waiting: int) -> None:
        """Show another stage, or another number of units waiting in the tray."""
        if stage is not self.stage or waiting != self.waiting:
            self.prepareGeometryChange()
            self.stage, self.waiting = stage, waiting
            self.update()

    def set_feet(self, feet: bool) -> None:
        """Rule the floor in feet instead of metres."""
        self.feet = feet
        self.update()

    def set_theme(self, theme: Theme) -> None:
        """Change colours."""
        self._theme = theme
        self.update()

    @property
    def tray(self) -> Box:
        """The tray's rectangle on the sheet."""
        return tray_box(self.stage, self.waiting)

    def named(self) -> list[Named]:
        """Return the risers and power drops with their names."""
        translate = QCoreApplication.translate
        found = []
        for n, riser in enumerate(self.stage.risers):
            high = length_words(riser.height_m, feet=self.feet)
            words = translate("StageSheet", "{name}, {high} high").format(name=riser.name, high=high)
            found.append(Named(words, _riser_box(riser), soft=True, id=f"riser {n}", kind="area", face="label"))
        for n, drop in enumerate(self.stage.power):
            x, y = on_sheet(drop.x_m, drop.y_m)
            words = translate("StageSheet", "{name} × {count}").format(name=drop.name, count=drop.outlets)
            box = Box(x - _MARK, y - _MARK, x + _MARK, y + _MARK * 0.7)
            found.append(Named(words, box, soft=True, id=f"power {n}", face="label"))
        return found

    def surroundings(self, letters: float) -> Surroundings:
        """Return what names keep clear of: the stage's edge, the words around it, the tray; and its centre line."""
        floor, tray = stage_box(self.stage), self.tray
        edges = (
            Box(floor.left - 2, floor.top - 2, floor.right + 2, floor.top + 2),
            Box(floor.left - 2, floor.bottom - 3, floor.right + 2, floor.bottom + 5),
            Box(floor.left - 2, floor.top, floor.left + 2, floor.bottom),
            Box(floor.right - 2, floor.top, floor.right + 2, floor.bottom),
        )
        sheet = self.extent()
        words = (*self.edge_words(letters), *((tray,) if self.waiting else ()))
        return Surroundings(
            blocked=(*edges, *words),
            words=words,
            lines=((Point(0.0, floor.top), Point(0.0, floor.bottom)),),
            sheet=Box(sheet.left(), sheet.top(), sheet.right(), sheet.bottom()),
        )

    def edge_words(self, letters: float) -> tuple[Box, ...]:
        """Return about the room of what is written around the stage."""
        floor = stage_box(self.stage)
        x, y = (floor.left + floor.right) / 2, (floor.top + floor.bottom) / 2
        return (
            around((x, floor.top - 26), 80 * letters, 18 * letters),
            around((x, floor.bottom + 26), 80 * letters, 18 * letters),
            around((floor.left - 22, y), 18 * letters, 100 * letters),
            around((floor.right + 22, y), 18 * letters, 100 * letters),
            Box(floor.left, floor.bottom + 40, floor.right, floor.bottom + 68),
        )

    def extent(self) -> QRectF:
        """Return all there is to see of the house."""
        floor = rect_of(stage_box(self.stage)).adjusted(-AROUND, -AROUND * 0.7, AROUND, AROUND * 1.2)
        return floor.united(rect_of(self.tray).adjusted(0, 0, 20, 10)) if self.waiting else floor

    def boundingRect(self) -> QRectF:
        return self.extent().united(rect_of(self.tray)).adjusted(-20, -20, 20, 40)

    @steady
    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        theme = self._theme
        self._letters = readable(option.levelOfDetailFromTransform(painter.worldTransform()))
        floor = rect_of(stage_box(self.stage))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.card_edge))
        painter.drawRect(floor.translated(0, 3))
        painter.setBrush(QColor(theme.floor))
        painter.drawRect(floor)
        self._paint_grid(painter, floor)
        for riser in self.stage.risers:
            self._paint_riser(painter, riser)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(theme.text), 1.6))
        painter.drawRect(floor)
        painter.setPen(QPen(QColor(theme.text), 4))
        painter.drawLine(floor.bottomLeft(), floor.bottomRight())
        for drop in self.stage.power:
            self._paint_power(painter, drop)
        self._paint_directions(painter, floor)
        self._paint_scale_bar(painter, floor)
        if self.waiting:
            self._paint_tray(painter)

    def _paint_grid(self, painter: QPainter, floor: QRectF) -> None:
        xs, ys = grid_lines(self.stage, feet=self.feet)
        painter.setPen(QPen(QColor(self._theme.grid), 1))
        for x in xs:
            painter.drawLine(QPointF(x, floor.top()), QPointF(x, floor.bottom()))
        for y in ys:
            painter.drawLine(QPointF(floor.left(), y), QPointF(floor.right(), y))
        painter.setPen(QPen(QColor(self._theme.house_edge), 1.2, Qt.PenStyle.DashDotLine))
        painter.drawLine(QPointF(0, floor.top() - 12), QPointF(0, floor.bottom() + 12))

    def _paint_riser(self, painter: QPainter, riser: Riser) -> None:
        ground = QColor(self._theme.grid)
        ground.setAlpha(110)
        painter.setBrush(ground)
        painter.setPen(QPen(QColor(self._theme.text_soft), 1.4, Qt.PenStyle.DashLine))
        painter.drawRect(rect_of(_riser_box(riser)))

    def _paint_power(self, painter: QPainter, drop: PowerDrop) -> None:
        at = QPointF(*on_sheet(drop.x_m, drop.y_m))
        painter.setPen(QPen(QColor(self._theme.mains), 1.5))
        painter.setBrush(QColor(self._theme.card))
        painter.drawPolygon(QPolygonF([at + QPointF(0, -15), at + QPointF(15, 10), at + QPointF(-15, 10)]))
        draw_tilde(painter, at + QPointF(0, 3), 5.5)

    def _paint_directions(self, painter: QPainter, floor: QRectF) -> None:
        translate = QCoreApplication.translate
        painter.setPen(QColor(self._theme.text_soft))
        painter.setFont(font("edge", self._letters))
        centre = Qt.AlignmentFlag.AlignCenter
        painter.drawText(
            QRectF(floor.left(), floor.top() - 46, floor.width(), 40), centre, translate("StageSheet", "UPSTAGE")
        )
        below = QRectF(floor.left(), floor.bottom() + 6, floor.width(), 40)
        painter.drawText(below, centre, translate("StageSheet", "AUDIENCE"))
        for x, turn, words in (
            (floor.left() - 22, -90, translate("StageSheet", "STAGE RIGHT")),
            (floor.right() + 22, 90, translate("StageSheet", "STAGE LEFT")),
        ):
            with kept(painter):
                painter.translate(x, floor.center().y())
                painter.rotate(turn)
                painter.drawText(QRectF(-160, -20, 320, 40), centre, words)

    def _paint_scale_bar(self, painter: QPainter, floor: QRectF) -> None:
        step = FEET_IN_GRID * METRES_PER_FOOT if self.feet else 1.0
        count = 2 if self.stage.width_m >= 3 else 1
        left, y = floor.left(), floor.bottom() + 52
        painter.setPen(QPen(QColor(self._theme.text), 1.2))
        for n in range(count):
            painter.setBrush(QColor(self._theme.text if n % 2 == 0 else self._theme.card))
            painter.drawRect(QRectF(left + n * step * SCALE, y, step * SCALE, 5))
        painter.setPen(QColor(self._theme.text_soft))
        painter.setFont(font("label", self._letters))
        size = " × ".join(length_words(one, feet=self.feet) for one in (self.stage.width_m, self.stage.depth_m))
        bar = length_words(count * step, feet=self.feet)
        painter.drawText(QPointF(left + count * step * SCALE + 8, y + 7), bar)
        words = QCoreApplication.translate("StageSheet", "Stage {}").format(size)
        box = QRectF(floor.left(), y - 17, floor.width(), 40)
        painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, words)

    def _paint_tray(self, painter: QPainter) -> None:
        tray = rect_of(self.tray)
        painter.setPen(QPen(QColor(self._theme.house_edge), 1))
        painter.setBrush(QColor(self._theme.house_line))
        painter.drawRoundedRect(tray, 6, 6)
        painter.setPen(QColor(self._theme.text_soft))
        painter.setFont(font("edge", self._letters))
        head = QRectF(tray.left() + 10, tray.top() + 1, tray.width() - 20, TRAY_HEAD)
        words = QCoreApplication.translate("StageSheet", "NOT ON STAGE YET")
        room = elided("edge", words, head.width(), self._letters)
        painter.drawText(head, Qt.AlignmentFlag.AlignVCenter, room)


def _riser_box(riser: Riser) -> Box:
    return around(on_sheet(riser.x_m, riser.y_m), riser.width_m * SCALE, riser.depth_m * SCALE)
