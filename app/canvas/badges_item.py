"""The badges of a sheet, painted over everything else so that none is hidden."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence

from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.badge_places import BadgePlace
from app.canvas.badges import SIZE, Badge, badge_size, draw_badge, draw_counted, mark_side
from app.canvas.drawn_item import DrawnItem
from app.canvas.ground import Ground, around
from app.canvas.layout import Box, Point
from app.canvas.painting import steady
from app.canvas.unit_item import FADED, rect_of
from app.theme import Theme
from rigcore.rules.rule import SEVERITIES

SCALE = 0.8
"""Size of a badge on the sheets: with it none is larger than a port."""

LEAST_PX = 6.3
"""Least radius of a badge on the screen: its letter and its count can still be read."""

COUNTED = 1.3
"""Largest scale at which a badge is drawn with its count: drawn larger yet, there is no room for it."""

_SPARE = 400.0

Afar = Callable[[float], "Sequence[PlacedBadge]"]


class PlacedBadge(Struct, frozen=True):
    """A badge with its place, what it is about, and how large it is drawn there."""

    about: Hashable
    badge: Badge
    place: BadgePlace
    scale: float = SCALE

    def shifted(self, by: tuple[float, float]) -> PlacedBadge:
        """Return the badge moved along with what it is about."""
        at = self.place.at
        return replace(self, place=BadgePlace(Point(at.x + by[0], at.y + by[1]), grows=self.place.grows))

    @property
    def box(self) -> Box:
        """The room it takes on the sheet."""
        side = mark_side(self.badge, self.scale)
        return around(self.place.at, *((side, side) if self.scale > COUNTED else badge_size(self.badge, self.scale)))


class BadgesItem(DrawnItem):
    """Paints all badges of a sheet.

    ``afar`` finds them other places, by the scale of the sheet, where they are drawn larger than usual.
    """

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, 30)
        self.badges: tuple[PlacedBadge, ...] = ()
        self._afar: Afar | None = None
        self._faded: Callable[[Hashable], bool] | None = None
        self.shown: Sequence[PlacedBadge] = ()

    def show_badges(self, badges: Sequence[PlacedBadge], afar: Afar | None = None) -> None:
        """Show badges at their places; only those that differ are painted again."""
        changed = set(badges) ^ set(self.badges)
        if not changed and afar is None and self._afar is None:
            return
        self.badges = self.shown = tuple(badges)
        if afar is not None or self._afar is not None:
            self._afar = afar
            self.update()
        rooms = [room_of(one) for one in changed]
        whole = self._bounds
        for room in rooms:
            whole = whole.united(room)
        if whole != self._bounds:
            # Grown in large steps: the toolkit paints everything again when bounds change.
            self.prepareGeometryChange()
            self._bounds = whole.adjusted(-_SPARE, -_SPARE, _SPARE, _SPARE)
        for room in rooms:
            self.update(room)

    def let_fade(self, faded: Callable[[Hashable], bool] | None) -> None:
        """Let the badges of some things fade with them; None shows all alike."""
        if faded is not self._faded:
            self._faded = faded
            self.update()

    def words_at(self, at: QPointF) -> tuple[str, ...]:
        """Return the findings told by the badge at a place, as the sheet was last seen."""
        return next((one.badge.sentences for one in self.shown if one.box.holds((at.x(), at.y()))), ())

    @steady
    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        detail = option.levelOfDetailFromTransform(painter.worldTransform())
        shown = painter.clipBoundingRect() if painter.hasClipping() else self._bounds
        placed = self._afar is not None and scale_at(detail) > SCALE
        self.shown = self._afar(detail) if placed and self._afar is not None else self.badges
        here = [one for one in self.shown if room_of(one).intersects(shown)]
        behind = [one for one in here if self._faded is not None and self._faded(one.about)]
        if behind:
            painter.setOpacity(FADED)
            paint_badges(painter, behind, self._theme, detail, placed=placed)
            painter.setOpacity(1.0)
        paint_badges(painter, [one for one in here if one not in behind], self._theme, detail, placed=placed)


def room_of(one: PlacedBadge) -> QRectF:
    """Return all that a badge covers, its line included."""
    room = rect_of(one.box.grown(40))
    if one.place.leader is not None:
        home = one.place.leader[0]
        room = room.united(QRectF(home.x - 2, home.y - 2, 4, 4))
    return room


def paint_badges(
    painter: QPainter, badges: Sequence[PlacedBadge], theme: Theme, detail: float, *, placed: bool = False
) -> None:
    """Paint badges, the lines that lead to them first.

    From afar they are drawn large enough to keep their letters, from further without their counts. Unless they are
    placed for that, of those that would then lie on each other only the gravest is shown.
    """
    badges, scale = (badges, scale_at(detail)) if placed else shown_from(badges, detail)
    for one in badges:
        if one.place.leader is not None:
            start, end = (QPointF(*point) for point in one.place.leader)
            painter.setPen(QPen(QColor(getattr(theme, one.badge.severity)), 1.0, Qt.PenStyle.DotLine))
            painter.drawLine(start, end)
    for one in badges:
        at = QPointF(*one.place.at)
        if scale > COUNTED:
            draw_badge(painter, at, one.badge.severity, theme, scale=scale)
        else:
            draw_counted(painter, at, one.badge, theme, scale=scale)


def scale_at(detail: float) -> float:
    """Return how large badges are drawn at a scale of the sheet."""
    return max(SCALE, LEAST_PX / SIZE / max(detail, 0.05))


def shown_from(badges: Sequence[PlacedBadge], detail: float) -> tuple[Sequence[PlacedBadge], float]:
    """Return the badges shown at a scale of the sheet where they then lie, and how large they are drawn."""
    scale = scale_at(detail)
    return (_apart([_grown(one, scale) for one in badges], scale), scale) if scale > SCALE else (badges, scale)


def _grown(one: PlacedBadge, scale: float) -> PlacedBadge:
    """Return a badge moved off what it is about by as much as it grows."""
    by = one.place.grows * (mark_side(one.badge, scale) - mark_side(one.badge, SCALE)) / 2
    return one.shifted((0.0, by)) if by else one


def _apart(badges: Sequence[PlacedBadge], scale: float) -> list[PlacedBadge]:
    """Return the badges that do not lie on a graver one when drawn at a scale."""
    taken, kept = Ground(), []
    for one in sorted(badges, key=lambda one: (SEVERITIES.index(one.badge.severity), -one.badge.count)):
        side = mark_side(one.badge, scale)
        box = around(one.place.at, *((side, side) if scale > COUNTED else badge_size(one.badge, scale)))
        if not taken.is_taken(box):
            taken.take(box)
            kept.append(one)
    return kept
