"""What people lift: the usual one-person limit for a case, the guide figures, and lifts by several.

Figures to plan by, not permissions: local rules on manual handling, the stairs and
the people decide. No risk assessment is made here.
"""

from __future__ import annotations

from collections.abc import Sequence

ONE_PERSON_KG = 25.0
"""Usual design limit of a case one person lifts (case makers' guides; ISO 11228-1 reference mass, from memory)."""

GUIDE_KG = (25.0, 16.0)
"""Guide figures close to the body at waist height, men and women (HSE INDG143/L23)."""

CAUTION = (
    "Lift with two or use wheels above the limit; less on stairs, at arm's length or when twisting. "
    "Local rules on manual handling decide."
)


def team_kg(each_kg: Sequence[float]) -> float:
    """Return what people lift together, in kg: two manage 2/3 of the sum of what each could, three 1/2.

    Parameters
    ----------
    each_kg
        What each of one to three people could lift alone, in kg.

    Raises
    ------
    ValueError
        For nobody, or for more than three: more are seldom of use, take wheels.

    Examples
    --------
    >>> round(team_kg([25, 25]), 1), team_kg([25, 25, 25])
    (33.3, 37.5)

    Source
    ------
    Guidance on team handling in the manner of HSE L23.
    """
    shares = {1: 1.0, 2: 2.0 / 3.0, 3: 1.0 / 2.0}
    if len(each_kg) not in shares:
        raise ValueError(f"{len(each_kg)} people: say one, two or three; for more take wheels")
    return sum(each_kg) * shares[len(each_kg)]


def people_for(mass_kg: float, *, limit_kg: float = ONE_PERSON_KG) -> int | None:
    """Return how many people a load takes when each alone could lift the limit; None where it takes wheels.

    Parameters
    ----------
    mass_kg
        The load, in kg.
    limit_kg
        What one person lifts, in kg.

    Examples
    --------
    >>> people_for(25.0), people_for(30.0), people_for(37.0), people_for(60.0)
    (1, 2, 3, None)

    Source
    ------
    As :func:`team_kg`.
    """
    return next((number for number in (1, 2, 3) if mass_kg <= team_kg([limit_kg] * number) + 1e-9), None)
