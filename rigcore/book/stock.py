"""Stock: the cables, adapters and boxes somebody owns, counted."""

from typing import Annotated, Literal

from pydantic import Field

from rigcore.catalogue.record import Id, Length, Record, Text


class StockItem(Record, defer_build=False):
    """So many of one thing: a gear type, or a cable type of one length in m."""

    kind: Literal["cable", "gear"]
    type: Id
    length_m: Length | None = None
    count: Annotated[int, Field(ge=0, le=10000)] = 1
    note: Text = ""
