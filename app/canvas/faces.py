"""The face of each connector, drawn to a common size from one table of outlines and contacts.

Coordinates lie on a disc of radius 1, y downwards. A male face shows its
contacts filled, a female one open. Nothing here knows what travels.
"""

from __future__ import annotations

import math

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from app.canvas.painting import kept

RADIUS = 9.0
"""Radius of a face on the sheet, in sheet units."""

Dot = tuple[float, float, float]
Slot = tuple[float, float, float, float, float]


class Face(Struct, frozen=True):
    """Outline, dots (x, y, radius), slots (x, y, width, height, degrees) and inner rings (radius)."""

    outline: str = "round"
    dots: tuple[Dot, ...] = ()
    slots: tuple[Slot, ...] = ()
    rings: tuple[float, ...] = ()
    key: bool = False


class Ink(Struct, frozen=True):
    """The colours a face is drawn in."""

    line: QColor
    ground: QColor
    width: float = 1.5


def _arc(count: int, radius: float, first_deg: float, last_deg: float, *, dot: float = 0.15) -> tuple[Dot, ...]:
    """Return dots spread on an arc; 0 degrees is to the right, 90 downwards."""
    steps = max(count - 1, 1)
    angles = [math.radians(first_deg + (last_deg - first_deg) * n / steps) for n in range(count)]
    return tuple((radius * math.cos(a), radius * math.sin(a), dot) for a in angles)


_TWO_ROWS = tuple(
    (x / 4.4, y, 0.1) for y, xs in ((-0.16, range(-3, 4)), (0.2, (-2.5, -1.5, -0.5, 0.5, 1.5, 2.5))) for x in xs
)
_CROWD = ((0.0, 0.0, 0.11), *_arc(6, 0.34, 0, 300, dot=0.11), *_arc(11, 0.66, 0, 327, dot=0.11))

FACES: dict[str, Face] = {
    "xlr3": Face(dots=_arc(3, 0.46, 210, 450, dot=0.17)),
    "xlr4": Face(dots=_arc(4, 0.48, 45, 315, dot=0.16)),
    "xlr5": Face(dots=_arc(5, 0.5, 150, 390, dot=0.15)),
    "jack": Face(dots=((0.0, 0.0, 0.2),), rings=(0.48,)),
    "jack3": Face(dots=((0.0, 0.0, 0.14),), rings=(0.34, 0.6)),
    "combo": Face(dots=_arc(3, 0.64, 210, 450, dot=0.13), rings=(0.3,)),
    "rca": Face(dots=((0.0, 0.0, 0.2),), rings=(0.66,)),
    "din5": Face(dots=_arc(5, 0.55, 0, 180, dot=0.14), key=True),
    "dsub25": Face(outline="dee", dots=_TWO_ROWS),
    "speaker": Face(
        slots=(
            (0.0, -0.56, 0.5, 0.16, 0),
            (0.0, 0.56, 0.5, 0.16, 0),
            (-0.56, 0.0, 0.16, 0.5, 0),
            (0.56, 0.0, 0.16, 0.5, 0),
        ),
        rings=(0.26,),
    ),
    "binding": Face(outline="wide", dots=((-0.42, 0.0, 0.24), (0.42, 0.0, 0.24))),
    "screw": Face(
        outline="wide",
        slots=((-0.52, 0.0, 0.26, 0.4, 0), (0.0, 0.0, 0.26, 0.4, 0), (0.52, 0.0, 0.26, 0.4, 0)),
    ),
    "usb-a": Face(outline="wide", slots=((0.0, -0.14, 1.2, 0.26, 0),)),
    "usb-b": Face(outline="house", slots=((0.0, 0.16, 0.62, 0.46, 0),)),
    "usb-c": Face(outline="pill", slots=((0.0, 0.0, 0.9, 0.16, 0),)),
    "8p8c": Face(
        outline="square",
        slots=(*((x / 5.5, -0.34, 0.08, 0.42, 0.0) for x in range(-3, 4)), (0.0, 0.46, 0.5, 0.24, 0)),
    ),
    "bnc": Face(outline="lugs", dots=((0.0, 0.0, 0.16),), rings=(0.5,)),
    "f05": Face(outline="house", dots=((0.0, 0.14, 0.22),)),
    "multipin": Face(dots=_CROWD),
    "iec-c6": Face(outline="square", dots=((-0.36, 0.26, 0.18), (0.36, 0.26, 0.18), (0.0, -0.34, 0.18))),
    "iec-c8": Face(outline="pill", dots=((-0.42, 0.0, 0.19), (0.42, 0.0, 0.19))),
    "iec-c14": Face(
        outline="hex",
        slots=((-0.42, 0.2, 0.16, 0.46, 0), (0.42, 0.2, 0.16, 0.46, 0), (0.0, -0.26, 0.16, 0.46, 0)),
    ),
    "iec-c20": Face(
        outline="square",
        slots=((-0.4, 0.3, 0.5, 0.18, 0), (0.4, 0.3, 0.5, 0.18, 0), (0.0, -0.34, 0.5, 0.18, 0)),
    ),
    "lock20": Face(
        slots=((-0.5, 0.14, 0.16, 0.6, 14), (0.5, 0.14, 0.16, 0.6, -14), (0.0, -0.52, 0.6, 0.16, 0)), key=True
    ),
    "nema5": Face(dots=((0.0, 0.44, 0.18),), slots=((-0.36, -0.18, 0.15, 0.54, 0), (0.36, -0.18, 0.15, 0.54, 0))),
    "bs1363": Face(
        outline="square",
        slots=((0.0, -0.4, 0.2, 0.5, 0), (-0.44, 0.32, 0.46, 0.2, 0), (0.44, 0.32, 0.46, 0.2, 0)),
    ),
    "cee7": Face(
        dots=((-0.42, 0.0, 0.17), (0.42, 0.0, 0.17)),
        slots=((0.0, -0.8, 0.34, 0.14, 0), (0.0, 0.8, 0.34, 0.14, 0)),
    ),
    "as3112": Face(slots=((-0.4, -0.16, 0.16, 0.56, 32), (0.4, -0.16, 0.16, 0.56, -32), (0.0, 0.46, 0.16, 0.5, 0))),
    "iec60309": Face(dots=_arc(3, 0.5, 210, 450, dot=0.19), key=True),
    "dc": Face(dots=((0.0, 0.0, 0.15),), rings=(0.55,)),
}

