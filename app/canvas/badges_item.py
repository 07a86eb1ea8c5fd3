"""The badges of a sheet, painted over everything else so that none is hidden."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.badge_places import BadgePlace
from app.canvas.badges import Badge, badge_size, draw_counted
from app.canvas.ground import around
from app.canvas.layout import Box, Point
from app.canvas.painting import steady
from app.canvas.unit_item import rect_of
from app.theme import Theme

SCALE = 0.8
"""Size of a badge on the sheets: with it none is larger than a port."""


@dataclass(frozen=True)
class PlacedBadge:
    """A badge with its place, and what it is about."""

    about: Hashable
    badge: Badge
    place: BadgePlace

    def shifted(self, by: tuple[float, float]) -> PlacedBadge:
        """Return the badge moved along with what it is about."""
        at = self.place.at
        return replace(self, place=BadgePlace(Point(at.x + by[0], at.y + by[1])))

    @property
    def box(self) -> Box:
        """The room it takes on the sheet."""
        return around(self.place.at, *badge_size(self.badge, SCALE))


class BadgesItem(QGraphicsItem):
    """Paints all badges of a sheet."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.badges: tuple[PlacedBadge, ...] = ()
        self._theme = theme
        self._bounds = QRectF()
        self.setZValue(30)

    def show_badges(self, badges: Sequence[PlacedBadge]) -> None:
        """Show badges at their places."""
        if tuple(badges) == self.badges:
            return
        self.prepareGeometryChange()
        self.badges = tuple(badges)
        self._bounds = QRectF()
        for one in self.badges:
            self._bounds = self._bounds.united(rect_of(one.box.grown(3)))
            if one.place.leader is not None:
                home = one.place.leader[0]
                self._bounds = self._bounds.united(QRectF(home.x - 2, home.y - 2, 4, 4))
        self.update()

    def set_theme(self, theme: Theme) -> None:
        """Change colours."""
        self._theme = theme
        self.update()

    def words_at(self, at: QPointF) -> tuple[str, ...]:
        """Return the findings told by the badge at a place."""
        return next((one.badge.sentences for one in self.badges if one.box.holds((at.x(), at.y()))), ())

    def boundingRect(self) -> QRectF:
        return self._bounds

    @steady
    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        detail = option.levelOfDetailFromTransform(painter.worldTransform())
        for one in self.badges:
            if one.place.leader is not None:
                start, end = (QPointF(*point) for point in one.place.leader)
                painter.setPen(QPen(QColor(getattr(self._theme, one.badge.severity)), 1.0, Qt.PenStyle.DotLine))
                painter.drawLine(start, end)
        for one in self.badges:
            draw_counted(painter, QPointF(*one.place.at), one.badge, self._theme, scale=SCALE, detail=detail)
