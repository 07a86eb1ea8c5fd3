"""What houses of each kind commonly have: a table to begin from. Nothing in it counts as said by a house."""

from __future__ import annotations

import json
import tomllib
from functools import lru_cache

from pydantic import ValidationError

from rigcore import resources
from rigcore.book.house import FactKey, HouseKind, PowerDrop, Socket
from rigcore.book.rig import Unit
from rigcore.book.stock import StockItem
from rigcore.catalogue.record import Length, Name, Record
from rigcore.errors import CatalogueDamaged


class KindOfHouse(Record):
    """One row of the table: sizes in m; ``sockets`` only where they are not one for each audio port."""

    id: HouseKind
    about: Name
    width_m: Length
    depth_m: Length
    ask_first: tuple[FactKey, ...] = ()
    units: tuple[Unit, ...] = ()
    sockets: tuple[Socket, ...] = ()
    power: tuple[PowerDrop, ...] = ()
    stock: tuple[StockItem, ...] = ()


@lru_cache(maxsize=1)
def house_kinds() -> dict[HouseKind, KindOfHouse]:
    """Return the table of kinds of house, in its order.

    Raises
    ------
    CatalogueDamaged
        If the table cannot be read or a row does not hold.
    """
    path = resources.assets() / "house_kinds.toml"
    try:
        with path.open("rb") as file:
            rows = tomllib.load(file)["kind"]
        kinds = [KindOfHouse.model_validate_json(json.dumps(row)) for row in rows]
    except (OSError, tomllib.TOMLDecodeError, KeyError, ValidationError) as error:
        raise CatalogueDamaged("The table of kinds of house does not hold", [f"{path.name}: {error}"]) from None
    return {kind.id: kind for kind in kinds}
