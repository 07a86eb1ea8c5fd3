"""Mains by region: voltage, frequency, outlets, and which published rule holds where.

The table lies in the assets. Nothing here knows a rig or a house.
"""

from functools import lru_cache
from typing import Annotated, Literal

import rtoml
from pydantic import Field, ValidationError

from rigcore import resources
from rigcore.catalogue.connectors import Connector
from rigcore.catalogue.record import Id, Name, Positive, Record, from_row
from rigcore.errors import CatalogueDamaged


class Region(Record):
    """One region: nominal voltage in V, frequencies in Hz, outlets, and the rules of its codes.

    ``breakers_a`` are the usual ratings of circuits. ``continuous_share`` is the share of a
    circuit a load of three hours or more may take, None where no code asks. ``couplers`` says which rating of a part
    rated differently by region holds.
    """

    id: Id
    name: Name
    nominal_v: Positive
    hz: tuple[Positive, ...] = Field(min_length=1)
    plugs: tuple[Id, ...] = Field(min_length=1)
    breakers_a: tuple[Positive, ...]
    continuous_share: Annotated[float, Field(gt=0, le=1)] | None = None
    couplers: Literal["international", "north american", "lower"]
    drop: Literal["class 5", "table 8"]
    device: Literal["rcd", "gfci"]
    source: Name

    @property
    def words(self) -> str:
        """The region as spoken, with its supply."""
        return f"{self.name}, {self.nominal_v:g} V {' or '.join(f'{one:g}' for one in self.hz)} Hz"

    def rated_a(self, connector: Connector) -> float | None:
        """Return what a connector may carry in this region, in A; None where no standard says."""
        if self.couplers == "international":
            return connector.rated_a
        if self.couplers == "north american":
            return connector.north_american_a or connector.rated_a
        return lowest_a(connector)


@lru_cache(maxsize=1)
def regions() -> tuple[Region, ...]:
    """Return the table of regions.

    Raises
    ------
    CatalogueDamaged
        If the table cannot be read or a row does not hold.
    """
    path = resources.assets() / "regions.toml"
    try:
        rows = rtoml.loads(path.read_text(encoding="utf-8"))["region"]
        return tuple(from_row(Region, row) for row in rows)
    except (OSError, rtoml.TomlParsingError, KeyError, ValidationError) as error:
        raise CatalogueDamaged("The table of regions does not hold", [f"{path.name}: {error}"]) from None


def region_of(mains_v: float, connector: str | None = None) -> Region:
    """Return the region of a house.

    Parameters
    ----------
    mains_v
        Nominal voltage at the house, in V.
    connector
        Its outlet, which tells regions of one voltage apart.

    Examples
    --------
    >>> region_of(120.0).id, region_of(230.0, "as3112.f").id
    ('north-america', 'australia')

    Source
    ------
    IEC 60038: the nearest nominal voltage.
    """
    nearest = min(abs(one.nominal_v - mains_v) for one in regions())
    alike = [one for one in regions() if abs(one.nominal_v - mains_v) == nearest]
    return next((one for one in alike if connector in one.plugs), alike[0])


def lowest_a(connector: Connector) -> float | None:
    """Return the lower of a connector's ratings, in A: what a rig that travels may count on.

    Source
    ------
    IEC 60320 couplers are rated differently by IEC and in North America.
    """
    ratings = [one for one in (connector.rated_a, connector.north_american_a) if one is not None]
    return min(ratings, default=None)
