"""The marks of findings: shape and letter first, colour second.

A fault is a diamond with an f, a risk a square with an r, a note a disc with an n.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from app.canvas.fonts import font
from app.canvas.painting import kept
from app.theme import Theme
from rigcore.rules.rule import SEVERITIES, Finding, Severity, Thing

SIZE = 9.0


@dataclass(frozen=True)
class Badge:
    """The worst severity at a thing and every sentence about it."""

    severity: Severity
    sentences: tuple[str, ...]


def badges_of(findings: Iterable[Finding]) -> dict[Thing, Badge]:
    """Return one badge for each thing some finding is about."""
    found: dict[Thing, list[Finding]] = {}
    for finding in findings:
        for thing in dict.fromkeys(finding.things):
            found.setdefault(thing, []).append(finding)
    return {
        thing: Badge(min((one.severity for one in about), key=SEVERITIES.index), tuple(one.sentence for one in about))
        for thing, about in found.items()
    }


def joined(badges: Iterable[Badge]) -> Badge | None:
    """Return several badges as one, or None if there are none."""
    badges = tuple(badges)
    if not badges:
        return None
    worst = min((one.severity for one in badges), key=SEVERITIES.index)
    return Badge(worst, tuple(dict.fromkeys(line for one in badges for line in one.sentences)))


def draw_badge(painter: QPainter, centre: QPointF, severity: Severity, theme: Theme, *, scale: float = 1.0) -> None:
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