PLAIN = Face(rings=(0.4,))


def outline_path(name: str, radius: float) -> QPainterPath:
    """Return the outline of a face about the origin."""
    path = QPainterPath()
    r = radius
    if name == "square":
        path.addRoundedRect(QRectF(-0.88 * r, -0.88 * r, 1.76 * r, 1.76 * r), 0.24 * r, 0.24 * r)
    elif name == "wide":
        path.addRoundedRect(QRectF(-r, -0.66 * r, 2 * r, 1.32 * r), 0.2 * r, 0.2 * r)
    elif name == "pill":
        path.addRoundedRect(QRectF(-r, -0.55 * r, 2 * r, 1.1 * r), 0.55 * r, 0.55 * r)
    elif name in _CORNERS:
        path.addPolygon(QPolygonF([QPointF(x * r, y * r) for x, y in _CORNERS[name]]))
        path.closeSubpath()
    else:
        path.addEllipse(QPointF(0, 0), r, r)
    return path


_CORNERS = {
    "dee": ((-1.0, -0.58), (1.0, -0.58), (0.82, 0.6), (-0.82, 0.6)),
    "hex": ((-0.9, 0.8), (-0.9, -0.3), (-0.44, -0.8), (0.44, -0.8), (0.9, -0.3), (0.9, 0.8)),
    "house": ((-0.86, 0.86), (-0.86, -0.4), (-0.4, -0.86), (0.4, -0.86), (0.86, -0.4), (0.86, 0.86)),
}


def draw_face(
    painter: QPainter, face_id: str, centre: QPointF, *, male: bool, ink: Ink, radius: float = RADIUS
) -> None:
    """Draw a connector's face; an unknown one is a plain ring."""
    face = FACES.get(face_id, PLAIN)
    with kept(painter):
        painter.translate(centre)
        painter.setPen(QPen(ink.line, ink.width))
        painter.setBrush(ink.ground)
        if face.outline == "lugs":
            for side in (-1, 1):
                painter.drawRect(QRectF(side * radius * 0.92 - 1.2, -1.6, 2.4, 3.2))
        painter.drawPath(outline_path(face.outline, radius * (0.8 if face.outline == "lugs" else 1.0)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        fine = QPen(ink.line, ink.width * 0.75)
        painter.setPen(fine)
        for ring in face.rings:
            painter.drawEllipse(QPointF(0, 0), ring * radius, ring * radius)
        if face.key:
            painter.fillRect(QRectF(-0.18 * radius, -radius, 0.36 * radius, 0.3 * radius), ink.line)
        _draw_contacts(painter, face, radius, male=male, ink=ink)


def _draw_contacts(painter: QPainter, face: Face, radius: float, *, male: bool, ink: Ink) -> None:
    crowded = len(face.dots) > 9
    if male or crowded:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ink.line)
    else:
        painter.setPen(QPen(ink.line, max(0.8, ink.width * 0.62)))
        painter.setBrush(ink.ground)
    for x, y, size in face.dots:
        painter.drawEllipse(QPointF(x * radius, y * radius), size * radius, size * radius)
    for x, y, width, height, turn in face.slots:
        with kept(painter):
            painter.translate(x * radius, y * radius)
            painter.rotate(turn)
            painter.drawRect(QRectF(-width / 2 * radius, -height / 2 * radius, width * radius, height * radius))
