"""The marks of findings: shape and letter first, colour second.

A fault is a diamond with an f, a risk a square with an r, a note a disc with an n.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from app.canvas.fonts import advance, font
from app.canvas.painting import kept
from app.theme import Theme
from rigcore.rules.rule import SEVERITIES, Finding, Severity, Thing

SIZE = 9.0
_REACH = {"fault": 1.2, "risk": 0.9, "note": 1.0}


class Badge(Struct, frozen=True):
    """The worst severity at a thing, every sentence about it, and those of the worst severity."""

    severity: Severity
    sentences: tuple[str, ...]
    grave: tuple[str, ...] = ()

    @property
    def count(self) -> int:
        """How many of the sentences are of the worst severity."""
        return max(1, len(self.grave))


def badges_of(findings: Iterable[Finding]) -> dict[Thing, Badge]:
    """Return one badge for each thing some finding is about."""
    found: dict[Thing, list[Finding]] = {}
    for finding in findings:
        for thing in dict.fromkeys(finding.things):
            found.setdefault(thing, []).append(finding)
    return {thing: _badge([(one.severity, one.sentence) for one in about]) for thing, about in found.items()}


def _badge(told: Sequence[tuple[Severity, str]]) -> Badge:
    worst = min((severity for severity, _ in told), key=SEVERITIES.index)
    grave = dict.fromkeys(line for severity, line in told if severity == worst)
    return Badge(worst, tuple(dict.fromkeys(line for _, line in told)), tuple(grave))


def joined(badges: Iterable[Badge]) -> Badge | None:
    """Return several badges as one, or None if there are none."""
    badges = tuple(badges)
    if not badges:
        return None
    worst = min((one.severity for one in badges), key=SEVERITIES.index)
    lines = dict.fromkeys(line for one in badges for line in one.sentences)
    grave = dict.fromkeys(line for one in badges if one.severity == worst for line in one.grave)
    return Badge(worst, tuple(lines), tuple(grave))


def badge_size(badge: Badge, scale: float = 1.0) -> tuple[float, float]:
    """Return the room a badge takes, the count beside it included."""
    side, words = mark_side(badge, scale), _count_words(badge.count)
    return side + (advance("number", words, scale) + 2 if words else 0.0), side


def mark_side(badge: Badge, scale: float) -> float:
    """Return the side of the square a badge takes without its count."""
    return 2 * _REACH[badge.severity] * SIZE * scale + 2


def _count_words(count: int) -> str:
    return str(count) if count > 1 else ""


def draw_counted(
    painter: QPainter, centre: QPointF, badge: Badge, theme: Theme, *, scale: float
) -> None:
    """Draw a badge with its count beside it, about the middle of the two."""
    width, height = badge_size(badge, scale)
    mark = centre - QPointF((width - height) / 2, 0)
    words = _count_words(badge.count)
    box = QRectF(mark.x() + height / 2, centre.y() - height / 2, width - height + 1, height)
    if words:
        # On a plate of its own: a cable through it would read as a stroke of the figure.
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.sheet))
        painter.drawRoundedRect(QRectF(mark.x(), centre.y() - 7 * scale, box.right() - mark.x(), 14 * scale), 2, 2)
    draw_badge(painter, mark, badge.severity, theme, scale=scale)
    if words:
        painter.setFont(font("number", scale))
        painter.setPen(QColor(getattr(theme, badge.severity)))
        painter.drawText(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)


def draw_badge(
    painter: QPainter,
    centre: QPointF,
    severity: Severity,
    theme: Theme,
    *,
    scale: float = 1.0,
) -> None:
    """Draw the mark of a severity about a point."""
    size = SIZE * scale
    path = QPainterPath()
    if severity == "fault":
        path.moveTo(0, -size * 1.2)
        for x, y in ((1.2, 0), (0, 1.2), (-1.2, 0)):
            path.lineTo(x * size, y * size)
        path.closeSubpath()
    elif severity == "risk":
        path.addRoundedRect(QRectF(-size * 0.9, -size * 0.9, size * 1.8, size * 1.8), 2.5, 2.5)
    else:
        path.addEllipse(QPointF(0, 0), size, size)
    with kept(painter):
        painter.translate(centre)
        painter.setPen(QPen(QColor(theme.sheet), 2))
        painter.setBrush(QColor(getattr(theme, severity)))
        painter.drawPath(path)
        painter.setPen(QColor(theme.badge_text))
        painter.setFont(font("badge", scale))
        box = QRectF(-size, -size - 1, 2 * size, 2 * size)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, severity[0])
