"""The ties of the looms, painted over the cables and under the cards, each with its loom's name."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.badge_places import Wanted, spread
from app.canvas.drawn_item import DrawnItem
from app.canvas.far_names import LEAST_PX
from app.canvas.fonts import advance, font
from app.canvas.ground import Ground, around, middle
from app.canvas.layout import Box
from app.canvas.looms import Tie, stretches_of, words_spots
from app.canvas.painting import steady
from app.canvas.routes import Way
from app.canvas.unit_item import rect_of
from app.theme import Theme

_WORDS_HIGH = 15.0
_NEAR = 60.0


class NamedTie(Struct, frozen=True):
    """A tie with the words beside it and their room; no room where there is none to be had."""

    tie: Tie
    words: str
    room: Box | None


def write_beside(ties: Sequence[tuple[Tie, str]], taken: Ground, ways: Iterable[Way]) -> list[NamedTie]:
    """Return ties with a place for their words that covers nothing, or without words."""
    ways, found = tuple(ways), []
    for tie, words in ties:
        near = tie.box.grown(2 * _NEAR)
        for stretch in (box for way in ways for box in stretches_of(way) if box.meets(near)):
            taken.take(Box(*(max(a, b) for a, b in zip(stretch[:2], near[:2], strict=True)),
                           *(min(a, b) for a, b in zip(stretch[2:], near[2:], strict=True))))  # fmt: skip
        width = advance("label", words) + 4
        wanted = Wanted((width, _WORDS_HIGH), words_spots(tie, width), middle(tie.box))
        at = spread([wanted], taken)[0].at
        is_near = abs(at.x - middle(tie.box).x) < width / 2 + _NEAR and abs(at.y - middle(tie.box).y) < _NEAR
        found.append(NamedTie(tie, words, around(at, width, _WORDS_HIGH) if is_near else None))
    return found


class LoomsItem(DrawnItem):
    """Paints all ties of a sheet."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme, 7)
        self.ties: tuple[NamedTie, ...] = ()

    def show_ties(self, ties: Sequence[NamedTie]) -> None:
        """Show ties at their places."""
        if tuple(ties) == self.ties:
            return
        self.prepareGeometryChange()
        self.ties = tuple(ties)
        self._bounds = QRectF()
        for one in self.ties:
            self._bounds = self._bounds.united(rect_of(one.tie.box))
            if one.room is not None:
                self._bounds = self._bounds.united(rect_of(one.room))
        self.update()

    @steady
    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        letters = font("label")
        written = letters.pixelSize() * option.levelOfDetailFromTransform(painter.worldTransform()) >= LEAST_PX
        painter.setFont(letters)
        for one in self.ties:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(self._theme.loom))
            painter.drawRoundedRect(rect_of(one.tie.box), 3.5, 3.5)
            if written and one.room is not None:
                painter.setPen(QColor(self._theme.text_soft))
                painter.drawText(rect_of(one.room), Qt.AlignmentFlag.AlignCenter, one.words)
