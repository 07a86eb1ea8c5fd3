"""What a chain can be made of: ways through boxes that lie in line, and runs of cable; with what they cost.

Whether they suit electrically is asked elsewhere. Prices and masses of cable are a table in the assets.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator
from functools import cached_property, lru_cache

import rtoml
from msgspec import Struct

from rigcore import resources
from rigcore.catalogue.cables import CableType
from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType, Path, Port
from rigcore.errors import CatalogueDamaged
from rigcore.solve.stockroom import Item, Supply

IN_LINE = ("adapter", "di", "isolator", "pad", "splitter")
"""Kinds of boxes that may lie in a chain."""

TO_BUY = ("adapter", "di", "isolator", "pad")
"""Kinds one would buy for it."""

MOST_JOINED = 4
"""Cables joined in one run at most."""


class Box(Struct, frozen=True, eq=False):
    """A way through one box: entered at a port, left at one, or at two that carry the same."""

    item: Item
    gear: GearType
    enter: Port
    leave: tuple[Port, ...]
    path: Path
    price: float
    mass_kg: float


class Lead(Struct, frozen=True, eq=False):
    """Cables of one kind joined into a run, the way round it is plugged; ``ends`` are the plugs met first and last."""

    items: tuple[Item, ...]
    cable: CableType
    ends: tuple[str, str]
    length_m: float
    price: float
    mass_kg: float


@lru_cache(maxsize=1)
def prices() -> dict[str, dict[str, float]]:
    """Return the table of prices and masses.

    Raises
    ------
    CatalogueDamaged
        If it cannot be read.
    """
    path = resources.assets() / "prices.toml"
    try:
        table: dict[str, dict[str, float]] = rtoml.loads(path.read_text(encoding="utf-8"))
        return {"buy": dict(table["buy"]), "mass": dict(table["mass"])}
    except (OSError, rtoml.TomlParsingError, KeyError) as error:
        raise CatalogueDamaged("The table of prices does not hold", [f"{path.name}: {error}"]) from None


def price_of(item: Item, catalogue: Catalogue) -> float:
    """Return what a thing costs to buy, in adapters; nothing if it is at hand."""
    if item.comes_from != "buy":
        return 0.0
    buy = prices()["buy"]
    if item.kind == "cable":
        cable = catalogue.cable_type(item.type)
        alike = catalogue.connectors[cable.end_a].family == catalogue.connectors[cable.end_b].family
        return buy["lead" if alike else "mixed_lead"] + buy["lead_per_m"] * item.length_m
    gear = catalogue.gear_type(item.type)
    needs_48 = any(isinstance(port.carrier, Audio) and port.carrier.phantom == "needs" for port in gear.ports)
    return buy.get(gear.category, buy["di"]) + (buy["needs_48"] if needs_48 else 0.0)


def mass_of(item: Item, catalogue: Catalogue) -> float:
    """Return what a thing adds to what is carried, in kg: nothing if the house has it."""
    if item.comes_from == "house":
        return 0.0
    if item.kind == "gear":
        return catalogue.gear_type(item.type).mass_kg
    mass = prices()["mass"]
    is_audio = catalogue.cable_type(item.type).medium == "audio"
    return item.length_m * mass["audio_kg_per_m" if is_audio else "other_kg_per_m"]


class Parts:
    """The parts for chains of one medium over one distance, by the connector they are plugged onto."""

    def __init__(self, catalogue: Catalogue, supply: Supply, medium: str, *, length_m: float, buy: bool) -> None:
        self.catalogue, self.supply, self.medium = catalogue, supply, medium
        self.length_m, self.buy = length_m, buy

    @cached_property
    def boxes(self) -> tuple[Box, ...]:
        """Every way through a box at hand or to be bought; of alike ways of one box the first."""
        found: list[Box] = []
        for item in self._gear():
            gear = self.catalogue.gear_type(item.type)
            seen: set[tuple[str, ...]] = set()
            for box in _ways(gear, item, self.catalogue):
                key = (box.enter.connector, box.path.kind, *(port.connector for port in box.leave))
                if key not in seen and box.enter.carrier.medium == self.medium == box.leave[0].carrier.medium:
                    seen.add(key)
                    found.append(box)
        return tuple(found)

    def _gear(self) -> Iterator[Item]:
        own = [item for item in self.supply if item.kind == "gear" and item.type in self.catalogue.gear]
        yield from (item for item in own if self.catalogue.gear[item.type].category in IN_LINE)
        if self.buy:
            for gear in self.catalogue.gear.values():
                if gear.category in TO_BUY and len(gear.ports) <= 3 and gear.id not in _POINTLESS:
                    yield Item("gear", gear.id, 0.0, "buy")

    @cached_property
    def short_leads(self) -> tuple[Lead, ...]:
        """The shortest lead of each kind and origin, both ways round: between two things that stand together."""
        best: dict[tuple[str, str], Item] = {}
        for item in self._cables():
            key = (item.type, item.comes_from)
            if key not in best or item.length_m < best[key].length_m:
                best[key] = item
        return tuple(lead for item in best.values() for lead in self._turned((item,)))

    @cached_property
    def long_leads(self) -> tuple[Lead, ...]:
        """The runs that cover the distance: one cable, or as few of a kind joined as reach it."""
        # What is at hand joins, whoever's it is; what would be bought is bought to one length.
        by_kind: dict[tuple[str, bool], list[Item]] = {}
        for item in self._cables():
            by_kind.setdefault((item.type, item.comes_from == "buy"), []).append(item)
        found = []
        for items in by_kind.values():
            for run in self._runs(items):
                found += self._turned(run)
        return tuple(found)

    @cached_property
    def reaches(self) -> tuple[float, ...]:
        """The distances in m up to which some run reaches: between two neighbours, every distance has the same runs."""
        by_kind: dict[tuple[str, bool], set[float]] = {}
        for item in self._cables():
            by_kind.setdefault((item.type, item.comes_from == "buy"), set()).add(item.length_m)
        found = {
            sum(some) for lengths in by_kind.values() for count in range(1, MOST_JOINED + 1)
            for some in itertools.combinations_with_replacement(sorted(lengths), count)
        }  # fmt: skip
        return tuple(sorted(found))

    def _runs(self, items: list[Item]) -> list[tuple[Item, ...]]:
        """Return the shortest runs that reach, one for each number of cables, no more than there are."""
        cable = self.catalogue.cable_type(items[0].type)
        joins = self.catalogue.mating.fits(cable.end_a, cable.end_b)
        runs = []
        items = sorted(items, key=lambda one: one.length_m)
        for count in range(1, MOST_JOINED + 1 if joins else 2):
            reaching = [
                run for run in itertools.combinations_with_replacement(items, count)
                if sum(one.length_m for one in run) >= self.length_m - 1e-9 and self._is_there(run)
            ]
            if reaching:
                runs.append(min(reaching, key=lambda run: sum(one.length_m for one in run)))
        return runs

    def _is_there(self, run: tuple[Item, ...]) -> bool:
        return all(one.comes_from == "buy" or self.supply[one] >= count for one, count in Counter(run).items())

    def _cables(self) -> Iterator[Item]:
        for item in self.supply:
            if item.kind == "cable" and self.catalogue.cables[item.type].carries(self.medium):
                yield item
        if self.buy:
            for cable in self.catalogue.cable_order:
                if cable.medium == self.medium:
                    yield from (Item("cable", cable.id, length_m, "buy") for length_m in cable.stock_lengths_m)

    def _turned(self, run: tuple[Item, ...]) -> list[Lead]:
        cable = self.catalogue.cable_type(run[0].type)
        length_m = sum(one.length_m for one in run)
        price = sum(price_of(one, self.catalogue) for one in run)
        mass_kg = sum(mass_of(one, self.catalogue) for one in run)
        ways = dict.fromkeys(((cable.end_a, cable.end_b), (cable.end_b, cable.end_a)))
        return [Lead(run, cable, ends, length_m, price, mass_kg) for ends in ways]


_POINTLESS = (
    "adapter-xlr-turnaround-ff", "adapter-xlr-turnaround-mm", "adapter-xlr-polarity", "adapter-xlr-lift", "reamp-box",
)
"""What only mends what should not be, or is made for something else: nobody buys it for a plan."""


def _ways(gear: GearType, item: Item, catalogue: Catalogue) -> Iterator[Box]:
    price, mass_kg = price_of(item, catalogue), mass_of(item, catalogue)
    for path in gear.paths:
        enter, leave = gear.port(path.source), gear.port(path.target)
        if enter is None or leave is None or enter.direction == "out" or leave.direction == "in":
            continue
        if leave.role == "thru" or "both" in (enter.direction, leave.direction):
            continue
        twin = next(
            (gear.port(other.target) for other in gear.paths
             if other.source == path.source and other.target > path.target and other.kind == path.kind == "wire"
             and gear.port(other.target) is not None and enter.carrier.medium == "audio"
             and getattr(enter.carrier, "layout", "") == "mono" == getattr(leave.carrier, "layout", "")),
            None,
        )  # fmt: skip
        if twin is not None and twin.connector == leave.connector and twin.role != "thru":
            yield Box(item, gear, enter, (leave, twin), path, price, mass_kg)
        elif not any(other.source == path.source and other.kind == "wire" == path.kind and other is not path
                     for other in gear.paths if _feeds_alike(gear, other, path)):  # fmt: skip
            yield Box(item, gear, enter, (leave,), path, price, mass_kg)


def _feeds_alike(gear: GearType, one: Path, other: Path) -> bool:
    """Return whether two ways feed sockets alike with the same signal: a Y, of which one tail alone is no adapter."""
    ends = gear.port(one.target), gear.port(other.target)
    return all(end is not None and not end.side and end.role != "thru" for end in ends) and (
        ends[0].connector == ends[1].connector  # type: ignore[union-attr]
    )
