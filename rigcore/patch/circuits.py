"""The circuits of a house as far as it has told: breaker, protective device, sharers, sound limiter.

Outlets are not circuits: drops whose circuit goes by one name hang on one breaker.
What the house said in free words is read for ratings; a typed field always wins.
What loads a circuit is not here (see ``power``).
"""

from __future__ import annotations

import re
from typing import Literal

from msgspec import Struct

from rigcore.book.assumptions import fact_value
from rigcore.book.house import FactKey, House, PowerDrop
from rigcore.catalogue.regions import Region, region_of
from rigcore.patch.build import Patch
from rigcore.patch.once import once_a_patch
from rigcore.quantities.leakage import GFCI_MUST_TRIP_MA, GFCI_NO_TRIP_MA, rcd_may_trip_from_ma, rcd_standing_limit_ma

STAGE = "stage"
"""The place of a house without power drops."""

_AMPERES = re.compile(r"(\d+(?:\.\d+)?)\s*A\b")
_MILLIAMPERES = re.compile(r"(\d+(?:\.\d+)?)\s*mA\b")
_SHARED = re.compile(r"(?<!not )\bshared\b(?:\s+with\s+([^;.]+))?", re.IGNORECASE)
_NO = re.compile(r"^\s*(no|none|not|-|–|$)", re.IGNORECASE)


class Device(Struct, frozen=True):
    """What cuts a circuit at a leakage: a residual-current device (``rated_ma``) or a class A GFCI."""

    kind: Literal["rcd", "gfci"]
    rated_ma: float

    @property
    def stands_ma(self) -> float:
        """Leakage in mA that may stand behind it: 30 % of a residual-current device, under 4 mA at a GFCI."""
        return GFCI_NO_TRIP_MA if self.kind == "gfci" else rcd_standing_limit_ma(self.rated_ma)

    @property
    def trips_from_ma(self) -> float:
        """Leakage in mA from which it may trip."""
        return GFCI_NO_TRIP_MA if self.kind == "gfci" else rcd_may_trip_from_ma(self.rated_ma)

    def bears(self, leakage_ma: float) -> bool:
        """Return whether so many mA may stand."""
        if self.kind == "gfci":
            return leakage_ma < self.stands_ma
        return leakage_ma <= self.stands_ma + 1e-9

    @property
    def words(self) -> str:
        """The device as spoken."""
        return "class A GFCI" if self.kind == "gfci" else f"{self.rated_ma:g} mA residual-current device"


class Circuit(Struct, frozen=True):
    """One circuit: its drops, and what the house has said of it.

    ``breaker_a`` is in A; ``breaker_known`` is False where it is only the rating of the outlet, the
    safe worst case. ``device`` is None where the house has none; ``device_known`` says whether it said so.
    """

    name: str
    drops: tuple[PowerDrop, ...]
    breaker_a: float | None
    breaker_known: bool
    device: Device | None
    device_known: bool
    shared_with: str
    limiter: bool

    @property
    def id(self) -> str:
        """The id of its first drop, empty in a house without drops."""
        return self.drops[0].id if self.drops else ""


@once_a_patch
def region(patch: Patch) -> Region:
    """Return the region of the gig's house: by its voltage, and by its outlets where voltages agree."""
    known = [drop.connector for drop in patch.house.stage.power if drop.connector]
    return region_of(patch.house.mains_v, known[0] if known else None)


@once_a_patch
def circuits(patch: Patch) -> tuple[Circuit, ...]:
    """Return the circuits of the house in the order of its drops; a nameless one where it has no drops."""
    groups: dict[str, list[PowerDrop]] = {}
    for drop in patch.house.stage.power:
        groups.setdefault(_key(drop), []).append(drop)
    area = region(patch)
    return tuple(_circuit(patch, tuple(drops), area) for drops in groups.values() or [[]])


def circuit_of(patch: Patch, drop: PowerDrop | None) -> Circuit:
    """Return the circuit of a power drop; the house's only one for None."""
    return _by_drop(patch)[drop.id] if drop is not None else circuits(patch)[0]


@once_a_patch
def _by_drop(patch: Patch) -> dict[str, Circuit]:
    return {drop.id: circuit for circuit in circuits(patch) for drop in circuit.drops}


def shared_words(text: str) -> str:
    """Return what a circuit is shared with, as a house tells it in free words; empty where it is not.

    Examples
    --------
    >>> shared_words("16 A, shared with wine cooler"), shared_words("not shared"), shared_words("one, shared")
    ('wine cooler', '', 'others')
    """
    found = _SHARED.search(text)
    return "" if found is None else (found.group(1) or "others").strip()


