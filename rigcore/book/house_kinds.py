"""What houses of each kind commonly have: a table to begin from. Nothing in it counts as said by a house."""

from __future__ import annotations

from functools import lru_cache

import rtoml
from pydantic import ValidationError

from rigcore import resources
from rigcore.book.house import FactKey, HouseKind, PowerDrop, Socket
from rigcore.book.rig import Unit
from rigcore.book.stock import StockItem
from rigcore.catalogue.record import Length, Name, Record, from_row
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
        rows = rtoml.loads(path.read_text(encoding="utf-8"))["kind"]
        kinds = [from_row(KindOfHouse, row) for row in rows]
    except (OSError, rtoml.TomlParsingError, KeyError, ValidationError) as error:
        raise CatalogueDamaged("The table of kinds of house does not hold", [f"{path.name}: {error}"]) from None
    return {kind.id: kind for kind in kinds}
