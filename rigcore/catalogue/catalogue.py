"""The catalogue: every table together, looked up by id and by the questions the rules ask."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from rigcore.catalogue.cables import CableType
from rigcore.catalogue.carriers import Carrier
from rigcore.catalogue.connectors import Connector, Consequence, MatingTable
from rigcore.catalogue.gear import GearType, Port
from rigcore.errors import UnknownThing


class Catalogue:
    """All connectors, matings, cable types and gear types at hand.

    Immutable by habit: :meth:`with_gear` returns another one.
    """

    def __init__(
        self,
        connectors: Iterable[Connector],
        mating: MatingTable,
        cables: Iterable[CableType],
        gear: Iterable[GearType],
    ) -> None:
        self.connectors = {row.id: row for row in connectors}
        self.mating = mating
        self.cables = {row.id: row for row in cables}
        self.gear = {row.id: row for row in gear}
        self._merged: tuple[tuple[GearType, ...], Catalogue] = ((), self)

    def with_gear(self, own: Iterable[GearType]) -> Catalogue:
        """Return the catalogue with a book's own gear types added; own types win."""
        own = tuple(own)
        if not own:
            return self
        # The same types give the same catalogue again, so that what is known of its kinds goes on.
        known, catalogue = self._merged
        if [id(row) for row in own] != [id(row) for row in known]:
            merged = {**self.gear, **{row.id: row for row in own}}
            catalogue = Catalogue(self.connectors.values(), self.mating, self.cables.values(), merged.values())
            self._merged = own, catalogue
        return catalogue

    def gear_type(self, gear_id: str) -> GearType:
        """Return a gear type.

        Raises
        ------
        UnknownThing
            If there is none of that id.
        """
        try:
            return self.gear[gear_id]
        except KeyError:
            raise UnknownThing(f"there is no gear type '{gear_id}' in the catalogue", [gear_id]) from None

    def cable_type(self, cable_id: str) -> CableType:
        """Return a cable type.

        Raises
        ------
        UnknownThing
            If there is none of that id.
        """
        try:
            return self.cables[cable_id]
        except KeyError:
            raise UnknownThing(f"there is no cable type '{cable_id}' in the catalogue", [cable_id]) from None

    def port(self, gear_id: str, port_id: str) -> Port:
        """Return a port of a gear type.

        Raises
        ------
        UnknownThing
            If the type or the port does not exist.
        """
        port = self.gear_type(gear_id).port(port_id)
        if port is None:
            raise UnknownThing(
                f"{self.gear_type(gear_id).name} has no port '{port_id}'", [gear_id, port_id]
            )
        return port

    def connector_name(self, connector_id: str) -> str:
        """Return the spoken name of a connector."""
        return self.connectors[connector_id].name

    def of_category(self, category: str) -> tuple[GearType, ...]:
        """Return the gear types of a category, in the order of the table."""
        return self._by_category.get(category, ())

    @cached_property
    def _by_category(self) -> dict[str, tuple[GearType, ...]]:
        found: dict[str, list[GearType]] = {}
        for row in self.gear.values():
            found.setdefault(row.category, []).append(row)
        return {category: tuple(rows) for category, rows in found.items()}

    @cached_property
    def cable_order(self) -> tuple[CableType, ...]:
        """Cable types in the order of the table: the usual choice stands first."""
        return tuple(self.cables.values())

    def cables_between(self, source: Port, target: Port) -> tuple[CableType, ...]:
        """Return the cable types whose ends go into both ports, best first.

        A cable meant for the medium comes before one that only has the right
        plugs; one that fits fully before one that fits with a consequence.
        """
        ranked = []
        for place, cable in enumerate(self.cable_order):
            ends = self.ends_at(cable, source, target)
            if ends is None:
                continue
            loss = sum(
                self.mating.consequence(port.connector, end) is not Consequence.FITS
                for port, end in zip((source, target), ends, strict=True)
            )
            stranger = not cable.carries(source.carrier.medium)
            ranked.append(((stranger, loss, _unlike(cable, source, target), place), cable))
        return tuple(cable for _, cable in sorted(ranked, key=lambda pair: pair[0]))

    def ends_at(self, cable: CableType, source: Port, target: Port) -> tuple[str, str] | None:
        """Return which end of the cable goes to the source and which to the target.

        As delivered if that fits, else turned round, else None.
        """
        for ends in ((cable.end_a, cable.end_b), (cable.end_b, cable.end_a)):
            if self.mating.fits(source.connector, ends[0]) and self.mating.fits(target.connector, ends[1]):
                return ends
        return None

    def carrier_at(self, port: Port, plug: str | None) -> Carrier:
        """Return what a port takes through a given plug: a combined socket has two minds."""
        if port.jack_carrier is not None and plug is not None:
            family = self.connectors[plug].family
            if family.endswith("6"):
                return port.jack_carrier
        return port.carrier


def _unlike(cable: CableType, source: Port, target: Port) -> int:
    """Return 1 where a balanced cable joins what is not balanced, or the reverse; else 0."""
    wanted = {getattr(port.carrier, "balance", None) for port in (source, target)}
    layouts = {getattr(port.carrier, "layout", "mono") for port in (source, target)}
    if "stereo" in layouts:
        return int(cable.wiring != "stereo")
    if wanted <= {"balanced", "impedance-balanced", "floating"}:
        return int(cable.wiring != "balanced")
    return int(cable.wiring != "unbalanced") if "unbalanced" in wanted else 0
