"""What a house has not said: the safe worst case for each fact, and the question to ask.

The table lies in the assets; a fact the house has stated always wins.
"""

from functools import lru_cache

import rtoml
from pydantic import ValidationError

from rigcore import resources
from rigcore.book.house import FactKey, House, HouseKind
from rigcore.catalogue.record import Name, Record, from_row
from rigcore.errors import CatalogueDamaged


class Assumption(Record):
    """One row of the table: the fact, what is assumed, how to say and to ask it, and of which kinds of house (all)."""

    key: FactKey
    value: Name
    words: Name
    question: Name
    kinds: tuple[HouseKind, ...] = ()


@lru_cache(maxsize=1)
def assumptions() -> tuple[Assumption, ...]:
    """Return the table of assumptions.

    Raises
    ------
    CatalogueDamaged
        If the table cannot be read or a row does not hold.
    """
    path = resources.assets() / "assumptions.toml"
    try:
        rows = rtoml.loads(path.read_text(encoding="utf-8"))["assumption"]
        return tuple(from_row(Assumption, row) for row in rows)
    except (OSError, rtoml.TomlParsingError, KeyError, ValidationError) as error:
        raise CatalogueDamaged("The table of assumptions does not hold", [f"{path.name}: {error}"]) from None


def fact_value(house: House, key: FactKey) -> tuple[str, bool]:
    """Return the value of a fact, and whether it is only assumed.

    A fact that is neither known nor in the table is an empty text.
    """
    fact = house.fact(key)
    if fact is not None:
        return fact.value, False
    return next((one.value for one in assumptions() if one.key == key), ""), True


def open_questions(house: House) -> tuple[Assumption, ...]:
    """Return what the house has not said yet, in the order of the table."""
    return tuple(
        one for one in assumptions() if house.fact(one.key) is None and (not one.kinds or house.kind in one.kinds)
    )
