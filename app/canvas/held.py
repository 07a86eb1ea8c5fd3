"""Cards in the hand, with the cables and badges that go along: painted over the sheet, which stays as it is.

What moves as one, the cards and the cables between them, is painted once and carried
as a picture; only cables that lead away from them are laid and painted at every step.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from msgspec.structs import replace
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem

from app.canvas.badge_places import BadgePlace
from app.canvas.badges_item import PlacedBadge, paint_badges
from app.canvas.cable_item import CableItem, longest_middle
from app.canvas.painting import kept
from app.canvas.unit_item import UnitItem
from app.theme import Theme
from rigcore.rules.rule import Thing

_ROOM = 300.0
"""How much further than the window the carried picture reaches, in dots."""


class Held:
    """What some cards take with them when they are moved."""

    def __init__(
        self, cards: Sequence[UnitItem], inner: Sequence[CableItem], leading: Sequence[CableItem], theme: Theme
    ) -> None:
        self._cards = tuple(cards)
        self._inner = tuple(inner)
        self.leading = tuple(leading)
        self._theme = theme
        self._start = cards[0].pos()
        self._first = {item.placed.name: item.pos() for item in cards}
        self._badges: tuple[PlacedBadge, ...] = ()
        self._picture: tuple[QPixmap, QRectF, float] | None = None
        # Off the scene, not hidden: the toolkit has the sheet painted again wherever a hidden item moves.
        self._scene = cards[0].scene()
        for item in self._items():
            self._scene.removeItem(item)

    def _items(self) -> Iterable[QGraphicsItem]:
        yield from self._inner
        yield from self.leading
        yield from self._cards

    @property
    def names(self) -> frozenset[str]:
        """The units in the hand."""
        return frozenset(self._first)

    @property
    def by(self) -> QPointF:
        """How far they have been moved."""
        return self._cards[0].pos() - self._start

    def take_badges(self, placed: Iterable[PlacedBadge]) -> list[PlacedBadge]:
        """Take the badges that go along; return those that stay."""
        mine = {item.cable.thing for item in (*self._inner, *self.leading)}
        self._badges, stay = (), []
        for one in placed:
            about = one.about
            if isinstance(about, Thing) and (about in mine or (about.kind == "unit" and about.id in self._first)):
                self._badges = (*self._badges, one)
            else:
                stay.append(one)
        return stay

    def shift(self, by: QPointF) -> None:
        """Carry the cards on; the scene lays the cables that lead away."""
        for item in self._cards:
            item.setPos(self._first[item.placed.name] + by)

    def let_go(self) -> None:
        """Give everything back to the sheet."""
        for item in self._items():
            self._scene.addItem(item)

    def badges_now(self) -> list[PlacedBadge]:
        """Return the badges in the hand where they are now."""
        return list(_carried(self._badges, (self.by.x(), self.by.y()), self.leading))

    def paint(self, painter: QPainter, shown: QRectF) -> None:
        """Paint everything in the hand; ``shown`` is what the window shows of the sheet."""
        option = QStyleOptionGraphicsItem()
        for cable in self.leading:
            if cable.boundingRect().intersects(shown):
                cable.paint(painter, option)
        pixels, area = self._carried_picture(painter, shown.translated(-self.by))
        painter.drawPixmap(area.translated(self.by), pixels, QRectF(pixels.rect()))
        detail = option.levelOfDetailFromTransform(painter.worldTransform())
        paint_badges(painter, self.badges_now(), self._theme, detail)

    def _carried_picture(self, painter: QPainter, shown: QRectF) -> tuple[QPixmap, QRectF]:
        """Return the cards and their inner cables as first taken up, and the area they fill."""
        scale = painter.worldTransform().m11()
        needed = shown & self._extent()
        if self._picture is None or self._picture[2] != scale or not self._picture[1].contains(needed):
            room = _ROOM / scale
            area = self._extent() & shown.adjusted(-room, -room, room, room)
            self._picture = (self._draw(area, scale, painter.device().devicePixelRatio()), area, scale)
        return self._picture[0], self._picture[1]

    def _extent(self) -> QRectF:
        extent = QRectF()
        for item in self._cards:
            extent = extent.united(item.boundingRect().translated(self._first[item.placed.name]))
        for cable in self._inner:
            extent = extent.united(cable.boundingRect())
        return extent

    def _draw(self, area: QRectF, scale: float, ratio: float) -> QPixmap:
        size = area.size() * scale * ratio
        pixels = QPixmap(QSize(max(1, round(size.width())), max(1, round(size.height()))))
        pixels.setDevicePixelRatio(ratio)
        pixels.fill(Qt.GlobalColor.transparent)
        brush = QPainter(pixels)
        brush.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
        wide, high = max(area.width(), 1e-6), max(area.height(), 1e-6)
        brush.scale(pixels.width() / ratio / wide, pixels.height() / ratio / high)
        brush.translate(-area.topLeft())
        option = QStyleOptionGraphicsItem()
        for cable in self._inner:
            if cable.boundingRect().intersects(area):
                cable.paint(brush, option)
        for item in self._cards:
            at = self._first[item.placed.name]
            if item.boundingRect().translated(at).intersects(area):
                with kept(brush):
                    brush.translate(at)
                    item.paint(brush, option)
        brush.end()
        return pixels


def _carried(
    placed: Iterable[PlacedBadge], by: tuple[float, float], leading: Collection[CableItem]
) -> Iterable[PlacedBadge]:
    """Yield badges in the hand: those of leading cables stay on the cables, the others go along."""
    ways = {item.cable.thing: item.way for item in leading}
    for one in placed:
        way = ways.get(one.about, ()) if isinstance(one.about, Thing) else ()
        yield replace(one, place=BadgePlace(longest_middle(way)[0])) if len(way) > 1 else one.shifted(by)
