"""Metres and feet, paper points, and footprints turned on the stage plan.

The stage's axes: x runs from the centre line towards stage left, y from the
downstage edge towards upstage, both in metres. Seen from above with the
audience at the bottom of the sheet, stage left is on the right.
"""

from __future__ import annotations

import math

METRES_PER_FOOT = 0.3048
POINTS_PER_METRE = 72.0 / 0.0254


def feet_from_metres(length_m: float) -> float:
    """Return a length in feet (international foot, 0.3048 m exactly).

    >>> round(feet_from_metres(3.048), 6)
    10.0
    """
    return length_m / METRES_PER_FOOT


def metres_from_feet(length_ft: float) -> float:
    """Return a length in metres.

    Parameters
    ----------
    length_ft
        Length in feet.

    Examples
    --------
    >>> round(metres_from_feet(10.0), 6)
    3.048

    Source
    ------
    International foot, 0.3048 m exactly.
    """
    return length_ft * METRES_PER_FOOT


def length_words(length_m: float, *, feet: bool = False) -> str:
    """Return a length with its unit, as printed.

    >>> length_words(4.5), length_words(3.048, feet=True)
    ('4.5 m', '10 ft')
    """
    if feet:
        return f"{feet_from_metres(length_m):.1f}".rstrip("0").rstrip(".") + " ft"
    return f"{length_m:.2f}".rstrip("0").rstrip(".") + " m"


def corners(
    centre: tuple[float, float], size: tuple[float, float], rotation_deg: float
) -> tuple[tuple[float, float], ...]:
    """Return the four corners, in metres, of a rectangle turned about its centre.

    Parameters
    ----------
    centre
        x and y in m.
    size
        Width (along x before turning) and depth (along y) in m.
    rotation_deg
        Clockwise as seen from above; 0 faces the audience.

    >>> corners((0, 0), (2, 1), 90)[0]
    (-0.5, 1.0)
    """
    angle = math.radians(-rotation_deg)
    cos, sin = math.cos(angle), math.sin(angle)
    half_w, half_d = size[0] / 2, size[1] / 2
    turned = []
    for dx, dy in ((-half_w, -half_d), (half_w, -half_d), (half_w, half_d), (-half_w, half_d)):
        x = centre[0] + dx * cos - dy * sin
        y = centre[1] + dx * sin + dy * cos
        turned.append((round(x, 9), round(y, 9)))
    return tuple(turned)