def unshared(text: str) -> str:
    """Return a circuit's words without what they say of sharing it.

    Examples
    --------
    >>> unshared("bar circuit, shared with a wine cooler")
    'bar circuit'
    """
    return _SHARED.sub("", text).strip(" ,;")


def amperes_said(text: str) -> float | None:
    """Return the lowest rating in A that stands in some words, or None.

    Examples
    --------
    >>> amperes_said("stage left and stage right, each 16 A"), amperes_said("30 mA")
    (16.0, None)
    """
    return min((float(one) for one in _AMPERES.findall(text)), default=None)


def outlets_given(patch: Patch, drop: PowerDrop | None) -> tuple[int | None, bool]:
    """Return how many outlets a place has, and whether that is only assumed; None where the words hold no number."""
    if drop is not None:
        return drop.outlets, False
    sockets = sum(
        _is_outlet(patch.house, one.unit, one.ports[0], patch) for one in patch.house.sockets if one.direction == "out"
    )
    if sockets:
        return sockets, False
    value, assumed = fact_value(patch.house, "outlets")
    number = re.search(r"\d+", value)
    return (int(number.group()) if number else None), assumed


def _is_outlet(house: House, unit_id: str, port_id: str, patch: Patch) -> bool:
    unit = house.unit(unit_id)
    return unit is not None and patch.catalogue.port(unit.gear, port_id).carrier.medium == "mains"


def _key(drop: PowerDrop) -> str:
    """Return what drops of one circuit have in common: its name, else the drop itself."""
    name = _AMPERES.sub("", unshared(drop.circuit)).strip(" ,;").casefold()
    return f"circuit {name}" if name else f"drop {drop.id}"


def _circuit(patch: Patch, drops: tuple[PowerDrop, ...], area: Region) -> Circuit:
    breaker_a, breaker_known = _breaker(patch, drops, area)
    device, device_known = _device(patch.house, drops, area)
    return Circuit(
        name=" and ".join(drop.name for drop in drops) or STAGE,
        drops=drops,
        breaker_a=breaker_a,
        breaker_known=breaker_known,
        device=device,
        device_known=device_known,
        shared_with=_shared(patch.house, drops),
        limiter=_limiter(patch.house, drops),
    )


def _said(house: House, key: FactKey) -> str:
    """Return what the house has said, empty where it is only assumed."""
    value, assumed = fact_value(house, key)
    return "" if assumed else value


def _breaker(patch: Patch, drops: tuple[PowerDrop, ...], area: Region) -> tuple[float | None, bool]:
    typed = [drop.circuit_a for drop in drops if drop.circuit_a is not None]
    told = [amperes_said(drop.circuit) for drop in drops]
    texts = [one for one in (*told, amperes_said(_said(patch.house, "circuit"))) if one is not None]
    if typed or texts:
        return min(typed or texts), True
    known = [patch.catalogue.connectors[drop.connector] for drop in drops if drop.connector]
    ratings = [rating for one in known if (rating := area.rated_a(one)) is not None]
    return min(ratings, default=None), False


def _device(house: House, drops: tuple[PowerDrop, ...], area: Region) -> tuple[Device | None, bool]:
    typed = [drop.rcd_ma for drop in drops if drop.rcd_ma is not None]
    if typed:
        return _rated(min(typed)), True
    said = _said(house, "residual current device")
    number = _MILLIAMPERES.search(said)
    if number is not None and float(number.group(1)) > 0:
        return _rated(float(number.group(1))), True
    if re.search(r"gfci|class a", said, re.IGNORECASE):
        return Device("gfci", GFCI_MUST_TRIP_MA), True
    if said and _NO.match(said):
        return None, True
    if area.device == "gfci":
        return Device("gfci", GFCI_MUST_TRIP_MA), False
    assumed = _MILLIAMPERES.search(fact_value(house, "residual current device")[0])
    return Device("rcd", float(assumed.group(1)) if assumed else 30.0), False


def _rated(rated_ma: float) -> Device:
    return Device("gfci" if rated_ma <= GFCI_MUST_TRIP_MA else "rcd", rated_ma)


def _shared(house: House, drops: tuple[PowerDrop, ...]) -> str:
    for drop in drops:
        words = drop.shared_with or shared_words(drop.circuit)
        if words:
            return words
    return shared_words(_said(house, "circuit"))


def _limiter(house: House, drops: tuple[PowerDrop, ...]) -> bool:
    if any(drop.limiter for drop in drops):
        return True
    if drops and all(drop.limiter is False for drop in drops):
        return False
    said = _said(house, "sound limiter")
    return bool(said) and not _NO.match(said) and "unknown" not in said.casefold()
